"""Write a day, or movements, as the YAML that `loading` reads back, in the style of the demo."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Any

import yaml

from content.challenge import RestDay, WarmUp, WorkoutDay
from content.fields import Load
from content.movement import Movement
from content.units import kg_text, lb_written
from content.workout import DivisionLadder, Rung, Workout


class _OnOneLine(dict[str, Any]):
    """Keys and values between braces: {movement: push-up, reps: 8}."""


class _ListOnOneLine(list[Any]):
    """A list between brackets: [24, 18, 12]."""


class _Dumper(yaml.SafeDumper):
    """Block style, but rungs and short lists on one line; nothing is said twice by an alias."""

    def ignore_aliases(self, data: Any) -> bool:
        del data
        return True

    def increase_indent(self, flow: bool = False, indentless: bool = False) -> None:  # noqa: FBT001, FBT002 - the library's signature
        del indentless
        super().increase_indent(flow, False)  # noqa: FBT003 - the library's


_Dumper.add_representer(
    _OnOneLine,
    lambda dumper, data: dumper.represent_mapping("tag:yaml.org,2002:map", data, flow_style=True),
)
_Dumper.add_representer(
    _ListOnOneLine,
    lambda dumper, data: dumper.represent_sequence("tag:yaml.org,2002:seq", data, flow_style=True),
)
# `loading` takes "08" for a number, YAML 1.1 does not: such a text needs quotes.
_Dumper.add_implicit_resolver(
    "tag:yaml.org,2002:int", re.compile(r"^[-+]?[0-9]+$"), list("-+0123456789")
)


def day_yaml(day: WorkoutDay | RestDay, *, comments: Iterable[str] = ()) -> str:
    """Write a day file; the comments stand at its top, one line each."""
    head = "".join(f"# {' '.join(comment.split())}\n" for comment in comments)
    return head + _dump(_rest_day(day) if isinstance(day, RestDay) else _workout_day(day))


def movements_yaml(movements: Sequence[Movement]) -> str:
    """Write a `movements.yaml`."""
    return _dump(
        [movement.model_dump(mode="json", exclude_defaults=True) for movement in movements]
    )


def _dump(data: Any) -> str:
    text: str = yaml.dump(
        data, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=10_000, indent=2
    )
    return text


def _rest_day(day: RestDay) -> dict[str, Any]:
    return _without_none(
        {
            "kind": day.kind,
            "title": day.title,
            "message": day.message,
            "cautions": list(day.cautions) or None,
        }
    )


def _workout_day(day: WorkoutDay) -> dict[str, Any]:
    return _without_none(
        {
            "kind": day.kind,
            "title": day.title,
            "message": day.message,
            "warm_up": _warm_up(day.warm_up),
            "workout": _workout(day.workout),
            "effort": day.effort,
            "cautions": list(day.cautions),
        }
    )


def _warm_up(warm_up: WarmUp) -> dict[str, Any]:
    return {
        "work": f"{warm_up.work_s} s",
        "move_on": f"{warm_up.move_on_s} s",
        "movements": _ListOnOneLine(warm_up.movements),
    }


def _workout(workout: Workout) -> dict[str, Any]:
    intervals = workout.intervals
    return _without_none(
        {
            "score": str(workout.score),
            "shape": str(workout.shape),
            **_steps(workout),
            "window": _duration(workout.window_s),
            "cap": _duration(workout.cap_s),
            "intervals": _OnOneLine(
                rounds=intervals.rounds,
                work=f"{intervals.work_s} s",
                rest=f"{intervals.rest_s} s",
            )
            if intervals
            else None,
            "how": workout.how,
            "divisions": {name: _ladder(own) for name, own in workout.divisions.items()},
        }
    )


def _steps(own: Workout | DivisionLadder) -> dict[str, Any]:
    scheme = _ListOnOneLine(own.scheme) if own.scheme else None
    return {"scheme": scheme, "step": own.step, "rounds": own.rounds}


def _ladder(own: DivisionLadder) -> dict[str, Any]:
    return _without_none({**_steps(own), "rungs": [_rung(rung) for rung in own.rungs]})


def _rung(rung: Rung) -> dict[str, Any]:
    said = rung.model_dump(exclude_defaults=True)
    if rung.load is not None:
        said["load"] = _load(rung.load)
    return _OnOneLine(said)


def _load(load: Load) -> Any:
    amount = lb_written(load.grams) if load.unit == "lb" else kg_text(load.grams)
    text = f"{load.pieces} x {amount}" if load.pieces > 1 else amount
    return text if _reads_back(text, load) else _OnOneLine(load.model_dump())


def _reads_back(text: str, load: Load) -> bool:
    """Tell whether a file may say it so: it has two decimals at most."""
    try:
        return Load.model_validate(text) == load
    except ValueError:
        return False


def _duration(seconds: int | None) -> str | None:
    if seconds is None:
        return None
    return f"{seconds // 60} min" if seconds % 60 == 0 else f"{seconds} s"


def _without_none(said: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in said.items() if value is not None}
