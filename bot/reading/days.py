"""Cut a message that tells of several days into the part of each."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from bot.reading.kinds import Kind
from bot.reading.normalise import Plain
from bot.reading.token import Token

_DAYS = {Kind.DAY, Kind.TODAY, Kind.WEEKDAY}
_ENDS = {Kind.STOP, Kind.COMMA}
_CUTS = {*_ENDS, Kind.AND, Kind.PLUS}
_COUNTS = {Kind.NUMBER, Kind.FRACTION, Kind.CLOCK}


def by_day(tokens: Sequence[Token]) -> list[Sequence[Token]]:
    """Give the parts of a message, one for each day it names; one part when it names fewer.

    The day stands in front of its score ("day 3: 56 kg, day 4: 38") or behind it ("10:31
    yesterday, 17 today"); whichever the first one does, the others do.
    """
    places = [place for place, token in enumerate(tokens) if token.kind in _DAYS]
    days = {(tokens[p].kind, tokens[p].value) for p in places}
    if len(days) == 1 and tokens[places[0]].kind is not Kind.TODAY:
        return _today_and(tokens, places[0])
    if len(days) < 2:  # noqa: PLR2004 - two days
        return [tokens]
    leads = not any(token.kind in _COUNTS for token in tokens[: places[0]])
    cuts = [0]
    for before, place in pairwise(places):
        span = range(place, before, -1) if leads else range(before + 1, place)
        cuts.append(_cut_in(tokens, span, otherwise=place if leads else 0))
    parts = [tokens[start:end] for start, end in zip(cuts, [*cuts[1:], len(tokens)], strict=True)]
    return parts if all(parts) else [tokens]


def _cut_in(tokens: Sequence[Token], span: range, *, otherwise: int) -> int:
    """Find where a part ends: at a comma rather than at the plus of "3 rounds + 45 today"."""
    for cuts in (_ENDS, _CUTS):
        if (found := next((at for at in span if tokens[at].kind in cuts), None)) is not None:
            return found
    return otherwise


def _today_and(tokens: Sequence[Token], place: int) -> list[Sequence[Token]]:
    """Part what is told of one other day from what may be told of today, before or after it."""
    before = next((at for at in range(place, 0, -1) if tokens[at].kind in _CUTS), 0)
    after = next((at for at in range(place, len(tokens)) if tokens[at].kind in _CUTS), 0)
    cut = before if any(t.kind in _COUNTS for t in tokens[place:]) else after
    return [tokens[:cut], tokens[cut:]] if cut and cut + 1 < len(tokens) else [tokens]


def is_in_passing(tokens: Sequence[Token], place: int, plain: Plain) -> bool:
    """Say whether a day behind the score is spoken of: "..., yesterday was worse".

    "3 + 45, yesterday" and "3 + 45, making up day 1" tell the day of the score.
    """
    start = next((at + 1 for at in range(place - 1, -1, -1) if tokens[at].kind in _ENDS), 0)
    end = next((at for at in range(place, len(tokens)) if tokens[at].kind in _ENDS), len(tokens))
    kinds = {token.kind for token in tokens[start:end]}
    if not any(token.kind in _COUNTS for token in tokens[:start]) or kinds & _COUNTS:
        return False
    after = tokens[place + 1].kind if place + 1 < end else None
    before = tokens[place - 1].kind if place > start else None
    owns = plain.text[tokens[place].start : tokens[place].end].endswith("'s")
    return (place == start and after is Kind.WORD and not owns) or (
        before is Kind.AT and Kind.WORD in kinds
    )
