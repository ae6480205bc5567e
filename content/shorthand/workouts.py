"""Put a workout together: what holds for all, every division's ladder, the clock."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from pydantic import ValidationError

from content.challenge import Division
from content.movement import Movement
from content.shorthand.frame import Frame, head_span
from content.shorthand.framing import frame_of
from content.shorthand.ladders import Ladders
from content.shorthand.listing import Listing
from content.shorthand.rewriting import parted_schemes, share_clauses, take_turns, written_out
from content.shorthand.rungs import reason
from content.shorthand.sheet import Notes
from content.workout import DivisionLadder, Workout

_MINUTE = 60


def workout_of(
    notes: Notes,
    common: Listing,
    own: Mapping[str, Listing],
    *,
    library: Mapping[str, Movement],
    divisions: Sequence[Division],
    complete: frozenset[str],
    how: str | None,
) -> Workout | None:
    """Make the workout; None if that was not possible, which then is noted.

    Args:
        notes: Where to note what comes up.
        common: What holds for all divisions.
        own: What the divisions say of themselves, by id.
        library: The movements there are.
        divisions: Those of the challenge, in order.
        complete: The divisions whose list takes nothing from the first one.
        how: The text about how it works.
    """
    share_clauses(notes, common, own)
    lists = [own[division.id] for division in divisions if division.id in own]
    first = next((each.items for each in lists if each.items), [])
    if not common.items and not first:
        if not notes.doubts and not notes.problems:
            notes.wrong(
                head_span(common),
                "no movement found; write for example “AMRAP 12: 10 push-ups, 20 air squats”",
            )
        return None
    others = Listing([clause for each in lists for clause in each.clauses], list(first))
    common = parted_schemes(notes, written_out(notes, common))
    frame = frame_of(notes, common, library, others)
    take_turns(notes, common, frame)
    ladders = Ladders(notes, library, divisions, own, complete).of(common, frame)
    return None if ladders is None else _together(notes, frame, ladders, common, how)


def _together(
    notes: Notes,
    frame: Frame,
    ladders: dict[str, DivisionLadder],
    common: Listing,
    how: str | None,
) -> Workout | None:
    texts = [text for text in (how, frame.rests, _pause(common, frame)) if text]
    said = {
        "score": frame.score,
        "shape": frame.shape,
        "window": _duration(frame.window_s),
        "cap": _duration(frame.cap_s),
        "intervals": _intervals(frame),
        "rounds": frame.rounds,
        "step": frame.step,
        "scheme": frame.scheme,
        "how": "\n".join(texts) or None,
        "divisions": ladders,
    }
    try:
        return Workout.model_validate(said)
    except ValidationError as error:
        notes.wrong(head_span(common), reason(error))
        return None


def _duration(seconds: int | None) -> str | None:
    return None if seconds is None else f"{seconds} s"


def _intervals(frame: Frame) -> dict[str, Any] | None:
    if frame.times is None:
        return None
    return {
        "rounds": frame.times,
        "work": _duration(frame.work_s),
        "rest": _duration(frame.rest_s),
    }


def _pause(common: Listing, frame: Frame) -> str | None:
    """Say whose turn is a rest."""
    if not common.pauses or frame.times is None:
        return None
    turns = [*common.items, *common.pauses]
    stations = max((item.turn or 0 for item in turns), default=0) or len(turns)
    word = "minute" if frame.work_s == _MINUTE else "turn"
    return f"Rest in {word} {common.pauses[0].turn or stations} of {stations}."
