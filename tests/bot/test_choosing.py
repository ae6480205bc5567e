"""A reply in words chooses exactly what it says, and nothing when it leaves anything open."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.choosing import NONE, Offer, chosen, offer
from bot.score_text import score_text
from content.replies import load_replies, reply_languages
from content.score import Amount, Capped, Done, Finished, RoundsAndReps, Score, Unit
from content.words import languages
from tests.content.builders import a_task

TWO = (RoundsAndReps(6, 40, 400), RoundsAndReps(2, 40, 160))
ONE = (RoundsAndReps(70, 0, 4200),)
TIMES = (Finished(770), Finished(720))
LOADS = (Amount(82_500, Unit.KILOGRAMS), Amount(37_421, Unit.KILOGRAMS))


def offers_of(*scores: Score) -> list[Offer]:
    """Describe choices as the handler does; these tests need no ladder."""
    return [
        offer(
            score,
            (
                score_text(score),
                f"{score_text(score)} ({score.total_reps} reps)"
                if isinstance(score, RoundsAndReps)
                else score_text(score),
            ),
            None,
        )
        for score in scores
    ]


@pytest.mark.parametrize(
    ("text", "index"),
    [
        ("6 rounds + 40 (400 reps)", 0),
        ("2 ROUNDS+40", 1),
        ("2 rounds 40, 160 reps!", 1),
        ("the first", 0),
        ("First one, please", 0),
        ("the second one!", 1),
        ("1.", 0),
        ("2)", 1),
        ("#2", 1),
        ("2nd", 1),
        ("option two", 1),
        ("number 1", 0),
        ("the option two, please", 1),
        ("the first option", 0),
        ("the last one", 1),
        ("la primera", 0),
        ("le deuxième", 1),
        ("Die zweite bitte", 1),
        ("o segundo", 1),
        ("400", 0),
        ("160", 1),
        ("6", 0),
        ("no", NONE),
        ("None of these", NONE),
        ("none of them, thanks", NONE),
        ("neither", NONE),
        ("ninguna", NONE),
        ("aucune", NONE),
        ("keins davon", NONE),
        ("nenhuma", NONE),
    ],
)
def test_what_a_reply_to_two_choices_means(text: str, index: int):
    assert chosen(text, offers_of(*TWO)) == index


@pytest.mark.parametrize(
    "text",
    [
        "",
        "   ",
        "yes",  # to which?
        "40",  # stands in both
        "1",  # counts one and stands in none
        "99",
        "third",
        "10.",
        "hello",
        "no, 3 rounds",
        "first I have to shower",
        "the first round was hard",
        "I like number 2 but",
        "6 rounds",
        "40 reps",
        "the option",
        "e",
        "0",
        "2" * 5000,
        "One second...",
        "a second please",
        "one second, thanks",
        "first?",
        "the second one ?",
        "¿la primera?",
        "2 rounds + 40?",
        "option zero",
        "number zero",
        "option 0",
        "2 rounds - 40",
        "2 rounds \u2212 40",
        "6 rounds = 40",
    ],
)
def test_what_leaves_anything_open_chooses_nothing(text: str):
    assert chosen(text, offers_of(*TWO)) is None


@pytest.mark.parametrize(
    "text", ["yes", "Yep!", "that's it", "👍🏽", "oui", "ja", "sí", "sim", "70", "the first"]
)
def test_one_choice_is_agreed_to(text: str):
    assert chosen(text, offers_of(*ONE)) == 0


@pytest.mark.parametrize("text", ["right?", "ok?", "yes?", "\u00bfs\u00ed?", "no?"])
def test_a_question_chooses_nothing(text: str):
    assert chosen(text, offers_of(*ONE)) is None


LOOSE = [
    "ok",
    "Okay!",
    "sure",
    "right",
    "👍🏽",
    "👎",
    "vale",
    "claro",
    "passt",
    "d'accord",
    "certo",
]


@pytest.mark.parametrize("text", [*LOOSE, "ok thanks", "last", "the bottom one", "el último"])
def test_what_people_say_about_anything_chooses_only_in_a_reply(text: str):
    offers = offers_of(*ONE) if text in LOOSE else offers_of(*TWO)

    assert chosen(text, offers, is_reply=False) is None
    if text in LOOSE:
        assert chosen(text, offers) == (NONE if text == "👎" else 0)


@pytest.mark.parametrize("text", ["yes", "ja", "sí", "oui", "Sim!", "that's right", "first", "70"])
def test_what_can_mean_nothing_else_chooses_without_a_reply(text: str):
    assert chosen(text, offers_of(*ONE), is_reply=False) == 0


@pytest.mark.parametrize("text", ["no", "nope", "neither", "non", "nein", "não"])
def test_one_choice_is_declined(text: str):
    assert chosen(text, offers_of(*ONE)) == NONE


@pytest.mark.parametrize(
    ("text", "scores", "index"),
    [
        pytest.param("12:50", TIMES, 0, id="clock"),
        pytest.param("770", TIMES, 0, id="seconds"),
        pytest.param("12", TIMES, 1, id="whole_minutes"),
        pytest.param("12:51", TIMES, None, id="another_time"),
        pytest.param("12", (Finished(720), Finished(12)), None, id="minutes_or_seconds"),
        pytest.param("82.5", LOADS, None, id="kilograms_or_pounds"),
        pytest.param("37.421", LOADS, 1, id="kilograms"),
        pytest.param("82,5", (LOADS[0],), 0, id="decimal_comma"),
        pytest.param("825 kg", (LOADS[0],), None, id="a_point_is_not_nothing"),
        pytest.param("2.1", (Amount(2100, Unit.METRES), Amount(3380, Unit.METRES)), None, id="km"),
        pytest.param("3380", (Amount(2100, Unit.METRES), Amount(3380, Unit.METRES)), 1, id="m"),
        pytest.param("2", (RoundsAndReps(3, 2, 182), RoundsAndReps(4, 9, 249)), None, id="or_2nd"),
        pytest.param("done", (Done(),), 0, id="done"),
    ],
)
def test_a_bare_number_stands_in_exactly_one_choice(
    text: str, scores: tuple[Score, ...], index: int | None
):
    assert chosen(text, offers_of(*scores)) == index


def test_a_number_said_both_ways_at_the_cap_stays_open():
    """Whether 14 were left or done was the question."""
    task = a_task(
        [{"movement": "push-up"}], score="time", shape="scheme", scheme=[24, 18], cap="12 min"
    )
    assert task.steps is not None
    work = task.steps.through(2)
    offers = [offer(s, (score_text(s),), task) for s in (Capped(work - 14), Capped(14))]

    assert chosen("14", offers) is None
    assert chosen(str(work - 14), offers) is None
    assert chosen("the second", offers) == 1


@given(text=st.text(max_size=60), count=st.integers(0, 3))
def test_any_reply_is_answered_with_a_choice_that_is_there(text: str, count: int):
    found = chosen(text, offers_of(*(*TWO, *ONE)[:count]))

    assert found is None or found == NONE or 0 <= found < count


def test_the_five_languages_have_replies():
    assert {"de", "en", "es", "fr", "pt"} <= {*reply_languages()} <= {*languages()}


@pytest.mark.parametrize("language", reply_languages())
def test_no_reply_means_two_things(language: str):
    replies = load_replies(language)

    for other in map(load_replies, reply_languages()):
        assert not {*replies.yes} & {*other.none}
        assert not {*replies.last} & {*other.yes, *other.none}


@pytest.mark.parametrize("language", reply_languages())
def test_what_needs_a_reply_means_something_in_one(language: str):
    replies = load_replies(language)

    assert replies.loose
    assert {*replies.loose} <= {*replies.yes, *replies.none, *replies.last}
