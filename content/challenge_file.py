"""Write a whole challenge as the YAML files that `loading` reads back."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import yaml

from content.challenge import Challenge, Division, Head, Times
from content.day_file import day_yaml, movements_yaml
from content.loading import movement_library


class _Quoted(str):
    """A text in quotation marks: some readers of YAML take 12:30 for a number."""

    __slots__ = ()


class _Dumper(yaml.SafeDumper):
    """Block style, with quotation marks where `source` would see a number."""


_Dumper.add_representer(
    _Quoted,
    lambda dumper, text: dumper.represent_scalar("tag:yaml.org,2002:str", str(text), style='"'),
)
# `source` takes "0815" for a number, YAML 1.1 does not.
_Dumper.add_implicit_resolver(
    "tag:yaml.org,2002:int", re.compile(r"^[-+]?[0-9]+$"), list("-+0123456789")
)


def challenge_files(content: Challenge) -> Iterator[tuple[str, str]]:
    """Give the name and the text of every file of a challenge's folder."""
    yield "challenge.yaml", head_yaml(content.head)
    shipped = movement_library()
    own = [movement for key, movement in content.movements.items() if key not in shipped]
    if own:
        yield "movements.yaml", movements_yaml(own)
    for number, day in enumerate(content.days, start=1):
        yield f"day-{number}.yaml", day_yaml(day)


def head_yaml(head: Head) -> str:
    """Write a `challenge.yaml`."""
    said: dict[str, Any] = {
        "title": head.title,
        "time_zone": head.time_zone,
        "language": head.language,
        "divisions": [_division(division) for division in head.divisions],
        "times": {key: _Quoted(at) for key, at in _times(head.times) if at is not None},
        "make_up_days": head.make_up_days,
        "discards": head.discards,
        "read_back": head.read_back,
        "cautions": list(head.cautions),
    }
    text: str = yaml.dump(said, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=10_000)
    return text


def _times(times: Times) -> list[tuple[str, str | None]]:
    return list(times.model_dump().items())


def _division(division: Division) -> dict[str, Any]:
    said: dict[str, Any] = {"id": division.id, "name": division.name, "summary": division.summary}
    if division.nicknames:
        said["nicknames"] = list(division.nicknames)
    return said
