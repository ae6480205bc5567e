"""Fill in what a jotted day leaves open: title, warm-up, cautions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from content.challenge import WarmUp
from content.movement import CountUnit, Movement, Pattern
from content.workout import DivisionLadder

# The usual length of a warm-up station and of the way to the next (common practice, no source).
WORK_S, MOVE_ON_S = 45, 15
_STATIONS = 8
_MOST_CAUTIONS = 4
_FEW_NAMES = 3
# What prepares a pattern without kit, the gentlest first (common practice, no source). A carry has
# no movement without kit: shoulders and walking prepare it.
_PREPARES: dict[Pattern, tuple[str, ...]] = {
    Pattern.LOCOMOTION: ("march", "heel-kick"),
    Pattern.PUSH: ("arm-circle", "wrist-circle"),
    Pattern.PULL: ("arm-swing", "shoulder-roll"),
    Pattern.CORE: ("cat-cow", "torso-turn"),
    Pattern.HINGE: ("hip-hinge", "inchworm"),
    Pattern.SQUAT: ("ankle-rock", "air-squat"),
    Pattern.LUNGE: ("hip-circle", "reverse-lunge"),
    Pattern.CARRY: ("shoulder-roll", "march"),
    Pattern.JUMP: ("line-hop", "step-jack"),
}
# Everybody begins with these.
_ALWAYS = (Pattern.LOCOMOTION, Pattern.CORE)


def used_movements(
    ladders: Iterable[DivisionLadder], library: Mapping[str, Movement]
) -> list[Movement]:
    """Give the movements of all divisions, each once, in order."""
    names = dict.fromkeys(rung.movement for ladder in ladders for rung in ladder.rungs)
    return [library[name] for name in names]


def proposed_warm_up(movements: Sequence[Movement], library: Mapping[str, Movement]) -> WarmUp:
    """Propose a warm-up that covers every pattern of some movements, jumps last."""
    loaded = {movement.pattern for movement in movements}
    order = [pattern for pattern in _PREPARES if pattern in loaded or pattern in _ALWAYS]
    ways = [_ways(pattern, library) for pattern in order]
    chosen = [way[0] for way in ways if way]
    for place in range(1, _STATIONS):
        for way in ways:
            if place < len(way) and len(set(chosen)) < _STATIONS:
                chosen.append(way[place])
    rank = {name: n for n, name in enumerate(_gentle_first())}
    ids = sorted(dict.fromkeys(chosen), key=lambda name: rank.get(name, len(rank)))
    return timed_warm_up(ids, work_s=WORK_S, move_on_s=MOVE_ON_S)


def timed_warm_up(movements: Sequence[str], *, work_s: int, move_on_s: int) -> WarmUp:
    """Make a warm-up; its durations are checked as if they were written in a file.

    Raises:
        pydantic.ValidationError: A duration of nothing, or of more than a day.
    """
    said = {"work": f"{work_s} s", "move_on": f"{move_on_s} s", "movements": tuple(movements)}
    return WarmUp.model_validate(said)


def _gentle_first() -> list[str]:
    """Give the usual movements in the order in which a body warms up: big and slow, jumps last."""
    firsts = [names[0] for pattern, names in _PREPARES.items() if pattern is not Pattern.JUMP]
    seconds = [
        name
        for pattern, names in _PREPARES.items()
        if pattern is not Pattern.JUMP
        for name in names[1:]
    ]
    return list(dict.fromkeys([*firsts, *seconds, *reversed(_PREPARES[Pattern.JUMP])]))


def _ways(pattern: Pattern, library: Mapping[str, Movement]) -> list[str]:
    """Give what prepares a pattern: the usual movements, or else any of it without kit."""
    usual = [name for name in _PREPARES[pattern] if name in library]
    free = [
        movement.id
        for movement in library.values()
        if movement.pattern is pattern and not movement.kit and movement.unit is CountUnit.REPS
    ]
    return usual or free[:1] or [name for name, each in library.items() if not each.kit][:1]


def usual_cautions(movements: Sequence[Movement]) -> tuple[str, ...]:
    """Give the cautions of some movements, those of the first movements first."""
    found = dict.fromkeys(caution for movement in movements for caution in movement.cautions)
    return tuple(found)[:_MOST_CAUTIONS] or (
        "Stop if something hurts, and choose the easier option.",
    )


def neutral_title(movements: Sequence[Movement]) -> str:
    """Make a title of the first division's movements: "Push-ups, air squats and sit-ups"."""
    names = list(dict.fromkeys(movement.plural for movement in movements))
    if len(names) > _FEW_NAMES:
        names = [*names[: _FEW_NAMES - 1], f"{len(names) - _FEW_NAMES + 1} more"]
    title = listed(names)
    return title[:1].upper() + title[1:]


def listed(words: Sequence[str]) -> str:
    """Write a few words as a list: "a, b and c"."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
