"""Read a challenge folder, a day file or the movement library; collect every problem in one run.

A folder holds `challenge.yaml`, `day-1.yaml`, `day-2.yaml`, ... and, if the organiser has
movements of their own, `movements.yaml`.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from content.challenge import MOST_DAYS, Challenge, Day, Head, RestDay, WorkoutDay
from content.errors import ContentInvalid, Problem
from content.fields import Strict
from content.movement import Movement
from content.source import MOST_BYTES, Source

T = TypeVar("T")
HERE = Path(__file__).parent
DEMO = HERE / "demo"
_DAY_FILE = re.compile(r"day-([1-9][0-9]{0,3})\.yaml")
_DAY: TypeAdapter[WorkoutDay | RestDay] = TypeAdapter(Day)
_MOVEMENTS: TypeAdapter[list[Movement]] = TypeAdapter(list[Movement])
_HEAD: TypeAdapter[Head] = TypeAdapter(Head)

Library = Mapping[str, Movement]


@cache
def movement_library() -> Library:
    """Load the movements that come with Rungbell, by id.

    Raises:
        ContentInvalid: A shipped file is broken.
    """
    problems: list[Problem] = []
    library = _load_movements(sorted((HERE / "movements").glob("*.yaml")), {}, problems)
    if problems:
        raise ContentInvalid(problems)
    return library


def load_challenge(folder: Path) -> Challenge:
    """Load a challenge folder whole, or refuse it whole.

    Raises:
        ContentInvalid: Carries every problem of every file.
    """
    problems: list[Problem] = []
    library = _own_library(folder, problems)
    source = Source(folder / "challenge.yaml")
    head = _validated(_HEAD, source, problems)
    days = [_load_day(file, library, head, problems) for file in _day_files(folder, problems)]
    if problems or head is None:
        raise ContentInvalid(problems)
    kept = tuple(day for day in days if day is not None)
    return Challenge(head=head, days=kept, movements=_used(kept, library))


def assemble(
    head: Head, days: Sequence[WorkoutDay | RestDay], library: Library, *, first: int = 1
) -> Challenge:
    """Make a challenge of parts that are valid each by itself.

    Args:
        head: Everything but the days.
        days: In order, at least one.
        library: The movements there are, by id.
        first: Number of the first day, for the problems.

    Raises:
        ContentInvalid: Carries every movement or division that is missing, by the name the day's
            file would have.
    """
    problems = [
        Problem(Path(f"day-{number}.yaml"), 0, ".".join(map(str, path)), message)
        for number, day in enumerate(days, start=first)
        for path, message in _check_names(
            day.model_dump(mode="json"), library, head, complete=True
        )
    ]
    if problems:
        raise ContentInvalid(problems)
    return Challenge(head=head, days=tuple(days), movements=_used(days, library))


def load_frame(folder: Path) -> tuple[Head, Library]:
    """Load the head and the movements of a challenge folder, whatever its days are like.

    Raises:
        ContentInvalid: Carries every problem of those files.
    """
    problems: list[Problem] = []
    library = _own_library(folder, problems)
    head = _validated(_HEAD, Source(folder / "challenge.yaml"), problems)
    if problems or head is None:
        raise ContentInvalid(problems)
    return head, library


def load_day(
    file: Path, *, complete: bool = True
) -> tuple[WorkoutDay | RestDay, Head | None, Library]:
    """Load one day file, with the head and movements of its folder if they are there.

    Args:
        file: The day.
        complete: Every division of the head must be there; without it some may be missing.

    Raises:
        ContentInvalid: Carries every problem.
    """
    problems: list[Problem] = []
    library = _own_library(file.parent, problems)
    head_file = file.parent / "challenge.yaml"
    head = _validated(_HEAD, Source(head_file), problems) if head_file.exists() else None
    day = _load_day(file, library, head, problems, complete=complete)
    if problems or day is None:
        raise ContentInvalid(problems)
    return day, head, library


def load_shipped(adapter: TypeAdapter[T], file: Path) -> T:
    """Load one file that comes with Rungbell, such as a language's words.

    Raises:
        ContentInvalid: There is no such file, or it is broken; carries every problem.
    """
    problems: list[Problem] = []
    found = _validated(adapter, Source(file, most_bytes=4 * MOST_BYTES), problems)
    if found is None:
        raise ContentInvalid(problems)
    return found


def own_movements(folder: Path) -> tuple[Movement, ...]:
    """Load the movements of a challenge folder that do not come with Rungbell.

    Raises:
        ContentInvalid: Carries every problem of the file.
    """
    problems: list[Problem] = []
    library = _own_library(folder, problems)
    if problems:
        raise ContentInvalid(problems)
    return tuple(movement for key, movement in library.items() if key not in movement_library())


def _own_library(folder: Path, problems: list[Problem]) -> Library:
    own = folder / "movements.yaml"
    shipped = movement_library()
    return _load_movements([own], shipped, problems) if own.exists() else shipped


def _load_movements(
    files: Iterable[Path], known: Library, problems: list[Problem]
) -> dict[str, Movement]:
    library = dict(known)
    loaded: list[tuple[Source, int, Movement]] = []
    for file in files:
        source = Source(file)
        movements = _validated(_MOVEMENTS, source, problems) or []
        for index, movement in enumerate(movements):
            if movement.id in library:
                problems.append(source.problem((index, "id"), f"{movement.id} exists already"))
            library[movement.id] = movement
            loaded.append((source, index, movement))
    for source, index, movement in loaded:
        for path, message in _check_options(movement, library):
            problems.append(source.problem((index, *path), message))
    return library


def _check_options(
    movement: Movement, library: Library
) -> Iterator[tuple[tuple[str | int, ...], str]]:
    for index, option in enumerate(movement.options):
        if option.movement is not None and option.movement not in library:
            yield ("options", index, "movement"), unknown(option.movement, library, "movement")
    last = movement.options[-1]
    easiest = library.get(last.movement) if last.movement else None
    if easiest is not None and easiest.kit:
        path = ("options", len(movement.options) - 1, "movement")
        yield path, f"the last option must need no kit, {easiest.id} needs {easiest.kit[0]}"


def _day_files(folder: Path, problems: list[Problem]) -> Sequence[Path]:
    if not folder.is_dir():
        problems.append(Problem(folder, 0, "", "there is no such folder"))
        return ()
    numbered = {}
    for file in folder.iterdir():
        if found := _DAY_FILE.fullmatch(file.name):
            numbered[int(found[1])] = file
        elif file.name.startswith("day") and file.suffix in {".yaml", ".yml"}:
            problems.append(
                Problem(file, 0, "", "a day file is called day-1.yaml, day-2.yaml, ...")
            )
    for number in sorted(numbered):
        if number > MOST_DAYS:
            message = f"a challenge has at most {MOST_DAYS} days"
            problems.append(Problem(numbered.pop(number), 0, "", message))
    missing = [n for n in range(1, max(numbered, default=1) + 1) if n not in numbered]
    problems.extend(
        Problem(folder / f"day-{number}.yaml", 0, "", "there is no such file; days count from 1")
        for number in missing
    )
    return [numbered[number] for number in sorted(numbered)]


def _load_day(
    file: Path,
    library: Library,
    head: Head | None,
    problems: list[Problem],
    *,
    complete: bool = True,
) -> WorkoutDay | RestDay | None:
    source = Source(file)
    day = _validated(_DAY, source, problems)
    for path, message in _check_names(source.data, library, head, complete=complete):
        problems.append(source.problem(path, message))
    return day


def _check_names(
    data: Any, library: Library, head: Head | None, *, complete: bool
) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """Check what one model alone cannot see: movements and divisions that must exist.

    Works on the plain data, so that a file with other mistakes gets these told in the same run.
    """
    for index, name in enumerate(_inside(data, list, "warm_up", "movements")):
        if isinstance(name, str) and name not in library:
            yield ("warm_up", "movements", index), unknown(name, library, "movement")
    known = {division.id: division for division in head.divisions} if head else None
    divisions = _inside(data, dict, "workout", "divisions")
    for division, own in divisions.items():
        path: tuple[str | int, ...] = ("workout", "divisions", division)
        if known is not None and division not in known:
            yield path, unknown(str(division), known, "division")
        for index, rung in enumerate(_inside(own, list, "rungs")):
            name = rung.get("movement") if isinstance(rung, dict) else None
            movement = library.get(name) if isinstance(name, str) else None
            here = (*path, "rungs", index)
            if movement is None and isinstance(name, str):
                yield (*here, "movement"), unknown(name, library, "movement")
            elif movement is not None and rung.get("each_side") and not movement.one_sided:
                yield (*here, "each_side"), f"{name} is not done one side at a time"
    if divisions and complete:
        for division in sorted((known or {}).keys() - divisions.keys()):
            yield ("workout", "divisions"), f"the division {division} of challenge.yaml is missing"


def _inside(data: Any, kind: type[T], *path: str) -> T:
    """Give what stands at a path of plain data, or an empty one if it is not of that kind."""
    for key in path:
        data = data.get(key) if isinstance(data, dict) else None
    return data if isinstance(data, kind) else kind()


def unknown(word: str, known: Iterable[str], what: str) -> str:
    """Say that a name is not known, and which known ones are near."""
    names = sorted(known)
    near = difflib.get_close_matches(word, names, n=3, cutoff=0.6)
    hint = f"did you mean {' or '.join(near)}?" if near else f"known: {', '.join(names[:12])}"
    return f"unknown {what} {word!r}; {hint}"


def _used(days: Iterable[WorkoutDay | RestDay], library: Library) -> dict[str, Movement]:
    """Give the movements the days use, and those their options lead to."""
    waiting = [
        name
        for day in days
        if isinstance(day, WorkoutDay)
        for name in (
            *day.warm_up.movements,
            *(rung.movement for own in day.workout.divisions.values() for rung in own.rungs),
        )
    ]
    used: dict[str, Movement] = {}
    while waiting:
        name = waiting.pop()
        if name not in used:
            used[name] = library[name]
            waiting.extend(option.movement for option in library[name].options if option.movement)
    return dict(sorted(used.items()))


def _validated(adapter: TypeAdapter[T], source: Source, problems: list[Problem]) -> T | None:
    """Validate a source; on failure add its problems and give None."""
    problems.extend(source.problems)
    if source.problems:
        return None
    try:
        return adapter.validate_python(source.data)
    except ValidationError as error:
        problems.extend(_problem(source, details) for details in error.errors())
        return None


def _problem(source: Source, details: ErrorDetails) -> Problem:
    location, data = details["loc"], source.data
    if details["type"] in {"union_tag_not_found", "union_tag_invalid"}:
        location = ("kind",)
    elif isinstance(data, dict) and "kind" in data and location[:1] == (data["kind"],):
        location = location[1:]  # the kind of day that was tried, not the key `workout`
    return source.problem(_path_in(data, location), _message(details))


def _path_in(data: Any, location: tuple[int | str, ...]) -> list[str | int]:
    """Drop what pydantic adds to a location (union tags, "[key]") and keep the file's own path."""
    path: list[str | int] = []
    for position, part in enumerate(location):
        last = position == len(location) - 1
        if part == "[key]":
            continue
        if isinstance(data, dict) and (part in data or (last and not isinstance(part, int))):
            data = data.get(part)
        elif isinstance(data, list) and isinstance(part, int) and part < len(data):
            data = data[part]
        else:
            continue
        path.append(part)
    return path


_WHOLE_NUMBER = ("int_type", "int_parsing", "int_from_float")
_KEYS = ("model_type", "model_attributes_type", "dict_type")
_LIST = ("list_type", "tuple_type")


def _message(details: ErrorDetails) -> str:
    kind, context, given = details["type"], details.get("ctx", {}), details["input"]
    messages = {
        "missing": "missing",
        "union_tag_not_found": "missing `kind`: workout or rest",
        "union_tag_invalid": f"`kind` must be workout or rest, not {context.get('tag')!r}",
        "value_error": str(context.get("error", "")),
        "enum": f"must be {context.get('expected')}, not {given!r}",
        "literal_error": f"must be {context.get('expected')}, not {given!r}",
        **dict.fromkeys(_WHOLE_NUMBER, f"a whole number, not {_short(given)}"),
        **dict.fromkeys(_KEYS, f"lines of `key: value`, not {_short(given)}"),
        **dict.fromkeys(_LIST, f"a list such as [one, two], not {_short(given)}"),
        "string_pattern_mismatch": f'small letters, digits and hyphens such as "air-squat", '
        f"not {_short(given)}",
        "string_type": f"text, not {_short(given)}; put it in quotes",
    }
    if kind == "extra_forbidden":
        return unknown(str(details["loc"][-1]), _all_keys(), "key")
    return messages.get(kind) or f"{details['msg']}, not {_short(given)}"


def _all_keys(model: type[Strict] = Strict) -> set[str]:
    """Give every key that any file may use, as written in YAML."""
    keys = {info.alias or name for name, info in model.model_fields.items()}
    return keys.union(*(_all_keys(child) for child in model.__subclasses__()))


def _short(value: object) -> str:
    text = repr(value)
    return text if len(text) <= 60 else f"{text[:57]}..."  # noqa: PLR2004 - fits a line
