"""Cut lines of a list into pieces with one movement each; set aside what stands in brackets."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator

from content.shorthand.clause import ROUND, any_of
from content.shorthand.measures import LOAD, NUMBER
from content.shorthand.sheet import Span

BRACKET = "\x01"  # stands for each letter in brackets
# A heading in brackets: "(20 min cap)", "(for time)".
_HEADING = re.compile(
    any_of(
        "for time",
        "as fast as [a-z ]{1,20}",
        r"[^()]{0,20}\bcap\b[^()]{0,20}",
        "[^()]{0,12}amrap[^()]{0,12}",
        rf"\d{{1,2}} (?:{ROUND}|rft)[^()]{{0,12}}",
        r"[^()]{0,20}\bon\b[^()]{1,20}\boff\b[^()]{0,12}",
        "for distance",
        "no score",
        r"\d{1,3}(?:-\d{1,3}){2,12}",
        r"(?:rest )?\d{1,3} ?(?:s|sec|min)[a-z]{0,6}(?: rest)?(?: between[^()]{0,30})?",
    )
)
# What parts two movements; a comma inside a number does not.
_SEPARATOR = re.compile(
    any_of(
        r"\n|;|•|\|",
        r"(?<!\d),|,(?!\d)|(?<=\d),(?=\d+ ?\x00)",
        r":(?!\d)",
        r" (?:&|\+|/|\*) | ?-> ?(?!\x00)|[&+](?=\d)| - (?=\d)",
        r"(?<![\w])(?:and then|then|and|followed by)(?![\w])",
        r"&|\+(?! ?\d)",
        # a full stop; "ea. side" and "30 sec. plank" have none
        r"(?<=[a-z)\x00 ])(?<! ea)(?<! alt)(?<! v)(?:(?<!min)(?<!sec)\.|\.(?! \x00))(?= |$)",
        r"[!?](?= |$)",
        r"(?<!\S)\d{1,2}\)(?= )",  # "1) 10 burpees 2) 15 sit-ups"
        r"(?<!\S)[a-h][1-4][.:)]?(?= \d)",  # "A1 10 rows A2 12 push-ups"
        r"(?<=\x00) n (?=\x00|\d)",  # "jumping jacks n arm circles"
        r" // ",
    )
)
_NAMES = re.compile(r"\x00+")
_UNITS = re.compile(
    r"(?<![a-z])(?:kgs?|lbs?|kilos|pounds|pood|km|mi|cals?|sec|min|each side|per side|per leg|"
    r"each leg|reps?)(?![a-z])"
)
_NUMBER = re.compile(rf"(?:{LOAD})|(?P<n>(?<!\w)x ?\d{{1,5}}|{NUMBER})")


def blot_brackets(masked: list[str], line: Span) -> Iterator[Span]:
    """Blot out what stands in brackets; a heading in brackets only loses the brackets."""
    at, end = line
    closing = _closings(masked, line)
    last_quote = "".join(masked[at:end]).rfind('")') + 1 + at
    while at < end:
        if masked[at] != "(":
            at += 1
            continue
        quoted = masked[at + 1 : at + 2] == ['"'] and last_quote > at + 2
        stop = last_quote if quoted else closing.get(at)
        if stop is None:
            masked[at] = " "
            at += 1
            continue
        if _HEADING.fullmatch("".join(masked[at + 1 : stop]).strip()):
            masked[at] = masked[stop] = ","
        else:
            masked[at : stop + 1] = [BRACKET] * (stop + 1 - at)
            yield at, stop + 1
        at = stop + 1


def _closings(masked: list[str], line: Span) -> dict[int, int]:
    """Give for each bracket that is closed on its line the place where it is."""
    closings: dict[int, int] = {}
    waiting: list[int] = []
    for at in range(*line):
        if masked[at] == "(":
            waiting.append(at)
        elif masked[at] == ")" and waiting:
            closings[waiting.pop()] = at
    return closings


def chunks_of(masked: list[str], line: Span, *, division: bool) -> Iterator[Span]:
    """Cut a line into the pieces that hold one movement, or less, each.

    Args:
        masked: The characters of the sheet.
        line: Its place there.
        division: It is one division's own line; "x -> y" replaces there.
    """
    start, end = line
    text = "".join(masked[start:end])
    at = 0
    for found in _SEPARATOR.finditer(text):
        if division and "->" in found[0]:
            continue
        yield from _parted(masked, (start + at, start + found.start()))
        at = found.end()
    yield from _parted(masked, (start + at, end))


def _parted(masked: list[str], chunk: Span) -> Iterator[Span]:
    """Part "10 push-ups 20 squats" and "push-ups 10 squats 20", where nothing stands between."""
    start, end = chunk
    text = "".join(masked[start:end])
    names = [found.span() for found in _NAMES.finditer(text)]
    leads = bool(re.match(r" *[^\x00]{0,20}\d", text))
    at = 0
    for (_, stop), (following, _) in itertools.pairwise(names):
        between = text[stop:following]
        if re.search(r"[a-z]{2}", _UNITS.sub("", between)) or ">" in between:
            continue
        numbers = [found for found in _NUMBER.finditer(between) if found["n"]]
        cut = following
        if leads and numbers and not numbers[0]["n"].startswith("x"):
            cut = stop + numbers[0].start()
        elif numbers and len(numbers) > 1:
            cut = stop + numbers[-1].start()
        yield start + at, start + cut
        at = cut
    yield start + at, end
