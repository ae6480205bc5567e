"""Two scores to choose from: "19 or 20", "4 or 5 rounds + 10", "4 + 10 or 4 + 20"."""

from __future__ import annotations

import re
from collections.abc import Sequence

from bot.reading.token import Token

_UNIT = "[RPMTmchkltqjrU]"
# Pairs stand against pairs; otherwise the figures right beside the "or".
_EITHER = re.compile(
    f"(?P<a>N{_UNIT}?[+a]NP?)[|](?P<b>N{_UNIT}?[+a]NP?)"
    f"|(?P<one>[NDC])(?P<unit>{_UNIT}?)[|](?P<other>[NDC]{_UNIT}?)"
)


def either(tokens: Sequence[Token]) -> tuple[Sequence[Token], Sequence[Token]] | None:
    """Give a message with the first and with the second of two figures; None if it has no two.

    A unit told once stands behind the second: "2.1 or 2.2 km".
    """
    found = _EITHER.search("".join(token.kind for token in tokens))
    if found is None:
        return None
    start, end = found.span()
    middle = found.end("a") if found["a"] else found.end("unit")
    shared = found["one"] is not None and not found["unit"]
    first_ends = found.start("other") + 1 if shared else end
    return (
        [*tokens[:middle], *tokens[first_ends:]],
        [*tokens[:start], *tokens[middle + 1 :]],
    )
