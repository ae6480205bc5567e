"""What an organiser has on the desk: a draft of a challenge, a day to be changed, what is asked.

All of it is JSON in one row of the store, keyed by the person's private chat.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Literal

from pydantic import Field

from content.challenge import MOST_DAYS, Division, Head, RestDay, Times, WorkoutDay
from content.fields import Line, Strict, ZoneName
from content.loading import movement_library
from content.movement import Movement, Pattern
from content.shorthand.jotting import MOST_CHARACTERS

WAIT = timedelta(hours=1)  # so long the next message is taken for what was asked
CHANGE = 0  # stands for the running challenge's day where else a number of the draft's days does

USUAL_DIVISIONS = (
    Division(
        id="full",
        name="Full",
        summary="The day as written; a dumbbell or kettlebell, or a loaded backpack.",
        nicknames=("rx", "as written", "full version", "prescribed"),
    ),
    Division(
        id="lighter",
        name="Lighter",
        summary="Fewer or gentler repetitions and a light weight.",
        nicknames=("scaled", "lite", "light version", "lighter version", "easy version"),
    ),
    Division(
        id="bodyweight",
        name="Bodyweight",
        summary="No kit at all, anywhere.",
        nicknames=("no kit", "body weight", "bw", "bodyweight version", "no equipment"),
    ),
)
USUAL_CAUTIONS = (
    (
        "Stop at once if you feel chest pain, dizziness or unusual breathlessness, "
        "and get medical help."
    ),
    (
        "New, pregnant, back from illness, or living with a heart, joint or other condition? "
        "Ask a doctor first, and choose the easier option."
    ),
    "This is a community challenge, not medical advice. Your own pace is the right pace.",
)
USUAL_DAYS = 7


class Awaited(StrEnum):
    """What the next message in private is taken for."""

    TITLE = "title"
    ZONE = "zone"
    DAY = "day"
    OPTION = "option"  # the easier way of a new movement
    STANDARD = "standard"  # what makes its repetition count


class Waits(Strict):
    """Something was asked; `day` as in `Desk.text_of`."""

    what: Awaited
    since: datetime
    day: int = 0


class DraftDay(Strict):
    """One day as it was last sent.

    `text` stays whatever is wrong with it; `day` is there when nothing is. A day that came as a
    file and cannot be said in shorthand has no text.
    """

    text: str = Field(default="", max_length=MOST_CHARACTERS + 1)
    day: WorkoutDay | RestDay | None = None
    is_unsure: bool = False  # the day was made with the likeliest of several movements
    message_id: int | None = None  # of the message it came in; to be found by when that is edited

    @property
    def is_blank(self) -> bool:
        """Whether nothing was sent for it."""
        return not self.text and self.day is None


class Draft(Strict):
    """A challenge on its way."""

    title: Line | None = None
    time_zone: ZoneName | None = None
    divisions: tuple[Division, ...] = Field(default=USUAL_DIVISIONS, min_length=1, max_length=8)
    times: Times = Times()
    make_up_days: int = Field(default=1, ge=0, le=31)
    discards: int = Field(default=1, ge=0, le=5)
    read_back: Literal["full", "short", "reaction"] = "full"
    cautions: tuple[Line, ...] = Field(default=USUAL_CAUTIONS, min_length=1)
    days: tuple[DraftDay, ...] = Field(
        default=(DraftDay(),) * USUAL_DAYS, min_length=1, max_length=MOST_DAYS
    )
    movements: tuple[Movement, ...] = ()  # of its own

    @property
    def head(self) -> Head:
        """Everything but the days; title and zone may stand for what is not said yet."""
        return Head(
            title=self.title or "Untitled",
            time_zone=self.time_zone or "UTC",
            divisions=self.divisions,
            times=self.times,
            make_up_days=self.make_up_days,
            discards=self.discards,
            cautions=self.cautions,
            read_back=self.read_back,
        )

    @property
    def library(self) -> Mapping[str, Movement]:
        """The movements there are: those that come with Rungbell, and its own."""
        return {**movement_library(), **{each.id: each for each in self.movements}}


class DayChange(Strict):
    """A day of a running challenge that is being written anew.

    `chat_id` is None as long as the person has not said which of several groups is meant.
    """

    chat_id: int | None = None
    challenge_id: int = 0
    number: int
    text: str = Field(default="", max_length=MOST_CHARACTERS + 1)
    day: WorkoutDay | RestDay | None = None
    movements: tuple[Movement, ...] = ()  # new ones
    message_id: int | None = None  # as in `DraftDay`


class NewMovement(Strict):
    """A movement that is being defined because a day's text uses it."""

    day: int  # as in `Desk.text_of`
    word: Line
    pattern: Pattern | None = None
    option: Line | None = None


class Desk(Strict):
    """All that one person is writing."""

    draft: Draft | None = None
    change: DayChange | None = None
    waits: Waits | None = None
    new: NewMovement | None = None

    def awaited(self, now: datetime) -> Waits | None:
        """Give what the next message is taken for."""
        return self.waits if self.waits and now - self.waits.since <= WAIT else None

    def day_of_message(self, message_id: int) -> int | None:
        """Give the day, as in `text_of`, whose text a message holds."""
        if self.change is not None and self.change.message_id == message_id:
            return CHANGE
        days = self.draft.days if self.draft is not None else ()
        numbered = enumerate(days, start=1)
        return next((n for n, day in numbered if day.message_id == message_id), None)

    def text_of(self, number: int) -> str | None:
        """Give the text of a day of the draft, or with CHANGE of the day to be changed."""
        if number == CHANGE:
            return self.change.text if self.change is not None else None
        if self.draft is None or not 1 <= number <= len(self.draft.days):
            return None
        return self.draft.days[number - 1].text
