"""A challenge as written: its head, its days, and the movements they use."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated, Literal, Self
from zoneinfo import ZoneInfo

from pydantic import Field, field_validator, model_validator

from content.errors import UnknownDivision
from content.fields import Duration, Line, LocalTime, Slug, Strict, Text, ZoneName
from content.movement import Movement
from content.workout import Workout

MOST_DAYS = 60


class WarmUp(Strict):
    """Timed movements before the workout."""

    work_s: Duration = Field(alias="work")
    move_on_s: Duration = Field(alias="move_on")
    movements: tuple[Slug, ...] = Field(min_length=1)


class RestDay(Strict):
    """A day without a workout."""

    kind: Literal["rest"]
    title: Line
    message: Text
    cautions: tuple[Line, ...] = ()


class WorkoutDay(Strict):
    """A day with a warm-up and a workout."""

    kind: Literal["workout"]
    title: Line
    message: Text | None = None
    warm_up: WarmUp
    workout: Workout
    # How hard the workout is meant to be, to 10; where it is left out the review assumes one.
    effort: int | None = Field(default=None, ge=1, le=10)
    cautions: tuple[Line, ...] = Field(min_length=1)


Day = Annotated[WorkoutDay | RestDay, Field(discriminator="kind")]


class Division(Strict):
    """A way to do every day of the challenge that is ranked by itself."""

    id: Slug
    name: Line
    summary: Line
    nicknames: tuple[Line, ...] = ()


def named_by_id(ids: Iterable[str]) -> tuple[Division, ...]:
    """Give divisions of which only the ids are known; those are their names."""
    return tuple(
        Division(id=name, name=name.replace("-", " ").capitalize(), summary=name) for name in ids
    )


class Times(Strict):
    """Wall-clock times in the challenge's zone.

    `close` is the first such time after the day's post: with post 06:00, a close of 05:45 falls
    on the next morning, one of 21:30 on the same evening. `reminder` lies between the two.
    `standings` is the first such time at the close or after it.
    """

    post: LocalTime = "06:00"
    close: LocalTime = "05:45"
    reminder: LocalTime | None = None  # none is sent
    standings: LocalTime | None = None  # at the close

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.post == self.close:
            raise ValueError(f"`close` must differ from `post`, both are {self.post}")
        if self.reminder is not None and not self.is_open_at(self.reminder):
            raise ValueError(
                f"`reminder` must lie between `post` {self.post} and `close` {self.close}, "
                f"not at {self.reminder}"
            )
        return self

    def is_open_at(self, local_time: str) -> bool:
        """Say whether a time of day lies after the post and before the close."""
        if self.post < self.close:
            return self.post < local_time < self.close
        return local_time > self.post or local_time < self.close


class Head(Strict):
    """What `challenge.yaml` says: everything but the days."""

    title: Line
    time_zone: ZoneName
    language: Literal["en"] = "en"
    divisions: tuple[Division, ...] = Field(min_length=1, max_length=8)
    times: Times = Times()
    make_up_days: int = Field(default=1, ge=0, le=31)
    discards: int = Field(default=0, ge=0, le=5)
    cautions: tuple[Line, ...] = Field(min_length=1)
    # How much is said in the group when a score is recorded: in full, in one line, or nothing but
    # a reaction on the message. In private it is always in full.
    read_back: Literal["full", "short", "reaction"] = "full"
    # What becomes of the results of somebody who has all their data deleted: they stay as nobody's
    # and no place changes, or they go and the places behind them close up.
    leaving: Literal["keep_place", "remove"] = "keep_place"

    @field_validator("divisions")
    @classmethod
    def _told_apart(cls, divisions: tuple[Division, ...]) -> tuple[Division, ...]:
        for names in (
            [division.id for division in divisions],
            [division.name.casefold() for division in divisions],
        ):
            twice = next((name for name in names if names.count(name) > 1), None)
            if twice is not None:
                raise ValueError(
                    f"each division needs its own id and name, {twice!r} is there twice"
                )
        return divisions

    @property
    def zone(self) -> ZoneInfo:
        """The zone as an object."""
        return ZoneInfo(self.time_zone)


class Challenge(Strict):
    """A challenge, complete: head, days in order, and the movements its days use."""

    head: Head
    days: tuple[Day, ...] = Field(min_length=1, max_length=MOST_DAYS)
    movements: dict[Slug, Movement]

    def division(self, division_id: str) -> Division:
        """Give a division by id.

        Raises:
            UnknownDivision: There is none of that id.
        """
        for division in self.head.divisions:
            if division.id == division_id:
                return division
        known = [division.id for division in self.head.divisions]
        raise UnknownDivision(division=division_id, known=known)
