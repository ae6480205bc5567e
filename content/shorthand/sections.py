"""Cut a sheet into its parts: title, notes, cautions, warm-up, one part per division, the work."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from content.challenge import Division
from content.characters import plain_text
from content.shorthand.openers import (
    AS_WRITTEN,
    BULLET,
    CLOCKS,
    DAY,
    OPENERS,
    REST_TOLD,
    TEXTS,
    WEEKDAY,
    Kind,
)
from content.shorthand.sheet import Sheet, Span, trimmed
from content.shorthand.vocabulary import words_of


@dataclass(slots=True)
class Part:
    """Some lines of the sheet; `divisions` are the ids a part of kind division is about.

    `complete`: the part says it is a complete list, nothing comes from the first division.
    """

    kind: Kind
    lines: list[Span] = field(default_factory=list)
    divisions: tuple[str, ...] = ()
    complete: bool = False
    head: Span = (0, 0)  # the words that opened it
    indent: int = 0
    block: bool = False  # its lines begin below its head


def parts_of(sheet: Sheet, divisions: Sequence[Division]) -> list[Part]:
    """Cut a sheet into parts, in order; lines of the work are in parts of kind work."""
    names = division_names(divisions)
    parts: list[Part] = []
    open_part: Part | None = None
    for line in _lines(sheet, names):
        start, end = trimmed(sheet.text, line)
        if start == end:
            if open_part is not None and open_part.lines:
                open_part = None
            continue
        begin = BULLET.match(sheet.text, line[0], end)
        start = begin.end() if begin and begin.end() < end else start
        opened = _opened(sheet, (start, end), names, first=not parts)
        if opened is not None:
            part, rest = opened
            parts.append(part)
            if part.kind in TEXTS:
                rest = (part.head[1], line[1])  # as it was written, to its very end
                said = bool(sheet.verbatim(rest))
            else:
                said = rest[0] < rest[1]
            if said:
                part.lines.append(rest)
            part.block = not part.lines
            part.indent = _indent(sheet, line)
            open_part = part if _goes_on(sheet, part) else None
        elif open_part is not None and open_part.kind is Kind.DIVISION and open_part.lines:
            own_line = _indent(sheet, line) > open_part.indent or open_part.block
            if own_line:
                open_part.lines.append((start, end))
            else:
                open_part = None
                parts.append(Part(Kind.WORK, [(start, end)]))
        elif open_part is not None and not _ends(sheet, open_part, (start, end)):
            open_part.lines.append((start, end))
        else:
            open_part = None
            if not parts or parts[-1].kind is not Kind.WORK:
                parts.append(Part(Kind.WORK))
            parts[-1].lines.append((start, end))
    return parts


def _lines(sheet: Sheet, names: dict[str, str]) -> Iterator[Span]:
    """Give the lines; "... air squats. Lighter: 8 kg. Note: ..." is a line for each of them."""
    words = "|".join([*map(re.escape, names), "caution", "note", "warm-?up"])
    inside = re.compile(rf"(?<=[.;|!)]) {{1,4}}(?=(?:{words})(?: ?:| \d{{1,3}} ?(?:kg|lb)))")
    for start, end in sheet.lines():
        at = start
        if not any(pattern.match(sheet.text, start, end) for pattern in AS_WRITTEN):
            for found in inside.finditer(sheet.text, start, end):
                yield at, found.start()
                at = found.end()
        yield at, end


def _goes_on(sheet: Sheet, part: Part) -> bool:
    """Say whether the lines behind an opened part belong to it, up to an empty line."""
    if part.kind in (Kind.TITLE, Kind.MOVEMENT, Kind.HOW, Kind.MESSAGE, Kind.WORK):
        return not part.lines and part.kind is not Kind.WORK
    if part.kind is Kind.REST:
        return True
    if part.kind is Kind.DIVISION:
        return True
    unfinished = bool(part.lines) and sheet.text[part.lines[-1][0] : part.lines[-1][1]].endswith(
        ","
    )
    return not part.lines or unfinished


def _indent(sheet: Sheet, line: Span) -> int:
    text = sheet.text[line[0] : line[1]]
    return len(text) - len(text.lstrip(" •*-"))


def _ends(sheet: Sheet, part: Part, line: Span) -> bool:
    """Say whether a line is no more of a list that has no mark at its end."""
    if part.kind not in (Kind.WARM_UP, Kind.CAUTION, Kind.REST):
        return False
    if part.kind is Kind.WARM_UP and part.lines and _one_line(sheet, part):
        return True
    return CLOCKS.match(sheet.text, line[0], line[1]) is not None


def _one_line(sheet: Sheet, part: Part) -> bool:
    """Say whether the list stands behind its opener and ended there."""
    start, end = part.lines[-1]
    behind = sheet.text.find("\n", part.head[0], start) < 0 and len(part.lines) == 1
    return behind and not sheet.text[start:end].endswith(",")


def _opened(
    sheet: Sheet, line: Span, names: dict[str, str], *, first: bool
) -> tuple[Part, Span] | None:
    """Read the words that open a part; `first`: nothing stands before them."""
    start, end = line
    number = DAY.match(sheet.text, start, end) or WEEKDAY.match(sheet.text, start, end)
    if number:
        rest = trimmed(sheet.text, (number.end(), end))
        inner = _opened(sheet, rest, names, first=first) if rest[0] < rest[1] else None
        return inner or (Part(Kind.WORK, head=line), rest)
    if first and REST_TOLD.match(sheet.text, start, end):
        return Part(Kind.REST, head=(start, start)), line
    for kind, pattern in OPENERS:
        found = pattern.match(sheet.text, start, end)
        if found:
            return Part(kind, head=(start, found.end())), trimmed(sheet.text, (found.end(), end))
    return division_opened(sheet, line, names)


_ALL_OF_IT = re.compile(r"[ ,]{0,3}\(?(?:complete(?: list)?|the complete list)\)?")
_SEPARATOR = re.compile(
    r" {0,3}(?:[:=]+|-+(?= )|->|(?=$|\n))|(?= {1,3}[@\d])|"
    r"(?= {1,3}[^\n]{1,60}(?<!\w)(?:not|instead of|in place of|for the)(?!\w))"
)
_BETWEEN = re.compile(r" ?(?:,|&|\+|/|and) ?")


def division_opened(sheet: Sheet, line: Span, names: dict[str, str]) -> tuple[Part, Span] | None:
    """Read "lighter: ..." or "lighter & bodyweight: ..." at the start of a line."""
    at, end = line
    if sheet.text.startswith("(", at):
        at += 1
    if said := re.match(r"(?:for |the )?", sheet.text[at : at + 8]):
        at += said.end()
    found: list[str] = []
    while (name := _name_at(sheet.text, at, end, names)) is not None:
        division, at = name
        found.append(division)
        more = _BETWEEN.match(sheet.text, at, end)
        if more is None or _name_at(sheet.text, more.end(), end, names) is None:
            break
        at = more.end()
    if not found:
        return None
    at = _VERSION.match(sheet.text, at, end).end()  # type: ignore[union-attr] # matches nothing too
    complete = _ALL_OF_IT.match(sheet.text, at, end)
    at = complete.end() if complete else at
    at += sheet.text.startswith(")", at)
    separator = _SEPARATOR.match(sheet.text, at, end)
    if separator is None:
        return None
    head = (line[0], separator.end())
    part = Part(Kind.DIVISION, divisions=tuple(found), complete=complete is not None, head=head)
    return part, trimmed(sheet.text, (separator.end(), end))


_VERSION = re.compile(r"(?: (?:version|option|division|people))?(?: (?:do|does))?")


def _name_at(text: str, at: int, end: int, names: dict[str, str]) -> tuple[str, int] | None:
    """Give the division named at a place, and where its name ends; the longest name wins."""
    for name, division in names.items():
        stop = at + len(name)
        if stop > end or not text.startswith(name, at):
            continue
        if stop == end or not (text[stop].isalnum() or text[stop] == "'"):
            return division, stop
    return None


def division_names(divisions: Sequence[Division]) -> dict[str, str]:
    """Give every name of every division as it stands in plain text, longest first."""
    names: dict[str, str] = {}
    for division in divisions:
        for name in (division.id, division.name, *division.nicknames):
            plain = " ".join(words_of(name))
            for spelled in (plain, plain.replace(" ", "-"), plain_text(name)):
                if spelled:
                    names.setdefault(spelled, division.id)
    return dict(sorted(names.items(), key=lambda pair: -len(pair[0])))
