"""Read a workout as a coach jots it, and make the day of it.

The notation is that of any whiteboard; README, "Write a challenge", shows it by example. Nothing
is raised for what people write: what is wrong, asked or assumed comes back beside the day.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from pydantic import ValidationError

from content.challenge import Division, RestDay, WarmUp, WorkoutDay
from content.movement import Movement
from content.shorthand.filling import (
    MOVE_ON_S,
    WORK_S,
    neutral_title,
    proposed_warm_up,
    used_movements,
    usual_cautions,
)
from content.shorthand.listing import Listing, read_list
from content.shorthand.openers import Kind
from content.shorthand.own_movements import define_all
from content.shorthand.rungs import reason
from content.shorthand.sections import (
    Part,
    division_names,
    division_opened,
    parts_of,
)
from content.shorthand.sheet import Notes, Span, sheet_of
from content.shorthand.titles import take_title
from content.shorthand.values import Doubt, Jotted, Mistake
from content.shorthand.vocabulary import Vocabulary
from content.shorthand.warming import warm_up_of
from content.shorthand.workouts import workout_of
from content.workout import Workout

MOST_CHARACTERS = 20_000  # a day is a few hundred
_NOTHING = "no workout found; write for example “AMRAP 12: 10 push-ups, 20 air squats”"


def jot(text: str, *, library: Mapping[str, Movement], divisions: Sequence[Division]) -> Jotted:
    """Read a jotted day.

    Args:
        text: As written, one line or many; up to 20,000 characters.
        library: The movements there are, by id.
        divisions: Those of the challenge, in order; the list without a name is the first one's.

    Returns:
        The day as far as it was understood, or None with the problems that keep it from being
        made, or the doubts if there was nothing else.
    """
    sheet = sheet_of(text[:MOST_CHARACTERS])
    notes = Notes(sheet)
    end = len(sheet.text)
    if len(text) > MOST_CHARACTERS:
        notes.wrong((end, end), f"too long: a day has at most {MOST_CHARACTERS} characters")
    parts = parts_of(sheet, divisions)
    lines = [line for part in parts if part.kind is Kind.MOVEMENT for line in part.lines]
    new = define_all(notes, lines, library, Vocabulary(library)) if lines else []
    known = {**library, **{movement.id: movement for movement in new}}
    day = _Reading(notes, parts, known, Vocabulary(known), divisions).day()
    if day is None and not notes.problems and all(doubt.taken for doubt in notes.doubts):
        notes.wrong((0, end), _NOTHING)
    return Jotted(
        day=None if notes.problems else day,
        movements=tuple(new),
        doubts=tuple(sorted(notes.doubts, key=_by_place)),
        problems=tuple(sorted(notes.problems, key=_by_place)),
        assumed=tuple(notes.assumed),
    )


def _by_place(remark: Doubt | Mistake) -> tuple[int, int]:
    return remark.place.line, remark.place.column


@dataclass(slots=True)
class _Reading:
    """One text on its way to a day."""

    notes: Notes
    parts: list[Part]
    library: dict[str, Movement]
    vocabulary: Vocabulary
    divisions: Sequence[Division]

    def day(self) -> WorkoutDay | RestDay | None:
        """Make the day."""
        title = take_title(self.notes, self.vocabulary, self.parts)
        if any(part.kind is Kind.REST for part in self.parts):
            return self._rest_day(title)
        common = read_list(
            self.notes,
            self.vocabulary,
            self._lines(Kind.WORK),
            named_division=self._named_division,
        )
        own = self._own()
        self._take_from_brackets(common, own)
        warm_ups = [part for part in self.parts if part.kind is Kind.WARM_UP]
        warm_up = warm_up_of(self.notes, warm_ups, self.vocabulary)
        complete = frozenset(
            name for part in self.parts if part.complete for name in part.divisions
        )
        workout = workout_of(
            self.notes,
            common,
            own,
            library=self.library,
            divisions=self.divisions,
            complete=complete,
            how=self._text(Kind.HOW),
        )
        if workout is None:
            return None
        return self._workout_day(title, workout, warm_up, [common, *own.values()])

    def _lines(self, kind: Kind, division: str | None = None) -> list[Span]:
        return [
            line
            for part in self.parts
            if part.kind is kind and (division is None or division in part.divisions)
            for line in part.lines
        ]

    def _text(self, kind: Kind) -> str | None:
        """Give a text of several lines as it was written; None if there is none."""
        lines = [
            self.notes.sheet.verbatim(line)
            for part in self.parts
            if part.kind is kind
            for line in (part.lines or [(0, 0)])
        ]
        return "\n".join(lines) if any(line.strip() for line in lines) else None

    def _own(self) -> dict[str, Listing]:
        """Read the lines of each division that has some."""
        named = {name for part in self.parts for name in part.divisions}
        return {
            division.id: self._own_list(self._lines(Kind.DIVISION, division.id))
            for division in self.divisions
            if division.id in named
        }

    def _own_list(self, lines: Sequence[Span]) -> Listing:
        """Read a division's lines; ask when they have words and no work: "halve everything"."""
        said = read_list(self.notes, self.vocabulary, lines, division=True)
        if said.prose and not said.items and not said.clauses:
            first = self.divisions[0].name
            self.notes.ask(
                said.prose[0],
                f"what does this division do? Taken as the same as {first} for now.",
                taken=f"the same as {first}",
            )
        return said

    def _named_division(self, span: Span) -> tuple[tuple[str, ...], Span] | None:
        """Read "lighter: ..." at the start of what stands in brackets."""
        opened = division_opened(self.notes.sheet, span, division_names(self.divisions))
        if opened is None or opened[1][0] >= opened[1][1]:
            return None
        return opened[0].divisions, opened[1]

    def _take_from_brackets(self, common: Listing, own: dict[str, Listing]) -> None:
        """Give the divisions what stands in brackets behind a movement of the common list."""
        for item in common.items:
            for division, span in item.own:
                said = self._own_list([span])
                listing = own.setdefault(division, Listing())
                listing.prose.extend(said.prose)
                listing.items.extend(
                    replace(
                        each, movement=each.movement or item.movement, instead_of=item.movement
                    )
                    for each in said.items
                )

    def _rest_day(self, title: str | None) -> RestDay | None:
        for part in self.parts:
            if part.kind in (Kind.WORK, Kind.DIVISION, Kind.WARM_UP) and part.lines:
                self.notes.wrong(
                    part.lines[0], "a rest day has no workout; leave out one of the two"
                )
        rest, note = self._text(Kind.REST), self._text(Kind.MESSAGE)
        message = "\n".join(text for text in (rest, note) if text)
        if not message.strip():
            message = "No workout today. Walk, stretch, sleep, drink water."
            self.notes.assume(f"The rest day says: “{message}”")
        if title is None:
            title = "Rest day"
            self.notes.assume("The title is “Rest day”.")
        try:
            return RestDay(kind="rest", title=title, message=message, cautions=self._cautions())
        except ValidationError as error:
            self.notes.wrong((0, 0), reason(error))
            return None

    def _cautions(self) -> tuple[str, ...]:
        return tuple(
            said for line in self._lines(Kind.CAUTION) if (said := self.notes.sheet.verbatim(line))
        )

    def _workout_day(
        self,
        title: str | None,
        workout: Workout,
        warm_up: WarmUp | None,
        listings: Sequence[Listing],
    ) -> WorkoutDay | None:
        used = used_movements(workout.divisions.values(), self.library)
        cautions = self._cautions()
        if not cautions:
            cautions = usual_cautions(used)
            self.notes.assume("The cautions are those of the movements.")
        if warm_up is None:
            warm_up = proposed_warm_up(used, self.library)
            self.notes.assume(
                f"A warm-up of {len(warm_up.movements)} movements, {WORK_S} s each and "
                f"{MOVE_ON_S} s to move on, is proposed."
            )
        if title is None:
            own = used_movements([workout.divisions[self.divisions[0].id]], self.library)
            title = neutral_title(own)
            self.notes.assume(f"The title is “{title}”.")
        try:
            return WorkoutDay(
                kind="workout",
                title=title,
                message=self._message(listings),
                warm_up=warm_up,
                workout=workout,
                cautions=cautions,
            )
        except ValidationError as error:
            self.notes.wrong((0, 0), reason(error))
            return None

    def _message(self, listings: Sequence[Listing]) -> str | None:
        prose = sorted(line for listing in listings for line in listing.prose)
        said = [self.notes.sheet.slice(line).strip() for line in prose]
        for line in said:
            self.notes.assume(f"“{line}” is kept as the message of the day.")
        return "\n".join(text for text in (self._text(Kind.MESSAGE), *said) if text) or None
