"""Find the names of movements in some lines, the longest at each place."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from content.shorthand.clauses import NAME
from content.shorthand.english import ends_a_name
from content.shorthand.sheet import Span
from content.shorthand.vocabulary import LONGEST_NAME, WORD, Vocabulary, kit_named

# A number may be glued to a name: "6pushups".
_WORD = re.compile(rf"\d+(?=[^\W\d_]{{3}})|{WORD.pattern}")

# What may part two words of one name; "&" for "clean & press".
_JOINTS = frozenset({" ", "-", "", "  ", " - ", "- ", " -", " & ", "&"})


def claim_names(masked: list[str], span: Span, vocabulary: Vocabulary) -> Iterator[Span]:
    """Find the names, and blot them out.

    Args:
        masked: The characters of the sheet.
        span: The lines' place in it.
        vocabulary: The names there are.

    Returns:
        The places of the names, in order.
    """
    text = "".join(masked[span[0] : span[1]])
    words = list(_WORD.finditer(text))
    places = [found.span() for found in words]
    index = 0
    while index < len(words):
        run = _run(text, places[index : index + LONGEST_NAME])
        count = vocabulary.longest(run)
        if count == 1 and len(run) > 1 and _only_describes(run):
            count = 0
        if count and not run[0][0].isdigit():
            start, end = span[0] + places[index][0], span[0] + places[index + count - 1][1]
            masked[start:end] = [NAME] * (end - start)
            yield start, end
        index += max(1, count)


def _run(text: str, places: Sequence[Span]) -> list[str]:
    """Give the words that can belong to one name: nothing but a space or a hyphen parts them."""
    run: list[str] = []
    before = places[0][0]
    for start, end in places:
        if text[before:start] not in _JOINTS:
            break
        run.append(text[start:end].replace("'", ""))
        before = end
    return run


def _only_describes(run: Sequence[str]) -> bool:
    """Tell whether a single word that is a name describes the next one: "single arm row"."""
    following = run[1]
    if run[0].endswith("s") or kit_named(following) or not following.isalpha():
        return False
    return not ends_a_name(following)
