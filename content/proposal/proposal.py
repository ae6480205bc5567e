"""Propose the divisions that a workout day lacks, from the one that is written."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from content.challenge import Division, WorkoutDay
from content.movement import Movement
from content.proposal.draft import WITHIN, Draft, Written
from content.proposal.fitting import fitted
from content.proposal.reasons import remarks, rung_reason, scheme_reason
from content.proposal.rungs import Change, changes
from content.proposal.wishes import Wishes, wishes_of
from content.workout import DivisionLadder


@dataclass(frozen=True, slots=True)
class Proposed:
    """One division, proposed.

    Args:
        division: Whose it is.
        wishes: What it was taken to be like.
        ladder: Its rungs.
        reasons: One sentence for each rung that is not as written, and for a changed scheme.
        remarks: What the organiser should know beside that, one sentence each.
        round_s: Expected seconds for one round, or None where a day has no rounds.
        written_round_s: The same for the division it was made from.
    """

    division: Division
    wishes: Wishes
    ladder: DivisionLadder
    reasons: tuple[str, ...]
    remarks: tuple[str, ...]
    round_s: float | None
    written_round_s: float | None

    @property
    def fits(self) -> bool:
        """Whether a round takes as long as written, or there is no round to compare."""
        if self.round_s is None or self.written_round_s is None:
            return True
        return abs(self.round_s / self.written_round_s - 1) <= WITHIN


@dataclass(frozen=True, slots=True)
class Proposal:
    """A day with its divisions filled in.

    Args:
        day: Divisions in the order of the challenge; what was written is as it was.
        base: The division from which the others were made.
        proposed: What is new, in the same order; empty if nothing was missing.
    """

    day: WorkoutDay
    base: Division
    proposed: tuple[Proposed, ...] = field(default=())


def propose(
    day: WorkoutDay,
    divisions: Sequence[Division],
    library: Mapping[str, Movement],
    *,
    wishes: Mapping[str, Wishes] | None = None,
) -> Proposal:
    """Fill in the divisions that a day lacks.

    Args:
        day: With one division at least. The first of `divisions` that it has is what the others
            are made from; if it has none of them, its own first one.
        divisions: All divisions of the challenge, in order.
        library: Movements by id: those of the day and all that their options lead to.
        wishes: By division id, what a division is like whose words do not tell it, or tell it
            wrongly.

    Returns:
        The day, validated; divisions that it had already are left as they are.

    Raises:
        DivisionUnclear: Neither `wishes` nor a division's words tell what it is like.
    """
    told = wishes or {}
    base = _base(day, divisions)
    missing = [each for each in divisions if each.id not in day.workout.divisions]
    proposed = tuple(
        _one(day, base, each, told.get(each.id) or wishes_of(each), library) for each in missing
    )
    return Proposal(_filled(day, divisions, proposed), base, proposed)


def _base(day: WorkoutDay, divisions: Sequence[Division]) -> Division:
    written = day.workout.divisions
    first = next(iter(written))
    unnamed = Division(id=first, name=first.replace("-", " ").capitalize(), summary=first)
    return next((each for each in divisions if each.id in written), unnamed)


def _one(
    day: WorkoutDay,
    base: Division,
    division: Division,
    wishes: Wishes,
    library: Mapping[str, Movement],
) -> Proposed:
    written = day.workout.ladder(base.id)
    found = changes(day.workout, written, wishes, library)
    rungs = tuple(change.rung for change in found)
    changed = frozenset(at for at, change in enumerate(found) if change.another_movement)
    ladder = written.model_copy(update={"rungs": rungs})
    draft = fitted(Draft(Written(day, base.id, library), ladder, changed))
    return Proposed(
        division=division,
        wishes=wishes,
        ladder=draft.ladder,
        reasons=tuple(_reasons(draft, found)),
        remarks=tuple(remarks(draft, found, wishes, base.name)),
        round_s=draft.round_s,
        written_round_s=draft.written.round_s,
    )


def _reasons(draft: Draft, found: Sequence[Change]) -> Iterator[str]:
    if draft.task.scheme != draft.written.task.scheme:
        yield scheme_reason(draft)
    for place, change in enumerate(found):
        if (reason := rung_reason(draft, place, change)) is not None:
            yield reason


def _filled(
    day: WorkoutDay, divisions: Sequence[Division], proposed: Sequence[Proposed]
) -> WorkoutDay:
    """Put the proposals into the day, and validate it as if it had been read from a file."""
    if not proposed:
        return day
    known = dict(day.workout.divisions) | {each.division.id: each.ladder for each in proposed}
    listed = [each.id for each in divisions]
    order = sorted(known, key=lambda name: listed.index(name) if name in listed else -1)
    said = day.model_dump(mode="json")
    said["workout"]["divisions"] = {name: known[name].model_dump(mode="json") for name in order}
    return WorkoutDay.model_validate(said)
