"""What one can do on the page: each action a shape and a function."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final, Literal

from pydantic import Base64Bytes, Field

from bot.rehearsal.entities import CAPTION_LIMIT, TEXT_LIMIT
from bot.rehearsal.errors import NotPossible
from bot.rehearsal.files import DOWNLOAD_LIMIT_BYTES, Upload
from bot.rehearsal.people import Group, Json, Person, Status
from bot.rehearsal.room import Room
from bot.rehearsal.shapes import Shape
from bot.rehearsal.timing import EVENING, MORNING, ClockHand


class _ByPerson(Shape):
    person_id: int


class _InChat(_ByPerson):
    chat_id: int


class Say(_InChat):
    """Write a message."""

    text: str = Field(min_length=1, max_length=TEXT_LIMIT)
    reply_to: int | None = None


class SendFile(_InChat):
    """Send a file, with or without words beside it."""

    name: str = Field(min_length=1, max_length=255)
    content: Base64Bytes = Field(max_length=DOWNLOAD_LIMIT_BYTES)
    caption: str = Field(default="", max_length=CAPTION_LIMIT)


class Erase(_InChat):
    """Delete an own message."""

    message_id: int


class Edit(Erase):
    """Change an own message."""

    text: str = Field(min_length=1, max_length=TEXT_LIMIT)


class PressKey(Erase):
    """Press a key under a message."""

    data: str


class MoveClock(Shape):
    """Move the clock, in exactly one of these ways."""

    by_minutes: int | None = Field(default=None, ge=1)
    to: Literal["evening", "tomorrow morning"] | None = None
    local: datetime | None = None  # wall clock in the challenge's zone
    instant: datetime | None = None  # with its offset


class AddPerson(Shape):
    """Invent somebody who comes into a group."""

    first_name: str = Field(min_length=1, max_length=64)
    language_code: Literal["", "en", "es", "fr", "de", "pt"] = ""
    group_id: int
    is_organiser: bool = False


@dataclass(frozen=True, slots=True)
class Action:
    """One thing to do: how it is asked for, and what does it. The result goes to the page."""

    shape: type[Any]
    carry_out: Callable[[Room, ClockHand, Any], Awaitable[Json]]


async def _say(room: Room, _: ClockHand, wish: Say) -> Json:
    person = _person(room, wish.person_id)
    message = room.say(person, wish.chat_id, wish.text, reply_to=wish.reply_to)
    return {"message_id": message["message_id"]}


async def _send_file(room: Room, _: ClockHand, wish: SendFile) -> Json:
    if not wish.content:
        raise NotPossible("an empty file cannot be sent")
    document = Upload(wish.name, wish.content)
    person = _person(room, wish.person_id)
    message = room.say(person, wish.chat_id, caption=wish.caption, document=document)
    return {"message_id": message["message_id"]}


async def _edit(room: Room, _: ClockHand, wish: Edit) -> Json:
    room.edit(_person(room, wish.person_id), wish.chat_id, wish.message_id, wish.text)
    return {}


async def _erase(room: Room, _: ClockHand, wish: Erase) -> Json:
    room.erase(_person(room, wish.person_id), wish.chat_id, wish.message_id)
    return {}


async def _press(room: Room, _: ClockHand, wish: PressKey) -> Json:
    room.press(_person(room, wish.person_id), wish.chat_id, wish.message_id, wish.data)
    return {}


async def _start(room: Room, _: ClockHand, wish: _ByPerson) -> Json:
    room.start_private(_person(room, wish.person_id))
    return {}


async def _block(room: Room, _: ClockHand, wish: _ByPerson) -> Json:
    room.block(_person(room, wish.person_id))
    return {}


async def _add_person(room: Room, _: ClockHand, wish: AddPerson) -> Json:
    group = room.chat(wish.group_id)
    if not isinstance(group, Group):
        raise NotPossible(f"chat {wish.group_id} is no group")
    person = room.add_person(wish.first_name, language_code=wish.language_code or None)
    room.join(person, group, Status.ADMINISTRATOR if wish.is_organiser else Status.MEMBER)
    return {"person_id": person.user_id}


async def _move_clock(_: Room, hand: ClockHand, wish: MoveClock) -> Json:
    match wish:
        case MoveClock(by_minutes=int(minutes), to=None, local=None, instant=None):
            await hand.move_by(timedelta(minutes=minutes))
        case MoveClock(by_minutes=None, to="evening", local=None, instant=None):
            await hand.move_to_next(EVENING)
        case MoveClock(by_minutes=None, to="tomorrow morning", local=None, instant=None):
            await hand.move_to_tomorrow(MORNING)
        case MoveClock(by_minutes=None, to=None, local=datetime() as local, instant=None):
            if local.tzinfo is not None:
                raise NotPossible("`local` is a wall clock and has no offset")
            await hand.move_to_local(local)
        case MoveClock(by_minutes=None, to=None, local=None, instant=datetime() as instant):
            if instant.tzinfo is None:
                raise NotPossible("`instant` needs its offset")
            await hand.move_to(instant)
        case _:
            raise NotPossible("the clock is moved in exactly one way at a time")
    return {}


def _person(room: Room, person_id: int) -> Person:
    person = room.people.get(person_id)
    if person is None:
        raise NotPossible(f"nobody has the id {person_id}")
    return person


ACTIONS: Final[Mapping[str, Action]] = {
    "say": Action(Say, _say),
    "file": Action(SendFile, _send_file),
    "edit": Action(Edit, _edit),
    "erase": Action(Erase, _erase),
    "press": Action(PressKey, _press),
    "start": Action(_ByPerson, _start),
    "block": Action(_ByPerson, _block),
    "clock": Action(MoveClock, _move_clock),
    "person": Action(AddPerson, _add_person),
}
