"""One message may tell of several days: each is recorded on its own, in one answer."""

from __future__ import annotations

import pytest

from bot.rehearsal.start import Rehearsal, quiet
from content.score import Amount, Finished, RoundsAndReps, Unit
from store.values import ResultState
from tests.bot import acts
from tests.bot.test_bad_input import go_to

BOTH = "yesterday 3 rounds + 20, today 9:41"


@pytest.fixture
async def second(play: Rehearsal) -> Rehearsal:
    """The second morning."""
    go_to(play, 2)
    await quiet(play)
    return play


async def test_two_days_are_recorded_and_read_back_in_one_answer(second: Rehearsal):
    said = await acts.say(second, "Marlow", BOTH)

    assert said == [
        (
            "Marlow, day 1, Full: 3 rounds + 20 → round 4, 12 of 20 forward lunges; 200 reps\n"
            "Marlow, day 2, Full: 9:41"
        )
    ]
    assert await acts.score(second, "Marlow", 1) == RoundsAndReps(3, 20, 200)
    assert await acts.score(second, "Marlow", 2) == Finished(581)
    rows = acts.last(second)["reply_markup"]["inline_keyboard"]
    assert [key["text"] for [key] in rows] == ["Take out day 1", "Take out day 2"]


async def test_taking_one_day_out_leaves_the_other_and_its_button(second: Rehearsal):
    await acts.say(second, "Marlow", BOTH)
    read_back = acts.last(second)

    toasts = await acts.press(second, "Marlow", 0, message=read_back)

    [rewritten] = [
        m for m in second.room.messages(second.group) if m["message_id"] == read_back["message_id"]
    ]
    assert toasts == ["Taken out."]
    assert rewritten["text"].splitlines()[1:] == ["Marlow, day 2, Full: 9:41"]
    assert "score of day 1 is taken out" in rewritten["text"]
    assert await acts.score(second, "Marlow", 1) is None
    assert await acts.score(second, "Marlow", 2) == Finished(581)
    [key] = acts.keys(rewritten)
    assert await acts.forge(second, "Marlow", key, rewritten) == ["Taken out."]
    assert await acts.score(second, "Marlow", 2) is None


async def test_a_day_that_cannot_be_scored_is_turned_down_beside_the_others(second: Rehearsal):
    [said] = await acts.say(second, "Marlow", "day 2: 9:41, day 3: 14 13 12 12 11 12")

    assert said.splitlines() == [
        "Marlow, day 2, Full: 9:41",
        "Marlow, day 3 is not open, so I recorded nothing.",
    ]
    assert await acts.score(second, "Marlow", 2) == Finished(581)
    assert await acts.result(second, "Marlow", 3) is None


async def test_one_day_named_twice_is_asked_about(second: Rehearsal):
    [said] = await acts.say(second, "Marlow", "yesterday 3+20, day 1 3+45")
    before = await acts.result(second, "Marlow", 1)

    await acts.press(second, "Marlow", 1)

    assert "more than one score" in said
    assert before is None
    assert await acts.score(second, "Marlow", 1) == RoundsAndReps(3, 45, 225)


async def test_an_edit_that_drops_one_of_two_scores_withdraws_it(second: Rehearsal):
    await acts.say(second, "Marlow", BOTH)

    [said] = await acts.edit(
        second, "Marlow", acts.last_of(second, "Marlow"), "yesterday 3 rounds + 20"
    )

    assert said.endswith("Your message no longer says a score for day 2, so I took that out.")
    assert await acts.score(second, "Marlow", 1) == RoundsAndReps(3, 20, 200)
    found = await acts.result(second, "Marlow", 2)
    assert found is not None
    assert found.state is ResultState.WITHDRAWN


async def test_an_edit_after_the_make_up_time_takes_nothing_out(second: Rehearsal):
    await acts.say(second, "Marlow", BOTH)
    message_id = acts.last_of(second, "Marlow")
    go_to(second, 3)
    await quiet(second)

    [said] = await acts.edit(second, "Marlow", message_id, "day 2: 9:40")

    assert said.splitlines() == [
        "Marlow, day 2, Full: 9:40",
        "Before: 9:41.",
        (
            "Marlow, the time for day 1 is over: 3 rounds + 20 stands. "
            "If that is wrong, ask the organiser."
        ),
    ]
    assert await acts.score(second, "Marlow", 1) == RoundsAndReps(3, 20, 200)


async def test_an_edit_leaves_alone_what_another_message_has_corrected_since(second: Rehearsal):
    await acts.say(second, "Marlow", BOTH)
    message_id = acts.last_of(second, "Marlow")
    await acts.say(second, "Marlow", "make that 9:51")

    [said] = await acts.edit(second, "Marlow", message_id, "yesterday 3 rounds + 21")

    assert "took that out" not in said
    assert await acts.score(second, "Marlow", 2) == Finished(591)


async def test_an_edit_that_moves_a_score_by_way_of_a_question_withdraws_the_old_day(
    second: Rehearsal,
):
    await acts.say(second, "Marlow", BOTH)

    await acts.edit(second, "Marlow", acts.last_of(second, "Marlow"), "yesterday 3 rounds + 99")
    stands = await acts.score(second, "Marlow", 2)
    await acts.press(second, "Marlow", 0)

    assert stands == Finished(581)
    assert await acts.score(second, "Marlow", 1) == RoundsAndReps(3, 9, 189)
    assert await acts.score(second, "Marlow", 2) is None


async def test_two_scores_edited_away_stand_until_each_is_taken_out(second: Rehearsal):
    await acts.say(second, "Marlow", BOTH)

    [said] = await acts.edit(second, "Marlow", acts.last_of(second, "Marlow"), "what a day!")

    assert [line.split("read as ")[1].split(".")[0] for line in said.splitlines()] == [
        "3 rounds + 20 for day 1",
        "9:41 for day 2",
    ]
    assert len(acts.keys(acts.last(second))) == 2


async def test_an_edit_back_to_words_already_read_changes_nothing(second: Rehearsal):
    """Something else about a message may change, after another one has corrected its score."""
    await acts.say(second, "Marlow", "9:41")
    message_id = acts.last_of(second, "Marlow")
    await acts.say(second, "Marlow", "make that 9:51")

    assert await acts.edit(second, "Marlow", message_id, "9:41") == []
    assert await acts.score(second, "Marlow", 2) == Finished(591)


async def test_somebody_who_joins_with_two_days_gets_both(second: Rehearsal):
    await acts.say(second, "Brid", BOTH)

    await acts.press(second, "Brid", 0)

    assert await acts.score(second, "Brid", 1) == RoundsAndReps(3, 20, 200)
    assert await acts.score(second, "Brid", 2) == Finished(581)


async def test_a_weekday_means_its_latest_day(second: Rehearsal):
    """Day 1 of the rehearsal is a Monday."""
    [said] = await acts.say(second, "Marlow", "Monday's score: 3 rounds + 20")

    assert said.startswith("Marlow, day 1, Full: 3 rounds + 20")


async def test_effort_and_load_are_kept_and_read_back(play: Rehearsal):
    [said] = await acts.say(play, "Marlow", "3 rounds + 45 with 16 kg, RPE 8")
    first = await acts.result(play, "Marlow")
    await acts.say(play, "Marlow", "make that 3 rounds + 46")
    corrected = await acts.result(play, "Marlow")
    await acts.say(play, "Marlow", "3 rounds + 47")
    anew = await acts.result(play, "Marlow")

    assert said.splitlines()[1:] == ["Effort: 8 of 10.", "Load: 16 kg."]
    assert first is not None
    assert corrected is not None
    assert anew is not None
    assert (first.effort, first.load_g) == (8, 16_000)
    assert (corrected.effort, corrected.load_g) == (8, 16_000)  # what was not corrected stays
    assert (anew.effort, anew.load_g) == (None, None)


async def test_effort_survives_a_question(play: Rehearsal):
    await acts.say(play, "Marlow", "3 rounds + 99, RPE 7")

    await acts.press(play, "Marlow", 0)

    found = await acts.result(play, "Marlow")
    assert found is not None
    assert found.effort == 7


async def test_lowest_round_and_yesterdays_time_in_one(play: Rehearsal):
    go_to(play, 3)
    await quiet(play)

    await acts.say(play, "Marlow", "14 13 12 12 11 12, yesterday 9:41")

    assert await acts.score(play, "Marlow", 2) == Finished(581)
    assert await acts.score(play, "Marlow", 3) == Amount(11, Unit.REPS, 74)


async def test_a_sure_day_is_recorded_and_the_other_asked_about(second: Rehearsal):
    play = second

    recorded, asked = await acts.say(play, "Marlow", "yesterday 3 rounds + 99, today 9:41")

    assert recorded == "Marlow, day 2, Full: 9:41"
    assert "“3 rounds + 99” cannot be right" in asked
    assert await acts.score(play, "Marlow", 1) is None
    assert await acts.score(play, "Marlow", 2) == Finished(581)


async def test_an_edit_that_makes_one_day_unsure_takes_neither_out(second: Rehearsal):
    play = second
    await acts.say(play, "Marlow", "yesterday 3 rounds + 20, today 9:41")
    await acts.edit(
        play, "Marlow", acts.last_of(play, "Marlow"), "yesterday 3 rounds + 99, today 9:41"
    )
    await acts.press(play, "Marlow", 0)

    assert await acts.score(play, "Marlow", 1) == RoundsAndReps(3, 9, 189)
    assert await acts.score(play, "Marlow", 2) == Finished(581)


async def test_a_score_of_another_day_leaves_a_question_open(second: Rehearsal):
    await acts.say(second, "Marlow", "yesterday 3 rounds + 99")
    question = acts.last(second)
    await acts.say(second, "Marlow", "9:41")

    await acts.press(second, "Marlow", 0, message=question)

    assert await acts.score(second, "Marlow", 1) == RoundsAndReps(3, 9, 189)
    assert await acts.score(second, "Marlow", 2) == Finished(581)


async def test_a_score_of_its_day_closes_a_question(second: Rehearsal):
    await acts.say(second, "Marlow", "yesterday 3 rounds + 99")
    question = acts.last(second)
    await acts.say(second, "Marlow", "yesterday 3 rounds + 20")

    toasts = await acts.press(second, "Marlow", 0, message=question)

    assert toasts == ["That question is settled already."]
    assert await acts.score(second, "Marlow", 1) == RoundsAndReps(3, 20, 200)


async def test_a_no_rep_for_a_message_of_two_days_needs_the_day(second: Rehearsal):
    await acts.say(second, "Marlow", BOTH)
    message_id = acts.last_of(second, "Marlow")

    [which] = await acts.say(second, "Ines", "/norep too shallow", reply_to=message_id)
    stand = (await acts.score(second, "Marlow", 1), await acts.score(second, "Marlow", 2))
    [other] = await acts.say(second, "Ines", "/norep day 3", reply_to=message_id)
    [struck] = await acts.say(second, "Ines", "/norep Day 1: too shallow", reply_to=message_id)

    assert which == other
    assert which == (
        "From that message I have day 1 (3 rounds + 20), day 2 (9:41). "
        "Name the day you mean in front of the reason: /norep day 1"
    )
    assert stand == (RoundsAndReps(3, 20, 200), Finished(581))
    assert "no-rep for day 1 (3 rounds + 20). Reason: too shallow." in struck
    assert await acts.score(second, "Marlow", 1) is None
    assert await acts.score(second, "Marlow", 2) == Finished(581)


async def test_of_two_days_the_only_one_struck_is_reinstated(second: Rehearsal):
    await acts.say(second, "Marlow", BOTH)
    message_id = acts.last_of(second, "Marlow")
    await acts.say(second, "Ines", "/norep day 1", reply_to=message_id)

    [one] = await acts.say(second, "Ines", "/reinstate", reply_to=message_id)
    await acts.say(second, "Ines", "/norep day 1", reply_to=message_id)
    await acts.say(second, "Ines", "/norep", reply_to=message_id)
    [which] = await acts.say(second, "Ines", "/reinstate", reply_to=message_id)
    [two] = await acts.say(second, "Ines", "/reinstate day 2", reply_to=message_id)

    assert one == "Marlow, your score for day 1 stands again: 3 rounds + 20."
    assert which.endswith("/reinstate day 1")
    assert two == "Marlow, your score for day 2 stands again: 9:41."
    assert await acts.score(second, "Marlow", 1) is None
    assert await acts.score(second, "Marlow", 2) == Finished(581)


async def test_a_corrected_day_of_a_message_is_still_one_of_its_days(second: Rehearsal):
    await acts.say(second, "Marlow", BOTH)
    message_id = acts.last_of(second, "Marlow")
    await acts.say(second, "Marlow", "make that 9:51")

    [which] = await acts.say(second, "Ines", "/norep", reply_to=message_id)

    assert "day 1 (3 rounds + 20), day 2 (9:51)" in which
    assert await acts.score(second, "Marlow", 1) == RoundsAndReps(3, 20, 200)
