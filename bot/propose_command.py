"""The command `propose`: fill in the divisions that a day file lacks."""

from __future__ import annotations

import argparse
import io
import json
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from content.challenge import Division, Head, WorkoutDay, named_by_id
from content.day_file import day_yaml
from content.errors import DivisionUnclear
from content.loading import load_day
from content.proposal.wishes import Wishes
from content.units import clock_text

if TYPE_CHECKING:
    from content.proposal.proposal import Proposal, Proposed

_OK, _WRONG = 0, 1
_LIKE = {"lighter": "lighter", "no-kit": "no_kit", "no-jumps": "no_jumps"}
_EPILOG = (
    "What a division is like is read from its id, name, nicknames and summary; "
    "--like says it where they do not: --like river=lighter,no-jumps. "
    "Divisions that the file has already are left as they are."
)


def add_propose(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command to the command line."""
    parser = commands.add_parser(
        "propose", help="fill in the divisions that a day file lacks", epilog=_EPILOG
    )
    parser.add_argument("day", type=Path, help="a day file with its first division written")
    parser.add_argument(
        "--division",
        action="append",
        default=[],
        metavar="ID",
        help="only this one; may be repeated; needed where there is no challenge.yaml",
    )
    parser.add_argument(
        "--like",
        action="append",
        default=[],
        metavar="ID=WORDS",
        type=_like,
        help=f"what a division is like: {', '.join(_LIKE)}",
    )
    parser.add_argument("--json", action="store_true", help="for programs; README has the keys")
    parser.set_defaults(act=_propose)


def _like(said: str) -> tuple[str, Wishes]:
    """Read "river=lighter,no-jumps"."""
    name, _, words = said.partition("=")
    wished = [word.strip() for word in words.split(",")]
    if not name.strip() or any(word not in _LIKE for word in wished):
        known = ", ".join(_LIKE)
        raise argparse.ArgumentTypeError(f"say ID=WORDS with words out of {known}, not {said!r}")
    return name.strip(), Wishes(**{_LIKE[word]: True for word in wished})


def _propose(options: argparse.Namespace) -> int:
    day, head, library = load_day(options.day, complete=False)
    if not isinstance(day, WorkoutDay):
        return _complain(f"{options.day}: a rest day has nothing to propose")
    divisions = _divisions(day, head, options.division)
    known = [division.id for division in divisions]
    told = dict(options.like)
    for name in (*options.division, *told):
        if name not in known:
            return _complain(f"no division {name!r}; there are: {', '.join(known)}")
    if head is None and not options.division:
        return _complain(
            f"{options.day}: there is no challenge.yaml beside it; "
            "say which divisions to propose: --division lighter --division bodyweight"
        )
    # Only here: the model of how long work takes needs numpy, which a running bot does not.
    from content.proposal.proposal import propose  # noqa: PLC0415

    try:
        proposal = propose(day, divisions, library, wishes=told)
    except DivisionUnclear as error:
        return _complain(f"{error}; or add --like {error.division}=lighter (or no-kit, no-jumps)")
    _print(proposal, as_json=options.json)
    return _OK


def _complain(line: str) -> int:
    print(line, file=sys.stderr)
    return _WRONG


def _divisions(day: WorkoutDay, head: Head | None, asked: Sequence[str]) -> tuple[Division, ...]:
    """Give those of the challenge, without the missing ones that were not asked for.

    Without a challenge they are those of the day and those asked for, their ids for names.
    """
    written = day.workout.divisions
    if head is not None:
        known = [division.id for division in head.divisions]
        if asked and set(asked) <= set(known):
            return tuple(d for d in head.divisions if d.id in written or d.id in asked)
        return head.divisions
    return named_by_id(dict.fromkeys((*written, *asked)))


def _print(proposal: Proposal, *, as_json: bool) -> None:
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding="utf-8")  # what people wrote, whatever the locale
    if as_json:
        print(json.dumps(_to_json(proposal), ensure_ascii=False, indent=2))
    else:
        print(day_yaml(proposal.day, comments=tuple(_comments(proposal))), end="")


def _comments(proposal: Proposal) -> Iterator[str]:
    """Give the lines that stand above the day: what was proposed, and why."""
    for each in proposal.proposed:
        made = f"proposed from {proposal.base.name} ({each.wishes})"
        yield f"{each.division.name}: {made}.{_times(each)}"
        yield from (f"- {sentence}" for sentence in (*each.reasons, *each.remarks))
    if not proposal.proposed:
        yield "Every division is written; nothing was proposed."


def _times(each: Proposed) -> str:
    if each.round_s is None or each.written_round_s is None:
        return ""
    now, written = clock_text(round(each.round_s)), clock_text(round(each.written_round_s))
    return f" A round takes about {now}, as written {written}."


def _to_json(proposal: Proposal) -> dict[str, Any]:
    return {
        "from": proposal.base.id,
        "proposed": [
            {
                "division": each.division.id,
                "like": [word for word, name in _LIKE.items() if getattr(each.wishes, name)],
                "reasons": list(each.reasons),
                "remarks": list(each.remarks),
                "round_s": each.round_s and round(each.round_s, 1),
                "written_round_s": each.written_round_s and round(each.written_round_s, 1),
                "fits": each.fits,
            }
            for each in proposal.proposed
        ],
        "day": proposal.day.model_dump(mode="json", by_alias=True, exclude_defaults=True),
    }
