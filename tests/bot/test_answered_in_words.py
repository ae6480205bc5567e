"""A question is answered in words as well as by its button, and once."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bot.rehearsal.start import Rehearsal, quiet
from content.score import Finished, RoundsAndReps
from tests.bot import acts
from tests.bot.test_bad_input import go_to

UNSURE = "3 rounds + 99"  # a round holds 60: 3 + 9, or 3 rounds and 99 more
FIRST, SECOND = RoundsAndReps(3, 9, 189), RoundsAndReps(4, 39, 279)


async def asked(play: Rehearsal, name: str = "Marlow", text: str = UNSURE) -> int:
    """Let a person write something unsure in the group; give the number of the question."""
    await acts.say(play, name, text)
    return int(acts.last(play)["message_id"])


def text_of(play: Rehearsal, message_id: int) -> str:
    [text] = [m["text"] for m in play.room.messages(play.group) if m["message_id"] == message_id]
    return str(text)


@pytest.mark.parametrize(
    ("text", "score"),
    [
        ("the first", FIRST),
        ("second one", SECOND),
        ("2.", SECOND),
        ("3 rounds + 9 (189 reps)", FIRST),
        ("4 ROUNDS+39", SECOND),
        ("279", SECOND),
        ("9", FIRST),
    ],
)
async def test_a_reply_in_words_records_the_choice(
    play: Rehearsal, text: str, score: RoundsAndReps
):
    question = await asked(play)

    said = await acts.say(play, "Marlow", text, reply_to=question)

    assert said == []  # the question itself turns into the read-back
    assert text_of(play, question).startswith(f"Marlow, day 1, Full: {score.rounds} rounds")
    assert await acts.score(play, "Marlow") == score
    found = await acts.result(play, "Marlow")
    assert found is not None
    assert found.raw_text == UNSURE


@pytest.mark.parametrize("text", ["no", "none of these", "Neither!"])
async def test_none_of_them_records_nothing(play: Rehearsal, text: str):
    question = await asked(play)

    await acts.say(play, "Marlow", text, reply_to=question)

    assert text_of(play, question).startswith("Nothing recorded.")
    assert await acts.result(play, "Marlow") is None


async def test_yes_agrees_to_a_single_choice(play: Rehearsal):
    question = await asked(play, text="70 rounds")

    await acts.say(play, "Marlow", "that's it", reply_to=question)

    assert await acts.score(play, "Marlow") == RoundsAndReps(70, 0, 4200)


async def test_words_and_then_the_button_record_once(play: Rehearsal):
    question = await asked(play)
    message = acts.last(play)
    keys = acts.keys(message)
    await acts.say(play, "Marlow", "the first", reply_to=question)

    toasts = await acts.forge(play, "Marlow", keys[1], acts.last_from_bot(play))

    assert toasts == ["That question is settled already."]
    assert await acts.score(play, "Marlow") == FIRST
    assert await acts.changes(play, "Marlow") == 1


async def test_the_button_and_then_words_record_once(play: Rehearsal):
    question = await asked(play)
    await acts.press(play, "Marlow", 1)

    said = await acts.say(play, "Marlow", "the first", reply_to=question)

    assert said == []
    assert await acts.score(play, "Marlow") == SECOND
    assert await acts.changes(play, "Marlow") == 1


async def test_it_survives_a_restart(play: Rehearsal):
    question = await asked(play)
    await play.restart()

    await acts.say(play, "Marlow", "the second", reply_to=question)

    assert await acts.score(play, "Marlow") == SECOND


async def test_a_sure_score_in_the_reply_wins(play: Rehearsal):
    question = await asked(play)

    [said] = await acts.say(play, "Marlow", "sorry, 3 rounds + 19", reply_to=question)

    assert said.startswith("Marlow, day 1, Full: 3 rounds + 19")
    assert await acts.score(play, "Marlow") == RoundsAndReps(3, 19, 199)


async def test_a_choice_said_again_goes_to_the_day_of_the_question(play: Rehearsal):
    go_to(play, 2)
    await quiet(play)
    question = await asked(play, text="yesterday 3 rounds + 99")

    await acts.say(play, "Marlow", "3 rounds + 9", reply_to=question)

    assert await acts.score(play, "Marlow", 1) == FIRST
    assert await acts.result(play, "Marlow", 2) is None


async def test_words_without_a_reply_are_chatter_in_the_group(play: Rehearsal):
    await asked(play)

    assert await acts.say(play, "Marlow", "the first") == []
    assert await acts.say(play, "Marlow", "yes") == []
    assert await acts.result(play, "Marlow") is None


async def test_somebody_elses_reply_chooses_nothing(play: Rehearsal):
    question = await asked(play)
    await acts.say(play, "Petra", "4 rounds + 99")

    said = await acts.say(play, "Petra", "the first", reply_to=question)

    assert said == []
    assert await acts.result(play, "Petra") is None
    assert await acts.result(play, "Marlow") is None


async def test_a_reply_to_another_message_of_the_bot_chooses_nothing(play: Rehearsal):
    await acts.say(play, "Petra", "3 rounds + 9")
    read_back = int(acts.last(play)["message_id"])
    await asked(play)

    await acts.say(play, "Marlow", "the first", reply_to=read_back)

    assert await acts.result(play, "Marlow") is None


async def test_an_older_question_is_not_answered_any_more(play: Rehearsal):
    older = await asked(play)
    await asked(play, text="3 rounds + 98")

    await acts.say(play, "Marlow", "the first", reply_to=older)

    assert await acts.result(play, "Marlow") is None


async def test_an_emergency_wins_over_the_question(play: Rehearsal):
    question = await asked(play)

    [said] = await acts.say(play, "Marlow", "no, I have chest pain", reply_to=question)

    assert said.startswith("Marlow, stop now.")


async def test_in_private_the_next_message_answers_without_a_reply(play: Rehearsal):
    marlow = play.people["Marlow"]
    play.room.start_private(marlow)
    await quiet(play)
    await acts.say(play, "Marlow", UNSURE, place=marlow)

    [said] = await acts.say(play, "Marlow", "the second", place=marlow)

    assert said.startswith("Marlow, day 1, Full: 4 rounds + 39")
    assert await acts.score(play, "Marlow") == SECOND


async def test_in_private_a_question_of_the_group_needs_a_reply(play: Rehearsal):
    marlow = play.people["Marlow"]
    play.room.start_private(marlow)
    await quiet(play)
    await asked(play)

    await acts.say(play, "Marlow", "the second", place=marlow)

    assert await acts.result(play, "Marlow") is None


async def test_in_private_a_question_of_yesterday_needs_a_reply(play: Rehearsal):
    marlow = play.people["Marlow"]
    play.room.start_private(marlow)
    await quiet(play)
    await acts.say(play, "Marlow", UNSURE, place=marlow)
    play.room.clock.advance(timedelta(hours=13))

    await acts.say(play, "Marlow", "the second", place=marlow)

    assert await acts.result(play, "Marlow") is None


async def test_a_time_chosen_by_its_clock(play: Rehearsal):
    go_to(play, 2)
    await quiet(play)
    question = await asked(play, text="my time was 9.41?")

    await acts.say(play, "Marlow", "yes", reply_to=question)

    assert await acts.score(play, "Marlow", 2) == Finished(581)
