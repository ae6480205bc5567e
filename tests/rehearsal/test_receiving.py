"""How updates reach the bot: long polls, one poller, confirmation, webhooks."""

import asyncio
from itertools import pairwise

import pytest
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route
from telegram.error import BadRequest, Conflict, TelegramError

from bot.rehearsal.page import build_server
from bot.rehearsal.people import Status
from bot.rehearsal.serving import serve
from tests.rehearsal.conftest import a_client


async def waiting(room, *, polls=1):
    """Give way until so many polls have arrived."""
    async with asyncio.timeout(5):
        while room.updates.polls < polls:  # noqa: ASYNC110 - a poll announces itself to nobody
            await asyncio.sleep(0)


async def test_updates_come_in_order_and_again_until_confirmed(scene, bot):
    for text in ("one", "two", "three"):
        scene.room.say(scene.player, scene.group, text)

    first = await bot.get_updates(limit=2)
    again = await bot.get_updates()
    rest = await bot.get_updates(offset=first[-1].update_id + 1)

    assert [u.message.text for u in again] == ["one", "two", "three"]
    assert [b.update_id - a.update_id for a, b in pairwise(again)] == [1, 1]
    assert [[u.message.text for u in some] for some in (first, rest)] == [
        ["one", "two"],
        ["three"],
    ]


async def test_negative_offset_keeps_the_latest_only(scene, bot):
    for text in ("one", "two", "three"):
        scene.room.say(scene.player, scene.group, text)

    latest = await bot.get_updates(offset=-1)

    assert [u.message.text for u in latest] == ["three"]
    assert len(scene.room.updates.pending) == 1


async def test_long_poll_wakes_when_somebody_speaks(scene, bot):
    poll = asyncio.create_task(bot.get_updates(timeout=30))
    await waiting(scene.room)

    scene.room.say(scene.player, scene.group, "3 rounds + 45")
    async with asyncio.timeout(5):
        (update,) = await poll

    assert update.message.text == "3 rounds + 45"
    assert update.message.date == scene.clock()


async def test_newer_poll_ends_the_older_with_a_conflict(scene, bot):
    older = asyncio.create_task(bot.get_updates(timeout=30))
    await waiting(scene.room)
    newer = asyncio.create_task(bot.get_updates(timeout=30))
    await waiting(scene.room, polls=2)

    with pytest.raises(Conflict, match="terminated by other getUpdates request"):
        await older
    scene.room.say(scene.player, scene.group, "hello")

    assert [u.message.text for u in await newer] == ["hello"]


async def test_closing_server_ends_a_long_poll_at_once(scene):
    async with a_client() as client:
        async with serve(build_server(scene.room)) as url:
            poll = asyncio.create_task(
                client.get(f"{url}/bot{scene.room.token}/getUpdates", params={"timeout": 30})
            )
            await waiting(scene.room)
        async with asyncio.timeout(5):
            answer = await poll

    assert answer.json() == {"ok": True, "result": []}


async def test_room_can_be_served_again(scene):
    for _ in range(2):
        async with (
            serve(build_server(scene.room)) as url,
            a_client() as client,
        ):
            answer = await client.get(f"{url}/bot{scene.room.token}/getUpdates")

            assert answer.status_code == 200


async def test_kinds_asked_for_are_remembered(scene, bot):
    await bot.get_updates(allowed_updates=["edited_message", "chat_member"])

    said = scene.room.say(scene.player, scene.group, "45")
    scene.room.edit(scene.player, scene.group, said["message_id"], "54")
    scene.room.join(scene.room.add_person("Marguerite"), scene.group)
    updates = await bot.get_updates()

    assert [u.to_dict().keys() - {"update_id"} for u in updates] == [
        {"edited_message"},
        {"chat_member"},
    ]


async def test_without_asking_member_changes_and_reactions_do_not_come(scene, bot):
    said = scene.room.say(scene.player, scene.group, "45")
    scene.room.react(scene.coach, scene.group, said["message_id"], "🔥")
    scene.room.join(scene.room.add_person("Marguerite"), scene.group)

    updates = await bot.get_updates()

    assert [u.message.text for u in updates] == ["45", None]
    assert updates[1].message.new_chat_members[0].first_name == "Marguerite"


async def test_reactions_come_when_asked_for(scene, bot):
    await bot.get_updates(allowed_updates=["message_reaction"])
    said = scene.room.say(scene.player, scene.group, "45")
    scene.room.react(scene.coach, scene.group, said["message_id"], "🔥")

    (update,) = await bot.get_updates()

    assert [r.emoji for r in update.message_reaction.new_reaction] == ["🔥"]


async def test_raw_update_comes_as_it_is_and_may_repeat(scene, web):
    scene.room.queue_update({"update_id": 5, "shiny_new_kind": {"a": 1}})
    scene.room.queue_update({"update_id": 5, "shiny_new_kind": {"a": 1}})

    answer = await web.get(f"/bot{scene.room.token}/getUpdates")

    assert answer.json()["result"] == [{"update_id": 5, "shiny_new_kind": {"a": 1}}] * 2


@pytest.mark.parametrize(
    ("reads_all", "status", "seen"),
    [
        pytest.param(True, Status.MEMBER, ["45", "/join", "a reply"], id="reads_all"),
        pytest.param(False, Status.ADMINISTRATOR, ["45", "/join", "a reply"], id="admin"),
        pytest.param(False, Status.MEMBER, ["/join", "a reply"], id="privacy_mode"),
        pytest.param(True, Status.KICKED, [], id="kicked"),
    ],
)
async def test_bot_sees_in_a_group_what_the_platform_shows_it(scene, bot, reads_all, status, seen):
    post = await bot.send_message(scene.group.chat_id, "Day 1")
    scene.room.can_read_all_group_messages = reads_all
    scene.group.bot_status = status
    other = scene.room.add_person("Helper", is_bot=True)
    scene.room.put_in_group(other, scene.group)

    scene.room.say(scene.player, scene.group, "45")
    scene.room.say(scene.player, scene.group, "/join")
    scene.room.say(scene.player, scene.group, "a reply", reply_to=post.message_id)
    scene.room.say(other, scene.group, "/never")

    assert [u.message.text for u in await bot.get_updates()] == seen


async def test_webhook_gets_updates_with_its_secret_and_repeats_the_refused(scene, bot):
    secret = "open-sesame"
    got: asyncio.Queue[tuple[str | None, int]] = asyncio.Queue()
    answers = [500, 200, 200]

    async def hook(request: Request) -> Response:
        header = request.headers.get("X-Telegram-Bot-Api-Secret-Token")
        got.put_nowait((header, (await request.json())["message"]["message_id"]))
        return Response(status_code=answers.pop(0))

    app = Starlette(routes=[Route("/hook", hook, methods=["POST"])])
    app.state.room = type(scene.room)(scene.clock)
    async with serve(app) as hook_url:
        await bot.set_webhook(f"{hook_url}/hook", secret_token=secret)
        scene.room.say(scene.player, scene.group, "one")
        scene.room.say(scene.player, scene.group, "two")
        async with asyncio.timeout(10):
            received = [await got.get() for _ in range(3)]

        assert received == [(secret, 1), (secret, 1), (secret, 2)]
        assert (await bot.get_webhook_info()).url == f"{hook_url}/hook"


async def test_no_polling_while_a_webhook_is_set(scene, bot):
    await bot.set_webhook("http://127.0.0.1:9/hook", allowed_updates=["message"])
    with pytest.raises(Conflict, match="webhook is active"):
        await bot.get_updates()
    scene.room.say(scene.player, scene.group, "one")
    info = await bot.get_webhook_info()

    await bot.delete_webhook(drop_pending_updates=True)

    assert (info.pending_update_count, info.allowed_updates) == (1, ("message",))
    assert await bot.get_updates() == ()


@pytest.mark.parametrize(
    "wish",
    [
        pytest.param({"url": "https://example.org/hook"}, id="elsewhere"),
        pytest.param({"url": "ftp://127.0.0.1/hook"}, id="scheme"),
        pytest.param({"url": "http://127.0.0.1/", "secret_token": "no blanks"}, id="secret"),
        pytest.param({"url": "http://127.0.0.1/", "max_connections": 101}, id="connections"),
    ],
)
async def test_wrong_webhook_is_refused(scene, bot, wish):
    with pytest.raises(BadRequest):
        await bot.set_webhook(**wish)

    assert scene.room.updates.webhook_url == ""


async def test_closed_room_takes_no_poll(scene, bot):
    scene.room.hang_up()

    with pytest.raises(TelegramError, match="Bad Gateway"):
        await bot.get_updates()
