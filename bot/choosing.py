"""Tell which choice of a question a reply in words means. Pure; it never guesses.

A reply chooses when all of it is one of these: the words on a button; "the first", "2.", "option
two"; a bare number or time that stands in exactly one choice; "yes" where there is one choice;
"none of them". Whatever else stands in it, and it chooses nothing.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from bot.reading.normalise import normalise
from content import ladder as arithmetic
from content.replies import load_replies, reply_languages
from content.score import Amount, Capped, Finished, RoundsAndReps, Score, Unit
from content.task import Task
from content.units import METRES_PER_MILE, lb_from_grams
from content.words import languages, load_words

NONE = -1
_BARE = re.compile(r"(?P<hash>#?)(?P<n>\d{1,7}(?:[.,]\d{1,3})?)(?P<mark>[.):]?)!{0,3}")
_CLOCK = re.compile(r"(?:(\d{1,2}):)?(\d{1,3}):([0-5]\d)[.!]{0,3}")
_ORDINAL = re.compile(r"(\d{1,2})([a-z]{1,4})")
_PARTS = re.compile(r"\d+|[^\W\d_]+|[-\u2010-\u2015\u2212*/=<>~]")  # those signs change a score
_LONGEST = 80  # no button has more words than that
_MOST = 20  # choices anybody counts


@dataclass(frozen=True, slots=True)
class Offer:
    """One choice: the words on its button in every form, and the numbers that stand for it."""

    words: tuple[str, ...]
    numbers: frozenset[Decimal]
    clock_s: int | None = None


def offer(score: Score, words: Iterable[str], task: Task | None) -> Offer:
    """Describe a choice.

    Args:
        score: What it records.
        words: What stands on its button, with and without what is added to the score.
        task: What the score is judged on, for what was left at the cap; None if that is unknown.
    """
    clock_s = None
    match score:
        case RoundsAndReps():
            numbers = {Decimal(n) for n in (score.rounds, score.reps, score.total_reps)}
        case Finished(time_s=time_s) | Amount(unit=Unit.SECONDS, amount=time_s):
            numbers, clock_s = _of_time(time_s), time_s
        case Capped(total_reps=total):
            numbers = {Decimal(total)}
            if task is not None and task.steps is not None:
                work = arithmetic.total_work(task.steps)
                numbers |= {Decimal(work - total)} if work else set()
        case Amount():
            numbers = _of_amount(score)
        case _:
            numbers = set()
    return Offer(tuple(words), frozenset(numbers - {Decimal(0)}), clock_s)


def _of_time(time_s: int) -> set[Decimal]:
    """Give the bare numbers a time may be told by: in seconds or in whole minutes."""
    return {Decimal(time_s)} | ({Decimal(time_s // 60)} if time_s % 60 == 0 else set())


def _of_amount(score: Amount) -> set[Decimal]:
    amount = Decimal(score.amount)
    numbers = {amount}
    if score.unit is Unit.KILOGRAMS:
        numbers = {amount / 1000, _rounded(lb_from_grams(score.amount))}
    elif score.unit is Unit.METRES:
        numbers |= {amount / 1000, _rounded(amount / METRES_PER_MILE)}
    elif score.total_reps is not None:
        numbers |= {Decimal(score.total_reps)}
    return numbers


def _rounded(amount: Decimal) -> Decimal:
    return amount.quantize(Decimal("0.1"))


def chosen(text: str, offers: Sequence[Offer], *, is_reply: bool = True) -> int | None:
    """Give the index of the choice a text means, NONE for none of them, or None if it is open.

    Args:
        text: What a person wrote; with a question mark in it, it chooses nothing.
        offers: The choices.
        is_reply: It replies to the question. Otherwise "ok" or "the last" may be about anything.
    """
    if not offers or len(text) > _LONGEST:
        return None
    plain = normalise(text).text.strip()
    if "?" in plain:
        return None
    if (by_words := named(text, offers)) is not None:
        return by_words
    by_number = _by_number(plain, offers)
    return _by_phrase(plain, len(offers), is_reply=is_reply) if by_number is None else by_number


def named(text: str, offers: Sequence[Offer]) -> int | None:
    """Give the index of the one choice whose button a text repeats; most signs do not matter."""
    said = _PARTS.findall(normalise(text[:_LONGEST]).text)
    found = [
        n
        for n, each in enumerate(offers)
        if any(said == _PARTS.findall(normalise(words).text) for words in each.words)
    ]
    return found[0] if len(found) == 1 else None


def _by_phrase(plain: str, count: int, *, is_reply: bool) -> int | None:
    known, words = _known(), _words(plain)
    if any(f" {phrase} " in f" {' '.join(words)} " for phrase in known.wait):
        return None
    counting = [phrase for phrase in known.around if phrase[0] not in known.number]
    for said in (words, _without(words, counting), _without(words, known.around)):
        phrase = " ".join(said)
        if phrase in known.loose and not is_reply:
            return None
        if phrase in known.none:
            return NONE
        if phrase in known.yes:
            return 0 if count == 1 else None
        if (place := _place(said, known, count)) is not None:
            return place if 0 <= place < count else None
    return None


def _by_number(plain: str, offers: Sequence[Offer]) -> int | None:
    """Read a bare number or a time; it must stand in one choice, and count no other."""
    if clock := _CLOCK.fullmatch(plain):
        hours, minutes, seconds = (int(part or 0) for part in clock.groups())
        time_s = hours * 3600 + minutes * 60 + seconds
        fits = [n for n, each in enumerate(offers) if each.clock_s == time_s]
        return fits[0] if len(fits) == 1 else None
    bare = _BARE.fullmatch(plain)
    if bare is None:
        return None
    number = Decimal(bare["n"].replace(",", "."))
    fits = [n for n, each in enumerate(offers) if number in each.numbers]
    counted = int(number) - 1 if number == int(number) and 1 <= number <= len(offers) else None
    if bare["hash"]:
        return counted
    meant = {*fits, *([counted] if counted is not None else [])}
    if len(meant) != 1 or not (fits or bare["mark"]):
        return None
    return meant.pop()


def _place(words: Sequence[str], known: _Known, count: int) -> int | None:
    """Read "first", "2nd", "option two", "last"."""
    phrase = " ".join(words)
    if phrase in known.ordinals:
        return known.ordinals[phrase] - 1
    if phrase in known.last and count > 1:
        return count - 1
    if (numbered := _ORDINAL.fullmatch(phrase)) and numbered[2] in known.endings:
        return int(numbered[1]) - 1
    if len(words) == 2 and words[0] in known.number:  # noqa: PLR2004 - "option two"
        told = int(words[1]) if words[1].isdecimal() else known.numbers.get(words[1])
        return told - 1 if told else None
    return None


def _words(plain: str) -> list[str]:
    """Give words, numbers and signs such as a raised thumb; apostrophes and colours go."""
    spaced = "".join(
        sign if sign.isalnum() else ("" if _is_dropped(sign) else _apart(sign))
        for sign in plain.replace("'", "")
    )
    return spaced.split()


def _is_dropped(sign: str) -> bool:
    return unicodedata.category(sign) in {"Sk", "Mn", "Cf"}


def _apart(sign: str) -> str:
    return f" {sign} " if unicodedata.category(sign) == "So" else " "


def _without(words: Sequence[str], around: Iterable[Sequence[str]]) -> list[str]:
    """Take away, from both ends, words that may stand around the rest."""
    rest, before = list(words), -1
    while len(rest) != before:
        before = len(rest)
        for phrase in around:
            size = len(phrase)
            if rest[:size] == list(phrase):
                rest = rest[size:]
            if rest and rest[-size:] == list(phrase):
                rest = rest[:-size]
    return rest


@dataclass(frozen=True)
class _Known:
    """The words of all languages; one that means two things in two of them means nothing."""

    yes: frozenset[str]
    none: frozenset[str]
    last: frozenset[str]
    loose: frozenset[str]
    wait: frozenset[str]
    number: frozenset[str]
    around: tuple[tuple[str, ...], ...]  # the longest first
    ordinals: Mapping[str, int]
    numbers: Mapping[str, int]
    endings: frozenset[str]


@cache
def _known() -> _Known:
    replies = [load_replies(language) for language in reply_languages()]
    words = [load_words(language) for language in languages()]
    around = {tuple(_plain(phrase).split()) for each in replies for phrase in each.around}
    return _Known(
        yes=frozenset(_plain(phrase) for each in replies for phrase in each.yes),
        none=frozenset(_plain(phrase) for each in replies for phrase in each.none),
        last=frozenset(_plain(phrase) for each in replies for phrase in each.last),
        loose=frozenset(_plain(phrase) for each in replies for phrase in each.loose),
        wait=frozenset(_plain(phrase) for each in replies for phrase in each.wait),
        number=frozenset(_plain(phrase) for each in replies for phrase in each.number),
        around=tuple(sorted(around, key=lambda phrase: (-len(phrase), phrase))),
        ordinals=_agreed(pair for each in words for pair in each.ordinals.items()),
        numbers=_agreed(pair for each in words for pair in each.numbers.items()),
        endings=frozenset(_plain(end) for each in words for end in each.ordinal_endings),
    )


def _agreed(pairs: Iterable[tuple[str, int]]) -> dict[str, int]:
    told: dict[str, set[int]] = {}
    for word, value in pairs:
        told.setdefault(_plain(word), set()).add(value)
    return {
        word: value
        for word, values in told.items()
        for value in values
        if len(values) == 1 and value <= _MOST
    }


def _plain(phrase: str) -> str:
    return " ".join(_words(normalise(phrase).text))
