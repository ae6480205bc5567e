"""What a score means once its day has been changed: the words are read again, never guessed. Pure.

A result is changed only if its words explain it: read against the day as it was they must give
the score on record. Where they left a choice, the one that was taken must be there again, said in
the same way. Everything else stays as it is, and a person looks at it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from bot.reading.reader import Reader, Scene, day_number
from bot.reading.values import Ask, Reading, ScoreRead
from content.score import Amount, Capped, Done, Finished, RoundsAndReps, Score


class Fate(StrEnum):
    """What becomes of a result."""

    SAME = "same"
    CHANGED = "changed"
    UNREAD = "unread"  # its words no longer give a score of that day


@dataclass(frozen=True, slots=True)
class Reread:
    """A score before and after; `new` is None where it stays because it cannot be read."""

    fate: Fate
    old: Score
    new: Score | None = None


def reread(
    text: str,
    recorded: Score,
    *,
    number: int,
    division: str,
    before: tuple[Reader, Iterable[Scene]],
    after: tuple[Reader, Iterable[Scene]],
) -> Reread:
    """Read a result's words against its day as it was and as it is now.

    Args:
        text: The words of the message.
        recorded: What is on record.
        number: Of the day that was changed.
        division: In which the result is.
        before: The reader of the old content, and the scenes the words may have been read in; the
            first that gives the recorded score is the one.
        after: The same for the new content, scene by scene.
    """
    pairs = zip(before[1], after[1], strict=True)
    for old_scene, new_scene in pairs:
        old = _scores(before[0].read(text, old_scene), old_scene, number, division)
        if recorded not in old.choices:
            continue
        new = _scores(after[0].read(text, new_scene), new_scene, number, division)
        found = _the_same_said(recorded, old, new)
        if found is None:
            return Reread(Fate.UNREAD, recorded)
        return Reread(Fate.SAME if found == recorded else Fate.CHANGED, recorded, found)
    return Reread(Fate.UNREAD, recorded)


@dataclass(frozen=True, slots=True)
class _Scores:
    """What a reading says of one day in one division."""

    choices: tuple[Score, ...]
    is_sure: bool


def _scores(reading: Reading, scene: Scene, number: int, division: str) -> _Scores:
    if not isinstance(reading, ScoreRead | Ask):
        return _Scores((), is_sure=False)
    parts = [
        part
        for part in (reading, *reading.also)
        if day_number(part.said.day, scene) == number
        and (part.said.division or division) == division
    ]
    if len(parts) != 1:
        choices = tuple(part.score for part in parts if isinstance(part, ScoreRead))
        return _Scores(choices, is_sure=False)
    [part] = parts
    if isinstance(part, ScoreRead):
        return _Scores((part.score,), is_sure=True)
    return _Scores(tuple(part.choices), is_sure=False)


def _the_same_said(recorded: Score, old: _Scores, new: _Scores) -> Score | None:
    """Give the new score that says the same as the recorded one; None if that is not sure."""
    if old.is_sure and new.is_sure:
        return new.choices[0]
    alike = [choice for choice in new.choices if _is_alike(recorded, choice)]
    return alike[0] if len(alike) == 1 else None


def _is_alike(one: Score, other: Score) -> bool:
    """Say whether two scores say the same number of the same thing, whatever it is worth."""
    match one, other:
        case RoundsAndReps(), RoundsAndReps():
            return (one.rounds, one.reps) == (other.rounds, other.reps)
        case (Finished(), Finished()) | (Capped(), Capped()) | (Amount(), Amount()):
            return one == other
        case Done(), Done():
            return True
        case _:
            return False
