"""The bot comes, goes, and follows a group to its new id."""

from __future__ import annotations

import pytest
from sqlalchemy import select

from bot.rehearsal.people import Group
from bot.rehearsal.start import Rehearsal, quiet
from content.score import RoundsAndReps
from store.tables import GroupRow
from store.values import ChatId
from tests.bot import acts

SCORE = "3 rounds + 45"


async def test_a_group_the_bot_comes_into_is_told_how_to_begin(eve: Rehearsal):
    pier = eve.room.add_group("Pier", bot_status="left")
    eve.room.put_in_group(eve.coach, pier, "creator")

    eve.room.invite_bot(eve.coach, pier)
    [said] = await acts.answers(eve, 0, pier)
    eve.room.invite_bot(eve.coach, pier, "administrator")
    promoted = await acts.answers(eve, 1, pier)

    assert "/begin starts a challenge" in said
    assert promoted == []
    assert await active(eve, pier) is True


async def test_a_group_that_throws_the_bot_out_is_left_alone(play: Rehearsal):
    play.room.kick_bot(play.group)
    await quiet(play)

    assert await active(play, play.group) is False


@pytest.mark.parametrize(("is_member", "expected"), [(True, True), (False, False)])
async def test_a_restricted_bot_is_in_the_group_only_while_it_is_a_member(
    play: Rehearsal, is_member: bool, expected: bool
):
    member = {"user": play.room.bot.as_user(), "status": "member"}
    rights = dict.fromkeys(
        [
            "can_send_messages",
            "can_send_audios",
            "can_send_documents",
            "can_send_photos",
            "can_send_videos",
            "can_send_video_notes",
            "can_send_voice_notes",
            "can_send_polls",
            "can_send_other_messages",
            "can_add_web_page_previews",
            "can_change_info",
            "can_invite_users",
            "can_pin_messages",
            "can_manage_topics",
            "can_react_to_messages",
            "can_edit_tag",
        ],
        True,
    )
    restricted = {
        **member,
        **rights,
        "status": "restricted",
        "is_member": is_member,
        "until_date": 0,
    }
    play.room.queue_update(
        {
            "my_chat_member": {
                "chat": play.group.as_chat(),
                "from": play.coach.as_user(),
                "date": play.room.now_s(),
                "old_chat_member": member,
                "new_chat_member": restricted,
            }
        }
    )
    await quiet(play)

    assert await active(play, play.group) is expected


async def test_a_channel_is_no_group(play: Rehearsal):
    channel = {"id": -1_000_000_009_999, "type": "channel", "title": "Harbour news"}
    play.room.queue_update(
        {
            "my_chat_member": {
                "chat": channel,
                "from": play.coach.as_user(),
                "date": play.room.now_s(),
                "old_chat_member": {"user": play.room.bot.as_user(), "status": "left"},
                "new_chat_member": {"user": play.room.bot.as_user(), "status": "member"},
            }
        }
    )
    await quiet(play)

    async with play.database.reading() as session:
        assert await session.get(GroupRow, channel["id"]) is None
    assert await acts.owed_count(play) == 0


async def test_an_upgraded_group_keeps_its_challenge_and_scores(eve: Rehearsal):
    old = await a_basic_group(eve)
    await acts.say(eve, "Marlow", "/join", place=old)
    await acts.press(eve, "Marlow", message=acts.last(eve, old))

    new = eve.room.upgrade(old, eve.coach)
    await quiet(eve)
    eve.room.clock.move_to(acts.AFTER_FIRST_POST)
    await quiet(eve)
    [said] = await acts.say(eve, "Marlow", SCORE, place=new)

    assert said.startswith("Marlow, day 1, Full: 3 rounds + 45")
    assert acts.texts(eve, new)[0].startswith("Day 1 of 7")
    async with eve.database.reading() as session:
        ids = (await session.scalars(select(GroupRow.chat_id))).all()
    assert ids == [new.chat_id]
    assert all(done for _, done, _, _ in await acts.updates_kept(eve))


async def test_the_two_messages_of_a_move_may_come_in_any_order(eve: Rehearsal):
    old = await a_basic_group(eve)

    new = eve.room.upgrade(old, eve.coach)
    eve.room.updates.pending.reverse()
    await quiet(eve)
    [said] = await acts.say(eve, "Ines", "/plan", place=new)

    assert said.startswith("Seven Mornings on the Quay: planned posts")


async def test_a_score_said_before_the_move_is_answered_after_it(eve: Rehearsal):
    old = await a_basic_group(eve)
    await acts.say(eve, "Marlow", "/join", place=old)
    await acts.press(eve, "Marlow", message=acts.last(eve, old))
    eve.room.clock.move_to(acts.AFTER_FIRST_POST)
    await quiet(eve)

    eve.room.say(eve.people["Marlow"], old, SCORE)
    new = eve.room.upgrade(old, eve.coach)
    await quiet(eve)
    eve.group = new

    assert sum(text.startswith("Marlow, day 1") for text in acts.texts(eve, new)) == 1
    [text] = await acts.say(eve, "Marlow", "/mine", place=new)
    assert "Day 1: 3 rounds + 45" in text
    assert await acts.owed_count(eve) == 0


async def test_what_was_said_around_a_move_while_the_bot_was_down_is_all_handled_in_order(
    eve: Rehearsal,
):
    old = await a_basic_group(eve)
    await acts.say(eve, "Marlow", "/join", place=old)
    await acts.press(eve, "Marlow", message=acts.last(eve, old))
    eve.room.clock.move_to(acts.AFTER_FIRST_POST)
    await quiet(eve)
    await eve.rungbell.stop()

    eve.room.say(eve.people["Marlow"], old, SCORE)
    new = eve.room.upgrade(old, eve.coach)
    eve.room.say(eve.people["Marlow"], new, "make that 3+54")
    await eve.restart()
    await quiet(eve)
    eve.group = new

    assert await acts.score(eve, "Marlow") == RoundsAndReps(3, 54, 234)
    assert await acts.changes(eve, "Marlow") == 2
    assert len([text for text in acts.texts(eve, new) if text.startswith("Marlow, day 1")]) == 2


async def a_basic_group(play: Rehearsal) -> Group:
    """A basic group in which the challenge is begun."""
    group = play.room.add_group("Pier", is_basic=True)
    play.room.put_in_group(play.coach, group, "creator")
    play.room.put_in_group(play.people["Marlow"], group)
    await acts.say(play, "Ines", "/begin", place=group)
    await acts.press(play, "Ines", message=acts.last(play, group))
    return group


async def active(play: Rehearsal, group: Group) -> bool | None:
    async with play.database.reading() as session:
        row = await session.get(GroupRow, ChatId(group.chat_id))
        return None if row is None else row.is_active
