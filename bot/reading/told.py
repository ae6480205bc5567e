"""One stretch of a clause that a pattern fits, with its tokens at hand by group name."""

from __future__ import annotations

import re
from dataclasses import dataclass

from bot.reading.clauses import Clause
from bot.reading.token import Token


@dataclass(frozen=True, slots=True)
class Told:
    """A match of a pattern on a clause's code string."""

    clause: Clause
    match: re.Match[str]

    def has(self, group: str) -> bool:
        """Say whether the pattern has such a group and it is filled."""
        return bool(self.match.groupdict().get(group))

    def token(self, group: str) -> Token:
        """Give the token of a group."""
        return self.clause.tokens[self.match.start(group)]

    def tokens(self, group: str | int = 0) -> list[Token]:
        """Give all tokens of a group, or of the whole stretch."""
        return list(self.clause.tokens[self.match.start(group) : self.match.end(group)])

    def number(self, *groups: str) -> int:
        """Give the whole number of the first of the groups that is filled; 0 if it is none."""
        group = next(group for group in groups if self.has(group))
        value = self.token(group).value
        return value if isinstance(value, int) else 0
