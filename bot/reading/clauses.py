"""Cut tokens into clauses, each with one letter per token: what patterns are written for."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from bot.reading.kinds import Kind
from bot.reading.token import Token


class Clause(NamedTuple):
    """Tokens between two full stops, with one letter each in `code`."""

    tokens: Sequence[Token]
    code: str


_OPEN = re.compile("(?:NF?R|R[fd]?:?N|f[Ro]{0,2}N[c']?|fRN|fOR|[io%](?:N[c']?|RN|OR?W?|R))$")
_AHEAD, _BEHIND = 6, 5  # tokens
_SOME_OF_IT = re.compile("[.]+[dfa]?NoN")  # "the bell in the sit-ups... 22 of the 30"
_REST = re.compile(
    "[.]+(?:[+]|P[W@]{0,2}:?N|[io]{1,2}(?:N[c']?|RN|OR?)[:,]|[dfWa]{0,3}(?:J|N[oi]{0,2})M)"
)


def _goes_on(before: Sequence[Token], after: Sequence[Token]) -> bool:
    """Say whether a score goes on behind a full stop or on the next line."""
    code = "".join(token.kind for token in before[-_BEHIND:])
    rest = "".join(token.kind for token in after)
    if code.endswith("M") and _SOME_OF_IT.match(rest):
        return True
    return bool(_OPEN.search(code) and _REST.match(rest))


def clauses(tokens: Sequence[Token]) -> list[Clause]:
    """Cut tokens into clauses; the question mark stays with its clause."""
    found: list[Clause] = []
    current: list[Token] = []
    for place, cut in enumerate(tokens):
        on = cut.kind is Kind.STOP and _goes_on(current, tokens[place : place + _AHEAD])
        token = cut._replace(kind=Kind.COMMA) if on else cut
        if token.kind is not Kind.STOP:
            current.append(token)
        if token.kind in {Kind.STOP, Kind.QUESTION_MARK} and current:
            found.append(Clause(current, "".join(t.kind for t in current)))
            current = []
    if current:
        found.append(Clause(current, "".join(t.kind for t in current)))
    return [part for clause in found for part in _parted(clause)]


_QUESTION_BEHIND = re.compile(",Q[^,]*[?]$")  # "3 rounds and 12 reps, is that bad?"


def _parted(clause: Clause) -> Iterator[Clause]:
    """Part a question from what is told in front of it; drop question words that ask nothing."""
    if (behind := _QUESTION_BEHIND.search(clause.code)) is not None and behind.start():
        for tokens in (clause.tokens[: behind.start()], clause.tokens[behind.start() + 1 :]):
            yield from _parted(Clause(tokens, "".join(t.kind for t in tokens)))
        return
    kept = [
        token
        for place, token in enumerate(clause.tokens)
        if token.kind is not Kind.ASKING or place == 0 or clause.code[place - 1] in ",Q"
    ]
    yield Clause(kept, "".join(t.kind for t in kept))
