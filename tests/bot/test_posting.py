"""Posts appear once, at their time; whatever is in doubt is asked, whatever is too late, told."""

from __future__ import annotations

from collections.abc import AsyncIterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import update

from bot import post_text
from bot.rehearsal.start import Rehearsal, open_the_challenge, quiet, rehearsal
from bot.timetable import instant
from content.challenge import Challenge
from store import challenges, posts
from store.tables import PostRow
from store.values import ChatId, PostState
from tests.bot import acts

TOO_MANY: dict[str, Any] = {
    "status": 429,
    "description": "Too Many Requests: retry after 40",
    "parameters": {"retry_after": 40},
}


async def test_a_post_is_sent_once_and_its_message_known(play: Rehearsal):
    await go_to_day_2(play)
    said = acts.texts(play)
    for _ in range(3):
        await play.rungbell.wake()

    assert [text.partition("\n")[0] for text in said] == [
        "Day 1 · Round the bollards: the result",
        "Day 2 of 7 · Tide going out",
    ]
    assert acts.texts(play) == said
    post = await acts.post_of(play, 2)
    assert (post.state, post.message_id) == (PostState.SENT, acts.last(play)["message_id"])


async def test_only_the_workout_of_the_day_makes_a_sound(play: Rehearsal):
    await go_to_day_2(play)

    sounds = [not call.get("disable_notification") for call in play.room.calls_of("sendMessage")]
    assert sounds == [False, True]


@pytest.mark.parametrize("carried_out", [False, True])
@pytest.mark.parametrize("how", ["drop_next", "garble_next"])
async def test_a_post_that_may_be_there_is_not_repeated_but_asked_about(
    play: Rehearsal, how: str, carried_out: bool
):
    await lose_day_2(play, how=how, carried_out=carried_out)
    for _ in range(3):
        play.room.clock.advance(timedelta(minutes=10))
        await quiet(play)

    assert day_2_posts(play) == carried_out
    assert (await acts.post_of(play, 2)).state is PostState.UNKNOWN
    [asked] = acts.texts(play, play.coach)
    assert "“workout” of day 2" in asked
    assert len(acts.keys(acts.last(play, play.coach))) == 2


async def test_the_organiser_says_that_it_is_there(play: Rehearsal):
    await lose_day_2(play, carried_out=True)

    toasts = await acts.press(play, "Ines", 0, message=acts.last(play, play.coach))

    assert toasts == ["Thank you, noted."]
    assert day_2_posts(play) == 1
    assert (await acts.post_of(play, 2)).state is PostState.SENT
    assert acts.keys(acts.last(play, play.coach)) == []


async def test_the_organiser_has_it_sent_again(play: Rehearsal):
    await lose_day_2(play, carried_out=False)

    await acts.press(play, "Ines", 1, message=acts.last(play, play.coach))

    assert day_2_posts(play) == 1
    assert (await acts.post_of(play, 2)).state is PostState.SENT


async def test_a_doubtful_post_of_an_ended_challenge_is_not_sent_again(play: Rehearsal):
    await lose_day_2(play, carried_out=False)
    asked = acts.last(play, play.coach)
    await acts.say(play, "Ines", "/finish")

    await acts.press(play, "Ines", 1, message=asked)

    assert day_2_posts(play) == 0
    assert (await acts.post_of(play, 2)).state is PostState.SKIPPED


async def test_a_second_press_does_nothing(play: Rehearsal):
    await lose_day_2(play, carried_out=False)
    asked = acts.last(play, play.coach)

    for key in reversed(acts.keys(asked)):
        play.room.press(play.coach, play.coach, asked["message_id"], key)
    await quiet(play)

    assert [toast.text for toast in play.room.toasts] == [
        "Thank you, noted.",
        "That button is out of date.",
    ]
    assert day_2_posts(play) == 1


async def test_a_stranger_decides_nothing_about_a_post(play: Rehearsal):
    await lose_day_2(play, carried_out=False)
    [_, again] = acts.keys(acts.last(play, play.coach))
    await acts.say(play, "Marlow", "/join")

    toasts = await acts.forge(play, "Marlow", again)

    assert toasts == ["Only administrators of this group can do that."]
    assert (await acts.post_of(play, 2)).state is PostState.UNKNOWN


async def test_a_post_sent_again_too_late_is_skipped(play: Rehearsal):
    await lose_day_2(play, carried_out=False)
    play.room.clock.move_to(datetime(2026, 6, 3, 4, 46, tzinfo=UTC))  # 05:46 in Lisbon
    await quiet(play)
    [asked] = [m for m in play.room.messages(play.coach) if acts.keys(m)]

    await acts.press(play, "Ines", 1, message=asked)

    assert day_2_posts(play) == 0
    assert (await acts.post_of(play, 2)).state is PostState.SKIPPED


async def test_a_post_claimed_when_the_program_died_is_asked_about_at_the_next_start(
    play: Rehearsal,
):
    await play.rungbell.stop()
    play.room.clock.move_to(day_2(play))
    post = await acts.post_of(play, 2)
    async with play.database.work() as session:
        await posts.claim(session, post, play.room.clock())
        await session.commit()
    play.room.clock.advance(timedelta(seconds=20))

    await play.restart()
    await quiet(play)

    assert day_2_posts(play) == 0
    assert (await acts.post_of(play, 2)).state is PostState.UNKNOWN
    assert len(acts.keys(acts.last(play, play.coach))) == 2


async def test_a_post_due_while_the_program_was_down_comes_at_the_next_start(play: Rehearsal):
    await play.rungbell.stop()
    play.room.clock.move_to(day_2(play) + timedelta(hours=3))

    await play.restart()
    await quiet(play)

    assert day_2_posts(play) == 1


async def test_too_many_requests_put_a_post_off_and_nothing_is_tried_before(play: Rehearsal):
    play.room.answer_next("sendMessage", **TOO_MANY)

    await go_to_day_2(play)
    play.room.clock.advance(timedelta(seconds=39))
    await quiet(play)
    tried, too_early = len(play.room.calls_of("sendMessage")), acts.texts(play)
    play.room.clock.advance(timedelta(seconds=1))
    await quiet(play)

    assert tried == 1
    assert too_early == []
    assert day_2_posts(play) == 1
    assert acts.texts(play, play.coach) == []


async def test_a_post_too_late_to_be_useful_is_skipped_and_the_organiser_told(play: Rehearsal):
    await play.rungbell.stop()
    play.room.clock.move_to(datetime(2026, 6, 3, 9, 0, tzinfo=UTC))

    await play.restart()
    await quiet(play)

    assert (await acts.post_of(play, 2)).state is PostState.SKIPPED
    assert [text.partition("\n")[0] for text in acts.texts(play)] == [
        "Day 2 · Tide going out: the result",
        "Day 3 of 7 · Steady oars",
    ]
    told = acts.texts(play, play.coach)
    assert ["day 1" in told[0], "day 2" in told[1]] == [True, True]


async def test_a_group_that_threw_the_bot_out_gets_no_posts_and_the_organiser_is_told(
    play: Rehearsal,
):
    play.room.answer_next(
        "sendMessage",
        status=403,
        description="Forbidden: bot was kicked from the supergroup chat",
    )
    await go_to_day_2(play)

    [told] = acts.texts(play, play.coach)
    assert "could not be sent" in told
    assert (await acts.post_of(play, 1, "standings")).state is PostState.PLANNED
    assert (await acts.post_of(play, 2)).state is PostState.PLANNED
    assert acts.texts(play) == []


async def test_a_group_that_takes_the_bot_back_gets_what_is_still_useful(play: Rehearsal):
    play.room.kick_bot(play.group)
    await go_to_day_2(play)
    away = day_2_posts(play)

    play.room.invite_bot(play.coach, play.group, "administrator")
    await quiet(play)

    assert (away, day_2_posts(play)) == (0, 1)


async def test_words_in_a_group_that_refused_a_post_bring_it(play: Rehearsal):
    play.room.answer_next(
        "sendMessage",
        status=403,
        description="Forbidden: bot was kicked from the supergroup chat",
    )
    await go_to_day_2(play)
    refused = day_2_posts(play)

    play.room.clock.advance(timedelta(minutes=1))
    await acts.say(play, "Marlow", "good morning all")

    assert refused == 0
    assert (await acts.post_of(play, 2)).state is PostState.SENT


async def test_a_post_without_the_right_to_write_is_skipped_and_the_organiser_told(
    play: Rehearsal,
):
    play.room.answer_next(
        "sendMessage",
        status=400,
        description="Bad Request: not enough rights to send text messages to the chat",
    )
    await go_to_day_2(play)

    [told] = acts.texts(play, play.coach)
    assert "Not enough rights" in told
    assert day_2_posts(play) == 1  # only the result before it was refused


async def test_a_post_that_cannot_be_written_does_not_hold_up_the_others(
    play: Rehearsal, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(post_text, "result_post", broken)
    await go_to_day_2(play)
    while_broken = acts.texts(play)
    monkeypatch.undo()
    play.room.clock.advance(timedelta(minutes=5))
    await quiet(play)

    assert [text.partition("\n")[0] for text in while_broken] == ["Day 2 of 7 · Tide going out"]
    assert (await acts.post_of(play, 1, "standings")).state is PostState.SENT


async def broken(*_given: object) -> None:
    raise ZeroDivisionError


async def test_posts_follow_a_group_to_its_new_id(play: Rehearsal):
    """Two are due at once, and the first learns of the move."""
    new = play.room.add_group(play.group.title)
    play.group.moved_to = new.chat_id

    await go_to_day_2(play)

    assert [text.partition("\n")[0] for text in acts.texts(play, new)] == [
        "Day 1 · Round the bollards: the result",
        "Day 2 of 7 · Tide going out",
    ]
    assert (await acts.post_of(play, 2, group=new)).state is PostState.SENT


async def test_a_post_in_two_pieces_whose_second_is_lost_is_asked_about(
    play: Rehearsal, monkeypatch: pytest.MonkeyPatch
):
    """Trying the whole again would show the first piece twice."""
    play.room.clock.move_to(day_2(play) - timedelta(minutes=1))
    await quiet(play)
    play.room.enforce_limits = True
    for _ in range(19):  # of the 20 messages a minute the platform takes for one group
        play.room.limits.count(play.group.chat_id, now=day_2(play))
    monkeypatch.setattr(post_text, "pieces", lambda text: [text, text])

    await go_to_day_2(play)

    assert day_2_posts(play) == 1
    assert (await acts.post_of(play, 2)).state is PostState.UNKNOWN


@pytest.mark.parametrize("there", [0, 1], ids=["it_is_there", "sent_again"])
async def test_the_final_result_ends_the_challenge_even_if_it_was_in_doubt(
    play: Rehearsal, there: int
):
    await go_to_the_end(play)
    play.room.drop_next("sendMessage", carried_out=there == 0)
    play.room.clock.advance(timedelta(hours=1))
    await quiet(play)
    in_doubt = await is_running(play)

    await acts.press(play, "Ines", there, message=acts.last(play, play.coach))

    assert in_doubt
    assert not await is_running(play)
    assert sum("the final result" in text for text in acts.texts(play)) == 1


async def test_a_final_result_that_is_refused_ends_the_challenge(play: Rehearsal):
    await go_to_the_end(play)
    play.room.answer_next("sendMessage", status=400, description="Bad Request: no rights")
    play.room.clock.advance(timedelta(hours=1))
    await quiet(play)

    assert not await is_running(play)


@pytest.fixture
async def autumn(tmp_path: Path, content: Challenge) -> AsyncIterator[Rehearsal]:
    """A challenge from Thursday 22 October on; Lisbon changes its clocks on the 25th."""
    start = date(2026, 10, 22)
    file = tmp_path / "autumn.sqlite3"
    async with rehearsal(content, start=start, database_file=file, ticking=False) as play:
        await open_the_challenge(play, start)
        yield play


async def test_posts_keep_their_wall_clock_over_a_change_of_clocks(autumn: Rehearsal):
    seen: dict[str, str] = {}
    while (due_at := await next_due(autumn)) is not None:
        autumn.room.clock.move_to(due_at - timedelta(seconds=1))
        before = await acts.answers(autumn, 0)
        autumn.room.clock.move_to(due_at)
        for text in await acts.answers(autumn, len(before)):
            heading = text.partition("\n")[0].partition(" · ")[0]
            seen[f"{due_at:%m-%d %H:%M} {heading}"] = text

    assert list(seen) == [
        "10-22 05:00 Day 1 of 7",
        "10-23 04:45 Day 1",
        "10-23 05:00 Day 2 of 7",
        "10-24 04:45 Day 2",
        "10-24 05:00 Day 3 of 7",
        "10-25 05:45 Day 3",
        "10-25 06:00 Day 4 of 7",
        "10-26 06:00 Day 5 of 7",
        "10-27 05:45 Day 5",
        "10-27 06:00 Day 6 of 7",
        "10-28 05:45 Day 6",
        "10-28 06:00 Day 7 of 7",
        "10-29 05:45 Day 7",
        "10-30 05:45 Seven Mornings on the Quay: the final result",
    ]


def day_2(play: Rehearsal) -> datetime:
    head = play.content.head
    return instant(acts.START + timedelta(days=1), head.times.post, head.zone)


def day_2_posts(play: Rehearsal) -> int:
    return sum(text.startswith("Day 2 of 7") for text in acts.texts(play))


async def go_to_day_2(play: Rehearsal) -> None:
    play.room.clock.move_to(day_2(play))
    await quiet(play)


async def lose_day_2(play: Rehearsal, *, carried_out: bool, how: str = "drop_next") -> None:
    """Post the result of day 1 well, and lose the line over the workout of day 2."""
    play.room.clock.move_to(day_2(play) - timedelta(minutes=1))
    await quiet(play)
    getattr(play.room, how)("sendMessage", carried_out=carried_out)
    await go_to_day_2(play)


async def go_to_the_end(play: Rehearsal) -> None:
    """Go to just before the final result, as if everything else had been posted."""
    end = await acts.post_of(play, 7, "week")
    async with play.database.work() as session:
        await session.execute(
            update(PostRow)
            .where(PostRow.state == PostState.PLANNED, PostRow.kind != "week")
            .values(state=PostState.SENT)
        )
        await session.commit()
    play.room.clock.move_to(end.due_at - timedelta(minutes=1))
    await quiet(play)


async def is_running(play: Rehearsal) -> bool:
    async with play.database.reading() as session:
        found = await challenges.running_challenge(session, ChatId(play.group.chat_id))
    return found is not None


async def next_due(play: Rehearsal) -> datetime | None:
    async with play.database.reading() as session:
        return await posts.next_due_at(session)
