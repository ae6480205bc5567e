"""A person takes their own score out in words, as its button does."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bot.reading.reader import Reader, Scene
from bot.reading.values import Reading
from bot.rehearsal.start import Rehearsal, quiet
from content.score import Finished, RoundsAndReps
from store.values import ChatId, ResultState
from tests.bot import acts
from tests.bot.test_bad_input import go_to, state

NONE_THERE = "There is no score of yours to take out for day {day}."


async def test_remove_my_score_takes_out_todays_own(play: Rehearsal):
    await acts.say(play, "Marlow", "3 rounds + 45")
    await acts.say(play, "Petra", "3 rounds + 20")

    said = await acts.say(play, "Marlow", "please remove my score")

    assert said == [
        "Marlow's score of day 1 is taken out. Tell me the right one whenever you like."
    ]
    assert await state(play, "Marlow") is ResultState.WITHDRAWN
    assert await acts.score(play, "Petra") == RoundsAndReps(3, 20, 200)


async def test_the_day_named_is_meant(play: Rehearsal):
    await acts.say(play, "Marlow", "3 rounds + 45")
    go_to(play, 2)
    await acts.say(play, "Marlow", "9:41")

    [said] = await acts.say(play, "Marlow", "remove my score of day 1")

    assert said.startswith("Marlow's score of day 1 is taken out.")
    assert await acts.score(play, "Marlow", 1) is None
    assert await acts.score(play, "Marlow", 2) == Finished(581)


@pytest.mark.parametrize(
    ("name", "text", "day"),
    [
        pytest.param("Marlow", "remove my score", 1, id="none_yet"),
        pytest.param("Brid", "remove my score", 1, id="not_joined"),
        pytest.param("Marlow", "remove my score of day 3", 3, id="not_open"),
        pytest.param("Marlow", "remove my score of day 9", 9, id="no_such_day"),
    ],
)
async def test_without_a_score_it_says_so(play: Rehearsal, name: str, text: str, day: int):
    assert await acts.say(play, name, text) == [NONE_THERE.format(day=day)]


async def test_taken_out_in_words_twice_there_is_none_left(play: Rehearsal):
    await acts.say(play, "Marlow", "3 rounds + 45")
    await acts.say(play, "Marlow", "remove my score")

    assert await acts.say(play, "Marlow", "remove my score") == [NONE_THERE.format(day=1)]
    assert await acts.changes(play, "Marlow") == 2


async def test_a_no_rep_stays(play: Rehearsal):
    await acts.say(play, "Marlow", "3 rounds + 45")
    await acts.say(play, "Ines", "/norep", reply_to=acts.last_of(play, "Marlow"))

    [said] = await acts.say(play, "Marlow", "remove my score")

    assert said.startswith("Marlow, the organiser gave day 1 a no-rep; it stays on record.")
    assert await state(play, "Marlow") is ResultState.NO_REP


async def test_after_the_make_up_time_it_is_too_late(play: Rehearsal):
    await acts.say(play, "Marlow", "3 rounds + 45")
    go_to(play, 3)
    await quiet(play)

    [said] = await acts.say(play, "Marlow", "remove my score of day 1")

    assert said.startswith("The time for that day is over.")
    assert await acts.score(play, "Marlow", 1) == RoundsAndReps(3, 45, 225)


async def test_a_score_edited_into_the_wish_is_taken_out_and_chatter_is_not(play: Rehearsal):
    await acts.say(play, "Marlow", "what a day")
    chatter = acts.last_of(play, "Marlow")
    await acts.say(play, "Marlow", "3 rounds + 45")
    score = acts.last_of(play, "Marlow")

    unheard = await acts.edit(play, "Marlow", chatter, "remove my score")
    stands = await acts.score(play, "Marlow")
    [said] = await acts.edit(play, "Marlow", score, "remove my score")

    assert unheard == []
    assert stands == RoundsAndReps(3, 45, 225)
    assert "is taken out" in said


async def test_the_reader_is_told_the_language_and_the_dates(
    play: Rehearsal, monkeypatch: pytest.MonkeyPatch
):
    seen: list[Scene] = []
    read = Reader.read

    def noted(self: Reader, text: str, scene: Scene) -> Reading:
        seen.append(scene)
        return read(self, text, scene)

    monkeypatch.setattr(Reader, "read", noted)
    play.people["Marlow"].language_code = "pt-br"

    await acts.say(play, "Marlow", "3 rounds + 45")
    await acts.say(play, "Ines", "3 rounds + 45", sender_chat=play.group)

    assert [scene.language for scene in seen] == ["pt", "en"]
    assert {scene.said_on for scene in seen} == {acts.START}
    assert all(scene.dates[7] == acts.START + timedelta(days=6) for scene in seen)


async def test_a_message_edited_into_the_wish_takes_out_its_own_result_only(play: Rehearsal):
    go_to(play, 2)
    await acts.say(play, "Marlow", "yesterday 3 rounds + 20")
    of_yesterday = acts.last_of(play, "Marlow")
    await acts.say(play, "Marlow", "9:41")

    [said] = await acts.edit(play, "Marlow", of_yesterday, "please remove my score")
    again = await acts.edit(play, "Marlow", of_yesterday, "please, remove my score")

    assert said.startswith("Marlow's score of day 1 is taken out.")
    assert again == []
    assert await state(play, "Marlow") is ResultState.WITHDRAWN
    assert await acts.score(play, "Marlow", 2) == Finished(581)


async def test_a_message_of_two_days_edited_into_the_wish_takes_out_both(play: Rehearsal):
    go_to(play, 2)
    await acts.say(play, "Marlow", "yesterday 3 rounds + 20, today 9:41")

    [said] = await acts.edit(play, "Marlow", acts.last_of(play, "Marlow"), "remove my score")

    assert [line.partition(" is taken out")[0] for line in said.splitlines()] == [
        "Marlow's score of day 1",
        "Marlow's score of day 2",
    ]
    assert await acts.score(play, "Marlow", 1) is None
    assert await acts.score(play, "Marlow", 2) is None


@pytest.mark.parametrize(("minutes", "stands"), [(-1, False), (1, True)])
async def test_what_counts_is_when_the_wish_was_said(play: Rehearsal, minutes: int, stands: bool):
    await acts.say(play, "Marlow", "3 rounds + 45")
    async with play.database.reading() as session:
        running = await play.rungbell.shelf.of_chat(session, ChatId(play.group.chat_id))
    assert running is not None
    until = running.days[0].make_up_until
    play.room.clock.move_to(until + timedelta(minutes=minutes))
    await quiet(play)

    play.room.say(play.people["Marlow"], play.group, "remove my score of day 1")
    play.room.clock.move_to(until + timedelta(minutes=2))
    await quiet(play)

    assert (await acts.score(play, "Marlow", 1) is not None) is stands


async def test_beside_what_is_taken_out_a_no_rep_is_not_shown_as_standing(play: Rehearsal):
    go_to(play, 2)
    await quiet(play)
    await acts.say(play, "Marlow", "yesterday 3 rounds + 20, today 9:41")
    read_back, message_id = acts.last(play), acts.last_of(play, "Marlow")
    await acts.say(play, "Ines", "/norep day 2 short", reply_to=message_id)

    toasts = await acts.press(play, "Marlow", 0, message=read_back)

    [now] = [
        m for m in play.room.messages(play.group) if m["message_id"] == read_back["message_id"]
    ]
    assert toasts == ["Taken out."]
    assert now["text"].startswith("Marlow's score of day 1 is taken out.")
    assert "9:41" not in now["text"]
    assert acts.keys(now) == []


async def test_beside_what_is_taken_out_a_late_score_keeps_its_note(play: Rehearsal):
    go_to(play, 4)
    await quiet(play)
    await acts.say(play, "Marlow", "day 1: 3 rounds + 20, day 3: 14 13 12 12 11 12")
    read_back = acts.last(play)

    await acts.press(play, "Marlow", 1, message=read_back)

    [now] = [
        m for m in play.room.messages(play.group) if m["message_id"] == read_back["message_id"]
    ]
    assert now["text"].splitlines() == [
        "Marlow's score of day 3 is taken out. Tell me the right one whenever you like.",
        "Marlow, day 1, Full: 3 rounds + 20 → round 4, 12 of 20 forward lunges; 200 reps",
        "The make-up time for day 1 is over: it is on your record and does not rank.",
    ]
