"""What the review found: one frozen value for each thing, ready to be read aloud."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How much a finding matters; from most to least."""

    MUST_FIX = "must fix"
    LOOK_AT = "look at"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing an experienced coach would point at.

    Args:
        id: What it is about, in a few words that stay the same.
        day: From 1; None for the challenge or a whole week.
        divisions: Ids; none of them means all.
        numbers: What it rests on, with the unit in each name.
    """

    id: str
    severity: Severity
    sentence: str
    suggestion: str
    day: int | None = None
    divisions: tuple[str, ...] = ()
    numbers: Mapping[str, float | str] | None = None


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Sort findings: the gravest first, then those of single days, day by day."""
    severities = list(Severity)
    return tuple(
        sorted(findings, key=lambda found: (severities.index(found.severity), found.day or 1000))
    )


def listed(words: Sequence[str]) -> str:
    """Join words for a sentence: "a", "a and b", "a, b and c"."""
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)
