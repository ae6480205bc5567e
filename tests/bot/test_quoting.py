"""A read-back shows the slice of the message it rests on."""

from __future__ import annotations

import pytest

from bot.rehearsal.start import Rehearsal
from tests.bot import acts
from tests.bot.test_bad_input import go_to


def quoted(play: Rehearsal) -> str | None:
    """Give what the last message quotes."""
    quote = acts.last(play).get("quote")
    return None if quote is None else quote["text"]


@pytest.mark.parametrize(
    ("text", "quote"),
    [
        pytest.param(
            "Morning! The dog was no help at all. 3 rounds + 45 for me, off to work",
            "3 rounds + 45",
            id="long",
        ),
        pytest.param("3 rounds + 45", None, id="all_of_it"),
        pytest.param("  3 rounds + 45\n", None, id="all_but_spaces"),
        pytest.param("\U0001f30a\U0001f30a 3️⃣ rounds ➕ 45, wow", "3️⃣ rounds ➕ 45", id="signs"),
    ],
)
async def test_the_slice_is_quoted_if_there_is_more(play: Rehearsal, text: str, quote: str | None):
    [answer] = await acts.say(play, "Marlow", text)

    assert "3 rounds + 45" in answer
    assert quoted(play) == quote


async def test_scores_of_two_days_quote_nothing(play: Rehearsal):
    go_to(play, 2)

    await acts.say(play, "Marlow", "day 1: 3+20, and today 9:41, tired")

    assert await acts.score(play, "Marlow", 2) is not None
    assert quoted(play) is None
