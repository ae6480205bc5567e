"""Turn a division's items into rungs: counts, units, notes."""

from __future__ import annotations

from collections.abc import Mapping

from pydantic import ValidationError

from content.movement import CountUnit, Movement
from content.shorthand.frame import Frame
from content.shorthand.item import Item
from content.shorthand.sheet import Notes
from content.workout import Rung, Shape

_TIMES = 20  # a bare count of something measured in metres up to this means times


def rung_of(
    item: Item, frame: Frame, library: Mapping[str, Movement], notes: Notes
) -> Rung | None:
    """Make the rung of an item that is one division's own; None when it cannot be one."""
    movement = library[item.movement or ""]
    count, unit = _count(item, frame, movement, notes)
    if count is None and _needs_count(frame) and not _scheme_fills(frame):
        notes.wrong(item.span, f"how many? Write for example “10 {movement.plural}”")
        return None
    if item.each_side and not movement.one_sided:
        notes.wrong(
            item.span,
            f"{movement.plural} are not done one side at a time; write the whole count, without "
            "“each side”",
        )
        return None
    said: dict[str, object] = {"movement": movement.id, "each_side": item.each_side}
    if count is not None and unit is not None:
        said[unit.value] = count
    said |= {"every": item.every, "step": _step(item, count, frame, movement, notes)}
    said |= {"load": item.loads[0] if item.loads else None, "note": _note(item)}
    try:
        return Rung.model_validate(said)
    except ValidationError as error:
        notes.wrong(item.span, reason(error))
        return None


def lacks_count(item: Item, frame: Frame) -> bool:
    """Tell whether an item needs a count and has none."""
    said = bool(item.counts) or item.lasts_s is not None or frame.start is not None
    return _needs_count(frame) and not _scheme_fills(frame) and (item.most or not said)


def reason(error: ValidationError) -> str:
    """Give the first reason of a refusal, in words."""
    first = error.errors()[0]
    context = first.get("ctx", {})
    if first["type"] == "string_too_long":
        return f"too long; at most {context.get('max_length')} characters"
    return str(context.get("error", first["msg"]))


def _needs_count(frame: Frame) -> bool:
    return frame.shape is not Shape.OPEN


def _scheme_fills(frame: Frame) -> bool:
    return frame.shape is Shape.SCHEME


def _count(
    item: Item, frame: Frame, movement: Movement, notes: Notes
) -> tuple[int | None, CountUnit | None]:
    if item.most:
        return None, None
    if item.counts:
        count = item.counts[0]
        return count, item.unit or _bare_unit(count, movement, item, notes)
    if item.lasts_s is not None:
        return item.lasts_s, CountUnit.SECONDS
    if frame.start is not None:
        return frame.start, CountUnit.REPS if movement.unit is CountUnit.METRES else CountUnit(
            movement.unit
        )
    return None, None


def _bare_unit(count: int, movement: Movement, item: Item, notes: Notes) -> CountUnit:
    """Give the unit of a bare number: "400 run" are metres, "10 shuttle runs" are ten of them."""
    if movement.unit is CountUnit.REPS:
        return CountUnit.REPS
    if movement.unit is CountUnit.METRES:
        if count <= _TIMES:
            return CountUnit.REPS
        notes.assume(f"“{notes.sheet.place(item.span).slice}” is taken as {count} metres.")
        return CountUnit.METRES
    notes.assume(f"“{notes.sheet.place(item.span).slice}” is taken as {count} seconds.")
    return CountUnit.SECONDS


def _step(
    item: Item, count: int | None, frame: Frame, movement: Movement, notes: Notes
) -> int | None:
    """Give a rung's own step: none, but 0 for a count that stays while the others climb."""
    if item.step is not None:
        return item.step
    if frame.start is None or count is None or count == frame.start or not item.counts:
        return None
    if item.unit in (CountUnit.METRES, CountUnit.SECONDS):
        return None
    notes.assume(
        f"{movement.plural[:1].upper()}{movement.plural[1:]} stay at {count} in every round."
    )
    return 0


def _note(item: Item) -> str | None:
    parts = [part for part in (item.turn_note, item.note) if part and part.strip()]
    return "; ".join(parts) or None
