"""The chat page's server side: files, actions, live news, and who is kept out."""

import asyncio
import json
from contextlib import asynccontextmanager
from datetime import UTC, datetime, timedelta

import pytest

from bot.rehearsal.files import DOT_PNG
from bot.rehearsal.page import build_server
from bot.rehearsal.serving import serve
from tests.rehearsal.conftest import a_client


@asynccontextmanager
async def news_of(web):
    """Open the live stream; gives a coroutine function for the next piece of news."""
    async with web.stream("GET", "/live") as stream:
        lines = stream.aiter_lines()

        async def following():
            async with asyncio.timeout(5):
                async for line in lines:
                    if line.startswith("data:"):
                        return json.loads(line.removeprefix("data:"))
            return None

        yield following


async def do(web, what, **content: object):
    return await web.post(f"/do/{what}", json=content)


@pytest.mark.parametrize("path", ["/", "/page/style.css", "/page/page.js", "/page/words.js"])
async def test_page_comes_whole_and_names_no_other_server(web, path):
    answer = await web.get(path)

    assert answer.status_code == 200
    assert "default-src 'none'" in answer.headers["Content-Security-Policy"]
    assert "//" not in answer.text.replace("https?:\\/\\/", "").replace("// ", "")


@pytest.mark.parametrize("path", ["/page/page.py", "/page/..%2Fpage.py", "/picture/none", "/do/x"])
async def test_nothing_else_is_handed_out(web, path):
    answer = await (web.post(path, json={}) if path.startswith("/do") else web.get(path))

    assert answer.status_code == 404


@pytest.mark.parametrize("path", ["/", "/live", "/menu", "/bot1:x/getMe"])
async def test_foreign_host_names_get_nothing(web, path):
    answer = await web.get(path, headers={"Host": "rehearsal.example.org"})

    assert (answer.status_code, answer.text) == (400, "Invalid host header")


async def test_actions_are_taken_as_json_only(web, scene):
    body = json.dumps({"person_id": 5001, "chat_id": scene.group.chat_id, "text": "x"})

    answer = await web.post("/do/say", content=body, headers={"Content-Type": "text/plain"})

    assert answer.status_code == 415
    assert scene.room.messages(scene.group) == []


async def test_page_opens_with_the_whole_room(web, scene):
    scene.room.say(scene.player, scene.group, "3 rounds + 45")

    async with news_of(web) as following:
        everything = await following()

    assert everything["kind"] == "all"
    assert (everything["zone"], everything["posts"]) == ("Europe/Lisbon", None)
    assert everything["now_ms"] == scene.clock().timestamp() * 1000
    assert [person["name"] for person in everything["people"]] == ["Ines", "Tobias"]
    talk = everything["talks"][str(scene.group.chat_id)]
    assert [shown["message"]["text"] for shown in talk] == ["3 rounds + 45"]


async def test_what_happens_is_shown_at_once(web, scene, bot):
    async with news_of(web) as following:
        await following()
        said = scene.room.say(scene.player, scene.group, "45")
        await bot.set_message_reaction(scene.group.chat_id, said["message_id"], "🔥")
        news = [await following() for _ in range(2)]
        scene.room.erase(scene.player, scene.group, said["message_id"])
        gone = await following()

    assert [one["kind"] for one in news] == ["message", "message"]
    assert news[1]["reactions"] == [{"emoji": "🔥", "by": ["Rungbell"]}]
    assert gone == {"kind": "gone", "chat_id": scene.group.chat_id, "message_id": 1}


async def test_stream_ends_when_the_server_closes(scene):
    async with a_client() as client:
        async with serve(build_server(scene.room)) as url:
            client.base_url = url
            opened = news_of(client)
            following = await opened.__aenter__()
            await following()
        ended = await following()
        await opened.__aexit__(None, None, None)

    assert ended is None


async def test_people_speak_reply_edit_and_erase(web, scene):
    chat_id = scene.group.chat_id
    await do(web, "say", person_id=5002, chat_id=chat_id, text="45")
    await do(web, "say", person_id=5001, chat_id=chat_id, text="well done", reply_to=1)
    await do(web, "edit", person_id=5002, chat_id=chat_id, message_id=1, text="54")
    await do(web, "say", person_id=5002, chat_id=chat_id, text="oops")
    await do(web, "erase", person_id=5002, chat_id=chat_id, message_id=3)

    said = scene.room.messages(scene.group)
    assert [message["text"] for message in said] == ["54", "well done"]
    assert said[1]["reply_to_message"]["message_id"] == 1


@pytest.mark.parametrize("caption", ["", "day 3"])
async def test_people_send_files_and_the_bot_can_fetch_them(web, scene, bot, caption):
    scene.room.start_private(scene.room.people[5002])
    scene.room.updates.pending.clear()

    answer = await do(
        web, "file", person_id=5002, chat_id=5002, name="a.txt", content="aGk=", caption=caption
    )

    assert answer.status_code == 200
    [update] = scene.room.updates.pending
    message = update["message"]
    assert message.get("caption", "") == caption
    assert ("caption" in message) == bool(caption)
    assert message["document"]["file_name"] == "a.txt"
    file = await bot.get_file(message["document"]["file_id"])
    assert bytes(await file.download_as_bytearray()) == b"hi"


async def test_buttons_are_pressed_and_talks_started_and_blocked(web, scene, bot):
    keys = {"inline_keyboard": [[{"text": "Key", "callback_data": "k"}]]}
    await bot.send_message(scene.group.chat_id, "x", api_kwargs={"reply_markup": keys})

    press = {"person_id": 5002, "chat_id": scene.group.chat_id, "message_id": 1, "data": "k"}
    await do(web, "press", **press)
    await do(web, "start", person_id=5002)
    await do(web, "block", person_id=5002)

    kinds = [next(key for key in u if key != "update_id") for u in scene.room.updates.pending]
    assert kinds == ["callback_query", "message", "my_chat_member"]


async def test_newcomer_joins_the_group(web, scene):
    answer = await do(
        web,
        "person",
        first_name="Marguerite",
        language_code="fr",
        group_id=scene.group.chat_id,
        is_organiser=True,
    )

    person = scene.room.people[answer.json()["person_id"]]
    assert (person.first_name, person.language_code) == ("Marguerite", "fr")
    assert scene.group.status_of(person.user_id) == "administrator"


@pytest.mark.parametrize(
    ("what", "content", "status", "error"),
    [
        pytest.param("say", {"person_id": 1}, 400, "chat_id: Field required", id="missing"),
        pytest.param(
            "say", {"person_id": 1, "chat_id": 5001, "text": "x"}, 409, "nobody has", id="person"
        ),
        pytest.param(
            "say",
            {"person_id": 5001, "chat_id": 5001, "text": "x"},
            409,
            "Ines has not started the talk",
            id="not_started",
        ),
        pytest.param(
            "person", {"first_name": "X", "group_id": 5001}, 409, "is no group", id="group"
        ),
        pytest.param(
            "file",
            {"person_id": 5001, "chat_id": 5001, "name": "a", "content": "a"},
            400,
            "content",
            id="no_base64",
        ),
        pytest.param(
            "file",
            {"person_id": 5001, "chat_id": 5001, "name": "a", "content": ""},
            409,
            "an empty file",
            id="empty_file",
        ),
        pytest.param("clock", {}, 409, "exactly one way", id="clock_not_moved"),
        pytest.param("clock", {"by_minutes": 0}, 400, "by_minutes", id="clock_by_nothing"),
        pytest.param(
            "clock", {"by_minutes": 1, "to": "evening"}, 409, "exactly one way", id="clock_twice"
        ),
        pytest.param("clock", {"local": "2026-05-04T06:59"}, 409, "forward only", id="back"),
        pytest.param("clock", {"local": "2028-05-04T06:59"}, 409, "400 days", id="far"),
        pytest.param("clock", {"local": "2026-05-05T07:00Z"}, 409, "no offset", id="offset"),
        pytest.param("clock", {"instant": "2026-05-05T07:00"}, 409, "needs its", id="no_offset"),
    ],
)
async def test_what_cannot_be_done_is_explained(web, what, content, status, error):
    answer = await do(web, what, **content)

    assert answer.status_code == status
    assert error in answer.json()["error"]


@pytest.mark.parametrize(
    ("move", "local"),
    [
        pytest.param({"by_minutes": 1}, "2026-05-04T07:01", id="minute"),
        pytest.param({"by_minutes": 60}, "2026-05-04T08:00", id="hour"),
        pytest.param({"to": "evening"}, "2026-05-04T19:00", id="evening"),
        pytest.param({"to": "tomorrow morning"}, "2026-05-05T07:00", id="morning"),
        pytest.param({"local": "2026-05-06T12:30"}, "2026-05-06T12:30", id="picked"),
        pytest.param({"instant": "2026-05-06T12:30:00+00:00"}, "2026-05-06T13:30", id="instant"),
    ],
)
async def test_clock_moves_by_the_zones_wall_clock(web, scene, move, local):
    answer = await do(web, "clock", **move)

    assert answer.status_code == 200
    lisbon_summer = timedelta(hours=1)
    assert (scene.clock() + lisbon_summer).isoformat()[:16] == local


async def test_evening_after_the_evening_is_the_next_one(web, scene):
    scene.clock.move_to(datetime(2026, 5, 4, 18, 0, tzinfo=UTC))

    await do(web, "clock", to="evening")

    assert scene.clock() == datetime(2026, 5, 5, 18, 0, tzinfo=UTC)


async def test_long_move_stops_at_every_planned_post(scene):
    start = scene.clock()
    plan = [
        {
            "due_at": (start + timedelta(hours=hours)).isoformat(),
            "local": f"in {hours} h",
            "title": f"Post {hours}",
            "state": state,
        }
        for hours, state in [(30, "planned"), (2, "planned"), (1, "planned"), (3, "skipped")]
    ]
    posted = []

    async def moved():
        posted.append((scene.clock() - start) / timedelta(hours=1))
        for post in plan:
            if datetime.fromisoformat(post["due_at"]) <= scene.clock():
                post["state"] = "sent"

    async def posts():
        return plan

    async with (
        serve(build_server(scene.room, moved=moved, posts=posts)) as url,
        a_client(url) as web,
        news_of(web) as following,
    ):
        shown = (await following())["posts"]
        await do(web, "clock", by_minutes=240)
        clock, after = await following(), await following()

    assert posted == [1, 2, 4]
    assert [post["title"] for post in shown] == ["Post 1", "Post 2", "Post 3", "Post 30"]
    assert clock["now_ms"] == (start + timedelta(hours=4)).timestamp() * 1000
    assert [post["state"] for post in after["posts"]] == ["sent", "sent", "sent", "planned"]


async def test_pictures_are_shown_and_other_files_only_saved(web, scene, bot):
    photo = await bot.send_photo(scene.group.chat_id, DOT_PNG)
    page = await bot.send_document(scene.group.chat_id, b"<script>", filename="a.html")

    shown = await web.get(f"/picture/{photo.photo[0].file_id}")
    saved = await web.get(f"/picture/{page.document.file_id}")

    assert (shown.headers["Content-Type"], shown.content) == ("image/png", DOT_PNG)
    assert saved.headers["Content-Disposition"] == "attachment"
    assert saved.headers["Content-Type"] == "application/octet-stream"


async def test_menu_is_the_one_for_this_person_here(web, scene, bot):
    await bot.set_my_commands([("join", "Take part")])

    known = await web.get("/menu", params={"person_id": 5002, "chat_id": scene.group.chat_id})
    unknown = await web.get("/menu", params={"person_id": 1, "chat_id": "x"})

    assert known.json() == [{"command": "join", "description": "Take part"}]
    assert unknown.status_code == 404
