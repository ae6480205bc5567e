"""What the page shows of a room, as JSON values."""

from __future__ import annotations

from typing import Any

from bot.rehearsal.people import Chat, Group, Json, Person
from bot.rehearsal.room import Room
from bot.rehearsal.timing import PlannedPosts, due_at


def all_of(room: Room) -> Json:
    """Show the whole room, for a page that has just opened."""
    talks = {
        str(chat.chat_id): [message_view(room, chat, number) for number in chat.talk.messages]
        for chat in room.chats.values()
    }
    return {
        "bot": room.bot.as_user(),
        "zone": room.zone,
        **clock_view(room),
        **who_view(room),
        "talks": talks,
    }


def clock_view(room: Room) -> Json:
    """Show the time, in milliseconds since 1970 as a page counts it."""
    return {
        "now_ms": int(room.clock().timestamp() * 1000),
        "is_ticking": room.clock.ticking,
    }


def who_view(room: Room) -> Json:
    """Show the people (other bots have nobody to play them) and the chats, groups first."""
    people = [person for person in room.people.values() if not person.is_bot]
    chats = sorted(room.chats.values(), key=lambda chat: not isinstance(chat, Group))
    return {
        "people": [_person_view(person) for person in people],
        "chats": [_chat_view(chat) for chat in chats],
    }


def message_view(room: Room, chat: Chat, message_id: int) -> Json:
    """Show one message with what people made of it."""
    by_emoji: dict[str, list[str]] = {}
    for user_id, emoji in chat.talk.reactions.get(message_id, {}).items():
        person = room.bot if user_id == room.bot.user_id else room.people[user_id]
        for one in emoji:
            by_emoji.setdefault(one, []).append(person.first_name)
    return {
        "message": chat.talk.messages[message_id],
        "reactions": [{"emoji": emoji, "by": names} for emoji, names in by_emoji.items()],
        "is_pinned": message_id in chat.talk.pinned,
    }


async def posts_view(posts: PlannedPosts | None) -> list[dict[str, Any]] | None:
    """Show the planned posts, earliest first; None when nobody plans any."""
    if posts is None:
        return None
    planned = sorted(await posts(), key=due_at)
    return [{**post, "due_at": due_at(post).isoformat()} for post in planned]


def _person_view(person: Person) -> Json:
    return {
        "id": person.user_id,
        "name": person.first_name,
        "language": person.language_code or "",
        "has_started": person.has_started,
        "has_blocked": person.has_blocked,
    }


def _chat_view(chat: Chat) -> Json:
    if isinstance(chat, Group):
        members = {str(user_id): str(status) for user_id, status in chat.members.items()}
        return {
            "id": chat.chat_id,
            "title": chat.title,
            "members": members,
            "topics": {str(thread_id): name for thread_id, name in chat.topics.items()},
            "has_bot": chat.bot_status.is_inside,
            "is_closed": chat.moved_to is not None,
        }
    return {"id": chat.chat_id, "person_id": chat.person.user_id}
