"""Words that are evidence of what a question is about: "how long" of a time, "swap" of an option.

Each language lists its words by idea (`evidence` in content/words); the ideas are the same in all
languages, so that what is learned about them in one holds in the others, and in the next one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from collections.abc import Set as AbstractSet

from bot.reading.lexicon import spelled, split
from content.words import Words

_STEM = "*"  # "warmup*" is any word that begins so, "*aste" any that ends so
_SHORTEST_FOREIGN = 4  # letters; a shorter English word is another one elsewhere
_HEAD = 2  # letters; no stem is shorter
_NONE: frozenset[str] = frozenset()


class Evidence:
    """Finds the ideas behind the words of a message, for some languages, the main one first."""

    def __init__(self, languages: Sequence[Words]) -> None:
        """Gather the words of the main language and of those spoken beside it."""
        self._lists = [_Lists(words) for words in languages]

    def found_in(self, words: Sequence[str]) -> Iterator[AbstractSet[str]]:
        """Give for each word the ideas it stands for, or begins a phrase for."""
        for at in range(len(words)):
            yield self._at(words, at)

    def _at(self, words: Sequence[str], at: int) -> AbstractSet[str]:
        main, *others = self._lists
        if found := main.ideas(words, at):
            return found
        if len(words[at]) >= _SHORTEST_FOREIGN:
            for other in others:
                if found := other.ideas(words, at):
                    return found
        return _NONE


class _Lists:
    """The words of one language by the ways they are looked up."""

    def __init__(self, words: Words) -> None:
        self._phrases: dict[str, dict[tuple[str, ...], set[str]]] = {}
        self._beginnings: dict[str, set[str]] = {}
        self._endings: dict[str, set[str]] = {}
        for idea, form in _forms(words):
            self._add(idea, form)
        self._begin_lengths = sorted({len(each) for each in self._beginnings})
        self._end_lengths = sorted({len(each) for each in self._endings})

    def _add(self, idea: str, form: str) -> None:
        phrase = split(form.strip(_STEM))
        if form.startswith(_STEM):
            self._endings.setdefault(phrase[0], set()).add(idea)
        elif form.endswith(_STEM):
            self._beginnings.setdefault(phrase[0], set()).add(idea)
        else:
            known = self._phrases.setdefault(phrase[0], {})
            known.setdefault(phrase, set()).add(idea)

    def ideas(self, words: Sequence[str], at: int) -> set[str]:
        """Give the ideas of the word at a place; of its parts, where an apostrophe joins them."""
        found = self._of(words[at], words, at)
        if not found and "'" in words[at]:
            for part in filter(None, words[at].split("'")):
                found |= self._of(part, (part,), 0)
        return found

    def _of(self, word: str, words: Sequence[str], at: int) -> set[str]:
        found: set[str] = set()
        for phrase, ideas in self._phrases.get(word, {}).items():
            if len(phrase) == 1 or tuple(words[at : at + len(phrase)]) == phrase:
                found |= ideas
        for length in self._begin_lengths:
            found |= self._beginnings.get(word[:length], _NONE)
        for length in self._end_lengths:
            if length < len(word):
                found |= self._endings.get(word[-length:], _NONE)
        return found


def _forms(words: Words) -> Iterator[tuple[str, str]]:
    for idea, phrases in words.evidence.items():
        for phrase in phrases:
            yield from ((idea, form) for form in spelled(phrase, words))


class Clues:
    """Single words of all languages that are evidence, to pass over at a glance what has none."""

    def __init__(self, languages: Iterable[Words], ideas: AbstractSet[str]) -> None:
        """Gather the words and phrases that stand for one of the ideas."""
        plain: set[str] = set()
        begins: set[str] = set()
        phrases: dict[str, list[frozenset[str]]] = {}
        for words in languages:
            for idea, form in _forms(words):
                if idea not in ideas or form.startswith(_STEM):
                    continue
                parts = split(form.strip(_STEM))
                if len(parts) > 1:
                    phrases.setdefault(max(parts, key=len), []).append(frozenset(parts))
                else:
                    (begins if form.endswith(_STEM) else plain).update(parts)
        self._plain = frozenset(plain)
        self._phrases = phrases
        self._begins: dict[str, tuple[str, ...]] = {}  # by the first letters: few words get on
        for each in begins:
            self._begins[each[:_HEAD]] = (*self._begins.get(each[:_HEAD], ()), each)

    def in_any_of(self, words: Sequence[str]) -> bool:
        """Say whether any of the words, or a part behind an apostrophe, is a clue."""
        said = set(words)
        said.update(part for word in words if "'" in word for part in word.split("'"))
        if not self._plain.isdisjoint(said):
            return True
        for word in said & self._phrases.keys():
            if any(phrase <= said for phrase in self._phrases[word]):
                return True
        return any(word.startswith(self._begins.get(word[:_HEAD], ())) for word in said)
