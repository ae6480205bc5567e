"""Tell what a question is about, and which movement it names."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from bot.reading.lexicon import Lexicon, MovementName
from bot.reading.values import About, Question

# Subjects that make sense with a movement beside them.
_ABOUT_MOVEMENTS = {About.OPTION, About.STANDARD, About.KIT, About.LOAD, About.SAFETY}
_SHORTEST_SLIP = 5
_MOST_SLIPS = 20  # words looked at; each costs a comparison with every name
_MOST_BUTTONS = 4


def read_question(
    words: Sequence[str],
    lexicon: Lexicon,
    *,
    asked: bool,
    names_division: bool,
    nearest_first: Sequence[Collection[str]],
) -> Question | None:
    """Classify a question.

    Args:
        words: The message's words in plain form.
        lexicon: The challenge's phrases.
        asked: The message looks like a question (mark, or question word in front).
        names_division: A division is named; without a subject the question is how to change.
        nearest_first: Ids of the movements a name means first: the asker's own today, the
            other divisions', the warm-up's.

    Returns:
        The question, or None when it is not for us.
    """
    if not asked and next(lexicon.asked.requests.found_in(words), None) is None:
        return None
    subjects = {subject for _, subject in lexicon.asked.subjects.found_in(words)}
    about = next((subject for subject in _ORDER if subject.value in subjects), None)
    if about is None:
        return Question(About.REGISTER) if names_division else None
    ids = named_movements(words, lexicon, nearest_first)
    both = {About.OPTION.value, About.KIT.value} <= subjects
    if both and not ids and not lexicon.asked.kit.isdisjoint(words):
        about = About.KIT  # "a water can instead of the kettlebell?"
    if about is About.SAFETY and About.OPTION.value in subjects and ids:
        about = About.OPTION  # "sit-ups hurt my neck, any swap?" wants the swap, cautions and all
    if about not in _ABOUT_MOVEMENTS:
        return Question(about)
    if len(ids) == 1:
        return Question(about, movement=ids[0])
    return Question(about, among=ids)


# The more particular subject first: "how heavy is the easier option" asks for the option.
_ORDER = (
    About.SAFETY,
    About.REGISTER,
    About.MINE,
    About.STANDINGS,
    About.SCORE_RULE,
    About.WARMUP,
    About.OPTION,
    About.KIT,
    About.LOAD,
    About.STANDARD,
    About.TIME,
    About.TODAY,
)


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
