"""How a draft changes, and what comes next in it."""

from __future__ import annotations

import pytest

from bot.day_answers import with_definition
from bot.draft_values import CHANGE, Awaited, DayChange, Desk, Draft, Waits
from bot.drafting import (
    Next,
    Step,
    challenge_of,
    clear_day,
    draft_of,
    jot_day,
    lost_by,
    next_step,
    put_day,
    read_divisions,
    with_count,
    with_divisions,
    with_time,
)
from content.challenge import RestDay
from content.loading import DEMO, load_challenge, movement_library
from tests.bot.acts import AFTER_FIRST_POST

CONTENT = load_challenge(DEMO)
GOOD = "AMRAP 12: 10 push-ups, 20 air squats"
UNSURE = "AMRAP 12: 10 push-ups, 20 lunges"
UNKNOWN = "AMRAP 12: 10 push-ups, 12 crab reaches"
NAMED = Draft(title="Quay", time_zone="Europe/Lisbon")


def a_draft(*texts: str, draft: Draft = NAMED) -> Draft:
    changed = with_count(draft, len(texts))
    assert isinstance(changed, Draft)
    for number, text in enumerate(texts, start=1):
        if text:
            changed, _ = jot_day(changed, number, text)
    return changed


@pytest.mark.parametrize(
    ("draft", "following"),
    [
        pytest.param(Draft(), Next(Step.TITLE), id="nothing"),
        pytest.param(Draft(title="Quay"), Next(Step.ZONE), id="title"),
        pytest.param(NAMED, Next(Step.DAY, 1), id="head"),
        pytest.param(a_draft(GOOD, "", GOOD), Next(Step.DAY, 2), id="a_gap"),
        pytest.param(a_draft(GOOD, UNKNOWN, ""), Next(Step.MEND, 2), id="something_wrong"),
        pytest.param(a_draft(UNSURE, ""), Next(Step.DAY, 2), id="missing_before_unsure"),
        pytest.param(a_draft(UNSURE, GOOD), Next(Step.ANSWER, 1), id="only_unsure"),
        pytest.param(a_draft(GOOD, "rest day: Walk."), Next(Step.READY), id="all"),
    ],
)
def test_the_next_step_is_what_is_missing_first(draft, following):
    assert next_step(draft) == following
    assert (challenge_of(draft) is not None) == (following.step in {Step.READY, Step.ANSWER})


def test_a_text_with_mistakes_is_kept_and_takes_the_place_of_the_day():
    draft = a_draft(GOOD)

    changed, jotted = jot_day(draft, 1, UNKNOWN)

    assert (changed.days[0].text, changed.days[0].day, jotted.whole_day) == (UNKNOWN, None, None)
    assert draft.days[0].day is not None


def test_a_movement_of_ones_own_can_be_used_on_other_days_and_said_otherwise_later():
    defined = with_definition(
        UNKNOWN, name="crab reach", pattern="core", option="bird dog", standard="the hand touches"
    )
    draft = a_draft(defined, UNKNOWN)

    again, jotted = jot_day(draft, 1, defined.replace("the hand", "your hand"))

    assert challenge_of(draft) is not None
    assert jotted.problems == ()
    assert [each.standard for each in again.movements] == ["Your hand touches."]


def test_a_challenge_from_files_is_a_draft_that_makes_the_same_challenge():
    draft = draft_of(CONTENT, ())

    assert challenge_of(draft) == CONTENT
    assert all(each.text for each in draft.days)
    assert Desk.model_validate_json(Desk(draft=draft).model_dump_json()).draft == draft


def test_a_day_from_a_file_stands_beside_those_in_shorthand():
    draft = put_day(a_draft(GOOD, GOOD), 2, CONTENT.days[3])

    made = challenge_of(draft)

    assert made is not None
    assert isinstance(made.days[1], RestDay)
    assert next_step(clear_day(draft, 2)) == Next(Step.DAY, 2)


def test_no_written_day_goes_when_the_number_of_days_changes():
    draft = a_draft(GOOD, "", UNKNOWN)

    assert with_count(draft, 2) == 3
    longer = with_count(draft, 5)
    assert isinstance(longer, Draft)
    assert [each.is_blank for each in longer.days] == [False, True, False, True, True]


def test_other_divisions_have_every_text_read_anew_for_them():
    divisions = read_divisions("Whole, Gentle")
    assert divisions is not None

    changed = with_divisions(a_draft(GOOD), divisions)

    made = challenge_of(changed)
    assert made is not None
    assert list(made.days[0].workout.divisions) == ["whole", "gentle"]


def test_days_without_a_text_that_would_not_fit_other_divisions_are_named():
    first = CONTENT.days[0]
    kept = NAMED.model_copy(
        update={"days": (NAMED.days[0].model_copy(update={"day": first}), *NAMED.days[1:])}
    )
    divisions = read_divisions("Whole, Gentle")
    assert divisions is not None

    assert lost_by(kept, divisions) == (1,)
    assert lost_by(kept, NAMED.divisions) == ()


@pytest.mark.parametrize(
    ("text", "divisions"),
    [
        pytest.param("Full, Lighter", [("full", "Full"), ("lighter", "Lighter")], id="usual"),
        pytest.param("One: all of it\nTwo", [("one", "One"), ("two", "Two")], id="lines"),
        pytest.param("Sea Level", [("sea-level", "Sea Level")], id="two_words"),
        pytest.param("", None, id="nothing"),
        pytest.param("One, one", None, id="twice"),
        pytest.param("One, !!!", None, id="no_letters"),
        pytest.param(",".join("abcdefghi"), None, id="nine"),
    ],
)
def test_divisions_are_names_between_commas_or_lines(text, divisions):
    found = read_divisions(text)

    assert (found and [(each.id, each.name) for each in found]) == divisions


def test_a_usual_division_brings_its_words_unless_others_are_said():
    found = read_divisions("Full\nBodyweight: nothing but you")

    assert found is not None
    assert found[0].nicknames == NAMED.divisions[0].nicknames
    assert found[1].summary == "nothing but you"


@pytest.mark.parametrize(
    ("which", "at", "wrong"),
    [
        pytest.param("post", "06:30", None, id="post"),
        pytest.param("reminder", None, None, id="off"),
        pytest.param("close", "06:00", "must differ", id="close_is_post"),
        pytest.param("reminder", "05:50", "must lie between", id="reminder_outside"),
    ],
)
def test_a_time_that_does_not_fit_is_told_and_not_taken(which, at, wrong):
    changed = with_time(NAMED, which, at)

    if wrong is None:
        assert isinstance(changed, Draft)
        assert getattr(changed.times, which) == at
    else:
        assert wrong in changed


def test_what_was_asked_an_hour_ago_takes_no_message_any_more():
    now = AFTER_FIRST_POST
    waits = Waits(what=Awaited.TITLE, since=now)
    desk = Desk(waits=waits)

    assert desk.awaited(now.replace(hour=now.hour + 1)) == waits
    assert desk.awaited(now.replace(hour=now.hour + 1, second=1)) is None


def test_the_text_of_a_day_is_found_in_the_draft_and_beside_it():
    desk = Desk(draft=a_draft(GOOD, ""), change=DayChange(number=3, text=UNSURE))

    texts = [desk.text_of(number) for number in (1, 2, 3, CHANGE)]

    assert texts == [GOOD, "", None, UNSURE]


def test_a_day_that_names_a_movement_nobody_knows_makes_no_challenge():
    """Its definition went with the text of another day that was cleared and its movements."""
    names = {"id": "crab-reach", "name": "crab reach", "plural": "crab reaches"}
    own = movement_library()["bird-dog"].model_copy(update={**names, "nicknames": ()})
    draft = a_draft(UNKNOWN, draft=NAMED.model_copy(update={"movements": (own,)}))
    assert challenge_of(draft) is not None

    assert challenge_of(draft.model_copy(update={"movements": ()})) is None
