"""/clock and its button: made once and off the loop, sent again by its id, made anew when lost."""

from __future__ import annotations

import asyncio
import json
import threading

import pytest
from sqlalchemy import select

from bot import clock_sound
from bot.calls import Play, call_from_json, call_to_json
from bot.clock_player import name_of
from bot.rehearsal.start import Rehearsal, quiet
from content.clock_track import Cue, Mark, Track
from store.tables import ChallengeRow, SentFileRow
from tests.bot import acts
from tests.bot.test_bad_input import go_to


@pytest.fixture
async def short(play: Rehearsal) -> Rehearsal:
    """The demo with days of four minutes: a real sound, made in a second or two."""
    async with play.database.work() as session:
        row = (await session.scalars(select(ChallengeRow))).one()
        content = json.loads(row.content)
        for day in content["days"]:
            if day["kind"] == "workout":
                day["warm_up"]["movements"] = day["warm_up"]["movements"][:1]
                kind = "cap_s" if day["workout"].get("cap_s") else "window_s"
                if day["workout"].get(kind):
                    day["workout"][kind] = "2 min"
        row.content = json.dumps(content)
        await session.commit()
    return play


@pytest.fixture
def renders(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the threads on which sounds were made."""
    threads: list[str] = []
    real = clock_sound.render

    def render(track, **more: object):
        threads.append(threading.current_thread().name)
        return real(track, **more)

    monkeypatch.setattr(clock_sound, "render", render)
    return threads


def voices(play: Rehearsal, place=None):
    """Give the voice messages in a chat."""
    return [m for m in play.room.messages(place or play.group) if "voice" in m]


async def say(play: Rehearsal, name: str, text: str, place=None):
    play.room.say(acts.person(play, name), place or play.group, text)
    await quiet(play)


async def test_the_clock_comes_as_a_voice_message_with_its_legend(short: Rehearsal):
    await say(short, "Marlow", "/clock")

    [message] = voices(short)
    assert message["caption"].splitlines() == [
        "Day 1 · Round the bollards",
        "Press play and turn the phone up. Warm-up from 0:10, workout from 1:10, end at 3:10.",
        "• short, three times: a start or the end is near",
        "• one tone: the next warm-up movement",
        "• two low tones: move on, or rest",
        "• one long tone: go",
        "• three quick tones: the last minute",
        "• three falling tones: the end",
    ]
    assert message["voice"]["duration"] == 192
    assert message["reply_to_message"]["text"] == "/clock"
    stored = short.room.files.by_id(message["voice"]["file_id"])
    assert stored.duration_s == 192
    assert await acts.owed_count(short) == 0


async def test_it_is_made_once_off_the_loop_and_sent_again_by_its_id(
    short: Rehearsal, renders: list[str]
):
    await say(short, "Marlow", "/clock")
    await say(short, "Petra", "/clock")
    short.people["Marlow"].has_started = True
    await say(short, "Marlow", "/clock", short.people["Marlow"])

    ids = [m["voice"]["file_id"] for m in voices(short)]
    [private] = voices(short, short.people["Marlow"])
    assert len(ids) == 2
    assert {*ids, private["voice"]["file_id"]} == {ids[0]}
    assert len(renders) == 1
    assert renders != [threading.main_thread().name]


async def test_another_day_is_another_sound(short: Rehearsal, renders: list[str]):
    await say(short, "Marlow", "/clock")
    go_to(short, 3)
    await quiet(short)
    await say(short, "Marlow", "/clock")

    first, second = voices(short)
    assert first["voice"]["file_id"] != second["voice"]["file_id"]
    assert len(renders) == 2


async def test_a_file_the_platform_has_lost_is_made_again(short: Rehearsal, renders: list[str]):
    await say(short, "Marlow", "/clock")
    [first] = voices(short)
    short.room.files.lose(first["voice"]["file_id"])

    await say(short, "Petra", "/clock")

    second = voices(short)[1]
    assert short.room.files.by_id(second["voice"]["file_id"]).duration_s == 192
    assert len(renders) == 2
    async with short.database.reading() as session:
        [row] = await session.scalars(select(SentFileRow))
    assert row.file_id == second["voice"]["file_id"]


async def test_other_answers_do_not_wait_for_it(short: Rehearsal, monkeypatch: pytest.MonkeyPatch):
    real, may_go_on = clock_sound.render, threading.Event()

    def render(track, **more: object):
        assert may_go_on.wait(30)
        return real(track, **more)

    monkeypatch.setattr(clock_sound, "render", render)
    before = len(acts.texts(short))
    short.room.say(short.people["Marlow"], short.group, "/clock")
    short.room.say(short.people["Petra"], short.group, "/weather 34 60")
    await short.room.updates.all_fetched()
    await short.rungbell.inbox.settle()
    await short.rungbell.wake()

    assert acts.texts(short)[before:] != []
    assert voices(short) == []

    may_go_on.set()
    await quiet(short)
    assert len(voices(short)) == 1


async def test_stopping_leaves_it_owed_and_unfinished(
    play: Rehearsal, monkeypatch: pytest.MonkeyPatch
):
    begun, ends = asyncio.Event(), []
    loop, real = asyncio.get_running_loop(), clock_sound.render

    def render(track, **more: object):
        loop.call_soon_threadsafe(begun.set)
        try:
            return real(track, **more)
        except clock_sound.Stopped as stopped:
            ends.append(stopped)
            raise

    monkeypatch.setattr(clock_sound, "render", render)
    play.room.say(play.people["Marlow"], play.group, "/clock")
    await begun.wait()
    await play.rungbell.stop()

    assert len(ends) == 1
    assert voices(play) == []
    assert await acts.owed_count(play) == 1


async def test_where_voice_is_switched_off_there_are_words(short: Rehearsal):
    marlow = short.people["Marlow"]
    marlow.has_started = True
    short.room.no_voice |= {short.group.chat_id, marlow.user_id}

    await say(short, "Marlow", "/clock")
    await say(short, "Marlow", "/clock", marlow)

    for place in (short.group, marlow):
        assert voices(short, place) == []
        assert acts.texts(short, place)[-1].startswith("I may not send voice messages here")
    assert await acts.owed_count(short) == 0


async def test_a_pace_is_added_for_a_number_of_rounds(short: Rehearsal):
    await say(short, "Marlow", "/clock 4")

    [message] = voices(short)
    assert "even pace" in message["caption"]


@pytest.mark.parametrize(
    ("text", "answer"),
    [
        pytest.param("/clock soon", "Write /clock, or with a number", id="words"),
        pytest.param("/clock 1", "A pace needs 2 rounds or more", id="one"),
        pytest.param("/clock 99", "I have no even pace for 99 rounds", id="too_many"),
        pytest.param("/clock 1000", "Write /clock, or with a number", id="far_too_many"),
    ],
)
async def test_what_has_no_pace_is_told(play: Rehearsal, text: str, answer: str):
    [said] = await acts.say(play, "Marlow", text)

    assert said.startswith(answer)


async def test_a_rest_day_has_no_clock_and_no_button(play: Rehearsal):
    go_to(play, 4)
    await quiet(play)

    [said] = await acts.say(play, "Marlow", "/clock")
    await acts.say(play, "Marlow", "/today")

    assert said == "A rest day has no clock."
    assert acts.keys(acts.last(play)) == []


async def test_before_day_1_there_is_no_clock(eve: Rehearsal):
    [said] = await acts.say(eve, "Marlow", "/clock")

    assert "No challenge" in said


async def test_the_button_below_today_sends_it(short: Rehearsal):
    await acts.say(short, "Marlow", "/today")
    toasts = await acts.press(short, "Petra")

    assert toasts == ["It comes in a moment."]
    assert len(voices(short)) == 1


@pytest.mark.parametrize(
    "data",
    [
        pytest.param("n:{chat}:1:2", id="a_day_to_come"),
        pytest.param("n:{chat}:1:99", id="no_such_day"),
        pytest.param("n:{chat}:9:1", id="no_such_challenge"),
        pytest.param("n:x", id="no_numbers"),
    ],
)
async def test_a_forged_button_sends_nothing(play: Rehearsal, data: str):
    await acts.say(play, "Marlow", "/today")

    toasts = await acts.forge(play, "Petra", data.format(chat=play.group.chat_id))

    assert toasts == ["That button is out of date."]
    assert voices(play) == []


def test_the_owed_call_is_read_back_as_it_was():
    track = Track((Mark(7, Cue.TICK), Mark(10, Cue.START)), 12, 10)
    call = Play(-100, track, "<b>Day 1</b>", "no", reply_to=5)

    assert call_from_json(call_to_json(call)) == call


def test_the_name_is_the_same_for_the_same_cues_and_no_others():
    track = Track((Mark(7, Cue.TICK), Mark(10, Cue.START)), 12, 10)
    other = Track((Mark(7, Cue.TICK), Mark(11, Cue.START)), 12, 10)

    assert name_of(track) == name_of(Track(track.marks, 12, 10))
    assert name_of(track) != name_of(other)
