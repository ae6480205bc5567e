"""What people do in a test, and what a test looks at afterwards."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

from sqlalchemy import select

from bot.rehearsal.people import Group, Json, Person
from bot.rehearsal.stage import Place
from bot.rehearsal.start import Rehearsal, quiet
from bot.running import stored_score
from content.score import Score
from store import posts, results
from store.tables import OwedRow, UpdateRow
from store.values import ChallengeId, ChatId, Post, Result, ResultState, UserId

START = date(2026, 6, 1)
AFTER_FIRST_POST = datetime(2026, 6, 1, 5, 1, tzinfo=UTC)  # 06:01 in Lisbon
FIRST = ChallengeId(1)


def person(play: Rehearsal, name: str) -> Person:
    return play.coach if name == play.coach.first_name else play.people[name]


def texts(play: Rehearsal, place: Place | None = None) -> list[str]:
    """Give what the bot wrote in a chat, in the group unless told otherwise."""
    return [
        message.get("text", "")
        for message in play.room.messages(play.group if place is None else place)
        if message["from"]["id"] == play.room.bot.user_id
    ]


async def answers(play: Rehearsal, before: int, place: Place | None = None) -> list[str]:
    """Wait, and give what the bot wrote after its first `before` messages."""
    await quiet(play)
    return texts(play, place)[before:]


async def say(
    play: Rehearsal, name: str, text: str = "", *, place: Place | None = None, **more: Any
) -> list[str]:
    """Let a person write, in the group unless told otherwise; give the answers."""
    where = play.group if place is None else place
    before = len(texts(play, where))
    play.room.say(person(play, name), where, text, **more)
    return await answers(play, before, where)


async def edit(play: Rehearsal, name: str, message_id: int, text: str) -> list[str]:
    before = len(texts(play))
    play.room.edit(person(play, name), play.group, message_id, text)
    return await answers(play, before)


def last_of(play: Rehearsal, name: str) -> int:
    """Give the number of a person's last message in the group."""
    user_id = person(play, name).user_id
    return max(
        m["message_id"] for m in play.room.messages(play.group) if m["from"]["id"] == user_id
    )


def keys(message: Json) -> list[str]:
    """Give the data of the buttons under a message."""
    rows = message.get("reply_markup", {}).get("inline_keyboard", [])
    return [button["callback_data"] for row in rows for button in row]


def last(play: Rehearsal, place: Place | None = None) -> Json:
    return play.room.messages(play.group if place is None else place)[-1]


def last_from_bot(play: Rehearsal) -> Json:
    """Give the bot's last message with buttons in the group."""
    return [
        m
        for m in play.room.messages(play.group)
        if m["from"]["id"] == play.room.bot.user_id and keys(m)
    ][-1]


async def press(
    play: Rehearsal, name: str, index: int = 0, *, message: Json | None = None
) -> list[str]:
    """Press a button of a message, of the last one unless told; give the toasts this brought."""
    message = message or last(play)
    before = len(play.room.toasts)
    play.room.press(
        person(play, name), message["chat"]["id"], message["message_id"], keys(message)[index]
    )
    await quiet(play)
    return [toast.text for toast in play.room.toasts[before:]]


async def forge(play: Rehearsal, name: str, data: str, message: Json | None = None) -> list[str]:
    """Press with data of one's own, as a client of one's own can; give the toasts."""
    message = message or last(play)
    before = len(play.room.toasts)
    query_id = play.room.press(
        person(play, name), message["chat"]["id"], message["message_id"], keys(message)[0]
    )
    [update] = [
        update
        for update in play.room.updates.pending
        if update.get("callback_query", {}).get("id") == query_id
    ]
    update["callback_query"]["data"] = data
    await quiet(play)
    return [toast.text for toast in play.room.toasts[before:]]


async def result(play: Rehearsal, name: str, day: int = 1) -> Result | None:
    async with play.database.reading() as session:
        return await results.result_of(
            session,
            chat_id=ChatId(play.group.chat_id),
            challenge_id=FIRST,
            day_number=day,
            user_id=UserId(person(play, name).user_id),
        )


async def score(play: Rehearsal, name: str, day: int = 1) -> Score | None:
    """Give a person's counted score of a day."""
    found = await result(play, name, day)
    if found is None or found.state is not ResultState.COUNTED:
        return None
    return stored_score(found.result)


async def changes(play: Rehearsal, name: str, day: int = 1) -> int:
    """Count the history lines of a person's day."""
    async with play.database.reading() as session:
        found = await results.history(
            session,
            chat_id=ChatId(play.group.chat_id),
            challenge_id=FIRST,
            day_number=day,
            user_id=UserId(person(play, name).user_id),
        )
    return len(found)


async def post_of(
    play: Rehearsal, day: int, kind: str = "day", *, group: Group | None = None
) -> Post:
    chat_id = ChatId((group or play.group).chat_id)
    async with play.database.reading() as session:
        found = await posts.posts_of(session, chat_id, FIRST)
    [post] = [post for post in found if (post.day_number, post.kind) == (day, kind)]
    return post


async def updates_kept(play: Rehearsal) -> list[tuple[int, bool, bool, int]]:
    """Give every update kept: its id, whether done, whether set aside, failed attempts."""
    async with play.database.reading() as session:
        rows = await session.scalars(select(UpdateRow).order_by(UpdateRow.update_id))
        return [
            (row.update_id, row.done_at is not None, row.set_aside_at is not None, row.attempts)
            for row in rows
        ]


async def owed_count(play: Rehearsal) -> int:
    async with play.database.reading() as session:
        return len((await session.scalars(select(OwedRow))).all())
