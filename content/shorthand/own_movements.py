"""Lines that define a movement of the organiser's own: "movement: crab reach; pattern: ..."."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pydantic import ValidationError

from content.movement import CountUnit, Kit, Movement, Option, Pattern
from content.shorthand.rungs import reason
from content.shorthand.sheet import Notes, Span, trimmed
from content.shorthand.vocabulary import Vocabulary, words_of

_KEY = re.compile(
    r" {0,4}(pattern|options?|easier|counts?(?: as)?|standard|no-?reps?|faults?|cue|kit|needs|"
    r"unit|measured in|plural|also|nicknames?|one[- ]sided|sides?|caution) {0,2}[:=] {0,4}"
)
_MEANS = {
    "options": "option",
    "easier": "option",
    "count": "counts",
    "counts as": "counts",
    "count as": "counts",
    "standard": "counts",
    "norep": "no-rep",
    "no-reps": "no-rep",
    "noreps": "no-rep",
    "fault": "no-rep",
    "faults": "no-rep",
    "needs": "kit",
    "measured in": "unit",
    "nickname": "also",
    "nicknames": "also",
    "one-sided": "sides",
    "one sided": "sides",
    "side": "sides",
}
# Wide enough for anything people do, where the library has nothing alike; seconds each.
_ANY_PACE = (0.8, 6.0)


@dataclass(frozen=True, slots=True)
class _Said:
    text: str
    span: Span


def define(
    notes: Notes, line: Span, library: Mapping[str, Movement], vocabulary: Vocabulary
) -> Movement | None:
    """Read one line that defines a movement; what is missing or wrong is noted."""
    name, said = _pieces(notes, line)
    missing = [key for key in ("pattern", "option", "counts") if key not in said]
    pattern = _pattern(notes, said.get("pattern"))
    unit = _unit(notes, said.get("unit"))
    kit = _kit(notes, said.get("kit"))
    if not words_of(name):
        notes.wrong(
            line, "a new movement needs a name: “movement: crab reach; pattern: core; ...”"
        )
        return None
    if missing:
        asked = {
            "pattern": f"pattern ({', '.join(Pattern)})",
            "option": "option (an easier way without kit)",
            "counts": "counts (what makes a repetition)",
        }
        notes.wrong(
            line, f"the movement {name} also needs: {'; '.join(asked[k] for k in missing)}"
        )
    if missing or pattern is None or unit is None or kit is None:
        return None
    movement_id = "-".join(words_of(name))[:40].strip("-")
    if movement_id in library:
        notes.wrong(
            line, f"there is a movement {library[movement_id].name} already; just write it"
        )
        return None
    return _made(
        notes, line, said, library, vocabulary, name=name, pattern=pattern, unit=unit, kit=kit
    )


def _pieces(notes: Notes, line: Span) -> tuple[str, dict[str, _Said]]:
    """Cut "name; key: value; key: value" into its pieces; a piece without a key goes on."""
    text, said, name = notes.sheet.text, dict[str, _Said](), ""
    at, key = line[0], ""
    for piece in text[line[0] : line[1]].split(";"):
        span = trimmed(text, (at, at + len(piece)))
        at += len(piece) + 1
        found = _KEY.match(text, span[0], span[1])
        if found is not None:
            key = _MEANS.get(found[1], found[1])
            span = found.end(), span[1]
        written = notes.sheet.slice(span).strip()
        if not key:
            name = written
        elif key in said:
            said[key] = _Said(f"{said[key].text}; {written}", said[key].span)
        else:
            said[key] = _Said(written, span)
    return name, {key: value for key, value in said.items() if value.text}


def _pattern(notes: Notes, said: _Said | None) -> Pattern | None:
    if said is None:
        return None
    word = (words_of(said.text) or [""])[0]
    if word in set(Pattern):
        return Pattern(word)
    notes.wrong(said.span, f"a pattern is one of {', '.join(Pattern)}")
    return None


def _unit(notes: Notes, said: _Said | None) -> CountUnit | None:
    if said is None:
        return CountUnit.REPS
    for unit in (CountUnit.REPS, CountUnit.METRES, CountUnit.SECONDS):
        if said.text.casefold().startswith(
            (unit.value[:3], "meter" if unit is CountUnit.METRES else unit.value)
        ):
            return unit
    notes.wrong(said.span, "it is measured in reps, metres or seconds")
    return None


def _kit(notes: Notes, said: _Said | None) -> tuple[Kit, ...] | None:
    if said is None or said.text.casefold() in {"none", "no", "nothing"}:
        return ()
    kit = []
    for word in re.split(r"[,/&]| and ", said.text.casefold()):
        name = "-".join(words_of(word))
        if name not in set(Kit):
            notes.wrong(said.span, f"kit is one of {', '.join(Kit)}")
            return None
        kit.append(Kit(name))
    return tuple(kit)


def _made(
    notes: Notes,
    line: Span,
    said: Mapping[str, _Said],
    library: Mapping[str, Movement],
    vocabulary: Vocabulary,
    *,
    name: str,
    pattern: Pattern,
    unit: CountUnit,
    kit: tuple[Kit, ...],
) -> Movement | None:
    options = _options(notes, said["option"], library, vocabulary)
    standard = _sentence(said["counts"].text)
    try:
        made = Movement.model_validate(
            {
                "id": "-".join(words_of(name))[:40].strip("-"),
                "name": name.lower(),
                "plural": said["plural"].text if "plural" in said else _plural(name.lower(), unit),
                "nicknames": tuple(
                    part.strip() for part in said["also"].text.split(",") if part.strip()
                )
                if "also" in said
                else (),
                "pattern": pattern,
                "one_sided": "sides" in said
                and not said["sides"].text.casefold().startswith("no"),
                "unit": unit,
                "pace": _pace(pattern, unit, library),
                "kit": kit,
                "standard": standard,
                "faults": (_sentence(said["no-rep"].text),)
                if "no-rep" in said
                else ("What is said to count is not met.",),
                "cue": _sentence(said["cue"].text) if "cue" in said else standard,
                "options": options,
                "cautions": (_sentence(said["caution"].text),) if "caution" in said else (),
            }
        )
    except ValidationError as error:
        notes.wrong(line, f"the movement {name}: {reason(error)}")
        return None
    if "no-rep" not in said or "cue" not in said:
        notes.assume(f"The new movement {made.name} has its cue and no-rep from what counts.")
    notes.assume(f"For {made.plural}, the usual pace of other {pattern} movements holds.")
    return made


def _options(
    notes: Notes, said: _Said, library: Mapping[str, Movement], vocabulary: Vocabulary
) -> tuple[Option, ...]:
    options = []
    for part in said.text.split(";"):
        meaning = vocabulary.meaning(words_of(part))
        movement = library[meaning.ids[0]] if meaning else None
        if movement is not None:
            options.append(Option(movement=movement.id, how=movement.cue))
        elif part.strip():
            options.append(Option(name=part.strip()[:400], how=_sentence(part.strip()[:390])))
    last = library[options[-1].movement] if options and options[-1].movement else None
    if last is not None and last.kit:
        notes.wrong(
            said.span, f"the last option must need no kit, {last.name} needs a {last.kit[0]}"
        )
    return tuple(options)


def _pace(
    pattern: Pattern, unit: CountUnit, library: Mapping[str, Movement]
) -> tuple[float, float]:
    """Give the widest pace of the library's movements of that kind."""
    alike = [m.pace for m in library.values() if m.pattern is pattern and m.unit is unit]
    if not alike:
        return (1.0, 1.0) if unit is CountUnit.SECONDS else _ANY_PACE
    return min(fast for fast, _ in alike), max(slow for _, slow in alike)


def _plural(name: str, unit: CountUnit) -> str:
    if unit is not CountUnit.REPS or name.endswith("s"):
        return name
    return f"{name}es" if name.endswith(("ch", "sh", "x")) else f"{name}s"


def _sentence(text: str) -> str:
    text = text.strip()
    text = text[:1].upper() + text[1:]
    return text if not text or text[-1] in ".!?" else f"{text}."


def define_all(
    notes: Notes, lines: Sequence[Span], library: Mapping[str, Movement], vocabulary: Vocabulary
) -> list[Movement]:
    """Read every line that defines a movement."""
    known = dict(library)
    made = []
    for line in lines:
        movement = define(notes, line, known, vocabulary)
        if movement is not None:
            known[movement.id] = movement
            made.append(movement)
    return made
