"""Every answer of the platform to a call has a decided meaning."""

from __future__ import annotations

import base64
from collections.abc import AsyncIterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import pytest
import telegram
from telegram.request import HTTPXRequest

from bot.calls import Button, Call, Rewrite, Say, SendFile, SendPhoto, Toast
from bot.rehearsal.clock import MovableClock
from bot.rehearsal.files import DOT_PNG
from bot.rehearsal.page import build_server
from bot.rehearsal.people import Group
from bot.rehearsal.room import Room
from bot.rehearsal.serving import serve
from bot.sending import Later, Moved, Outcome, Refused, Sent, Unknown, make_call
from tests.bot.acts import keys

NOW = datetime(2026, 6, 1, 6, 0, tzinfo=UTC)
ROWS = ((Button("Here", "x:1"),),)


@dataclass(frozen=True)
class Line:
    """A bot of the library, and the room it speaks to."""

    room: Room
    group: Group
    bot: telegram.Bot

    async def make(self, call: Call) -> Outcome:
        return await make_call(self.bot, call)

    def texts(self) -> list[str]:
        return [message["text"] for message in self.room.messages(self.group)]


@pytest.fixture
async def line() -> AsyncIterator[Line]:
    room = Room(MovableClock(NOW))
    group = room.add_group("Pier")
    async with serve(build_server(room)) as url, a_bot(room, url) as bot:
        yield Line(room, group, bot)


def a_bot(room: Room, url: str) -> telegram.Bot:
    # Plain HTTP on loopback; loading certificates takes longer than the test.
    requests = [HTTPXRequest(httpx_kwargs={"verify": False, "trust_env": False}) for _ in "ab"]
    return telegram.Bot(
        room.token,
        base_url=f"{url}/bot",
        request=requests[0],
        get_updates_request=requests[1],
    )


@pytest.mark.parametrize(
    ("status", "description", "parameters", "outcome"),
    [
        pytest.param(
            429,
            "Too Many Requests: retry after 17",
            {"retry_after": 17},
            Later(timedelta(seconds=17)),
            id="too_many",
        ),
        pytest.param(
            400,
            "Bad Request: group chat was upgraded to a supergroup chat",
            {"migrate_to_chat_id": -1009},
            Moved(-1009),
            id="moved",
        ),
        pytest.param(
            403,
            "Forbidden: bot was blocked by the user",
            None,
            Refused("Forbidden: bot was blocked by the user", gone=True),
            id="blocked",
        ),
        pytest.param(
            400,
            "Bad Request: chat not found",
            None,
            Refused("Chat not found", gone=True),
            id="no_such_chat",
        ),
        pytest.param(
            400,
            "Bad Request: not enough rights to send text messages to the chat",
            None,
            Refused("Not enough rights to send text messages to the chat", gone=False),
            id="no_right",
        ),
        pytest.param(
            400, "Bad Request: message is not modified: same", None, Sent(None), id="not_modified"
        ),
        pytest.param(502, "Bad Gateway", None, Unknown("NetworkError"), id="bad_gateway"),
        pytest.param(
            401, "Unauthorized", None, Later(timedelta(seconds=5)), id="token_taken_back"
        ),
        pytest.param(409, "Conflict: x", None, Refused("Conflict: x", gone=False), id="conflict"),
    ],
)
async def test_a_refusal_has_its_meaning(
    line: Line,
    status: int,
    description: str,
    parameters: dict[str, int] | None,
    outcome: Outcome,
):
    line.room.answer_next(
        "sendMessage", status=status, description=description, parameters=parameters
    )

    assert await line.make(Say(line.group.chat_id, "Hello")) == outcome
    assert line.texts() == []


@pytest.mark.parametrize("carried_out", [False, True])
async def test_after_a_lost_connection_nobody_knows(line: Line, carried_out: bool):
    line.room.drop_next("sendMessage", carried_out=carried_out)

    outcome = await line.make(Say(line.group.chat_id, "Hello"))

    assert outcome == Unknown("NetworkError")
    assert line.texts() == ["Hello"] * carried_out


@pytest.mark.parametrize("carried_out", [False, True])
async def test_after_an_unreadable_answer_nobody_knows(line: Line, carried_out: bool):
    line.room.garble_next("sendMessage", carried_out=carried_out)

    outcome = await line.make(Say(line.group.chat_id, "Hello"))

    assert outcome == Unknown("the answer could not be read")


async def test_without_a_connection_nothing_was_sent(line: Line):
    nowhere = a_bot(line.room, "http://127.0.0.1:1")

    async with nowhere.request:
        outcome = await make_call(nowhere, Say(line.group.chat_id, "Hello"))

    assert outcome == Later(timedelta(seconds=5))


async def test_broken_formatting_goes_out_as_plain_words(line: Line):
    outcome = await line.make(Say(line.group.chat_id, "<b>3 & 4 &lt; 5</u> Ines"))

    assert isinstance(outcome, Sent)
    assert line.texts() == ["3 & 4 < 5 Ines"]


async def test_a_text_refused_even_when_plain_is_given_up(line: Line):
    line.room.answer_next(
        "sendMessage", status=400, description="Bad Request: can't parse entities", times=2
    )

    outcome = await line.make(Say(line.group.chat_id, "<b>Hello</b>"))

    assert outcome == Refused("can't parse entities", gone=False)


async def test_an_old_press_is_answered_in_vain_and_that_is_fine(line: Line):
    assert await line.make(Toast("8000000099", "Hello")) == Sent(None)


async def test_the_same_text_again_is_fine(line: Line):
    sent = await line.make(Say(line.group.chat_id, "Hello", buttons=ROWS))
    assert isinstance(sent, Sent)

    rewrite = Rewrite(line.group.chat_id, sent.message_id or 0, "Hello", ROWS)

    assert await line.make(rewrite) == Sent(None)


async def test_the_new_text_of_a_message_that_was_deleted_comes_as_a_message(line: Line):
    """What a button recorded must be read back, whatever became of the question."""
    outcome = await line.make(Rewrite(line.group.chat_id, 777, "Recorded", ROWS))

    assert outcome == Sent(line.room.messages(line.group)[-1]["message_id"])
    assert line.texts() == ["Recorded"]
    assert keys(line.room.messages(line.group)[-1]) == ["x:1"]


async def test_an_answer_arrives_without_its_quote_where_the_words_have_changed(line: Line):
    coach = line.room.add_person("Tamsin")
    line.room.put_in_group(coach, line.group)
    said = line.room.say(coach, line.group, "well, 3 rounds + 45")
    answer = Say(line.group.chat_id, "Noted", reply_to=said["message_id"], quote="4 rounds")

    outcome = await line.make(answer)

    assert isinstance(outcome, Sent)
    assert "quote" not in line.room.messages(line.group)[-1]


async def test_a_reply_to_a_message_that_was_deleted_comes_without(line: Line):
    outcome = await line.make(Say(line.group.chat_id, "Hello", reply_to=777))

    assert isinstance(outcome, Sent)
    assert "reply_to_message" not in line.room.messages(line.group)[-1]


async def test_a_file_arrives_byte_for_byte_with_its_name_and_caption(line: Line):
    content = "BEGIN:VCALENDAR\r\nSUMMARY:Zoë 🔔\r\n"
    file = SendFile(line.group.chat_id, "days.ics", content, "<b>Days</b> & more", reply_to=777)

    outcome = await line.make(file)

    message = line.room.messages(line.group)[-1]
    stored = line.room.files.by_id(message["document"]["file_id"])
    assert outcome == Sent(message["message_id"])
    assert stored.upload.data.decode() == content
    assert (stored.upload.name, stored.upload.mime_type) == ("days.ics", "text/calendar")
    assert message["caption"] == "Days & more"


async def test_a_file_for_somebody_who_blocked_the_bot_is_given_up(line: Line):
    line.room.answer_next(
        "sendDocument", status=403, description="Forbidden: bot was blocked by the user"
    )

    outcome = await line.make(SendFile(line.group.chat_id, "days.ics", "x"))

    assert isinstance(outcome, Refused)
    assert outcome.gone


async def test_a_file_of_bytes_arrives_as_those_bytes(line: Line):
    data = bytes(range(256))
    call = SendFile(
        line.group.chat_id, "a.zip", base64.b64encode(data).decode(), encoding="base64"
    )

    await line.make(call)

    [message] = line.room.messages(line.group)
    stored = line.room.files.by_id(message["document"]["file_id"])
    assert (stored.upload.data, message["document"]["file_name"]) == (data, "a.zip")


async def test_a_picture_that_is_refused_as_a_photo_arrives_as_a_file(line: Line):
    picture = base64.b64encode(DOT_PNG).decode()
    call = SendPhoto(line.group.chat_id, picture, "look")
    line.room.answer_next("sendPhoto", status=400, description="Bad Request: PHOTO_INVALID")

    await line.make(call)
    await line.make(call)

    refused, taken = line.room.messages(line.group)
    assert refused["document"]["file_name"] == "picture.png"
    assert line.room.files.by_id(refused["document"]["file_id"]).upload.data == DOT_PNG
    assert "photo" in taken
    assert refused["caption"] == taken["caption"] == "look"
