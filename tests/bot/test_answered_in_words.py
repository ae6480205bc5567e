"""A question is answered in words as well as by its button, and once."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bot.rehearsal.start import Rehearsal, quiet
from content.score import Finished, RoundsAndReps
from store import asks
from store.values import ChatId, UserId
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
        ("/score the first", FIRST),
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


async def test_a_choice_said_again_keeps_what_stands_beside_it(play: Rehearsal):
    question = await asked(play)

    await acts.say(play, "Marlow", "3 rounds + 9 with 16 kg, RPE 8", reply_to=question)

    found = await acts.result(play, "Marlow")
    assert text_of(play, question).startswith("Marlow, day 1, Full: 3 rounds + 9")
    assert found is not None
    assert (found.effort, found.load_g, found.raw_text) == (8, 16_000, UNSURE)


async def test_written_again_it_is_for_the_division_of_the_question(play: Rehearsal):
    question = await asked(play, text="lighter 3 rounds + 99")

    [said] = await acts.say(play, "Marlow", "3 rounds + 19", reply_to=question)

    assert said.startswith("Marlow, day 1, Lighter: 3 rounds + 19")


async def test_written_again_it_is_for_the_day_of_the_question(play: Rehearsal):
    go_to(play, 2)
    await quiet(play)
    question = await asked(play, text="yesterday 3 rounds + 99")

    [said] = await acts.say(play, "Marlow", "3 rounds + 19", reply_to=question)
    await acts.edit(play, "Marlow", acts.last_of(play, "Marlow"), "3 rounds + 18")

    assert said.startswith("Marlow, day 1, Full: 3 rounds + 19")
    assert await acts.score(play, "Marlow", 1) == RoundsAndReps(3, 18, 198)
    assert await acts.result(play, "Marlow", 2) is None


async def test_a_day_and_a_division_in_the_reply_win_over_those_of_the_question(
    play: Rehearsal,
):
    go_to(play, 2)
    await quiet(play)
    question = await asked(play, text="yesterday 3 rounds + 99")

    [today] = await acts.say(play, "Marlow", "today 9:41", reply_to=question)
    [lighter] = await acts.say(play, "Marlow", "lighter 3 rounds + 19", reply_to=question)

    assert today.startswith("Marlow, day 2, Full: 9:41")
    assert lighter.startswith("Marlow, day 1, Lighter: 3 rounds + 19")


async def test_the_choices_stay_on_the_ladder_they_were_counted_on(play: Rehearsal):
    question = await asked(play)
    await acts.say(play, "Marlow", "/join")
    await acts.press(play, "Marlow", 1)

    await acts.say(play, "Marlow", "the second", reply_to=question)

    found = await acts.result(play, "Marlow")
    assert found is not None
    assert found.division == "full"


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


@pytest.mark.parametrize("text", ["4 rounds + 39", "it was 4 rounds + 99", "remove my score"])
async def test_a_score_in_reply_to_somebody_elses_question_is_not_ones_own(
    play: Rehearsal, text: str
):
    await acts.say(play, "Petra", "3 rounds + 20")
    question = await asked(play)

    said = await acts.say(play, "Petra", text, reply_to=question)
    edited = await acts.edit(play, "Petra", acts.last_of(play, "Petra"), f"{text}!")

    assert said == edited == []
    assert await acts.score(play, "Petra") == RoundsAndReps(3, 20, 200)
    assert await acts.result(play, "Marlow") is None


async def test_a_reply_to_somebody_elses_question_may_ask_and_alarm(play: Rehearsal):
    question = await asked(play)

    [answered] = await acts.say(play, "Petra", "What is my score?", reply_to=question)
    [alarmed] = await acts.say(play, "Petra", "I have chest pain", reply_to=question)

    assert answered.startswith("Petra")
    assert alarmed.startswith("Petra, stop now.")


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


@pytest.mark.parametrize("text", ["ok", "sure", "👍", "last", "vale"])
async def test_in_private_a_word_about_anything_needs_a_reply(play: Rehearsal, text: str):
    marlow = play.people["Marlow"]
    play.room.start_private(marlow)
    await quiet(play)
    await acts.say(play, "Marlow", "70 rounds", place=marlow)
    question = int(acts.last(play, marlow)["message_id"])

    await acts.say(play, "Marlow", text, place=marlow)
    before = await acts.result(play, "Marlow")
    await acts.say(play, "Marlow", "ok", place=marlow, reply_to=question)

    assert before is None
    assert await acts.score(play, "Marlow") == RoundsAndReps(70, 0, 4200)


async def test_in_private_words_said_before_the_question_do_not_answer_it(play: Rehearsal):
    marlow = play.people["Marlow"]
    play.room.start_private(marlow)
    await quiet(play)
    play.room.say(marlow, marlow, "70 rounds")
    play.room.say(marlow, marlow, "yes")
    play.room.clock.advance(timedelta(seconds=30))

    await quiet(play)

    assert await acts.result(play, "Marlow") is None


async def test_in_private_a_question_is_answered_for_the_group_it_came_from(play: Rehearsal):
    """Two groups count their questions alike; the later group is where bare words go."""
    marlow = play.people["Marlow"]
    play.room.start_private(marlow)
    await quiet(play)
    await acts.say(play, "Marlow", UNSURE, place=marlow)
    question = int(acts.last(play, marlow)["message_id"])
    pier = play.room.add_group("Pier")
    play.room.join(marlow, pier)
    play.room.join(play.coach, pier, "administrator")
    await quiet(play)
    await acts.say(play, play.coach.first_name, "/begin 2026-06-02", place=pier)
    await acts.press(play, play.coach.first_name, message=acts.last(play, pier))
    invitation = acts.last(play, pier)
    go_to(play, 2)
    await quiet(play)
    await acts.press(play, "Marlow", 0, message=invitation)
    await acts.say(play, "Marlow", "4 rounds + 99", place=pier)
    in_pier = acts.last(play, pier)

    await acts.say(play, "Marlow", "the first", place=marlow, reply_to=question)

    assert acts.keys(in_pier)[0].split(":")[2] == "1"
    assert acts.keys(acts.last(play, pier)) == acts.keys(in_pier)
    assert await acts.score(play, "Marlow") == FIRST
    async with play.database.reading() as session:
        there = await asks.open_ask_of(session, ChatId(pier.chat_id), UserId(marlow.user_id))
    assert there is not None


async def test_in_private_a_question_of_the_group_needs_a_reply(play: Rehearsal):
    marlow = play.people["Marlow"]
    play.room.start_private(marlow)
    await quiet(play)
    await asked(play)

    await acts.say(play, "Marlow", "the second", place=marlow)

    assert await acts.result(play, "Marlow") is None


async def test_in_private_a_question_of_a_while_ago_needs_a_reply(play: Rehearsal):
    marlow = play.people["Marlow"]
    play.room.start_private(marlow)
    await quiet(play)
    await acts.say(play, "Marlow", UNSURE, place=marlow)
    play.room.clock.advance(timedelta(minutes=11))

    await acts.say(play, "Marlow", "the second", place=marlow)

    assert await acts.result(play, "Marlow") is None


async def test_a_time_chosen_by_its_clock(play: Rehearsal):
    go_to(play, 2)
    await quiet(play)
    question = await asked(play, text="my time was 9.41?")

    await acts.say(play, "Marlow", "yes", reply_to=question)

    assert await acts.score(play, "Marlow", 2) == Finished(581)
