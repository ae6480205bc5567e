"""How a draft changes: values in, values out. A text with mistakes is kept like any other."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from pydantic import ValidationError

from bot.draft_values import USUAL_DIVISIONS, Draft, DraftDay
from content.challenge import Challenge, Division, RestDay, Times, WorkoutDay
from content.errors import ContentInvalid
from content.loading import assemble
from content.movement import Movement
from content.shorthand.jotting import MOST_CHARACTERS, jot
from content.shorthand.values import Jotted
from content.shorthand.writing import NotInShorthand, shorthand_of

_LONGEST_ID = 40
_DEFINITION = re.compile(
    r"^\W{0,8}movement\s{0,4}[:=]([^;\n\r]{1,200})", re.IGNORECASE | re.MULTILINE
)


class Step(StrEnum):
    """What has to come next. Each has a text "write_next_..."."""

    TITLE = "title"
    ZONE = "zone"
    DAY = "day"  # nothing there yet
    MEND = "mend"  # there, but it cannot stand so
    ANSWER = "answer"  # made with the likeliest of several movements
    READY = "ready"


@dataclass(frozen=True, slots=True)
class Next:
    """The next step; `day` where it is about one."""

    step: Step
    day: int = 0


def next_step(draft: Draft) -> Next:
    """Say what has to come next; a day that is only unsure comes after all that is missing."""
    if draft.title is None:
        return Next(Step.TITLE)
    if draft.time_zone is None:
        return Next(Step.ZONE)
    numbered = list(enumerate(draft.days, start=1))
    for number, each in numbered:
        if each.is_blank or each.day is None:
            return Next(Step.DAY if each.is_blank else Step.MEND, number)
    for number, each in numbered:
        if each.is_unsure:
            return Next(Step.ANSWER, number)
    return Next(Step.READY)


def is_complete(draft: Draft) -> bool:
    """Say whether a draft can be reviewed and begun."""
    return next_step(draft).step in {Step.READY, Step.ANSWER}


def challenge_of(draft: Draft) -> Challenge | None:
    """Make the challenge of a draft; None while something is missing or does not fit."""
    if not is_complete(draft):
        return None
    try:
        return assemble(
            draft.head,
            [each.day for each in draft.days if each.day is not None],
            draft.library,
        )
    except ContentInvalid:
        return None


def draft_of(content: Challenge, own: Sequence[Movement]) -> Draft:
    """Make a draft of a challenge that came as files."""
    head = content.head
    empty = Draft(
        title=head.title,
        time_zone=head.time_zone,
        divisions=head.divisions,
        times=head.times,
        make_up_days=head.make_up_days,
        discards=head.discards,
        read_back=head.read_back,
        cautions=head.cautions,
        days=(DraftDay(),) * len(content.days),
        movements=tuple(own),
    )
    days = tuple(_from_file(empty, day) for day in content.days)
    return empty.model_copy(update={"days": days})


def _from_file(draft: Draft, day: WorkoutDay | RestDay) -> DraftDay:
    try:
        text = shorthand_of(day, library=draft.library, divisions=draft.divisions)
    except NotInShorthand:
        text = ""
    return DraftDay(text=text, day=day)


def jot_day(
    draft: Draft, number: int, text: str, *, message_id: int | None = None
) -> tuple[Draft, Jotted]:
    """Put a jotted text in the place of a day, whatever is wrong with it.

    Args:
        draft: As it is.
        number: Of the day.
        text: As written.
        message_id: Of the message that holds it; without one, that of the text before stays.

    Returns:
        The draft with it, and what became of the text.
    """
    jotted = jot(text, library=library_for(draft, text), divisions=draft.divisions)
    entry = DraftDay(
        text=text[: MOST_CHARACTERS + 1],
        day=jotted.whole_day,
        is_unsure=jotted.whole_day is not None and bool(jotted.doubts),
        message_id=message_id or draft.days[number - 1].message_id,
    )
    new = {each.id for each in jotted.movements}
    kept = [each for each in draft.movements if each.id not in new]
    movements = (*kept, *jotted.movements)
    return _with_day(draft, number, entry).model_copy(update={"movements": movements}), jotted


def library_for(draft: Draft, text: str) -> dict[str, Movement]:
    """Give the movements a text is read with: all but those that it defines anew."""
    defined = {
        "-".join(re.findall(r"[a-z0-9]+", found[1].casefold()))[:_LONGEST_ID].strip("-")
        for found in _DEFINITION.finditer(text)
    }
    own = {each.id for each in draft.movements}
    return {key: each for key, each in draft.library.items() if key not in defined & own}


def put_day(draft: Draft, number: int, day: WorkoutDay | RestDay) -> Draft:
    """Put a day that came as a file in the place of another."""
    return _with_day(draft, number, _from_file(draft, day))


def clear_day(draft: Draft, number: int) -> Draft:
    """Take out what was written for a day."""
    return _with_day(draft, number, DraftDay())


def _with_day(draft: Draft, number: int, entry: DraftDay) -> Draft:
    days = list(draft.days)
    days[number - 1] = entry
    return draft.model_copy(update={"days": tuple(days)})


def with_count(draft: Draft, count: int) -> Draft | int:
    """Let a draft have so many days; the number of a written day that would go if there is one."""
    lost = [n for n in range(count + 1, len(draft.days) + 1) if not draft.days[n - 1].is_blank]
    if lost:
        return lost[0]
    days = (*draft.days[:count], *[DraftDay()] * (count - len(draft.days)))
    return draft.model_copy(update={"days": days})


def with_time(draft: Draft, which: str, local_time: str | None) -> Draft | str:
    """Set a time of day; gives what is wrong with it instead."""
    try:
        times = Times.model_validate(draft.times.model_dump() | {which: local_time})
    except ValidationError as error:
        return str(error.errors()[0]["msg"]).removeprefix("Value error, ")
    return draft.model_copy(update={"times": times})


def with_divisions(draft: Draft, divisions: Sequence[Division]) -> Draft:
    """Set the divisions, and read the text of every day anew against them."""
    changed = draft.model_copy(update={"divisions": tuple(divisions)})
    for number, each in enumerate(draft.days, start=1):
        if each.text:
            changed, _ = jot_day(changed, number, each.text)
        elif isinstance(each.day, WorkoutDay) and not _fits(each.day, divisions):
            changed = _with_day(changed, number, DraftDay())
    return changed


def lost_by(draft: Draft, divisions: Sequence[Division]) -> tuple[int, ...]:
    """Give the days that came as files and would not fit other divisions."""
    return tuple(
        number
        for number, each in enumerate(draft.days, start=1)
        if not each.text and isinstance(each.day, WorkoutDay) and not _fits(each.day, divisions)
    )


def _fits(day: WorkoutDay, divisions: Sequence[Division]) -> bool:
    return set(day.workout.divisions) == {division.id for division in divisions}


def read_divisions(text: str) -> tuple[Division, ...] | None:
    """Read divisions: names between commas, or a line for each, "Name: what it is".

    None when there are none, more than eight, or two alike. Usual names bring their usual words.
    """
    parts = text.splitlines() if "\n" in text or ":" in text else text.split(",")
    found = [_division(part) for part in parts if part.strip()]
    divisions = tuple(division for division in found if division is not None)
    if not divisions or len(divisions) < len(found):
        return None
    try:
        return Draft(divisions=divisions).head.divisions
    except ValidationError:
        return None


def _division(part: str) -> Division | None:
    name, _, summary = (piece.strip() for piece in part.partition(":"))
    usual = {each.name.casefold(): each for each in USUAL_DIVISIONS}.get(name.casefold())
    if usual is not None:
        return usual.model_copy(update={"summary": summary}) if summary else usual
    name_id = "-".join(re.findall(r"[a-z0-9]+", name.casefold()))[:_LONGEST_ID].strip("-")
    try:
        return Division(id=name_id, name=name, summary=summary or name)
    except ValidationError:
        return None
