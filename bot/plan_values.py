"""A challenge's plan as the rules see it, the changes it can undergo, why one can be refused."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum

from content.challenge import Challenge as Content
from store.values import Day


@dataclass(frozen=True, slots=True)
class Plan:
    """A challenge as planned.

    `begun` are the days whose post is being sent, was sent or may have been: they are out even if
    the clock that we compare with stands a moment before. `given_up` are those whose post was
    refused or came too late.
    """

    content: Content
    days: tuple[Day, ...]
    paused_at: datetime | None = None
    begun: frozenset[int] = frozenset()
    given_up: frozenset[int] = frozenset()

    def is_out(self, day: Day, now: datetime) -> bool:
        """Say whether a day can be changed no more."""
        return day.number in self.begun or day.has_opened(now)

    def ahead(self, now: datetime) -> tuple[Day, ...]:
        """Give the days that are not out, skipped ones too."""
        return tuple(
            day for day in self.days if not self.is_out(day, now) and not is_over(day, now)
        )

    def coming(self, now: datetime) -> tuple[Day, ...]:
        """Give the days that are not out and will be."""
        return tuple(day for day in self.ahead(now) if not day.is_skipped)


@dataclass(frozen=True, slots=True)
class Move:
    """A day and all later ones shift so that it falls on a date."""

    number: int
    to: date


@dataclass(frozen=True, slots=True)
class Skip:
    """A day is called off."""

    number: int


@dataclass(frozen=True, slots=True)
class Unskip:
    """A day that was called off takes place after all."""

    number: int


@dataclass(frozen=True, slots=True)
class Swap:
    """What was written for one day is done on the other."""

    one: int
    other: int


@dataclass(frozen=True, slots=True)
class SetTime:
    """A time of day changes: of "post", "reminder", "close" or "standings".

    None: no reminder; standings at the close.
    """

    which: str
    local_time: str | None


@dataclass(frozen=True, slots=True)
class SetZone:
    """The times are of another zone from now on; the dates stay."""

    name: str


@dataclass(frozen=True, slots=True)
class Pause:
    """Nothing is posted and no day opens until the challenge goes on."""


@dataclass(frozen=True, slots=True)
class Resume:
    """The challenge goes on: with its next day on a date, or as soon as it can."""

    on: date | None = None


@dataclass(frozen=True, slots=True)
class PostNow:
    """The next day comes out at once; it still closes when it would have.

    So does an open day whose post was given up.
    """

    number: int


@dataclass(frozen=True, slots=True)
class WriteAnew:
    """A day is done in another way; `content` is the challenge with that day in its place."""

    number: int
    content: Content


Change = Move | Skip | Unskip | Swap | SetTime | SetZone | Pause | Resume | PostNow | WriteAnew


class Why(StrEnum):
    """Why a change makes no sense. Each has a text "plan_no_..."."""

    NO_SUCH_DAY = "such_day"
    OUT = "out"
    OVER = "over"
    PAST = "past"
    FAR = "far"
    SAME_DATE = "same_date"
    BEFORE_OTHER = "before_other"
    SKIPPED = "skipped"
    SKIPPED_ALREADY = "skipped_already"
    NOT_SKIPPED = "not_skipped"
    DATE_TAKEN = "date_taken"
    SAME_DAY = "same_day"
    SAME_TIME = "same_time"
    CLOSE_IS_POST = "close_is_post"
    REMINDER = "reminder"
    TIME_PAST = "time_past"
    SAME_ZONE = "same_zone"
    PAUSED = "paused"
    PAUSED_ALREADY = "paused_already"
    NOT_PAUSED = "not_paused"
    NEXT_FIRST = "next_first"
    SAME_WRITTEN = "same_written"
    OUT_KIND = "out_kind"


@dataclass(frozen=True)
class Refusal:
    """A change that makes no sense, and the values that say why."""

    why: Why
    values: Mapping[str, object] = field(default_factory=dict)


def is_over(day: Day, now: datetime) -> bool:
    """Say whether a skipped day's time has come and gone; a held day's has not."""
    return day.is_skipped and not day.is_held and day.opens_at <= now
