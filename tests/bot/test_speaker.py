"""Whose words a message holds."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest
from telegram import Update

from bot.speaker import Spoken, is_anonymous, plain_name, spoken

GROUP = {"id": -1001, "type": "supergroup", "title": "Pier"}
CHANNEL = {"id": -1002, "type": "channel", "title": "News"}
MARLOW = {"id": 7, "is_bot": False, "first_name": "Marlow", "language_code": "pt"}
A_BOT = {"id": 8, "is_bot": True, "first_name": "Other", "username": "other_bot"}
UNNAMED = {"id": 1087968824, "is_bot": True, "first_name": "Group"}
FORWARD = {"type": "hidden_user", "date": 1, "sender_user_name": "Somebody"}
SAID_AT = datetime(2026, 6, 1, 6, 0, tzinfo=UTC)


def an_update(kind: str = "message", **fields: Any) -> Update:
    message = {
        "message_id": 5,
        "date": int(SAID_AT.timestamp()),
        "chat": GROUP,
        "from": MARLOW,
        "text": "hello",
        **fields,
    }
    return Update.de_json({"update_id": 1, kind: message}, None)


def test_a_persons_own_words():
    assert spoken(an_update()) == Spoken(
        chat_id=-1001,
        user_id=7,
        name="Marlow",
        language="pt",
        text="hello",
        message_id=5,
        thread_id=None,
        said_at=SAID_AT,
        settled_at=SAID_AT,
    )


def test_a_caption_is_words_too():
    found = spoken(an_update(text=None, caption="3 rounds"))

    assert found is not None
    assert found.text == "3 rounds"


def test_a_sign_that_not_every_database_keeps_is_replaced_in_its_place():
    found = spoken(an_update(text="3 rounds\0+ 45"))

    assert found is not None
    assert found.text == "3 rounds\ufffd+ 45"


def test_an_edit_keeps_when_it_was_said_and_when_it_settled():
    found = spoken(an_update("edited_message", edit_date=int(SAID_AT.timestamp()) + 60))

    assert found is not None
    assert (found.said_at, found.settled_at.second, found.settled_at.minute) == (SAID_AT, 0, 1)


@pytest.mark.parametrize(
    ("fields", "thread_id"),
    [
        pytest.param({"message_thread_id": 3, "is_topic_message": True}, 3, id="topic"),
        pytest.param({"message_thread_id": 3}, None, id="thread_of_replies"),
    ],
)
def test_only_a_topics_thread_is_kept(fields: dict[str, Any], thread_id: int | None):
    found = spoken(an_update(**fields))

    assert found is not None
    assert found.thread_id == thread_id


@pytest.mark.parametrize(
    ("fields", "anonymous"),
    [
        pytest.param({"text": None}, False, id="no_text"),
        pytest.param({"from": None}, False, id="nobody"),
        pytest.param({"from": A_BOT}, False, id="a_bot"),
        pytest.param({"via_bot": A_BOT}, False, id="via_a_bot"),
        pytest.param({"forward_origin": FORWARD}, False, id="forwarded"),
        pytest.param({"from": UNNAMED, "sender_chat": GROUP}, True, id="unnamed_administrator"),
        pytest.param({"from": UNNAMED, "sender_chat": CHANNEL}, True, id="as_a_channel"),
        pytest.param(
            {"from": UNNAMED, "sender_chat": GROUP, "forward_origin": FORWARD},
            False,
            id="forwarded_by_an_unnamed_administrator",
        ),
        pytest.param(
            {"from": MARLOW, "sender_chat": CHANNEL, "is_automatic_forward": True},
            False,
            id="linked_channel",
        ),
    ],
)
def test_what_is_not_a_persons_own_words(fields: dict[str, Any], anonymous: bool):
    update = an_update(**fields)

    assert spoken(update) is None
    assert is_anonymous(update) == anonymous


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        pytest.param("Marlow", "Marlow", id="plain"),
        pytest.param('<b>"A" & B', '<b>"A" & B', id="signs_are_escaped_elsewhere"),
        pytest.param("\u202eMarlow\u2066 Reef", "Marlow Reef", id="turning"),
        pytest.param("מרלו", "מרלו", id="right_to_left_script"),
        pytest.param("\u202e ", "?", id="nothing_left"),
        pytest.param("Mar\0low", "Marlow", id="zero_sign"),
        pytest.param("🏃🏽‍♀️" * 8, "🏃🏽‍♀️" * 8, id="joined_emoji"),
    ],
)
def test_a_name_cannot_turn_what_stands_behind_it(name: str, shown: str):
    assert plain_name(name) == shown
