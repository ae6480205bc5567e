"""A whole week written by shorthand in the chat, reviewed, begun, changed, played to the end."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest

from bot.rehearsal.start import rehearsal
from content.loading import DEMO, load_challenge
from content.score import RoundsAndReps
from store import challenges, standings
from store.values import ChallengeId, ChatId
from tests.bot import acts
from tests.bot.desk_acts import labels, tap, write, write_all
from tests.flows.conftest import START, Stage

FIRST = ChallengeId(1)
PIER = """Round the pier
warm-up 45/15: march, arm circles, hip circles, air squats, knee push-ups
AMRAP 14: 10 push-ups, 12 goblet squats 16 kg, 20 lunges
lighter: knee push-ups, 8 kg goblet squats
bodyweight: air squats instead of goblet squats
caution: The planks are wet in the morning."""
TIDE = "Tide out\n24-18-12 swings 24/16 kg & burpees, cap 10\nbodyweight: hip hinges"
TIDE_WRONG = TIDE.replace("hip hinges", "hip blobs")
PULL = "Pull and reach\nAMRAP 10: 8 dumbbell rows 16 kg, 10 crab reaches"
STEPS = "Steps\n8 x 20 s on / 10 s off air squats"
PLANK = "Longest plank\nmax plank"
WALK = "Long walk\n30 min easy walk, done is done"


@pytest.fixture
async def stage(tmp_path: Path) -> AsyncIterator[Stage]:
    """The evening before, nothing begun."""
    content = load_challenge(DEMO)
    file = tmp_path / "written.sqlite3"
    async with rehearsal(content, start=START, database_file=file, ticking=False) as play:
        yield Stage(play)


async def test_a_week_written_in_the_chat_is_played_to_its_end(stage: Stage):
    await _write_the_week(stage)
    await _review_and_begin(stage)
    await _first_day_changed_after_it_is_out(stage)
    await _play_the_rest(stage)


async def _write_the_week(stage: Stage) -> None:
    play = stage.play
    play.room.start_private(play.coach)
    said = await write_all(play, "/write", "Seven days at the pier", "Lisbon", PIER)
    assert "→ Which “lunges”?" in said
    assert "Next: day 2." in await tap(play, "reverse lunge")

    wrong = await write(play, TIDE_WRONG)
    assert "Line 3: bodyweight: hip blobs" in wrong
    assert "→ I do not know “hip blobs”" in wrong
    assert "Next: day 3." in await write(play, "bodyweight: hip hinges")

    await write(play, PULL)
    await tap(play, "“crab reaches” is a movement of my own")
    await tap(play, "core")
    await tap(play, "bird dog")
    assert "Next: day 4." in await write(play, "your hand touches the other foot")

    said = await write_all(play, "rest day: Walk, stretch, sleep.", STEPS, PLANK, WALK)
    assert said.endswith("or take it as a file.")


async def _review_and_begin(stage: Stage) -> None:
    play = stage.play
    said = await write(play, "/write review")
    assert "Review: Seven days at the pier" in said
    assert "Day 4: rest" in said
    await stage.say("Ines", "/begin")
    assert "Seven days at the pier on Monday 1 June 2026" in stage.buttons()
    await write(play, "/write begin")
    assert "Begin in Quayside Movers on Mon 1 June" in labels(play)
    begun = await tap(play, "Begin in Quayside Movers on Mon 1 June")
    assert begun.startswith("Seven days at the pier is set in Quayside Movers")
    for name, division in {"Petra": "Full", "Marlow": "Full", "Oskar": "Lighter"}.items():
        message = stage.last()
        rows = message["reply_markup"]["inline_keyboard"]
        [data] = [b["callback_data"] for row in rows for b in row if b["text"] == division]
        play.room.press(stage.person(name), play.group, message["message_id"], data)


async def _first_day_changed_after_it_is_out(stage: Stage) -> None:
    play = stage.play
    posted = await stage.go_to(1, "07:00")
    assert any("Day 1 of 7 · Round the pier" in text for text in posted)
    assert (await stage.say("Petra", "3 rounds + 5"))[0].endswith("131 reps")
    assert (await stage.say("Marlow", "130 reps"))[0].startswith(
        "Marlow, day 1, Full: 3 rounds + 4"
    )
    assert (await stage.say("Oskar", "2 rounds + 20"))[0].startswith("Oskar, day 1, Lighter")
    await stage.go_to(1, "09:12")
    changed = PIER.replace("20 lunges", "16 reverse lunges")
    told = await write(play, f"/plan change 1\n{changed}")
    assert "Petra, Full: 3 rounds + 5 (131 reps) → 3 rounds + 5 (119 reps)" in told
    assert "Marlow, Full: 3 rounds + 4 (130 reps) → 3 rounds + 16 (130 reps)" in told
    await tap(play, "Change day 1")
    [post] = [text for text in stage.group_texts() if "Day 1 of 7" in text]
    assert post.startswith(
        "Changed at 09:12: Full: 16 reverse lunges instead of 20 reverse lunges;"
    )
    assert await acts.score(play, "Petra") == RoundsAndReps(3, 5, 119)


async def _play_the_rest(stage: Stage) -> None:
    posted = await stage.go_to(2, "07:00")
    # With the day as it is now, Marlow's 130 repetitions are more than Petra's 3 rounds + 5.
    [result] = [text for text in posted if "the result" in text]
    assert "1. Marlow · 3 rounds + 16\n2. Petra · 3 rounds + 5" in result
    await stage.say("Petra", "8:10")
    await stage.say("Marlow", "9:05")
    posted = await stage.go_to(3, "07:00")
    assert any("10 crab reaches" in text for text in posted)
    [said] = await stage.say("Petra", "5 rounds + 10 crab reaches")
    assert "?" not in said
    await stage.go_to(5, "07:00")
    await stage.say("Petra", "14 14 13 13 12 12 12 11")
    await stage.go_to(6, "07:00")
    await stage.say("Petra", "2:05")
    await stage.go_to(7, "07:00")
    await stage.say("Petra", "done")
    posted = await stage.go_to(9, "06:00")
    assert posted[-1].startswith("Seven days at the pier: the final result")
    # Full has Petra and Marlow. Day 1: M P; 2: P M; then Petra alone, a missed day costs 3, and
    # the worst day of each is dropped: Petra 7 - 2, Marlow 15 - 3.
    play = stage.play
    async with play.database.reading() as session:
        assert await challenges.running_challenge(session, ChatId(play.group.chat_id)) is None
        places = await standings.overall(
            session,
            chat_id=ChatId(play.group.chat_id),
            challenge_id=FIRST,
            division="full",
            day_numbers=(1, 2, 3, 5, 6, 7),
            discards=1,
        )
    assert [(each.name, each.place, each.points) for each in places] == [
        ("Petra", 1, 5),
        ("Marlow", 2, 12),
    ]
