"""Say what becomes of a plan: what will now happen, the line for its history, why it cannot be."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import assert_never
from zoneinfo import ZoneInfo

from markupsafe import Markup

from bot.day_changes import day_changes
from bot.plan_values import (
    Change,
    Move,
    Pause,
    Plan,
    PostNow,
    Refusal,
    Resume,
    SetTime,
    SetZone,
    Skip,
    Swap,
    Unskip,
    WriteAnew,
)
from bot.plan_words import BadWords
from bot.timetable import date_text, local_text
from bot.wording import Wording
from store.values import Day


@dataclass(frozen=True, slots=True)
class Told:
    """What is said about a change: to the organiser, and in the history."""

    now: Markup
    line: str


def tell_change(say: Wording, change: Change, old: Plan, new: Plan, now: datetime) -> Told:
    """Say in one short message what will happen after a change.

    Args:
        say: The challenge's texts.
        change: The change that was made.
        old: The plan before it.
        new: The plan after it; times are told in its zone.
        now: Aware, UTC.
    """
    teller = _Teller(say, old, new, now)
    match change:
        case Move(number=number):
            return teller.moved(number)
        case Skip(number=number) | Unskip(number=number) | PostNow(number=number):
            return teller.both(_OF_A_DAY[type(change)], **teller.of_day(number))
        case Swap(one=one, other=other):
            return teller.swapped(one, other)
        case SetTime(which=which):
            return teller.time_set(which)
        case SetZone():
            return teller.zone_set()
        case Pause():
            return teller.both("paused")
        case WriteAnew(number=number):
            return teller.written_anew(number)
        case Resume():
            return teller.resumed()
        case _:
            assert_never(change)


_OF_A_DAY = {Skip: "skipped", Unskip: "unskipped", PostNow: "now"}


def tell_refusal(say: Wording, refusal: Refusal, zone: ZoneInfo) -> Markup:
    """Say why a change makes no sense; dates and instants are shown as people read them."""
    return say(
        f"plan_no_{refusal.why}",
        **{name: _shown(value, zone) for name, value in refusal.values.items()},
    )


def tell_bad_words(say: Wording, bad: BadWords) -> Markup:
    """Say what is wrong with the words behind /plan, with examples."""
    got = say("plan_bad_got", text=bad.text) if bad.text else ""
    nearest = say("plan_bad_zone_nearest", names=", ".join(bad.nearest)) if bad.nearest else ""
    words = say("plan_words")
    return say(f"plan_bad_{bad.key}", text=bad.text, got=got, nearest=nearest, list=words)


def _shown(value: object, zone: ZoneInfo) -> object:
    match value:
        case datetime():
            return local_text(value, zone)
        case date():
            return f"{date_text(value)} {value.year}"  # a wrong year would not show otherwise
        case _:
            return value


class _Teller:
    def __init__(self, say: Wording, old: Plan, new: Plan, now: datetime) -> None:
        self.say = say
        self._old = old
        self._new = new
        self._now = now
        self._zone = new.content.head.zone

    def both(self, key: str, **values: object) -> Told:
        """Fill the text for the organiser and the one for the history."""
        line = self.say(f"plan_did_{key}", **values).striptags()
        return Told(self.say(f"plan_now_{key}", **values), line)

    def of_day(self, number: int) -> dict[str, object]:
        day = self._new.days[number - 1]
        return {
            "day": number,
            "title": self._title(number),
            "date": date_text(day.on_date),
            "when": self._when(day),
            "closes": local_text(day.closes_at, self._zone),
        }

    def moved(self, number: int) -> Told:
        was = self._old.days[number - 1]
        behind = [day for day in self._new.coming(self._now) if day.number > number]
        rest = Markup("")
        if behind:
            last, when = behind[-1].number, self._when(behind[-1])
            rest = self.say("plan_now_moved_rest", count=len(behind), last=last, when=when)
        was_when = local_text(was.opens_at, self._zone)
        return self.both("moved", **self.of_day(number), old=was_when, rest=rest)

    def swapped(self, one: int, other: int) -> Told:
        first, second = sorted((one, other))
        there = {f"other_{key}": value for key, value in self.of_day(second).items()}
        return self.both("swapped", **self.of_day(first), **there)

    def written_anew(self, number: int) -> Told:
        old, new = self._old.content, self._new.content
        what = day_changes(
            self.say,
            old.days[number - 1],
            new.days[number - 1],
            divisions=new.head.divisions,
            movements={**old.movements, **new.movements},
        )
        return self.both("written", **self.of_day(number), what=Markup("; ").join(what))

    def time_set(self, which: str) -> Told:
        old = getattr(self._old.content.head.times, which)
        new = getattr(self._new.content.head.times, which)
        key = f"time_{which}" if new is not None else f"time_{which}_off"
        coming = [day for day in self._new.coming(self._now) if not day.is_held]
        following = Markup("")
        if coming and which in {"post", "close"}:
            day = coming[0]
            when = self._when(day) if which == "post" else local_text(day.closes_at, self._zone)
            following = self.say(f"plan_now_next_{which}", day=day.number, when=when)
        none = self.say("plan_times_off" if which == "reminder" else "plan_times_at_close")
        return self.both(
            key,
            old=none if old is None else old,
            new=new,
            next=following,
            still=self._still(which),
        )

    def _still(self, which: str) -> Markup:
        """Say of the day that is out that its close stays."""
        is_open = [
            day
            for day in self._new.days
            if day.has_opened(self._now) and not day.has_closed(self._now)
        ]
        if which != "close" or not is_open:
            return Markup("")
        day = is_open[-1]
        closes = local_text(day.closes_at, self._zone)
        return self.say("plan_now_still_closes", day=day.number, closes=closes)

    def zone_set(self) -> Told:
        old, new = self._old.content.head, self._new.content.head
        coming = [day for day in self._new.coming(self._now) if not day.is_held]
        following = Markup("")
        if coming:
            day = coming[0]
            was = local_text(self._old.days[day.number - 1].opens_at, self._zone)
            following = self.say(
                "plan_now_next_zone", day=day.number, when=self._when(day), old=was
            )
        return self.both("zone", old=old.time_zone, new=new.time_zone, next=following)

    def resumed(self) -> Told:
        coming = self._new.coming(self._now)
        if not coming:
            return self.both("resumed_over")
        day = coming[0]
        was = self._old.days[day.number - 1]
        if was.opens_at == day.opens_at:
            return self.both("resumed", **self.of_day(day.number))
        old, last = local_text(was.opens_at, self._zone), self._when(coming[-1])
        return self.both("resumed_later", **self.of_day(day.number), old=old, last=last)

    def _when(self, day: Day) -> str:
        return local_text(day.opens_at, self._zone)

    def _title(self, number: int) -> str:
        return self._new.content.days[number - 1].title
