"""Answers owed are sent in order, again after a failure, and not when they are useless."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bot.calls import Call, Say
from bot.outbox import owe_calls
from bot.rehearsal.people import Group
from bot.rehearsal.start import Rehearsal, quiet
from store import people
from store.values import ChatId, UserId
from tests.bot import acts

SCORE = "3 rounds + 45"


async def test_an_answer_whose_connection_was_lost_is_sent_again(play: Rehearsal):
    play.room.drop_next("sendMessage", carried_out=False)

    at_first = await acts.say(play, "Marlow", SCORE)
    play.room.clock.advance(timedelta(seconds=5))
    later = await acts.answers(play, 0)

    assert at_first == []
    assert len(later) == 1
    assert await acts.owed_count(play) == 0


@pytest.mark.parametrize("garbled", [False, True])
async def test_an_answer_that_may_be_there_is_rather_sent_twice(play: Rehearsal, garbled: bool):
    break_next = play.room.garble_next if garbled else play.room.drop_next
    break_next("sendMessage", carried_out=True)

    at_first = await acts.say(play, "Marlow", SCORE)
    play.room.clock.advance(timedelta(seconds=5))
    later = await acts.answers(play, 0)

    assert len(at_first) == 1
    assert later == at_first * 2
    assert await acts.changes(play, "Marlow") == 1


async def test_repeats_get_rarer_when_every_answer_is_lost(play: Rehearsal):
    """Otherwise a line that breaks after sending would fill the group for an hour."""
    play.room.drop_next("sendMessage", carried_out=True, times=100)

    await acts.say(play, "Marlow", SCORE)
    for _ in range(12):
        play.room.clock.advance(timedelta(seconds=5))
        await play.rungbell.wake()
    in_a_minute = len(acts.texts(play))
    play.room.clock.advance(timedelta(hours=1))
    await play.rungbell.wake()

    assert in_a_minute == 4  # at once, and after 5, 15 and 35 seconds
    assert len(acts.texts(play)) == 4
    assert await acts.owed_count(play) == 0


async def test_too_many_requests_are_waited_for_in_order(play: Rehearsal):
    play.room.answer_next(
        "sendMessage",
        status=429,
        description="Too Many Requests: retry after 17",
        parameters={"retry_after": 17},
    )

    await acts.say(play, "Marlow", SCORE)
    await acts.say(play, "Petra", "2 rounds + 10")
    play.room.clock.advance(timedelta(seconds=16))
    too_early = await acts.answers(play, 0)
    calls = len(play.room.calls_of("sendMessage"))
    play.room.clock.advance(timedelta(seconds=1))
    said = await acts.answers(play, 0)

    assert too_early == []
    assert calls == 1
    assert [text.partition(",")[0] for text in said] == ["Marlow", "Petra"]


async def test_a_chat_that_has_to_wait_does_not_hold_up_another(play: Rehearsal):
    play.room.start_private(play.people["Petra"])
    await quiet(play)
    play.room.answer_next(
        "sendMessage",
        status=429,
        description="Too Many Requests: retry after 60",
        parameters={"retry_after": 60},
    )

    here = await acts.say(play, "Marlow", SCORE)
    there = await acts.say(play, "Petra", "2 rounds + 10", place=play.people["Petra"])

    assert here == []
    assert len(there) == 1


async def test_a_restart_sends_what_was_committed_and_not_sent(play: Rehearsal):
    play.room.drop_next("sendMessage", carried_out=False)
    await acts.say(play, "Marlow", SCORE)
    await play.rungbell.stop()
    play.room.clock.advance(timedelta(minutes=2))

    await play.restart()
    said = await acts.answers(play, 0)

    assert len(said) == 1
    assert await acts.changes(play, "Marlow") == 1
    assert await acts.owed_count(play) == 0


async def test_a_restart_drops_what_is_no_longer_useful(play: Rehearsal):
    play.room.drop_next("sendMessage", carried_out=False, times=2)
    await acts.say(play, "Marlow", SCORE)
    await play.rungbell.stop()
    play.room.clock.advance(timedelta(hours=1, seconds=1))

    await play.restart()
    said = await acts.answers(play, 0)

    assert said == []
    assert await acts.score(play, "Marlow") is not None
    assert await acts.owed_count(play) == 0


async def test_useless_answers_do_not_stand_before_useful_ones(play: Rehearsal):
    chat_id = ChatId(play.group.chat_id)
    async with play.database.work() as session:
        calls: list[Call] = [Say(chat_id, f"old {number}") for number in range(120)]
        await owe_calls(session, calls, chat_id=chat_id, now=play.room.clock())
        await session.commit()
    play.room.clock.advance(timedelta(hours=2))
    async with play.database.work() as session:
        await owe_calls(session, [Say(chat_id, "new")], chat_id=chat_id, now=play.room.clock())
        await session.commit()

    assert await acts.answers(play, 0) == ["new"]


async def test_somebody_who_blocked_the_bot_is_not_written_to_any_more(play: Rehearsal):
    play.room.answer_next(
        "sendMessage", status=403, description="Forbidden: bot was blocked by the user"
    )
    play.room.say(play.coach, play.coach, "/help")
    await quiet(play)

    async with play.database.reading() as session:
        [(_, can_write_to)] = await people.organisers(session, ChatId(play.group.chat_id))

    assert not can_write_to
    assert await acts.owed_count(play) == 0


async def test_an_answer_to_a_group_that_threw_the_bot_out_is_given_up(play: Rehearsal):
    play.room.say(play.people["Marlow"], play.group, SCORE)
    play.room.kick_bot(play.group)

    assert await acts.answers(play, 0) == []
    assert await acts.score(play, "Marlow") is not None
    assert await acts.owed_count(play) == 0


async def test_answers_follow_a_group_to_its_new_id_once_each(eve: Rehearsal):
    old, new, before = await a_moved_group(eve)

    said = [message["text"] for message in eve.room.messages(new) if "text" in message]

    assert said == ["one", "two"]
    assert len(eve.room.messages(old)) == before
    assert await acts.owed_count(eve) == 0


async def a_moved_group(play: Rehearsal) -> tuple[Group, Group, int]:
    """Owe two answers to a group that moves before they are sent, unknown to the bot."""
    old = play.room.add_group("Pier", is_basic=True)
    play.room.put_in_group(play.coach, old, "creator")
    await acts.say(play, "Ines", "/begin", place=old)
    await acts.press(play, "Ines", message=acts.last(play, old))
    before = len(play.room.messages(old))
    chat_id = ChatId(old.chat_id)
    new = play.room.add_group("Pier")
    old.moved_to = new.chat_id
    async with play.database.work() as session:
        calls: list[Call] = [Say(chat_id, "one", reply_to=1), Say(chat_id, "two")]
        await owe_calls(session, calls, chat_id=chat_id, now=play.room.clock())
        await session.commit()
    await quiet(play)
    return old, new, before


async def test_a_group_that_moved_onto_another_challenge_stops_nothing(play: Rehearsal):
    """Two challenges cannot become one: the answer is given up, the bot goes on."""
    old = play.room.add_group("Pier", is_basic=True)
    play.room.put_in_group(play.coach, old, "creator")
    await acts.say(play, "Ines", "/begin", place=old)
    await acts.press(play, "Ines", message=acts.last(play, old))
    play.room.say(play.coach, old, "/help")
    old.moved_to = play.group.chat_id
    await quiet(play)

    assert len(await acts.say(play, "Marlow", SCORE)) == 1
    assert await acts.owed_count(play) == 0


async def test_a_press_answered_too_late_to_be_seen_is_not_answered(play: Rehearsal):
    await acts.say(play, "Marlow", SCORE)
    play.room.drop_next("answerCallbackQuery", carried_out=False, times=2)

    await acts.press(play, "Petra")
    play.room.clock.advance(timedelta(seconds=31))
    await quiet(play)

    assert play.room.toasts == []
    assert await acts.owed_count(play) == 0


async def test_whoever_starts_the_bot_again_can_be_written_to(play: Rehearsal):
    play.room.block(play.coach)
    await quiet(play)
    async with play.database.reading() as session:
        [(organiser, blocked)] = await people.organisers(session, ChatId(play.group.chat_id))

    play.room.start_private(play.coach)
    await quiet(play)
    async with play.database.reading() as session:
        [(_, started)] = await people.organisers(session, ChatId(play.group.chat_id))

    assert organiser == UserId(play.coach.user_id)
    assert (blocked, started) == (False, True)
