"""Take an item apart: brackets, loads, counts, sides, and a remark behind the name."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from pydantic import ValidationError

from content.movement import CountUnit
from content.shorthand.clause import ROUND
from content.shorthand.clauses import NAME
from content.shorthand.english import EMPTY, TAIL
from content.shorthand.item import Item
from content.shorthand.measures import (
    NUMBER,
    loads,
    metres,
    number,
    seconds,
)
from content.shorthand.piece_words import (
    A_LOAD,
    BARE,
    CALORIES,
    COUNT,
    EACH_SIDE,
    EVERY,
    KIT_AND_LOAD,
    LASTS,
    LENGTH,
    MAX,
    NO_LOAD,
    PAIR,
    SECONDS_BEHIND,
    SETS,
    SETS_OF,
    STEP,
    TWO_OF_THEM,
)
from content.shorthand.sheet import Notes, Span, trimmed
from content.shorthand.vocabulary import words_of

# Reads "lighter: ..." at the start of what stands in brackets.
NamedDivision = Callable[[Span], tuple[tuple[str, ...], Span] | None]

_ROUNDS = re.compile(rf"\d ?{ROUND}(?!\w)")  # of the whole: the list knows what it says of them
_MOST = 10_000  # of anything on one rung


@dataclass(slots=True)
class Pieces:
    """An item on its way: what is understood leaves `text`, which keeps its length.

    `text` has names and brackets blotted out. `remarks` become the note.
    """

    notes: Notes
    span: Span
    text: str
    item: Item
    has_kit: bool  # its movement is done with kit: "24/16" may be its loads
    named_division: NamedDivision
    talk: list[Span] = field(default_factory=list)  # words to the people go here
    remarks: list[str] = field(default_factory=list)

    def take_all(self, brackets: Sequence[Span]) -> None:
        """Take everything out but the name and the words beside it."""
        for span in brackets:
            self._take(span[0] - self.span[0], span[1] - self.span[0])
            self._bracket(span)
        self._remark_behind()
        if self._found(NO_LOAD):
            self.item = replace(self.item, no_load=True)
        self._loads()
        if self._found(EACH_SIDE):
            self.item = replace(self.item, each_side=True)
        if found := self._found(EVERY):
            self.item = replace(self.item, every=int(found[1]))
        if self._found(MAX):
            self.item = replace(self.item, most=True)
        self._counts()

    def slice(self, start: int, end: int) -> str:
        """Give what was written at a place of `text`."""
        return self.notes.sheet.slice(self.at(start, end)).strip()

    def at(self, start: int, end: int) -> Span:
        """Give the place on the sheet of a place of `text`."""
        return self.span[0] + start, self.span[0] + end

    def _take(self, start: int, end: int) -> None:
        self.text = self.text[:start] + " " * (end - start) + self.text[end:]

    def _found(self, pattern: re.Pattern[str]) -> re.Match[str] | None:
        """Find something, and take it out."""
        found = pattern.search(self.text)
        if found is not None:
            self._take(*found.span())
        return found

    def _bracket(self, span: Span) -> None:
        sheet = self.notes.sheet
        written = sheet.slice(span).rstrip()
        if written.startswith('("') and written.endswith('")'):
            self.remarks.append(written[2:-2])
            return
        inner = trimmed(sheet.text, (span[0] + 1, span[1] - 1))
        text = sheet.text[inner[0] : inner[1]]
        if (division := self.named_division(inner)) is not None:
            own = tuple((name, division[1]) for name in division[0])
            self.item = replace(self.item, own=(*self.item.own, *own))
        elif not self._detail(text, inner):
            said = sheet.slice(inner).strip()
            self.remarks.append(said)
            if A_LOAD.search(text):  # "(women 16 kg)"
                self.notes.ask(
                    inner,
                    "for whom? It is kept as a note for now; write a division's name in front, "
                    "such as “(lighter: 16 kg)”.",
                    taken="a note",
                )
            elif re.search(r"\d", text) and not _ROUNDS.search(text):
                self.notes.ask(
                    inner,
                    "what does this number say? It is kept as a note for now.",
                    taken="a note",
                )

    def _detail(self, text: str, span: Span) -> bool:
        """Read what says more of the count or the load, if that is all that is in brackets."""
        if found := STEP.fullmatch(text):
            sign = 1 if found["way"] == "more" else -1
            step = 0 if found["same"] else number(found["n"]) * sign
            self.item = replace(self.item, step=step)
        elif found := EVERY.fullmatch(text):
            self.item = replace(self.item, every=int(found[1]))
        elif EACH_SIDE.fullmatch(text):
            self.item = replace(self.item, each_side=True)
        elif NO_LOAD.fullmatch(text):
            self.item = replace(self.item, no_load=True)
        elif any(form.fullmatch(text) for form in self._load_forms()):
            self._load(text, span)
        elif self.has_kit and (found := KIT_AND_LOAD.fullmatch(text)):
            self._load(found["load"], span)
        else:
            return False
        return True

    def _load_forms(self) -> tuple[re.Pattern[str], ...]:
        return (A_LOAD, BARE, PAIR) if self.has_kit else (A_LOAD, BARE)

    def _remark_behind(self) -> None:
        """Take "with feet on a chair" and the like off the end."""
        name_end = self.text.rfind(NAME)
        found = TAIL.search(self.text, max(0, name_end))
        if found is None or name_end < 0:
            return
        start = found.start()
        if A_LOAD.match(self.text, start) or EACH_SIDE.match(self.text, start):
            return
        said = self.slice(start, len(self.text))
        if any(word not in EMPTY for word in words_of(said)) and not re.search(r"\d", said):
            self.remarks.append(said.rstrip(" .,;:!"))
            self._take(start, len(self.text))

    def _loads(self) -> None:
        found = A_LOAD.search(self.text) or BARE.search(self.text)
        if found is None and self.has_kit:
            pairs = list(PAIR.finditer(self.text))
            if len(pairs) > 1 or (pairs and re.search(NUMBER, PAIR.sub(" ", self.text))):
                found = pairs[-1]
            found = found or self._two_of_them()
        if found is not None:
            self._take(*found.span())
            self._load(found[0], self.at(*found.span()))

    def _two_of_them(self) -> re.Match[str] | None:
        """Read "12 thrusters 2x10" as a load: a count stands there already."""
        found = TWO_OF_THEM.search(self.text)
        if found is None or not re.search(NUMBER, TWO_OF_THEM.sub(" ", self.text)):
            return None
        return found

    def _load(self, text: str, span: Span) -> None:
        try:
            made = loads(text)
        except ValidationError:
            self.notes.wrong(
                span, "a load is more than nothing and at most 400 kg, such as 24/16 kg"
            )
            return
        self.item = replace(self.item, loads=made)
        said = self.notes.sheet.slice(span).strip()
        if re.search(r"poods?|pd", text):
            sold = " and ".join(f"{load.grams // 1000} kg" for load in made)
            self.notes.assume(
                f"“{said}” is taken as bells of {sold}: a pood is 16.38 kg, and bells are sold in "
                "steps of 4 kg."
            )
        elif not re.search(r"k|lb|pound|#", text):
            self.notes.assume(f"“{said}” is taken as kilograms.")

    def _counts(self) -> None:
        if found := CALORIES.search(self.text):
            self._count(found, CountUnit.CALORIES, _numbers(found[1]))
        elif found := LENGTH.search(self.text):
            self._count(found, CountUnit.METRES, metres(found[0]))
            self._sets_before(found.start())
        elif found := LASTS.search(self.text):
            self._lasts(found)
        elif (found := SETS.search(self.text)) and number(found["s"]) > 0:
            self.item = replace(self.item, sets=number(found["s"]))
            self._count(found, CountUnit.REPS, _numbers(found["n"]))
        else:
            self._plain_count()

    def _lasts(self, found: re.Match[str]) -> None:
        """Keep a duration, and in "6 x 40 s" how often."""
        self.item = replace(self.item, lasts_s=seconds(found["d"]))
        self._take(*found.span())
        self._sets_before(found.start())

    def _sets_before(self, end: int) -> None:
        before = SETS_OF.search(self.text[:end])
        if before is not None:
            self.item = replace(self.item, sets=number(before["s"]))
            self._take(*before.span())

    def _plain_count(self) -> None:
        every = list(COUNT.finditer(self.text))
        sure = [found for found in every if found["x"] or found["behind"]]
        if len(every) == 2 and every[1]["x"] and not every[0]["x"]:  # noqa: PLR2004
            self.item = replace(self.item, sets=_numbers(every[1]["x"])[0])  # "10 push-ups x 3"
            self._take(*every[1].span())
            sure = every[:1]
        for found in (sure or every)[:1]:
            reps = "rep" in (found["behind"] or "")
            if self._found(SECONDS_BEHIND):  # "15 wall sit secs"
                self.item = replace(self.item, unit=CountUnit.SECONDS)
                self._count(found, CountUnit.SECONDS, _numbers(found["x"] or found["n"]))
                return
            self._count(
                found, CountUnit.REPS if reps else None, _numbers(found["x"] or found["n"])
            )

    def _count(
        self, found: re.Match[str], unit: CountUnit | None, counts: tuple[int, ...]
    ) -> None:
        self._take(*found.span())
        if not counts or any(not 1 <= count <= _MOST for count in counts):
            self.notes.wrong(
                self.at(*found.span()), f"a count is a whole number from 1 to {_MOST}"
            )
            counts = (1,)
        self.item = replace(self.item, counts=counts, unit=unit)


def _numbers(text: str) -> tuple[int, ...]:
    return tuple(number(part.strip()) for part in text.split("/"))
