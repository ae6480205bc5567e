"""Tell the wish to have one's own score taken out from words about it."""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.kinds import Kind
from bot.reading.lexicon import Lexicon


def wants_back(words: Sequence[str], lexicon: Lexicon, *, asked: bool) -> bool:
    """Say whether somebody asks to have their score taken out.

    "Don't remove my score", "how do I remove my score" and "remove my score?" change nothing;
    "can you remove my score?" is a wish.

    Args:
        words: The message's words in plain form.
        lexicon: The phrases of its language.
        asked: There is a question mark.
    """
    return any(
        _is_wish(words[:start], words[start + length :], lexicon, asked=asked)
        for start, length in lexicon.asked.take_back.found_in(words)
    )


def _is_wish(
    before: Sequence[str], after: Sequence[str], lexicon: Lexicon, *, asked: bool
) -> bool:
    in_front = _kinds(before, lexicon)
    if Kind.NEGATION in in_front or Kind.ASKING in in_front:
        return False
    if Kind.NEGATION in _kinds(after[:1], lexicon):  # German says its "not" behind
        return False
    return not asked or Kind.OTHER in in_front  # the one who is asked: "can you"


def _kinds(words: Sequence[str], lexicon: Lexicon) -> set[Kind | None]:
    found = (lexicon.phrases.longest(words, at) for at in range(len(words)))
    return {hit[1].kind for hit in found if hit is not None}
