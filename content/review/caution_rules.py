"""Is what can hurt said? Looks for words in the cautions, and in what else the day tells people.

It asks for words; whether they are the right ones is for the coach to judge.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from content.movement import CountUnit, Kit, Movement, Pattern
from content.review.finding import Finding, Severity, listed
from content.review.outlook import Expected, Outlook
from content.review.pattern_rules import LOADED_S, quick_reps
from content.workout import Rung

# Outdoors for so long that weather matters. Common practice, no source.
OUTDOORS_S = 5 * 60.0
# Lowering under load so often is much for muscles that are not used to it. Common practice, no
# source for the number. The first days of a challenge, new members and returns after a break are
# when muscle breakdown (rhabdomyolysis) happens: NCAA statement 2018; CSCCa/NSCA consensus,
# Strength Cond J 2019;41(3):1-23. Its signs: CDC/NIOSH page on rhabdomyolysis.
MANY_LOWERED = 150
FIRST_DAYS = 3

_LOWERING = (
    frozenset({Pattern.PUSH}),
    frozenset({Pattern.PULL}),
    frozenset({Pattern.SQUAT, Pattern.LUNGE}),
)
_OVERHEAD = re.compile(r"\b(overhead|above you|above and around)\b", re.IGNORECASE)
_FAST_HINGE = re.compile(r"\b(swing|snatch|clean)\b")


@dataclass(frozen=True, slots=True)
class Topic:
    """Something a day can ask of people, and the words of a caution that speak of it."""

    applies: Callable[[Rung, Movement, float], bool]  # the last: seconds of work on that rung
    spoken_of: re.Pattern[str]
    about: str
    for_example: str


def _words(*stems: str) -> re.Pattern[str]:
    return re.compile(rf"\b({'|'.join(stems)})", re.IGNORECASE)


def _jumps(rung: Rung, movement: Movement, work_s: float) -> bool:
    del rung
    return movement.pattern is Pattern.JUMP and work_s >= LOADED_S


def _goes_out(rung: Rung, movement: Movement, work_s: float) -> bool:
    del rung
    over_ground = movement.unit is CountUnit.METRES
    return over_ground and movement.pattern is Pattern.LOCOMOTION and work_s >= OUTDOORS_S


def _presses_overhead(rung: Rung, movement: Movement, work_s: float) -> bool:
    del work_s
    said = " ".join([movement.standard, *movement.cautions])
    return rung.load is not None and _OVERHEAD.search(said) is not None


def _bends_under_load(rung: Rung, movement: Movement, work_s: float) -> bool:
    del work_s
    return movement.pattern is Pattern.HINGE and (rung.load is not None or bool(movement.kit))


def _throws_about(rung: Rung, movement: Movement, work_s: float) -> bool:
    del rung, work_s
    return bool(movement.kit) and _FAST_HINGE.search(movement.id.replace("-", " ")) is not None


def _stands_on_something(rung: Rung, movement: Movement, work_s: float) -> bool:
    del rung, work_s
    return bool({Kit.BOX, Kit.CHAIR} & set(movement.kit))


def _hangs(rung: Rung, movement: Movement, work_s: float) -> bool:
    del rung, work_s
    return Kit.BAR in movement.kit


TOPICS = (
    Topic(
        _jumps,
        _words("land", "soft", "concrete", "surface", "grass", "jump", "leap"),
        "landing",
        "Land softly on level ground; on concrete, or if a joint complains, step instead.",
    ),
    Topic(
        _goes_out,
        _words("heat", r"hot\b", r"sun\b", "shade", r"cool\b", "drink", "weather", "indoors"),
        "heat",
        "In heat go early, slow down and drink, or choose the option indoors.",
    ),
    Topic(
        _presses_overhead,
        _words("overhead", "above", "over your head", "lean", "shoulder", "ceiling"),
        "weights overhead",
        "Look at the room above you; press only what you can hold without leaning back.",
    ),
    Topic(
        _bends_under_load,
        _words("your back", "the back", "flat", "straight back", "back round", "spine"),
        "the back under load",
        "Stop the set when your back rounds or aches.",
    ),
    Topic(
        _throws_about,
        _words("line of", "space", "room", "clear", "nobody", "people"),
        "room around a weight that swings",
        "Keep people and windows out of the line of the weight.",
    ),
    Topic(
        _stands_on_something,
        _words("rock", "slid", r"tips?\b", "stable", "steady", "sturdy", "firm", "wobbl"),
        "a chair or step that could slide or tip",
        "Check that your chair, bench or step cannot slide or tip.",
    ),
    Topic(
        _hangs,
        _words(r"bar\b", "table", "branch"),
        "whether the bar holds",
        "Test the bar with care before you hang on it.",
    ),
)

_STOP = _words("stop")
_WHY_STOP = _words("pain", "chest", "dizz", "faint", "hurt", "unwell", "breath")
_ASK_FIRST = _words("doctor", "physician", "medical", "physio", "midwife", "condition", "pregnan")
_NEWCOMER = _words("new", "beginner", "sore", "urine", "half", "fewer", "back from")


def asked_for_by_the_day(outlook: Outlook) -> Iterator[Finding]:
    """Find days that ask for a caution that nobody wrote."""
    head = outlook.content.head.cautions
    for number, day, divisions in outlook.workout_days():
        said = " ".join([*day.cautions, *head, day.message or "", day.workout.how or ""])
        missing: dict[Topic, dict[str, None]] = {}
        for topic in TOPICS:
            names = _movements(topic, divisions)
            if names and not topic.spoken_of.search(said):
                missing[topic] = names
        if missing:
            yield _caution_missing(number, missing)


def _caution_missing(number: int, missing: Mapping[Topic, Mapping[str, None]]) -> Finding:
    every = [f"{topic.about} ({listed(list(names))})" for topic, names in missing.items()]
    return Finding(
        "caution-missing",
        Severity.LOOK_AT,
        f"No caution speaks of {', or of '.join(every)}.",
        f"For example: “{' '.join(topic.for_example for topic in missing)}”",
        day=number,
        numbers={"missing": len(missing)},
    )


def _movements(topic: Topic, divisions: Sequence[Expected]) -> dict[str, None]:
    """Give the names of the movements a topic is about, each once, in order."""
    return {
        movement.plural: None
        for each in divisions
        for rung, movement, work in zip(
            each.task.rungs, each.task.movements, each.rung_work_s, strict=True
        )
        if topic.applies(rung, movement, work)
    }


def asked_for_by_every_challenge(outlook: Outlook) -> Iterator[Finding]:
    """Find challenges that do not say when to stop, or who should ask a doctor first."""
    said = outlook.content.head.cautions
    if not any(_STOP.search(text) and _WHY_STOP.search(text) for text in said):
        yield Finding(
            "when-to-stop-missing",
            Severity.MUST_FIX,
            "The challenge's cautions do not say when to stop.",
            "Say it there, so that it stands under every day: stop and get help with chest pain, "
            "dizziness, faintness or unusual breathlessness.",
        )
    if not any(_ASK_FIRST.search(text) for text in said):
        yield Finding(
            "who-asks-first-missing",
            Severity.LOOK_AT,
            "The challenge's cautions do not say who should ask a doctor first.",
            "Name them there: people new to training, pregnant, back from illness, or living with "
            "a heart, joint or other condition.",
        )


def newcomers_lower_themselves_often(outlook: Outlook) -> Iterator[Finding]:
    """Find first days with so many repetitions that newcomers could be harmed."""
    head = outlook.content.head.cautions
    for number, day, divisions in outlook.workout_days():
        if number > FIRST_DAYS or _NEWCOMER.search(" ".join([*day.cautions, *head])):
            continue
        many = {
            each.division.id: found
            for each in divisions
            if (found := _most_lowered(each)).reps >= MANY_LOWERED
        }
        if many:
            yield _much_lowering(outlook, number, many)


@dataclass(frozen=True, slots=True)
class _Lowered:
    reps: int
    movements: tuple[str, ...]


def _most_lowered(each: Expected) -> _Lowered:
    """Give what the quick quarter lowers most often in one division."""
    hard = [not {Kit.WALL, Kit.CHAIR} & set(movement.kit) for movement in each.task.movements]
    found = []
    for patterns in _LOWERING:
        own = [
            reps if heavy and patterns & {movement.pattern, *movement.also} else 0
            for reps, movement, heavy in zip(
                quick_reps(each), each.task.movements, hard, strict=True
            )
        ]
        pairs = zip(own, each.task.movements, strict=True)
        names = dict.fromkeys(movement.plural for reps, movement in pairs if reps)
        found.append(_Lowered(sum(own), tuple(names)))
    return max(found, key=lambda lowered: lowered.reps)


def _much_lowering(outlook: Outlook, number: int, many: Mapping[str, _Lowered]) -> Finding:
    most = max(many.values(), key=lambda lowered: lowered.reps)
    return Finding(
        "much-for-newcomers",
        Severity.LOOK_AT,
        f"A quick person does {most.reps} {listed(most.movements)} or more on one of the first "
        f"days, when muscles are not used to it ({outlook.who(list(many))}).",
        "Tell newcomers in a caution to stop well short (half is plenty), and which signs need a "
        "doctor: pain far beyond soreness, great weakness, dark urine.",
        day=number,
        divisions=tuple(many),
        numbers={"reps": most.reps, "many_from": MANY_LOWERED},
    )
