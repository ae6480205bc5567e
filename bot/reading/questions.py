"""Tell what a question is about, and which movement it names."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence

from bot.reading.evidence import Evidence
from bot.reading.lexicon import Lexicon, MovementName
from bot.reading.subjects import MOVEMENT, Heard, Likely, likely
from bot.reading.token import Token
from bot.reading.values import About, Question
from content.movement import Movement

# Subjects that make sense with a movement beside them.
_ABOUT_MOVEMENTS = {About.OPTION, About.STANDARD, About.KIT, About.LOAD, About.SAFETY}
_SHORTEST_SLIP = 5
_MOST_SLIPS = 20  # words looked at; each costs a comparison with every name
_MOST_BUTTONS = 4
# How likely a question must be ours, and its subject the right one. A wrong answer is worse than
# none, unless somebody waits for ours. Chosen by the figures of `python -m tests.bench questions`.
_LIKELY_ENOUGH = 0.5
_ENOUGH_IF_ADDRESSED = 0.25

Judge = Callable[[Heard], Likely]


def read_question(
    heard: Heard,
    words: Sequence[str],
    lexicon: Lexicon,
    *,
    nearest_first: Sequence[Collection[str]],
    movements: Mapping[str, Movement],
    is_addressed: bool,
    beside_a_score: bool = False,
    judge: Judge = likely,
) -> Question | None:
    """Classify a question.

    Args:
        heard: What tells the subject.
        words: The message's words in plain form.
        lexicon: The challenge's phrases.
        nearest_first: Ids of the movements a name means first: the asker's own today, the
            other divisions', the warm-up's.
        movements: The library, by id.
        is_addressed: The message speaks to the bot and to nobody else.
        beside_a_score: The message may be a score: "my time was 9.41?"; then nothing but the
            phrases of a subject make it a question.
        judge: Gives the most likely subject.

    Returns:
        The question, or None when it is not for us or may as well be another.
    """
    found = judge(heard)
    if beside_a_score and not (heard.subjects and (heard.is_asked or heard.is_request)):
        return None
    if found.likelihood < (_ENOUGH_IF_ADDRESSED if is_addressed else _LIKELY_ENOUGH):
        return None
    if found.about not in _ABOUT_MOVEMENTS:
        return Question(found.about)
    ids = named_movements(words, lexicon, nearest_first)
    if found.about is About.OPTION and nearest_first:
        ids = _in_place_of(ids, nearest_first[0], movements)
    if len(ids) == 1:
        return Question(found.about, movement=ids[0])
    return Question(found.about, among=ids)


def _in_place_of(
    ids: Sequence[str], own: Collection[str], movements: Mapping[str, Movement]
) -> tuple[str, ...]:
    """Give the asker's movement of which the one named is an option.

    "Air squats instead?" asks about the jump squats of the day.
    """
    if len(ids) != 1 or ids[0] in own:
        return tuple(ids)
    harder = tuple(
        dict.fromkeys(
            name
            for name in own
            if any(option.movement == ids[0] for option in movements[name].options)
        )
    )
    return harder if len(harder) == 1 else tuple(ids)


def hear(
    words: Sequence[str],
    tokens: Sequence[Token],
    lexicon: Lexicon,
    evidence: Evidence,
    *,
    asked: bool,
    has_mark: bool,
) -> Heard:
    """Gather what tells the subject of a message.

    Args:
        words: The message's words in plain form.
        tokens: Its tokens.
        lexicon: The challenge's phrases in the message's language.
        evidence: The words of that language that tell a subject.
        asked: It looks like a question: a mark, or a question word in front.
        has_mark: It has a question mark.
    """
    renamed = _with_names_hidden(words, lexicon)
    return Heard(
        words=renamed,
        ideas=list(evidence.found_in(renamed)),
        subjects={subject for _, subject in lexicon.asked.subjects.found_in(words)},
        kinds=sorted({token.kind.name for token in tokens if token.kind is not None}),
        is_asked=asked,
        is_request=next(lexicon.asked.requests.found_in(words), None) is not None,
        names_kit=not lexicon.asked.kit.isdisjoint(words),
        has_mark=has_mark,
    )


def _with_names_hidden(words: Sequence[str], lexicon: Lexicon) -> list[str]:
    """Give the words with every movement's name as one and the same word."""
    shown, at = [], 0
    while at < len(words):
        hit = lexicon.movements.longest(words, at)
        shown.append(words[at] if hit is None else MOVEMENT)
        at += 1 if hit is None else hit[0]
    return shown


def named_movements(
    words: Sequence[str], lexicon: Lexicon, nearest_first: Sequence[Collection[str]]
) -> tuple[str, ...]:
    """Find the movement a text names: the nearest it can mean, else any, else with a slip."""
    named = _names(words, lexicon)
    if not named:
        long = list(dict.fromkeys(word for word in words if len(word) >= _SHORTEST_SLIP))
        slips = (lexicon.slip(word) for word in long[:_MOST_SLIPS])
        named = [name for name in slips if name is not None][:1]
    for ids in nearest_first:
        for name in named:
            if found := name.among(ids):
                return found
    return (named[0].exact or named[0].nicknamed)[:_MOST_BUTTONS] if named else ()


def _names(words: Sequence[str], lexicon: Lexicon) -> list[MovementName]:
    found, at = [], 0
    while at < len(words):
        hit = lexicon.movements.longest(words, at)
        if hit is not None:
            found.append(hit[1])
        at += hit[0] if hit is not None else 1
    return found
