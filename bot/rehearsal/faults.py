"""Failures on demand: what the next calls of a method come to instead of an answer."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any


class FaultKind(StrEnum):
    """How a call goes wrong."""

    REFUSED = "refused"  # an error in the platform's form
    GARBLED = "garbled"  # status 200, but no JSON
    DROPPED = "dropped"  # the connection breaks before the answer is through


@dataclass(frozen=True, slots=True)
class Fault:
    """One call's failure.

    `carried_out` tells whether the platform did what was asked all the same: the case in which
    the bot cannot know.
    """

    kind: FaultKind
    status: int = 200
    description: str = ""
    parameters: Mapping[str, Any] = field(default_factory=dict)
    carried_out: bool = False


class Faults:
    """Failures that wait for their call, first planned first used."""

    def __init__(self) -> None:
        self._planned: defaultdict[str, deque[Fault]] = defaultdict(deque)

    def plan(self, method: str, fault: Fault, *, times: int) -> None:
        """Let the next `times` calls of a method fail so. Letter case of the name is ignored."""
        self._planned[method.lower()].extend([fault] * times)

    def take(self, method: str) -> Fault | None:
        """Give the failure of this call and count it used; None when the call may succeed."""
        waiting = self._planned[method.lower()]
        return waiting.popleft() if waiting else None
