"""Challenges for the review: days of several divisions, with every other part harmless."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from pydantic import TypeAdapter

from content.challenge import Challenge, Day, WorkoutDay
from content.loading import movement_library
from content.review.outlook import look_ahead
from content.review.people import draw
from tests.content.builders import a_head

if TYPE_CHECKING:
    from collections.abc import Sequence

    from content.challenge import RestDay
    from content.review.outlook import Outlook

_DAY: TypeAdapter[WorkoutDay | RestDay] = TypeAdapter(Day)

SAFE = (
    "Stop at once with chest pain or dizziness.",
    "New to this, pregnant or back from illness? Ask a doctor first.",
)
ALL_WARM = ["march", "arm-circle", "arm-swing", "air-squat", "hip-hinge", "dead-bug", "step-jack"]
FOURTEEN_MINUTES = {"score": "rounds_and_reps", "shape": "repeat", "window": "14 min"}


def rung(movement: str, reps: int | None = None, **said: Any) -> dict[str, Any]:
    return {"movement": movement, **({} if reps is None else {"reps": reps}), **said}


def a_day(
    *divisions: Sequence[dict[str, Any]],
    warm_up: Sequence[str] = ALL_WARM,
    warm_up_work: str = "45 s",
    cautions: Sequence[str] = ("Breathe.",),
    effort: int | None = None,
    **workout: Any,
) -> WorkoutDay:
    """A day; its first division is `full`, the second `lighter`."""
    names = ("full", "lighter")[: len(divisions)]
    rungs = {name: {"rungs": list(own)} for name, own in zip(names, divisions, strict=True)}
    day = _DAY.validate_python(
        {
            "kind": "workout",
            "title": "A day",
            "warm_up": {"work": warm_up_work, "move_on": "15 s", "movements": list(warm_up)},
            "workout": (workout or FOURTEEN_MINUTES) | {"divisions": rungs},
            "cautions": list(cautions),
            **({} if effort is None else {"effort": effort}),
        }
    )
    assert isinstance(day, WorkoutDay)
    return day


def a_plan(
    *days: WorkoutDay | RestDay,
    summary: str = "as written",
    cautions: Sequence[str] = SAFE,
    movements: dict[str, Any] | None = None,
) -> Challenge:
    """A challenge with as many divisions as its days have."""
    workouts = [day for day in days if isinstance(day, WorkoutDay)]
    names = list(workouts[0].workout.divisions) if workouts else ["full"]
    divisions = [{"id": n, "name": n.capitalize(), "summary": summary} for n in names]
    head = a_head(divisions=divisions, cautions=list(cautions))
    return Challenge(head=head, days=days, movements=dict(movement_library()) | (movements or {}))


def an_outlook(*days: WorkoutDay | RestDay, **plan: Any) -> Outlook:
    """What is expected of such a challenge, by few people: enough for a rule."""
    return look_ahead(a_plan(*days, **plan), draw(many=300))
