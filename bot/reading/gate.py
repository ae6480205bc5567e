"""Tell at a glance that a message is nothing for us: most are, and they must cost little.

A score needs a digit or one of the words without which none is said; a question needs a word
that is evidence of its subject and a sign that something is asked. Sets of words answer that;
what passes is read.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from bot.reading.evidence import Clues
from bot.reading.lexicon import Asked, plain_words, spelled, split
from content.words import Words

_DIGIT = re.compile("[0-9]")
_SCORE_CLASSES = (
    *("round", "rep", "capped", "unfinished", "half", "quarter"),
    *("minute", "second", "mile", "metre", "kilometre", "kilogram"),
)
_SHORTEST_JOINT = 3  # letters
_DONE_CLASSES = ("did", "finished")
# Ideas that a question has, beside its mark; and those that every other message has as well.
_ASKING = frozenset(
    {
        "who",
        "what",
        "which",
        "how",
        "how_much",
        "how_long",
        "when",
        "where",
        "can",
        "must",
        "is_it",
        "tell",
        "please",
        "cannot",
    }
)
_TELL_NOTHING = _ASKING | frozenset(
    {
        "why",
        "would",
        "i",
        "my",
        "you",
        "your",
        "did_you",
        "we",
        "they",
        "someone",
        "without",
        "daily",
        "feel",
        "today",
        "tomorrow",
        "yesterday",
        "family",
    }
)


@dataclass(frozen=True)
class Gate:
    """The words of all languages that let a message through."""

    scores: frozenset[str]
    take_back: frozenset[str]
    done: frozenset[str]
    glued: re.Pattern[str] | None  # number words written as one: "sechsunddreißig"
    asking: Clues
    requests: frozenset[str]
    subjects: frozenset[str]
    evidence: Clues

    @classmethod
    def of(cls, languages: Iterable[Words]) -> Gate:
        """Gather the words of several languages."""
        languages = tuple(languages)
        asked = Asked.of(languages)
        scores: set[str] = set()
        for words in languages:
            numbers = [word for word, value in words.numbers.items() if value != 1]
            scores |= _telling([*numbers, *words.multipliers, *words.ordinals], words)
            scores |= _of_classes(_SCORE_CLASSES, words)
        joints = {
            word
            for words in languages
            if words.joining.glued
            for phrase in (*words.words["and"], *words.multipliers)
            for word in plain_words(phrase)
            if len(word) >= _SHORTEST_JOINT
        }
        return cls(
            glued=re.compile(rf"\w(?:{'|'.join(sorted(joints))})\w") if joints else None,
            scores=frozenset(scores),
            take_back=frozenset(asked.take_back.telling),
            done=frozenset().union(*(_of_classes(_DONE_CLASSES, words) for words in languages)),
            asking=Clues(languages, _ASKING),
            requests=frozenset(asked.requests.telling),
            subjects=frozenset(asked.subjects.telling),
            evidence=Clues(
                languages, {idea for words in languages for idea in words.evidence} - _TELL_NOTHING
            ),
        )

    def may_score(self, text: str, words: Sequence[str]) -> bool:
        """Say whether a plain text may tell a score."""
        return (
            _DIGIT.search(text) is not None
            or not self.scores.isdisjoint(words)
            or (self.glued is not None and self.glued.search(text) is not None)
        )

    def may_be_done(self, words: Sequence[str]) -> bool:
        """Say whether a text may tell that the day was done, which is a score on some days."""
        return not self.done.isdisjoint(words)

    def may_ask(self, text: str, words: Sequence[str]) -> bool:
        """Say whether a plain text may ask something we can answer."""
        asked = "?" in text or not self.requests.isdisjoint(words) or self.asking.in_any_of(words)
        return asked and (not self.subjects.isdisjoint(words) or self.evidence.in_any_of(words))

    def may_take_back(self, words: Sequence[str]) -> bool:
        """Say whether somebody may want their score taken out."""
        return not self.take_back.isdisjoint(words)


def _of_classes(names: Iterable[str], words: Words) -> set[str]:
    return {word for name in names for word in _telling(words.words.get(name, ()), words)}


def _telling(phrases: Iterable[str], words: Words) -> set[str]:
    """Give one word of each phrase, the longest: where it is missing the phrase is not said."""
    forms = (form for phrase in phrases for form in spelled(phrase, words))
    return {max(found, key=len) for form in forms if (found := split(form))}
