"""Read back what was recorded, with the buttons that take it out again."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from bot.calls import Button, Rows
from bot.handlers.presses import data
from bot.running import Running, stored_score
from bot.score_text import place_text, score_text
from content.units import load_text
from store.values import Day, Participant, Recorded, Result, ResultState


def read_back(
    running: Running, person: Participant, recorded: Recorded, *, in_group: bool
) -> Markup:
    """Write a recorded result in the ladder's own terms, and what is to be known about it.

    In a group whose organiser wants little said, all of it is one line, without the place.
    """
    say, result, before = running.say, recorded.result, recorded.replaced
    is_brief = in_group and is_quiet(running)
    text = [line(running, person.name, result, with_place=not is_brief)]
    if (
        before is not None
        and before.result != result.result
        and before.state is ResultState.COUNTED
    ):
        text.append(say("recorded_replaced", before=score_text(stored_score(before.result))))
    if result.effort is not None and not is_brief:
        text.append(say("recorded_effort", effort=result.effort))
    if result.load_g is not None and not is_brief:
        text.append(say("recorded_load", load=load_text(result.load_g)))
    if result.state is ResultState.LATE:
        text.append(say("recorded_late", day=result.day_number))
    elif result.division != person.division and not is_brief:
        division = running.division_name(result.division)
        text.append(say("recorded_other_division", division=division))
    return Markup(" ").join(text) if is_brief else Markup("\n").join(text)


def is_quiet(running: Running) -> bool:
    """Say whether the organiser wants little said in the group."""
    return running.content.head.read_back != "full"


def line(running: Running, name: str, result: Result, *, with_place: bool = True) -> Markup:
    """Write a result in one line: whose, which day and division, the score, its place."""
    say, score = running.say, stored_score(result.result)
    task = running.task(result.day_number, result.division)
    place = place_text(score, task) if task is not None and with_place else ""
    return say(
        "recorded",
        name=name,
        day=result.day_number,
        division=running.division_name(result.division),
        score=score_text(score),
        place=say("recorded_place", place=place) if place else "",
    )


def take_out_buttons(
    running: Running, person: Participant, days: Sequence[Day], message_id: int
) -> Rows:
    """Give the buttons that withdraw the scores of a message; they belong to its person."""
    stored, say = running.stored, running.say
    rows = []
    for day in days:
        key = (stored.chat_id, stored.challenge_id, day.number, person.user_id, message_id)
        label = (
            say("button_take_out")
            if len(days) == 1
            else say("button_take_out_day", day=day.number)
        )
        rows.append((Button(str(label), data("w", *key)),))
    return tuple(rows)
