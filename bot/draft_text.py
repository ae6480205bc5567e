"""What is said about a draft: what is there, what is missing, what was understood of a day."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from markupsafe import Markup

from bot.day_text import workout_text
from bot.draft_values import Draft, DraftDay
from bot.drafting import next_step
from bot.plan_words import BadWords
from bot.wording import Wording, lines
from bot.written import OneDay
from content.challenge import RestDay, WorkoutDay
from content.errors import ContentInvalid, FileRefused
from content.loading import assemble
from content.movement import Movement
from content.shorthand.values import Doubt, Jotted, Mistake
from content.timing import warm_up_s
from content.units import clock_text

_MOST_REMARKS = 12  # the rest comes once these are put right
_MOST_LINES = 40  # of an overview: it has to fit into one message


def tell_draft(say: Wording, draft: Draft) -> Markup:
    """Show the whole draft in short, and the next step."""
    times = draft.times
    off, at_close = say("plan_times_off"), say("plan_times_at_close")
    heading = say("write_heading", title=draft.title or say("write_untitled"))
    head = say(
        "write_head",
        zone=draft.time_zone or say("write_no_zone"),
        post=times.post,
        close=times.close,
        reminder=times.reminder or off,
        standings=times.standings or at_close,
        divisions=", ".join(division.name for division in draft.divisions),
    )
    days = [_day_line(say, number, each) for number, each in enumerate(draft.days, start=1)]
    more = len(days) - _MOST_LINES
    later = [say("write_more_days", count=more)] if more > 0 else []
    return lines([heading, head, "", *days[:_MOST_LINES], *later, "", tell_next(say, draft)])


def _day_line(say: Wording, number: int, each: DraftDay) -> Markup:
    if each.day is None:
        return say("write_day_none" if each.is_blank else "write_day_wrong", day=number)
    key = "write_day_rest" if isinstance(each.day, RestDay) else "write_day_there"
    line = say(key, day=number, title=each.day.title)
    return line + say("write_day_unsure") if each.is_unsure else line


def tell_next(say: Wording, draft: Draft) -> Markup:
    """Say what comes next."""
    following = next_step(draft)
    return say(f"write_next_{following.step}", day=following.day)


def one_day(say: Wording, draft: Draft, number: int, day: WorkoutDay | RestDay) -> OneDay:
    """Give a day of a draft as the texts of a day need it.

    Raises:
        ContentInvalid: The day names a movement or division that the draft does not have.
    """
    content = assemble(draft.head, [day], draft.library, first=number)
    return OneDay(content, say, number, draft.days)


def tell_day(page: OneDay, jotted: Jotted | None = None) -> Markup:
    """Read a day back in short, as the group would see it, with what was assumed."""
    say, number = page.say, page.number
    day = page.written[number]
    heading = say("day_heading", number=number, days=len(page.days), title=day.title)
    if isinstance(day, RestDay):
        parts: list[Markup | str] = [lines([heading, day.message])]
    else:
        parts = [lines([heading, day.message]), _warm_up(page, day)]
        parts.append(_workout(page, day, is_said=jotted is not None))
    if jotted is not None and jotted.assumed:
        assumed = [say("write_assumed"), *(f"• {sentence}" for sentence in jotted.assumed)]
        parts.append(lines(assumed))
    return Markup("\n\n").join(parts)


def _warm_up(page: OneDay, day: WorkoutDay) -> Markup:
    said = day.warm_up
    length = warm_up_s(len(said.movements), work_s=said.work_s, move_on_s=said.move_on_s)
    names = ", ".join(page.content.movements[name].plural for name in said.movements)
    return page.say("write_warm_up", clock=clock_text(length), names=names)


def _workout(page: OneDay, day: WorkoutDay, *, is_said: bool) -> Markup:
    """Show each ladder once, with the divisions that do the same named behind it.

    `is_said`: what was assumed, which stands below, says that already.
    """
    shown: list[str] = []
    same: list[Markup] = []
    ladders = day.workout.divisions
    for division, ladder in ladders.items():
        twin = next((each for each in shown if ladders[each] == ladder), None)
        if twin is None:
            shown.append(division)
        else:
            names = {
                "division": page.division_name(division),
                "other": page.division_name(twin),
            }
            same.append(page.say("write_same", **names))
    text = workout_text(page, page.number, day, shown)
    return text if is_said else lines([text, *same])


def tell_remarks(say: Wording, text: str, jotted: Jotted) -> Markup:
    """Say what is wrong or not sure in a text, each with its line shown and the place in it."""
    both: list[Doubt | Mistake] = [*jotted.problems, *jotted.doubts]
    both.sort(key=lambda each: (each.place.line, each.place.column))
    told = [_remark(say, text, each) for each in both[:_MOST_REMARKS]]
    if len(both) > _MOST_REMARKS:
        told.append(say("write_more_remarks", count=len(both) - _MOST_REMARKS))
    return Markup("\n").join(told)


def _remark(say: Wording, text: str, remark: Doubt | Mistake) -> Markup:
    """Quote the line with the place in bold, and say what is the matter there."""
    place = remark.place
    written = text.splitlines()
    line = written[place.line - 1] if place.line <= len(written) else ""
    start = place.column - 1
    end = start + len(place.slice)
    first = max(0, start - 40)  # a long line is shown around the place
    quote = say(
        "write_quote",
        line=place.line,
        before=("…" if first else "") + line[first:start],
        place=line[start:end],
        behind=line[end : end + 40] + ("…" if len(line) > end + 40 else ""),
    )
    return lines([quote, say("write_remark", what=_capital(_what(remark)))])


def _what(remark: Doubt | Mistake) -> str:
    if isinstance(remark, Mistake):
        return remark.message
    # What can be pressed need not be said: the hint how to write a definition is a button here.
    question = remark.question.partition(" Or a movement of your own:")[0]
    return question.partition(" If it is a movement of your own:")[0]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def tell_bad_draft_words(say: Wording, bad: BadWords) -> Markup:
    """Say what is wrong with the words behind /write, with examples."""
    key = bad.key if bad.key in {"count", "number", "date", "time"} else "words"
    got = say("plan_bad_got", text=bad.text[:80]) if bad.text else ""
    return say(f"write_bad_{key}", text=bad.text[:80], got=got)


def tell_invalid(say: Wording, error: ContentInvalid) -> Markup:
    """Say what is wrong with files, each with its line and field."""
    told = [
        say(
            "file_problem",
            file=found.file.name,
            line=say("file_problem_line", line=found.line) if found.line else "",
            field=f"{found.field}: " if found.field else "",
            message=found.message,
        )
        for found in error.problems[:_MOST_REMARKS]
    ]
    more = len(error.problems) - _MOST_REMARKS
    rest = [say("write_more_remarks", count=more)] if more > 0 else []
    return lines([say("file_invalid"), *told, *rest])


def tell_unfit(say: Wording, error: FileRefused) -> Markup:
    """Say why a file was not opened."""
    return say(f"file_no_{error.why}", name=error.name[:80], most=error.most)


def named(movements: Mapping[str, Movement], ids: Sequence[str]) -> list[tuple[str, str]]:
    """Give ids of movements with their names, as many as there are."""
    return [(each, movements[each].name) for each in ids if each in movements]
