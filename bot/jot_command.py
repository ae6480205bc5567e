"""The command `jot`: the organiser's shorthand to a day file, and a day file to shorthand."""

from __future__ import annotations

import argparse
import io
import sys
from collections.abc import Sequence
from pathlib import Path

from content.challenge import Division, Head, RestDay, WorkoutDay, named_by_id
from content.day_file import day_yaml, movements_yaml
from content.loading import DEMO, load_day, load_frame
from content.shorthand.jotting import MOST_CHARACTERS, jot
from content.shorthand.values import Doubt, Jotted, Mistake
from content.shorthand.writing import NotInShorthand, shorthand_of

_OK, _WRONG = 0, 1


def add_jot(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command to the command line."""
    parser = commands.add_parser("jot", help="turn a jotted workout into a day file")
    parser.add_argument(
        "file", nargs="?", type=Path, help="the jotted text; standard input if left out"
    )
    parser.add_argument(
        "--challenge", type=Path, metavar="FOLDER", help="its divisions and movements hold"
    )
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="print the day as JSON")
    form.add_argument(
        "--movements", action="store_true", help="print the new movements for movements.yaml"
    )
    form.add_argument(
        "--back", action="store_true", help="the other way: print a day file as shorthand"
    )
    parser.set_defaults(act=_jot)


def _jot(options: argparse.Namespace) -> int:
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8")  # what people wrote, whatever the locale
    if options.back:
        return _back(options.file)
    head, library = load_frame(options.challenge or DEMO)
    text = _text(options.file)
    if text is None:
        print(f"{options.file}: not UTF-8 text; save the file as UTF-8", file=sys.stderr)
        return _WRONG
    jotted = jot(text, library=library, divisions=head.divisions)
    for remark in _remarks(jotted):
        print(remark, file=sys.stderr)
    if jotted.day is None:
        return _WRONG
    print(_written(options, jotted, jotted.day), end="")
    return _WRONG if jotted.left_out else _OK


def _text(file: Path | None) -> str | None:
    """Read the text; a little more than it may be, so that too long a one is told as that."""
    most = MOST_CHARACTERS + 1
    try:
        if file is None:
            return sys.stdin.read(most)
        with file.open(encoding="utf-8-sig", newline="") as opened:
            return opened.read(most)
    except UnicodeDecodeError:
        return None


def _remarks(jotted: Jotted) -> list[str]:
    both: list[Mistake | Doubt] = [*jotted.problems, *jotted.doubts]
    both.sort(key=lambda remark: (remark.place.line, remark.place.column))
    return [str(remark) for remark in both]


def _written(options: argparse.Namespace, jotted: Jotted, day: WorkoutDay | RestDay) -> str:
    if options.json:
        return day.model_dump_json(by_alias=True, exclude_defaults=True) + "\n"
    if options.movements:
        return movements_yaml(jotted.movements) if jotted.movements else ""
    comments = [f"Left out: “{doubt.word}”." for doubt in jotted.left_out] + list(jotted.assumed)
    if jotted.movements:
        names = ", ".join(movement.name for movement in jotted.movements)
        comments.append(f"New: {names}; `--movements` prints it for movements.yaml.")
    return day_yaml(day, comments=comments)


def _back(file: Path | None) -> int:
    if file is None:
        print("name the day file that should be printed as shorthand", file=sys.stderr)
        return _WRONG
    day, head, library = load_day(file)
    try:
        print(shorthand_of(day, library=library, divisions=divisions_of(day, head)), end="")
    except NotInShorthand as error:
        print(f"{file}: {error}", file=sys.stderr)
        return _WRONG
    return _OK


def divisions_of(day: WorkoutDay | RestDay, head: Head | None) -> Sequence[Division]:
    """Give the folder's divisions, or for a day file on its own those it names itself."""
    if head is not None:
        return head.divisions
    if isinstance(day, RestDay):
        return (Division(id="full", name="Full", summary="the day as written"),)
    return named_by_id(day.workout.divisions)
