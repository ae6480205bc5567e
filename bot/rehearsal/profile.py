"""Methods about the bot itself: its command menus, its texts, logging out."""

from __future__ import annotations

from typing import Annotated, Final

from bot.rehearsal.entities import utf16_length
from bot.rehearsal.errors import bad_request
from bot.rehearsal.method import Method, Nothing, by_name
from bot.rehearsal.people import Chat, Group, Json, Person
from bot.rehearsal.room import Room
from bot.rehearsal.shapes import AsJson, Command, Scope, Shape

_MOST_COMMANDS: Final = 100  # Bot API, setMyCommands
_DESCRIPTION_LIMIT: Final = 512  # Bot API, setMyDescription
_SHORT_DESCRIPTION_LIMIT: Final = 120  # Bot API, setMyShortDescription


class WhichMenu(Shape):
    """Parameters of getMyCommands and deleteMyCommands."""

    scope: Annotated[Scope, AsJson] = Scope()
    language_code: str = ""


class SetMyCommands(WhichMenu):
    """Parameters of setMyCommands."""

    commands: Annotated[list[Command], AsJson]


class SetMyDescription(Shape):
    """Parameters of setMyDescription."""

    description: str = ""
    language_code: str = ""


class SetMyShortDescription(Shape):
    """Parameters of setMyShortDescription."""

    short_description: str = ""
    language_code: str = ""


def set_my_commands(room: Room, menu: SetMyCommands) -> bool:
    """Replace one menu; an empty list takes it away."""
    key = _key(room, menu)
    if len(menu.commands) > _MOST_COMMANDS:
        raise bad_request("BOT_COMMANDS_TOO_MUCH")
    room.menus[key] = [command.model_dump() for command in menu.commands]
    room.live.tell("menu")
    return True


def get_my_commands(room: Room, which: WhichMenu) -> list[Json]:
    """Give exactly one menu; other scopes and languages do not step in."""
    return room.menus.get(_key(room, which), [])


def delete_my_commands(room: Room, which: WhichMenu) -> bool:
    """Take one menu away."""
    room.menus.pop(_key(room, which), None)
    room.live.tell("menu")
    return True


def menu_for(room: Room, person: Person, chat: Chat) -> list[Json]:
    """Choose the menu a person sees in a chat.

    Source: Bot API, BotCommandScope, "Determining list of commands": the narrowest scope first,
    each in the person's language and then without one.
    """
    here = chat.chat_id
    if isinstance(chat, Group):
        is_admin = chat.status_of(person.user_id).is_admin
        scopes = [f"chat_member:{here}:{person.user_id}"]
        scopes += [f"chat_administrators:{here}"] * is_admin
        scopes += [f"chat:{here}"]
        scopes += ["all_chat_administrators"] * is_admin
        scopes += ["all_group_chats", "default"]
    else:
        scopes = [f"chat:{here}", "all_private_chats", "default"]
    for scope in scopes:
        for language in (person.language_code or "", ""):
            if menu := room.menus.get((scope, language)):
                return menu
    return []


def set_my_description(room: Room, text: SetMyDescription) -> bool:
    """Set what an empty private talk shows."""
    return _set_text(room, "description", text.description, text.language_code, _DESCRIPTION_LIMIT)


def set_my_short_description(room: Room, text: SetMyShortDescription) -> bool:
    """Set what the bot's profile shows."""
    return _set_text(
        room,
        "short_description",
        text.short_description,
        text.language_code,
        _SHORT_DESCRIPTION_LIMIT,
    )


def log_out(room: Room, _: Nothing) -> bool:
    """Leave this server: every later call is refused."""
    room.is_logged_out = True
    return True


def close(_room: Room, _: Nothing) -> bool:
    """Get ready to move to another server; there is nothing to put away here."""
    return True


def _key(room: Room, which: WhichMenu) -> tuple[str, str]:
    if which.scope.chat_id is not None:
        room.chat_for_bot(which.scope.chat_id, to_write=False)
    return which.scope.key, which.language_code


def _set_text(room: Room, which: str, text: str, language_code: str, limit: int) -> bool:
    if utf16_length(text) > limit:
        raise bad_request(f"{which} is too long: at most {limit} characters")
    room.profile[(which, language_code)] = text
    return True


METHODS = by_name(
    Method("setMyCommands", SetMyCommands, set_my_commands),
    Method("getMyCommands", WhichMenu, get_my_commands),
    Method("deleteMyCommands", WhichMenu, delete_my_commands),
    Method("setMyDescription", SetMyDescription, set_my_description),
    Method("setMyShortDescription", SetMyShortDescription, set_my_short_description),
    Method("logOut", Nothing, log_out),
    Method("close", Nothing, close),
)
