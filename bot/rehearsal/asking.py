"""Methods about chats, members and files: what the bot asks, and leaving."""

from __future__ import annotations

from typing import Final

from bot.rehearsal.errors import bad_request
from bot.rehearsal.files import DOWNLOAD_LIMIT_BYTES
from bot.rehearsal.method import Method, Nothing, by_name
from bot.rehearsal.people import Group, Json, PrivateChat, Status, as_chat_member
from bot.rehearsal.room import Room
from bot.rehearsal.shapes import Boolean, ChatNumber, Integer, Shape

_MOST_REACTIONS: Final = 11  # Bot API server: `max_reaction_count` of an ordinary group
_GIFTS: Final = (
    "unlimited_gifts",
    "limited_gifts",
    "unique_gifts",
    "premium_subscription",
    "gifts_from_channels",
)


class OneChat(Shape):
    """Parameters of the methods that name a chat only."""

    chat_id: ChatNumber


class GetChatMember(OneChat):
    """Parameters of getChatMember."""

    user_id: Integer


class GetChatAdministrators(OneChat):
    """Parameters of getChatAdministrators."""

    return_bots: Boolean = False


class GetFile(Shape):
    """Parameters of getFile."""

    file_id: str


def get_me(room: Room, _: Nothing) -> Json:
    """Describe the bot to itself."""
    return {
        **room.bot.as_user(),
        "can_join_groups": True,
        "can_read_all_group_messages": room.can_read_all_group_messages,
        "supports_inline_queries": False,
        "can_connect_to_business": False,
        "has_main_web_app": False,
        "has_topics_enabled": False,
        "allows_users_to_create_topics": False,
    }


def get_chat(room: Room, which: OneChat) -> Json:
    """Describe a chat."""
    chat = room.chat_for_bot(which.chat_id, to_write=False)
    full: Json = {
        **chat.as_chat(),
        "accent_color_id": 0,
        "max_reaction_count": _MOST_REACTIONS,
        "accepted_gift_types": dict.fromkeys(_GIFTS, False),
    }
    if isinstance(chat, Group) and chat.allowed_reactions is not None:
        full["available_reactions"] = [
            {"type": "emoji", "emoji": emoji} for emoji in sorted(chat.allowed_reactions)
        ]
    if chat.talk.pinned:
        full["pinned_message"] = chat.talk.messages[chat.talk.pinned[-1]]
    return full


def get_chat_member(room: Room, which: GetChatMember) -> Json:
    """Tell what somebody is in a chat; a known person who is not there has left."""
    chat = room.chat_for_bot(which.chat_id, to_write=False)
    if which.user_id == room.bot.user_id:
        status = chat.bot_status if isinstance(chat, Group) else Status.MEMBER
        return as_chat_member(room.bot.as_user(), status)
    person = room.people.get(which.user_id)
    if person is None:
        raise bad_request("user not found")
    if isinstance(chat, PrivateChat):
        if chat.person is not person:
            raise bad_request("user not found")
        return as_chat_member(person.as_user(), Status.MEMBER)
    return as_chat_member(person.as_user(), chat.status_of(person.user_id))


def get_chat_administrators(room: Room, which: GetChatAdministrators) -> list[Json]:
    """List the administrators; other bots only when asked for."""
    chat = room.chat_for_bot(which.chat_id, to_write=False)
    if isinstance(chat, PrivateChat):
        raise bad_request("there are no administrators in the private chat")
    found = [
        as_chat_member(person.as_user(), chat.status_of(person.user_id))
        for person in room.admins(chat)
    ]
    if chat.bot_status.is_admin:
        found.append(as_chat_member(room.bot.as_user(), chat.bot_status))
    if which.return_bots:
        found += [
            as_chat_member(room.people[user_id].as_user(), status)
            for user_id, status in chat.members.items()
            if status.is_admin and room.people[user_id].is_bot
        ]
    return found


def get_chat_member_count(room: Room, which: OneChat) -> int:
    """Count the members, the bot among them."""
    chat = room.chat_for_bot(which.chat_id, to_write=False)
    if isinstance(chat, PrivateChat):
        return 2
    return 1 + sum(status.is_inside for status in chat.members.values())


def leave_chat(room: Room, which: OneChat) -> bool:
    """Leave a group."""
    chat = room.chat_for_bot(which.chat_id, to_write=False)
    if isinstance(chat, PrivateChat):
        raise bad_request("chat member status can't be changed in private chats")
    chat.bot_status = Status.LEFT
    return True


def get_file(room: Room, which: GetFile) -> Json:
    """Tell where a file can be downloaded."""
    stored = room.files.by_id(which.file_id)
    if len(stored.upload.data) > DOWNLOAD_LIMIT_BYTES:
        raise bad_request("file is too big")
    return {**stored.as_file(), "file_path": stored.path}


METHODS = by_name(
    Method("getMe", Nothing, get_me),
    Method("getChat", OneChat, get_chat),
    Method("getChatMember", GetChatMember, get_chat_member),
    Method("getChatAdministrators", GetChatAdministrators, get_chat_administrators),
    Method("getChatMemberCount", OneChat, get_chat_member_count),
    Method("leaveChat", OneChat, leave_chat),
    Method("getFile", GetFile, get_file),
)
