"""An answer to a question about a day's text changes the text there, and nowhere else."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.day_answers import (
    first_question,
    mark_of,
    means_another,
    movement_meant,
    singular,
    with_definition,
    with_line,
    with_movement,
    worse_by,
)
from bot.draft_values import USUAL_DIVISIONS
from content.loading import movement_library
from content.shorthand.jotting import jot
from content.shorthand.values import Place

GOOD = "AMRAP 12: 10 push-ups, 20 air squats"
UNSURE = "AMRAP 12: 10 push-ups, 20 lunges"
UNKNOWN = "AMRAP 12: 10 push-ups, 12 crab reaches"


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(UNSURE, id="one_line"),
        pytest.param("Title\n\nAMRAP 12:\n10 push-ups\n  20 lunges  \ncaution: wet", id="lines"),
        pytest.param("AMRAP 12:\r\n10 push-ups\r\n20 lunges", id="other_line_ends"),
        pytest.param("AMRAP 12: 10 push-ups, 20 Lunges 💪", id="emoji_and_capital"),
        pytest.param("AMRAP １２: 10 push–ups, 20 lunges", id="look_alikes"),
    ],
)
def test_the_movement_chosen_stands_in_the_place_of_the_word(text):
    library = movement_library()
    [doubt] = jot(text, library=library, divisions=USUAL_DIVISIONS).doubts

    answered = with_movement(text, doubt, library["reverse-lunge"])

    assert answered == text.replace(doubt.word, "reverse lunges")
    after = jot(answered, library=library, divisions=USUAL_DIVISIONS)
    assert after.day is not None
    assert after.doubts == ()


@settings(deadline=None, max_examples=60)
@given(before=st.text(max_size=30), behind=st.text(max_size=30))
def test_whatever_stands_around_a_word_stays(before, behind):
    text = f"{before}\nAMRAP 12: 10 push-ups, 20 lunges\n{behind}"
    doubts = jot(text, library=movement_library(), divisions=USUAL_DIVISIONS).doubts

    for doubt in doubts:
        if doubt.word == "lunges":
            chosen = with_movement(text, doubt, movement_library()["side-lunge"])
            assert chosen == f"{before}\nAMRAP 12: 10 push-ups, 20 side lunges\n{behind}"


def test_a_line_anew_takes_the_place_of_the_line():
    assert with_line("a\nb\nc", Place(2, 1, "b"), "x") == "a\nx\nc"
    assert with_line("a\r\nb", Place(1, 1, "a"), "x") == "x\r\nb"


LUNGES = jot(UNSURE, library=movement_library(), divisions=USUAL_DIVISIONS).doubts[0]


@pytest.mark.parametrize(
    ("said", "movement"),
    [
        pytest.param("reverse lunge", "reverse-lunge", id="name"),
        pytest.param("Reverse Lunges!", "reverse-lunge", id="plural"),
        pytest.param("the second", "reverse-lunge", id="ordinal"),
        pytest.param("2", "reverse-lunge", id="number"),
        pytest.param("air squats", "air-squat", id="another_of_the_library"),
        pytest.param("9", None, id="too_high"),
        pytest.param("what?", None, id="no_answer"),
        pytest.param("10 reverse lunges", None, id="a_line"),
    ],
)
def test_an_answer_in_words_means_a_movement(said, movement):
    found = movement_meant(said, LUNGES, movement_library())

    assert (found and found.id) == movement


@pytest.mark.parametrize(
    ("said", "another"),
    [
        ("new", True),
        ("It is a new movement.", True),
        ("none of these", True),
        ("new lunges", False),
        ("the first", False),
    ],
)
def test_it_can_be_said_that_a_movement_is_new(said, another):
    assert means_another(said, LUNGES, movement_library()) is another


@pytest.mark.parametrize(
    ("word", "one"),
    [
        ("crab reaches", "crab reach"),
        ("lunges", "lunge"),
        ("burpees", "burpee"),
        ("box passes", "box pass"),
        ("press", "press"),
        ("plank", "plank"),
    ],
)
def test_one_of_a_plural(word, one):
    assert singular(word) == one


def test_a_definition_stays_one_line_whatever_is_written_in_it():
    text = with_definition(
        UNKNOWN, name="crab reach", pattern="core", option="bird\ndog", standard="a; b\nc"
    )

    assert text.splitlines()[1:] == [
        "movement: crab reach; pattern: core; option: bird dog; counts: a, b c"
    ]


def test_an_answer_that_adds_mistakes_is_worse():
    def read(text):
        return jot(text, library=movement_library(), divisions=USUAL_DIVISIONS)

    assert worse_by(read(UNSURE), read(UNKNOWN))
    assert not worse_by(read(UNKNOWN), read(UNSURE))
    assert first_question(read(GOOD)) is None


def test_an_old_button_finds_its_text_changed():
    assert mark_of(GOOD) != mark_of(f"{GOOD} ")
