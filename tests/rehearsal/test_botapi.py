"""The form of calls and answers: tokens, bodies, errors, failures on demand."""

import inspect
from datetime import timedelta

import pytest
import telegram
from telegram.error import BadRequest, Conflict, Forbidden, NetworkError, RetryAfter, TelegramError

from bot.rehearsal.botapi import METHODS

# Parameters of the library's methods that a room does not play: it has no business accounts,
# effects, payments, channel talks or inline messages, and sends no certificate anywhere.
NOT_PLAYED = {
    "allow_paid_broadcast",
    "business_connection_id",
    "certificate",
    "direct_messages_topic_id",
    "inline_message_id",
    "ip_address",
    "message_effect_id",
    "suggested_post_parameters",
    "thumbnail",
    "url_of_answer",
}
# What the library adds for itself or turns into other parameters.
LIBRARY_ONLY = {
    "self",
    "allow_sending_without_reply",
    "api_kwargs",
    "connect_timeout",
    "disable_web_page_preview",
    "filename",
    "pool_timeout",
    "read_timeout",
    "reply_to_message_id",
    "write_timeout",
}
RIGHT = {"chat_id": -1000000007001, "text": "hello"}


@pytest.mark.parametrize("method", METHODS.values(), ids=lambda method: method.name)
def test_parameters_are_those_of_the_bot_library(method):
    snake = "".join(f"_{c.lower()}" if c.isupper() else c for c in method.name)
    signature = inspect.signature(getattr(telegram.Bot, snake))
    ours = set(method.shape.model_fields)
    not_played = NOT_PLAYED | ({"url"} if method.name == "answerCallbackQuery" else set())

    assert ours - {"return_bots"} <= set(signature.parameters)
    assert set(signature.parameters) - LIBRARY_ONLY - not_played <= ours


async def test_wrong_token_is_unauthorized(web):
    answers = [await web.get("/bot1:wrong/getMe"), await web.get("/file/bot1:wrong/photos/a.png")]

    assert [a.status_code for a in answers] == [401, 401]
    assert answers[0].json() == {"ok": False, "error_code": 401, "description": "Unauthorized"}


async def test_unknown_method_and_file_are_not_found(web, scene):
    method = await web.get(f"/bot{scene.room.token}/sendRocket")
    file = await web.get(f"/file/bot{scene.room.token}/photos/none.png")

    assert (method.status_code, file.status_code) == (404, 404)
    assert method.json()["description"] == "Not Found: method not found"


@pytest.mark.parametrize(
    "request_parts",
    [
        pytest.param({"method": "GET", "params": RIGHT}, id="query"),
        pytest.param({"method": "POST", "data": RIGHT}, id="form"),
        pytest.param({"method": "POST", "json": RIGHT}, id="json"),
        pytest.param(
            {"method": "POST", "files": {key: (None, str(value)) for key, value in RIGHT.items()}},
            id="multipart",
        ),
    ],
)
async def test_parameters_come_in_any_form(web, scene, request_parts):
    answer = await web.request(url=f"/bot{scene.room.token}/sendmessage", **request_parts)

    assert answer.json()["result"]["text"] == "hello"


async def test_attached_file_is_found_by_its_name(web, scene):
    answer = await web.post(
        f"/bot{scene.room.token}/sendDocument",
        data={"chat_id": str(RIGHT["chat_id"]), "document": "attach://sheet"},
        files={"sheet": ("week.csv", b"a,b", "text/csv")},
    )

    assert answer.json()["result"]["document"]["mime_type"] == "text/csv"


@pytest.mark.parametrize(
    ("method", "body", "description"),
    [
        pytest.param("sendMessage", {"text": "x"}, "chat_id is empty", id="no_chat"),
        pytest.param("sendMessage", {"chat_id": 1}, "message text is empty", id="no_text"),
        pytest.param("sendPhoto", {"chat_id": 1}, "there is no photo in the request", id="photo"),
        pytest.param(
            "deleteMessage", {"chat_id": 1}, "message identifier is not specified", id="message"
        ),
        pytest.param(
            "setWebhook", {}, "parameter url of setWebhook is required", id="other_missing"
        ),
        pytest.param(
            "getMe",
            {"a": 1},
            "getMe has no parameter a here; known parameters: none",
            id="unknown",
        ),
        pytest.param(
            "sendDocument",
            {"chat_id": 1, "document": "attach://x"},
            "document points to attach://x, but no such file came along",
            id="attachment",
        ),
        pytest.param(
            "getUpdates",
            {"offset": "soon"},
            "parameter offset of getUpdates: Value error, must be an Integer",
            id="integer",
        ),
        pytest.param(
            "getUpdates",
            {"offset": True},
            "parameter offset of getUpdates: Value error, must be an Integer",
            id="boolean_is_no_integer",
        ),
        pytest.param(
            "sendMessage",
            {**RIGHT, "protect_content": "maybe"},
            "parameter protect_content of sendMessage: Value error, must be true or false",
            id="boolean",
        ),
        pytest.param(
            "sendMessage",
            {**RIGHT, "reply_parameters": "{"},
            "parameter reply_parameters of sendMessage: Value error, must be JSON",
            id="json",
        ),
        pytest.param(
            "sendMessage",
            {**RIGHT, "reply_parameters": {"message_id": 1, "shiny": 1}},
            "sendMessage has no parameter reply_parameters.shiny here; known parameters: chat_id, "
            "message_thread_id, parse_mode, disable_notification, protect_content, "
            "reply_parameters, reply_markup, text, entities, link_preview_options",
            id="unknown_inside",
        ),
    ],
)
async def test_wrong_parameters_are_named(web, scene, method, body, description):
    answer = await web.post(f"/bot{scene.room.token}/{method}", json=body)

    assert answer.status_code == 400
    assert answer.json() == {
        "ok": False,
        "error_code": 400,
        "description": f"Bad Request: {description}",
    }


@pytest.mark.parametrize(
    ("content", "content_type", "description"),
    [
        pytest.param(b"{", "application/json", "can't parse the JSON body", id="json"),
        pytest.param(b"[]", "application/json", "the JSON body must be an object", id="list"),
        pytest.param(b"x", "text/plain", "unsupported content type 'text/plain'", id="plain"),
        pytest.param(
            b"x", "multipart/form-data", "can't parse the form: Missing boundary", id="multipart"
        ),
    ],
)
async def test_unreadable_body_is_refused(web, scene, content, content_type, description):
    answer = await web.post(
        f"/bot{scene.room.token}/getMe", content=content, headers={"Content-Type": content_type}
    )

    assert answer.status_code == 400
    assert answer.json()["description"].startswith(f"Bad Request: {description}")


@pytest.mark.parametrize(
    ("refusal", "error"),
    [
        pytest.param(
            {
                "status": 429,
                "description": "Too Many Requests: retry after 3",
                "parameters": {"retry_after": 3},
            },
            RetryAfter(timedelta(seconds=3)),
            id="429",
        ),
        pytest.param(
            {"status": 403, "description": "Forbidden: user is deactivated"},
            Forbidden("Forbidden: user is deactivated"),
            id="403",
        ),
        pytest.param(
            {"status": 400, "description": "Bad Request: odd"}, BadRequest("Odd"), id="400"
        ),
        pytest.param(
            {"status": 409, "description": "Conflict: odd"}, Conflict("Conflict: odd"), id="409"
        ),
        pytest.param(
            {"status": 500, "description": "Internal Server Error"},
            NetworkError("Internal Server Error"),
            id="500",
        ),
    ],
)
async def test_planned_refusal_is_what_the_library_raises(scene, bot, refusal, error):
    scene.room.answer_next("sendMessage", times=2, **refusal)

    for _ in range(2):
        with pytest.raises(type(error)) as info:
            await bot.send_message(**RIGHT)
        assert str(info.value) == str(error)
    await bot.send_message(**RIGHT)

    assert len(scene.room.messages(scene.group)) == 1


@pytest.mark.parametrize("failure", ["garble_next", "drop_next"])
@pytest.mark.parametrize("carried_out", [False, True])
async def test_lost_answer_leaves_open_whether_it_was_done(scene, bot, failure, carried_out):
    getattr(scene.room, failure)("sendMessage", carried_out=carried_out)

    with pytest.raises(TelegramError):
        await bot.send_message(**RIGHT)

    assert len(scene.room.messages(scene.group)) == carried_out


async def test_other_methods_do_not_share_a_failure(scene, bot):
    scene.room.drop_next("sendPhoto")

    assert (await bot.send_message(**RIGHT)).text == "hello"
