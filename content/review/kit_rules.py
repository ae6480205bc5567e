"""Does everybody have what a day asks for, all through the week, and are both sides served?"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator

from content.movement import CountUnit, Kit, Movement, Pattern
from content.review.finding import Finding, Severity, listed
from content.review.outlook import Outlook
from content.score import ScoreKind
from content.task import Task
from content.workout import Rung

WEIGHTS = frozenset({Kit.DUMBBELL, Kit.TWO_DUMBBELLS, Kit.KETTLEBELL, Kit.BACKPACK})
# A wall, a chair, a step: found wherever people train.
AT_HAND = frozenset({Kit.WALL, Kit.CHAIR, Kit.BOX})
_NO_KIT = ("no kit", "without kit", "no equipment")
_NO_JUMPS = ("no jump", "without jump")
_ROUNDS_LOOKED_AT = 12


def loads_are_said(outlook: Outlook) -> Iterator[Finding]:
    """Find weights without a load, and loads on movements that hold nothing."""
    for number, _, divisions in outlook.workout_days():
        silent: dict[str, dict[str, None]] = defaultdict(dict)
        empty: dict[str, dict[str, None]] = defaultdict(dict)
        for each in divisions:
            for rung, movement in zip(each.task.rungs, each.task.movements, strict=True):
                holds = WEIGHTS & set(movement.kit)
                if holds and rung.load is None and each.task.workout.score is not ScoreKind.LOAD:
                    silent[each.division.id][movement.plural] = None
                elif rung.load is not None and not movement.kit:
                    empty[each.division.id][movement.plural] = None
        if silent:
            yield _load_missing(outlook, number, silent)
        if empty:
            yield _load_on_nothing(outlook, number, empty)


def _load_missing(outlook: Outlook, number: int, found: dict[str, dict[str, None]]) -> Finding:
    movements = listed(list({name: None for names in found.values() for name in names}))
    return Finding(
        "load-missing",
        Severity.LOOK_AT,
        f"No load is given for the {movements} of {outlook.who(list(found))}.",
        "Say one, such as `load: 8 kg`; people ask, and some take too much.",
        day=number,
        divisions=tuple(found),
    )


def _load_on_nothing(outlook: Outlook, number: int, found: dict[str, dict[str, None]]) -> Finding:
    movements = listed(list({name: None for names in found.values() for name in names}))
    return Finding(
        "load-on-nothing",
        Severity.LOOK_AT,
        f"A load is given for the {movements} of {outlook.who(list(found))}, which are done "
        "without a weight.",
        "Choose the movement with a weight, or leave the load out.",
        day=number,
        divisions=tuple(found),
    )


def kit_can_be_replaced(outlook: Outlook) -> Iterator[Finding]:
    """Find movements that somebody without the kit cannot do in any way."""
    library = outlook.content.movements
    for number, _, divisions in outlook.workout_days():
        stuck = {
            movement.plural: None
            for each in divisions
            for movement in each.task.movements
            if movement.kit and not movement.substitutes and not _kit_free(movement, library)
        }
        if stuck:
            yield Finding(
                "kit-without-another-way",
                Severity.MUST_FIX,
                f"Without the kit nobody can do the {listed(list(stuck))}.",
                "Give the movement a substitute or an option without kit.",
                day=number,
            )


def _kit_free(movement: Movement, library: dict[str, Movement]) -> bool:
    ways = [library.get(option.movement) for option in movement.options if option.movement]
    described = any(option.name for option in movement.options)
    return described or any(way is not None and not way.kit for way in ways)


def same_kit_all_week(outlook: Outlook) -> Iterator[Finding]:
    """Find days for which a division needs something that it needs on no other day."""
    once: dict[tuple[int, str], list[str]] = defaultdict(list)
    for division in outlook.divisions:
        needs = {
            number: _needs(each.task)
            for (number, name), each in outlook.expected.items()
            if name == division.id
        }
        days = Counter(what for every in needs.values() for what in every)
        with_kit = sum(bool(every) for every in needs.values())
        for number, every in needs.items():
            for what in sorted(every):
                if with_kit > 1 and days[what] == 1:
                    once[number, what].append(division.id)
    for (number, what), names in once.items():
        yield Finding(
            "kit-for-one-day",
            Severity.NOTE,
            f"This day asks for {what}, and no other day does ({outlook.who(names)}).",
            "Say a few days before what to bring, and how to do it without.",
            day=number,
            divisions=tuple(names),
            numbers={"kit": what},
        )


def _needs(task: Task) -> set[str]:
    """Give what a day needs that nothing of the usual can stand in for, in words."""
    found: set[str] = set()
    for rung, movement in zip(task.rungs, task.movements, strict=True):
        kit = _lacking(movement)
        if kit & WEIGHTS:
            found.add("a weight")
            if (rung.load and rung.load.pieces > 1) or Kit.TWO_DUMBBELLS in kit:
                found.add("two weights at once")
        else:
            found |= {f"a {item.value}" for item in kit}
    return found


def promises_are_kept(outlook: Outlook) -> Iterator[Finding]:
    """Find days that break what a division's summary says: no kit, no jumps."""
    for division in outlook.divisions:
        days = [each for (_, name), each in outlook.expected.items() if name == division.id]
        for words, what, broken_by in (
            (_NO_KIT, "need kit", _held),
            (_NO_JUMPS, "count as jumping", _jumped),
        ):
            broken = {each.number: broken_by(each.task) for each in days}
            said = [f"{listed(names)} on day {day}" for day, names in broken.items() if names]
            if said and any(each in division.summary.casefold() for each in words):
                yield Finding(
                    "promise-not-kept",
                    Severity.LOOK_AT,
                    f"{division.name} says “{division.summary}”, but {listed(said)} {what}.",
                    "Choose other movements, or change the division's summary.",
                    divisions=(division.id,),
                )


def _held(task: Task) -> list[str]:
    pairs = zip(task.rungs, task.movements, strict=True)
    return [movement.plural for rung, movement in pairs if rung.load or _lacking(movement)]


def _jumped(task: Task) -> list[str]:
    return [each.plural for each in task.movements if each.pattern is Pattern.JUMP]


def _lacking(movement: Movement) -> set[Kit]:
    """Give what a movement needs that is not at hand everywhere."""
    return set(movement.kit) - AT_HAND


def both_sides_alike(outlook: Outlook) -> Iterator[Finding]:
    """Find odd counts of movements that are done one side at a time."""
    for number, _, divisions in outlook.workout_days():
        odd: dict[str, dict[str, None]] = defaultdict(dict)
        for each in divisions:
            for name in _odd(each.task):
                odd[each.division.id][name] = None
        if odd:
            counts = {name: None for names in odd.values() for name in names}
            yield Finding(
                "uneven-sides",
                Severity.NOTE,
                f"{listed(list(counts))}: an odd count gives one side more ({outlook.who(list(odd))}).",  # noqa: E501
                "Make the count even, or write `each_side: true`.",
                day=number,
                divisions=tuple(odd),
            )


def _odd(task: Task) -> Iterator[str]:
    if task.steps is None:
        return
    rounds = min(task.steps.rounds or _ROUNDS_LOOKED_AT, _ROUNDS_LOOKED_AT)
    for place, (rung, movement) in enumerate(zip(task.rungs, task.movements, strict=True)):
        if not movement.one_sided or rung.each_side or not _counts_reps(rung, movement):
            continue
        counts = [task.steps.counts(number)[place] for number in range(1, rounds + 1)]
        first = next((count for count in counts if count % 2), None)
        if first is not None:
            yield f"{first} {movement.called(first)}"


def _counts_reps(rung: Rung, movement: Movement) -> bool:
    return rung.unit is CountUnit.REPS or (rung.unit is None and movement.unit is CountUnit.REPS)
