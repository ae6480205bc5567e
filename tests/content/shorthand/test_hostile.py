"""Whatever is written, jotting answers, points into the text, and takes time by its length."""

from __future__ import annotations

import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from content.shorthand.jotting import MOST_CHARACTERS, jot
from tests.content.shorthand.corpus import DIVISIONS, LIBRARY, jottings

_PIECES = st.sampled_from(
    """
    AMRAP|EMOM|for time|cap|rounds|every 2 min|x|/|-|...|,|;|:|(|)|"|&|+|->|@|kg|lb|pood|min|s|on
    off|max|heaviest|as far as you can|start at|add|each round|each side|rest|warm-up|lighter:
    full|bodyweight|title:|note:|caution:|movement:|pattern:|rest day|odd|even|min 1|10|24/16|0
    99999|1.5|½|3|21-15-9|push-ups|swings|squats|run|plank|burpes|nonsense|clean and press|lunges
    m|km|cal|of|then|instead of
    """.strip()
    .replace("\n", "|")
    .split("|")
    + ["\n"] * 5
)


def read(text):
    return jot(text, library=LIBRARY, divisions=DIVISIONS)


def check(text, jotted):
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    for remark in (*jotted.problems, *jotted.doubts):
        place = remark.place
        assert 1 <= place.line <= len(lines)
        line = lines[place.line - 1]
        assert line[place.column - 1 :].startswith(place.slice)
    if jotted.problems:
        assert jotted.day is None
    if jotted.day is None:
        assert jotted.problems or jotted.left_out


@given(st.text(max_size=300))
@settings(deadline=None, max_examples=100)
def test_any_text_is_answered(text):
    check(text, read(text))


@given(st.lists(_PIECES, max_size=40).map(" ".join))
@settings(deadline=None, max_examples=200)
def test_any_heap_of_trade_words_is_answered(text):
    check(text, read(text))


@given(st.data())
@settings(deadline=None, max_examples=100)
def test_a_workout_with_something_torn_out_is_answered(data):
    text = data.draw(st.sampled_from(jottings())).text
    start = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(start, len(text)))
    torn = text[:start] + data.draw(st.text(max_size=5)) + text[end:]

    check(torn, read(torn))


def _work(text):
    """Count the lines of Python run: the same on every machine, however busy it is."""
    count = 0

    def trace(frame, event, argument):
        nonlocal count
        del frame, argument
        count += event == "line"
        return trace

    before = sys.gettrace()
    sys.settrace(trace)
    try:
        read(text)
    finally:
        sys.settrace(before)
    return count


@pytest.mark.parametrize(
    "piece",
    [
        pytest.param("nonsense ", id="words"),
        pytest.param("10 push-ups, ", id="movements"),
        pytest.param("10 squirbles\n", id="unknown_movements"),
        pytest.param("1-", id="an_endless_scheme"),
        pytest.param("((", id="open_brackets"),
        pytest.param('("', id="open_quotes"),
        pytest.param("AMRAP 12: ", id="headings"),
        pytest.param("lighter: 8 kg\n", id="division_lines"),
        pytest.param("EMOM 10 odd 1 burpee even ", id="labels"),
        pytest.param("24/16", id="loads"),
        pytest.param(" ", id="blanks"),
        pytest.param("caution: a\nnote: b\n", id="texts"),
        pytest.param("movement: a b; pattern: core; option: c; counts: d\n", id="definitions"),
    ],
)
def test_twice_the_text_is_about_twice_the_work(piece):
    half = piece * (600 // len(piece))
    read(half)  # so that what is made once is there

    once, twice = _work(half), _work(half * 2)

    assert twice < 2.6 * once + 50_000


def test_a_text_that_is_too_long_is_told_and_its_beginning_still_read():
    text = "AMRAP 12: 10 push-ups, 5 burpees\n" + "note: x\n" * MOST_CHARACTERS

    jotted = read(text)

    assert "too long" in [problem.message for problem in jotted.problems][-1]
