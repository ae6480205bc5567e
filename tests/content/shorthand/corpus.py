"""The corpus of jotted workouts, with the days they mean."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from content.loading import DEMO, load_frame
from content.workout import Workout

HEAD, LIBRARY = load_frame(DEMO)
DIVISIONS = HEAD.divisions
_COUNTS = {"m": "metres", "s": "seconds", "cal": "calories"}


@dataclass(frozen=True)
class Jotting:
    """One text and what it means."""

    id: str
    text: str
    workout: Workout
    said: dict[str, Any]  # title, message, warm_up, cautions as far as they are given


def jottings(file: str = "corpus.yaml") -> list[Jotting]:
    """Read a corpus file."""
    entries = yaml.safe_load((Path(__file__).parent / file).read_text(encoding="utf-8"))
    return [_jotting(entry) for entry in entries]


def _jotting(entry: dict[str, Any]) -> Jotting:
    steps = entry.get("steps", {})
    divisions = {
        division.id: {
            "rungs": [_rung(rung) for rung in entry.get(division.id, entry["full"])],
            **steps.get(division.id, {}),
        }
        for division in DIVISIONS
    }
    workout = Workout.model_validate(entry["workout"] | {"divisions": divisions})
    said = {k: entry[k] for k in ("title", "message", "warm_up", "cautions") if k in entry}
    return Jotting(entry["id"], entry["jot"], workout, said)


def _rung(written: list[Any]) -> dict[str, Any]:
    rung = {"movement": written[0]}
    for piece in written[1:]:
        if isinstance(piece, int):
            rung["reps"] = piece
        elif isinstance(piece, dict):
            rung |= piece
        elif found := re.fullmatch(r"(\d+) (m|s|cal)", piece):
            rung[_COUNTS[found[2]]] = int(found[1])
        else:
            rung["load"] = piece
    return rung
