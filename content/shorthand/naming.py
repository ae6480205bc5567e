"""Find out which movement an item means: by its name, with a slip, or by asking."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from content.fields import Load
from content.movement import Kit
from content.shorthand.english import EMPTY, FILLER, MANNER, PAUSES, TAIL, TALK, is_manner, is_talk
from content.shorthand.pieces import Pieces
from content.shorthand.sheet import Span
from content.shorthand.vocabulary import WORD, Vocabulary, kit_named, singular, words_of

_NEAREST = 5
_INSTEAD = re.compile(r"instead of|in place of|\bfor\b|replac(?:e|ing)|rather than|\bnot\b")
_BECOMES = re.compile(r"->|=>|\bbecomes?\b|\bwith\b|\bby\b|\bto\b|=")
# Stands for the load of a heaviest lift, which nobody has written: there will be one.
_SOME_LOAD = Load(grams=1000)


@dataclass(slots=True)
class Naming:
    """The search for one item's movement; what it finds goes into the pieces' item."""

    pieces: Pieces
    vocabulary: Vocabulary
    heavy: bool  # a heaviest lift is asked for: "squat" is one with a load
    conditional: bool = False  # "if it hurts" or the like stands before it

    def name(self, names: Sequence[Span]) -> bool:
        """Find the movement; False when the item says nothing that can be used.

        Args:
            names: Where on the sheet names of movements stand in the item.
        """
        left = self._unexplained()
        if self._is_condition(names, left):
            self._keep(names)
            return False
        if len(names) > 1:
            names = self._one_of(names)
        if names:
            self._known(names[0], left)
            return True
        if left and not self._only_kit(left):
            return self._without_a_name(left)
        item = self.pieces.item
        said = item.counts or item.loads or item.lasts_s or item.each_side
        return bool(said or item.most or item.no_load or self.pieces.remarks)

    def _is_condition(self, names: Sequence[Span], left: Sequence[Span]) -> bool:
        """Tell "every time you stop do 3 burpees" from work: words to the people lead to it."""
        if self.conditional and names:
            return True
        if not names or not left:
            return False
        text = self.pieces.text
        name = names[0][0] - self.pieces.span[0]
        number = re.search(r"\d", self.written_before(names[0]))
        first = min(name, number.start()) if number else name
        return any(self._word(place) in TALK and place[1] <= first for place in left) or (
            text[:first].strip().startswith("every time")
        )

    def written_before(self, name: Span) -> str:
        """Give what was written of the item before a name, numbers that were taken included."""
        return self.pieces.notes.sheet.text[self.pieces.span[0] : name[0]]

    def _keep(self, names: Sequence[Span] = ()) -> None:
        """Keep words to the people as a note of the day; where a movement is named, ask too."""
        pieces = self.pieces
        pieces.talk.append(pieces.span)
        if names:
            pieces.notes.ask(
                pieces.span,
                "is this part of the list? It is kept as a note to the people for now.",
                taken="a note",
            )

    def _only_kit(self, left: Sequence[Span]) -> bool:
        """Tell whether a load is all there is: "2 x 22.5 kg dumbbells"."""
        loaded = bool(self.pieces.item.loads)
        return loaded and all(kit_named(self._word(place)) for place in left)

    def _word(self, place: Span) -> str:
        return self.pieces.text[place[0] : place[1]]

    def _written(self, span: Span) -> str:
        return self.pieces.notes.sheet.slice(span).strip()

    def _unexplained(self) -> list[Span]:
        """Give the words that nothing has explained, by their place in the item's text."""
        return [
            found.span()
            for found in WORD.finditer(self.pieces.text)
            if found[0] not in EMPTY and not found[0].isdigit()
        ]

    def _mean(self, movement: str) -> None:
        self.pieces.item = replace(self.pieces.item, movement=movement)

    def _one_of(self, names: Sequence[Span]) -> Sequence[Span]:
        """Read "knee push-ups instead of push-ups" and "push-ups -> knee push-ups"."""
        sheet, pieces = self.pieces.notes.sheet, self.pieces
        first, second = names[0], names[1]
        between = sheet.text[first[1] : second[0]]
        if _INSTEAD.search(between):
            new, old = first, second
        elif _BECOMES.search(between):
            new, old = second, first
        else:
            if re.fullmatch(r"\W{0,3}or\W{0,3}", between):
                self._ask_or(first, second)
            pieces.remarks.append(self._written((second[0], names[-1][1])))
            return names[:1]
        meaning = self.vocabulary.meaning(words_of(sheet.text[old[0] : old[1]]))
        if meaning is not None:
            pieces.item = replace(pieces.item, instead_of=meaning.ids[0])
        said = self._written(new), self._written(old)
        pieces.remarks = [
            remark for remark in pieces.remarks if not any(name in remark for name in said)
        ]
        return [new]

    def _ask_or(self, first: Span, second: Span) -> None:
        one = self._written(first)
        self.pieces.notes.ask(
            (first[0], second[1]),
            f"which of the two? Taken as {one} for now, with the other as a note.",
            taken=one,
        )

    # A known name ------------------------------------------------------------------------------

    def _known(self, span: Span, left: list[Span]) -> None:
        words = words_of(self.pieces.notes.sheet.text[span[0] : span[1]])
        kits = [kit for place in left if (kit := kit_named(self._word(place)))]
        kit = kits[0] if kits else None
        meaning = self.vocabulary.meaning(words, load=self._load(), kit=kit)
        if meaning is None:
            return
        ids = meaning.ids
        self._mean(ids[0])
        strange = [
            place
            for place in left
            if not is_manner(self._word(place)) and not self._kit_fits(place, ids[0])
        ]
        if strange:
            self._strange(span, strange, ids)
        elif not meaning.sure:
            self._ask_which(span, ids)
        elif len(ids) > 1:
            self._say_usual(span, ids[0])
        manner = [place for place in left if is_manner(self._word(place))]
        if manner:
            self.pieces.remarks.insert(0, " ".join(self.pieces.slice(*place) for place in manner))

    def _load(self) -> Load | None:
        loads = self.pieces.item.loads
        return loads[0] if loads else _SOME_LOAD if self.heavy else None

    def _kit_fits(self, place: Span, movement: str) -> bool:
        kit = kit_named(self._word(place))
        known = self.vocabulary.library[movement]
        needs = {*known.kit, *known.substitutes}
        return kit in needs or (kit is Kit.DUMBBELL and Kit.TWO_DUMBBELLS in needs)

    def _say_usual(self, span: Span, movement: str) -> None:
        said, known = self._written(span), self.vocabulary.library[movement]
        own = {singular("".join(words_of(name))) for name in (known.name, known.plural)}
        if singular("".join(words_of(said))) not in own:
            self.pieces.notes.assume(f"“{said}” is taken as {known.plural}.")

    def _ask_which(self, span: Span, ids: Sequence[str]) -> None:
        library, said = self.vocabulary.library, self._written(span)
        others = ", ".join(library[name].name for name in ids[1:_NEAREST])
        self.pieces.notes.ask(
            span,
            f"which “{said}”? Taken as {library[ids[0]].plural} for now; "
            f"it could also be {others}.",
            nearest=ids[:_NEAREST],
            taken=ids[0],
        )

    def _strange(self, span: Span, strange: list[Span], ids: Sequence[str]) -> None:
        """Ask about words beside a known name: in front, they may make another movement of it."""
        places = [self.pieces.at(*place) for place in strange]
        whole = min(span[0], places[0][0]), max(span[1], places[-1][1])
        sheet = self.pieces.notes.sheet
        words = words_of(sheet.text[whole[0] : whole[1]])
        slipped = self.vocabulary.slipped(" ".join(words))
        if slipped is not None:
            self._slip(whole, slipped)
        elif places[0][0] < span[0]:
            near = self.vocabulary.near(" ".join(words))
            self._ask_what(whole, tuple(dict.fromkeys((*near, *ids)))[:_NEAREST])
            self.pieces.item = replace(self.pieces.item, movement=None, unknown=True)
        elif self.vocabulary.knows([*words[len(words) - len(strange) :], *self._name(span)]):
            self._slip(whole, [*words[len(words) - len(strange) :], *self._name(span)])
        else:
            said = " ".join(self.pieces.slice(*place) for place in strange)
            self.pieces.remarks.insert(0, said)
            name = self.vocabulary.library[ids[0]].plural
            self.pieces.notes.assume(f"“{said}” behind {name} is kept as a note.")

    def _name(self, span: Span) -> list[str]:
        return words_of(self.pieces.notes.sheet.text[span[0] : span[1]])

    # No known name -----------------------------------------------------------------------------

    def _without_a_name(self, left: list[Span]) -> bool:
        """Read a pause, a manner, a name with a slip; or ask."""
        pieces = self.pieces
        said = {self._word(place) for place in left}
        if said <= PAUSES:
            pieces.item = replace(pieces.item, pause=True)
            return True
        if said <= MANNER and not pieces.item.counts:
            pieces.remarks.insert(0, " ".join(pieces.slice(*place) for place in left))
            return True
        if said & PAUSES and not pieces.item.counts:  # "rest in the time left"
            self._keep()
            return False
        words = words_of(pieces.notes.sheet.text[pieces.span[0] : pieces.span[1]])
        leads = words[0].isdigit() or (bool(pieces.item.counts) and words[0] not in TALK | FILLER)
        if is_talk(words, [self._word(place) for place in left], leads=leads):
            self._keep()
            return False
        name, before, behind = self._parted(left)
        span = pieces.at(name[0][0], name[-1][1])
        query = " ".join(self._word(place) for place in name)
        slipped = self.vocabulary.slipped(query)
        if slipped is None:
            self._ask_what(span, self.vocabulary.near(query))
            return False
        pieces.remarks[:0] = [remark for remark in (before, behind) if remark]
        self._slip(span, slipped)
        return True

    def _parted(self, left: list[Span]) -> tuple[list[Span], str, str]:
        """Part the words into those of the name, and the remarks before and behind it."""
        pieces = self.pieces
        name = [place for place in left if self._word(place) not in MANNER] or left
        before = " ".join(pieces.slice(*place) for place in left if place < name[0])
        tail = TAIL.search(pieces.text, name[0][1])
        if tail is None:
            return name, before, ""
        behind = pieces.slice(tail.start(), len(pieces.text)).rstrip(" .,;:!")
        return [place for place in name if place[0] < tail.start()], before, behind

    def _slip(self, span: Span, right: Sequence[str]) -> None:
        meaning = self.vocabulary.meaning(right, load=self._load())
        if meaning is None:
            return
        self._mean(meaning.ids[0])
        if meaning.sure:
            name = self.vocabulary.library[meaning.ids[0]].plural
            self.pieces.notes.assume(f"“{self._written(span)}” is read as {name}.")
        else:
            self._ask_which(span, meaning.ids)

    def _ask_what(self, span: Span, near: Sequence[str]) -> None:
        said = self._written(span)
        names = ", ".join(self.vocabulary.library[name].name for name in near)
        meant = f"Is it one of {names}? Or" if near else "If it is"
        self.pieces.notes.ask(
            span,
            f"I do not know “{said}”, it is left out for now. {meant} a movement of your own: "
            f"then add a line such as “movement: {said}; pattern: squat; option: an easier way; "
            "counts: what makes a repetition”.",
            nearest=near,
        )
