"""Text with marks: the platform's HTML read into plain text and entities, as far as we use it.

Offsets and lengths count UTF-16 units throughout, as the platform does.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any, Final

from bot.rehearsal.errors import Refused, bad_request

Entity = dict[str, Any]

TEXT_LIMIT: Final = 4096  # Bot API, sendMessage, "1-4096 characters after entities parsing"
CAPTION_LIMIT: Final = 1024  # Bot API, sendPhoto, "0-1024 characters after entities parsing"

_ENTITY_OF_TAG: Final = {
    "b": "bold",
    "strong": "bold",
    "i": "italic",
    "em": "italic",
    "u": "underline",
    "ins": "underline",
    "s": "strikethrough",
    "strike": "strikethrough",
    "del": "strikethrough",
    "code": "code",
    "pre": "pre",
    "a": "text_link",
    "blockquote": "blockquote",
    "tg-spoiler": "spoiler",
}
_NAMED: Final = {"lt": "<", "gt": ">", "amp": "&", "quot": '"'}
_CHARACTER: Final = re.compile(r"&(?:#(\d{1,7})|#[xX]([0-9a-fA-F]{1,6})|([a-zA-Z]{1,8}))(;?)")
_ATTRIBUTE: Final = re.compile(r"""\s*([a-zA-Z-]{1,20})(?:\s*=\s*(?:"([^"]*)"|'([^']*)'))?""")
_FOUND: Final = re.compile(
    r"(?<![\w/])(?:(?P<bot_command>/[A-Za-z0-9_]{1,32}(?:@\w{3,32})?)(?!\w)"
    r"|(?P<mention>@[A-Za-z][A-Za-z0-9_]{2,31})\b)"
)
_VERBATIM: Final = {"code", "pre", "text_link", "text_mention"}


def utf16_length(text: str) -> int:
    """Count UTF-16 units: an emoji outside the basic plane is two."""
    return len(text.encode("utf-16-le")) // 2


def found_entities(text: str, taken: list[Entity] | None = None) -> list[Entity]:
    """Find the commands and mentions the platform marks by itself, outside code and links."""
    verbatim = [entity for entity in taken or [] if entity["type"] in _VERBATIM]
    found: list[Entity] = []
    for match in _FOUND.finditer(text):
        offset = utf16_length(text[: match.start()])
        length = utf16_length(match.group())
        if not any(_overlap(entity, offset, length) for entity in verbatim):
            found.append({"type": match.lastgroup, "offset": offset, "length": length})
    return found


def parse_html(html: str) -> tuple[str, list[Entity]]:
    """Read the platform's HTML into text and entities, outermost first.

    Blanks at both ends go, as on the platform; an entity over nothing goes with them.

    Raises:
        Refused: 400 "can't parse entities", with the byte offset where the reading stopped.

    Source: Bot API, "HTML style". Only the tags above and four named characters are known.
    """
    reading = _Reading(html)
    while reading.at < len(html):
        reading.step()
    if reading.open_tags:
        name = reading.open_tags[-1].name
        raise _unreadable(f'Can\'t find end tag corresponding to start tag "{name}"')
    return _trimmed("".join(reading.text), _code_blocks(reading.entities))


def check_length(text: str, *, limit: int, what: str) -> None:
    """Refuse a text over the limit (UTF-16 units): "message is too long"."""
    if utf16_length(text) > limit:
        raise bad_request(f"{what} is too long")


@dataclass(slots=True)
class _OpenTag:
    name: str
    offset: int
    attributes: dict[str, str]


@dataclass(slots=True)
class _Reading:
    html: str
    at: int = 0
    length: int = 0  # of `text`, in UTF-16 units
    text: list[str] = field(default_factory=list)
    open_tags: list[_OpenTag] = field(default_factory=list)
    entities: list[Entity] = field(default_factory=list)

    def step(self) -> None:
        here = self.html[self.at]
        if here == "<":
            self._tag()
        elif here == "&":
            self._character()
        else:
            stop = re.compile("[<&]").search(self.html, self.at)
            end = stop.start() if stop else len(self.html)
            self._add(self.html[self.at : end])
            self.at = end

    def _add(self, text: str) -> None:
        self.text.append(text)
        self.length += utf16_length(text)

    def _character(self) -> None:
        value, self.at = _character_at(self.html, self.at)
        self._add(value)

    def _byte_offset(self) -> int:
        return len(self.html[: self.at].encode())

    def _tag(self) -> None:
        end = _tag_end(self.html, self.at)
        if end is None:
            raise _unreadable(f"Unclosed start tag at byte offset {self._byte_offset()}")
        inside = self.html[self.at + 1 : end]
        if inside.startswith("/"):
            self._close(inside[1:].strip().lower())
        else:
            self._open(inside)
        self.at = end + 1

    def _open(self, inside: str) -> None:
        name, *rest = inside.split(maxsplit=1) or [""]
        name = name.lower()
        attributes = _attributes(" ".join(rest))
        is_spoiler = name == "span" and attributes.get("class") == "tg-spoiler"
        if name not in _ENTITY_OF_TAG and not is_spoiler:
            raise _unreadable(
                f'Unsupported start tag "{name}" at byte offset {self._byte_offset()}'
            )
        self.open_tags.append(_OpenTag(name, self.length, attributes))

    def _close(self, name: str) -> None:
        if not self.open_tags:
            raise _unreadable(f"Unexpected end tag at byte offset {self._byte_offset()}")
        tag = self.open_tags.pop()
        if name not in ("", tag.name):
            raise _unreadable(
                f"Unmatched end tag at byte offset {self._byte_offset()}, "
                f'expected "</{tag.name}>", found "</{name}>"'
            )
        length = self.length - tag.offset
        if length:
            entity = _entity(tag, length, "".join(self.text))
            if entity:
                self.entities.append(entity)


def _entity(tag: _OpenTag, length: int, text: str) -> Entity | None:
    kind = _ENTITY_OF_TAG.get(tag.name, "spoiler")
    entity: Entity = {"type": kind, "offset": tag.offset, "length": length}
    if tag.name == "a":
        units = text.encode("utf-16-le")[tag.offset * 2 : (tag.offset + length) * 2]
        url = tag.attributes.get("href") or units.decode("utf-16-le")
        if not re.match(r"(?:https?://|tg://|mailto:)\S+$|[\w-]+(?:\.[\w-]+)+(?:/\S*)?$", url):
            return None  # the platform keeps the text and forgets a link it cannot use
        entity["url"] = url
    if tag.name == "blockquote" and "expandable" in tag.attributes:
        entity["type"] = "expandable_blockquote"
    language = tag.attributes.get("class", "")
    if tag.name == "code" and language.startswith("language-"):
        entity["language"] = language.removeprefix("language-")
    return entity


def _code_blocks(entities: list[Entity]) -> list[Entity]:
    """Fold a code tag that fills a pre tag into it, and sort: outermost first."""
    blocks = {(e["offset"], e["length"]): e for e in entities if e["type"] == "pre"}
    kept: list[Entity] = []
    for entity in entities:
        block = blocks.get((entity["offset"], entity["length"]))
        if entity["type"] == "code" and block is not None:
            if "language" in entity:
                block["language"] = entity["language"]
            continue
        if entity["type"] == "code":
            entity.pop("language", None)
        kept.append(entity)
    return sorted(kept, key=lambda e: (e["offset"], -e["length"]))


def _trimmed(text: str, entities: list[Entity]) -> tuple[str, list[Entity]]:
    start = utf16_length(text[: len(text) - len(text.lstrip())])
    text = text.strip()
    end = utf16_length(text)
    kept: list[Entity] = []
    for entity in entities:
        first = max(entity["offset"] - start, 0)
        last = min(entity["offset"] + entity["length"] - start, end)
        if last > first:
            kept.append({**entity, "offset": first, "length": last - first})
    return text, kept


def _attributes(text: str) -> dict[str, str]:
    found = {}
    for match in _ATTRIBUTE.finditer(text):
        name, double, single = match.groups()
        found[name.lower()] = _plain(double if double is not None else single or "")
    return found


def _plain(text: str) -> str:
    return _CHARACTER.sub(lambda match: _character_at(match.group(), 0)[0], text)


def _character_at(html: str, at: int) -> tuple[str, int]:
    match = _CHARACTER.match(html, at)
    if match is None:
        return "&", at + 1
    decimal, hexadecimal, name, _ = match.groups()
    if name:
        value = _NAMED.get(name)
        return (value, match.end()) if value else ("&", at + 1)
    code = int(decimal) if decimal else int(hexadecimal, 16)
    is_character = 0 < code < 0x110000 and not 0xD800 <= code < 0xE000  # noqa: PLR2004 - Unicode
    return (chr(code), match.end()) if is_character else ("&", at + 1)


def _tag_end(html: str, at: int) -> int | None:
    """Find the ">" that ends the tag opened at `at`, outside quotes; None if there is none."""
    quote = ""
    for position in range(at + 1, len(html)):
        here = html[position]
        if quote:
            quote = "" if here == quote else quote
        elif here in "\"'":
            quote = here
        elif here == ">":
            return position
    return None


def _overlap(entity: Entity, offset: int, length: int) -> bool:
    return bool(
        entity["offset"] < offset + length and offset < entity["offset"] + entity["length"]
    )


def _unreadable(why: str) -> Refused:
    return bad_request(f"can't parse entities: {why}")
