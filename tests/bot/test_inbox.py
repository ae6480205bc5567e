"""Updates are kept before they count, handled once, in order, and never hold up the others."""

from __future__ import annotations

import asyncio
import logging
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from bot.handlers import scored as scored_handler
from bot.inbox import GiveUp, Handle, Inbox, TakenElsewhere, chat_of
from bot.rehearsal.start import Rehearsal, quiet
from bot.stopping import Stop
from content.score import RoundsAndReps
from store import inbox
from store.engine import Database
from store.tables import ChallengeRow
from store.values import ChatId, Update, UpdateId
from tests.bot import acts

NOW = datetime(2026, 6, 1, 6, 0, tzinfo=UTC)


def an_update(update_id: int, chat_id: int = 1) -> dict[str, Any]:
    return {"update_id": update_id, "message": {"chat": {"id": chat_id}, "text": "hello"}}


@pytest.mark.parametrize(
    ("update", "chat_id"),
    [
        pytest.param({"update_id": 1, "message": {"chat": {"id": -5}}}, -5, id="message"),
        pytest.param(
            {
                "update_id": 1,
                "callback_query": {"from": {"id": 7}, "message": {"chat": {"id": -5}}},
            },
            -5,
            id="press_under_a_message",
        ),
        pytest.param(
            {"update_id": 1, "callback_query": {"from": {"id": 7}}}, 7, id="press_without_message"
        ),
        pytest.param({"update_id": 1, "my_chat_member": {"chat": {"id": -5}}}, -5, id="member"),
        pytest.param({"update_id": 1, "poll": {"id": "4"}}, 0, id="of_no_chat"),
        pytest.param({"update_id": 1, "message": None}, 0, id="nothing"),
        pytest.param({"update_id": 1, "message": {"chat": {"id": "x"}}}, 0, id="no_number"),
    ],
)
def test_an_update_is_put_into_the_order_of_its_chat(update: dict[str, Any], chat_id: int):
    assert chat_of(update) == chat_id


async def test_the_same_update_twice_has_one_effect_and_one_answer(play: Rehearsal):
    play.room.say(play.people["Marlow"], play.group, "3 rounds + 45")
    [update] = play.room.updates.pending
    first = await acts.answers(play, 0)

    play.room.queue_update(update)
    again = await acts.answers(play, len(first))

    assert len(first) == 1
    assert again == []
    assert await acts.changes(play, "Marlow") == 1


async def test_updates_of_a_chat_are_handled_in_order(play: Rehearsal):
    play.room.say(play.people["Marlow"], play.group, "3 rounds + 45")
    play.room.say(play.people["Petra"], play.group, "2 rounds + 10")
    play.room.say(play.people["Marlow"], play.group, "make that 3+54")

    said = await acts.answers(play, 0)

    assert [text.partition(",")[0] for text in said] == ["Marlow", "Petra", "Marlow"]
    assert await acts.score(play, "Marlow") == RoundsAndReps(3, 54, 234)


async def test_a_chat_that_is_held_up_does_not_hold_up_another(database: Database):
    go_on, stop, handled = asyncio.Event(), Stop(), []

    async def handle(update: Update) -> None:
        if update.chat_id == 1:
            await go_on.wait()
        handled.append(update.update_id)
        await done(database, update)
        if update.chat_id == 2:
            go_on.set()
        if update.update_id == 3:
            stop.ask()

    kept = Inbox(database, lambda: NOW, handle=handle, give_up=never, stop=stop)
    await kept.receive([an_update(1, 1), an_update(3, 1), an_update(2, 2)])
    await kept.run()

    assert handled == [2, 1, 3]


async def test_what_the_library_cannot_parse_is_set_aside_and_later_updates_go_on(
    play: Rehearsal,
):
    group = play.group.as_chat()
    bad = play.room.queue_update({"message": {"message_id": "x", "chat": group, "date": "soon"}})
    said = await acts.say(play, "Marlow", "3 rounds + 45")

    kept = await acts.updates_kept(play)

    assert said == [
        "Marlow, day 1, Full: 3 rounds + 45 → round 4, 5 of 18 goblet squats; 225 reps"
    ]
    assert kept[0] == (bad["update_id"], False, True, 2)
    [told] = acts.texts(play, play.coach)
    assert str(bad["update_id"]) in told


async def test_an_update_of_an_unknown_kind_is_done_in_silence(play: Rehearsal):
    play.room.queue_update({"something_new": {"id": "9"}})

    assert await acts.answers(play, 0) == []
    assert [(done, aside) for _, done, aside, _ in await acts.updates_kept(play)] == [
        (True, False)
    ]


async def test_a_failing_handler_rolls_back_is_tried_three_times_and_the_organiser_told(
    play: Rehearsal, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
):
    record, tried, words = scored_handler.record, [], "Marlow wrote 3 rounds"

    async def record_and_fail(*given: Any) -> Any:
        tried.append(await record(*given))
        raise RuntimeError(words)

    monkeypatch.setattr(scored_handler, "record", record_and_fail)
    said = await acts.say(play, "Marlow", "3 rounds + 45")

    assert len(tried) == 3
    assert said == []
    assert await acts.result(play, "Marlow") is None
    assert [(done, aside) for _, done, aside, _ in await acts.updates_kept(play)] == [
        (False, True)
    ]
    [told] = acts.texts(play, play.coach)
    assert "nothing was recorded" in told
    assert words not in caplog.text  # an error's words may be a person's


async def test_a_handler_that_fails_once_is_done_at_the_second_attempt(
    play: Rehearsal, monkeypatch: pytest.MonkeyPatch
):
    record, tried = scored_handler.record, []

    async def fail_first(*given: Any) -> Any:
        tried.append(given)
        if len(tried) == 1:
            raise RuntimeError
        return await record(*given)

    monkeypatch.setattr(scored_handler, "record", fail_first)
    said = await acts.say(play, "Marlow", "3 rounds + 45")

    assert len(said) == 1
    assert await acts.changes(play, "Marlow") == 1
    assert acts.texts(play, play.coach) == []


async def test_an_unreadable_challenge_is_told_to_the_organiser_too(play: Rehearsal):
    """Telling must not need what cannot be read."""
    await spoil_content(play)

    said = await acts.say(play, "Marlow", "3 rounds + 45")

    assert said == []
    assert len(acts.texts(play, play.coach)) == 1


async def test_when_giving_up_fails_the_inbox_ends_instead_of_spinning(database: Database):
    async def handle(_update: Update) -> None:
        raise ValueError

    async def give_up(_update: Update, _error: Exception) -> None:
        raise ConnectionError

    kept = an_inbox(database, handle, give_up)
    await kept.receive([an_update(1)])

    with pytest.raises(ConnectionError):
        await kept.run()


async def test_handled_updates_are_kept_three_days_and_then_forgotten(play: Rehearsal):
    await acts.say(play, "Marlow", "good morning")
    play.room.clock.advance(timedelta(days=2))
    await quiet(play)
    kept = await acts.updates_kept(play)

    play.room.clock.advance(timedelta(days=2))
    await quiet(play)

    assert len(kept) == 1
    assert await acts.updates_kept(play) == []


async def test_an_update_received_before_a_restart_is_handled_once(play: Rehearsal):
    await play.rungbell.stop()
    play.room.say(play.people["Marlow"], play.group, "3 rounds + 45")
    # As the fetcher does; then the program stopped before it confirmed or handled anything.
    await an_inbox_for(play).receive(play.room.updates.pending)

    await play.restart()
    said = await acts.answers(play, 0)

    assert len(said) == 1
    assert await acts.changes(play, "Marlow") == 1
    assert [done for _, done, _, _ in await acts.updates_kept(play)] == [True]


async def test_a_stop_leaves_what_was_not_begun_to_the_next_start(database: Database):
    stop, handled = Stop(), []

    async def handle(update: Update) -> None:
        handled.append(update.update_id)
        await done(database, update)
        stop.ask()

    kept = Inbox(database, lambda: NOW, handle=handle, give_up=never, stop=stop)
    await kept.receive([an_update(1), an_update(2)])
    await kept.run()

    async with database.reading() as session:
        left = await inbox.waiting(session, limit=10)
    assert handled == [1]
    assert [update.update_id for update in left] == [2]


async def test_an_update_that_another_process_handles_is_left_to_it(database: Database):
    stop, seen = Stop(), []

    async def handle(update: Update) -> None:
        seen.append(update.update_id)
        stop.ask()  # else it would look again after a while
        raise TakenElsewhere

    kept = Inbox(database, lambda: NOW, handle=handle, give_up=never, stop=stop)
    await kept.receive([an_update(1), an_update(2)])
    await kept.run()

    async with database.reading() as session:
        left = await inbox.waiting(session, limit=10)
    assert seen == [1]
    assert [(update.update_id, update.attempts) for update in left] == [(1, 0), (2, 0)]


async def test_an_update_done_elsewhere_meanwhile_has_no_second_effect(play: Rehearsal):
    payload = '{"update_id": 1000000}'
    update = Update(UpdateId(10**6), ChatId(play.group.chat_id), payload, NOW, 0)

    with pytest.raises(TakenElsewhere):
        await play.rungbell._handle(update)  # noqa: SLF001 - what a lane calls


async def test_nothing_of_token_or_messages_is_logged(
    play: Rehearsal, caplog: pytest.LogCaptureFixture
):
    caplog.set_level(logging.DEBUG, logger="bot")
    play.room.drop_next("sendMessage", carried_out=True)
    play.room.answer_next("sendMessage", status=400, description="Bad Request: no rights")
    await acts.say(play, "Marlow", "3 rounds + 45")
    await acts.say(play, "Marlow", "is chest pain normal, says Zebedee?")
    play.room.queue_update({"message": {"message_id": "x", "text": "Zebedee"}})
    play.room.garble_next("getUpdates")
    await acts.say(play, "Petra", "2 rounds + 10")
    await play.restart()

    logged = "\n".join(r.getMessage() for r in caplog.records if r.name.startswith("bot"))

    assert "set aside" in logged
    for secret in (play.room.token, "rehearsal\n", "Zebedee", "3 rounds", "2 rounds", "Marlow"):
        assert secret not in logged


def an_inbox(database: Database, handle: Handle, give_up: GiveUp | None = None) -> Inbox:
    return Inbox(database, lambda: NOW, handle=handle, give_up=give_up or never, stop=Stop())


def an_inbox_for(play: Rehearsal) -> Inbox:
    return Inbox(play.database, play.room.clock, handle=never_handled, give_up=never, stop=Stop())


async def never(update: Update, error: Exception) -> None:
    raise AssertionError(update.update_id) from error


async def never_handled(update: Update) -> None:
    raise AssertionError(update.update_id)


async def done(database: Database, update: Update) -> None:
    async with database.work() as session:
        await inbox.mark_done(session, update.update_id, NOW)
        await session.commit()


async def spoil_content(play: Rehearsal) -> None:
    """Let the stored challenge be one that this program cannot read."""
    async with play.database.work() as session:
        row = await session.get_one(ChallengeRow, (play.group.chat_id, acts.FIRST))
        row.content = "{}"
        await session.commit()
