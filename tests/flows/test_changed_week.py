"""A week whose plan changes as it runs: moved over a clock change, paused, swapped, called off."""

from __future__ import annotations

from collections.abc import AsyncIterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from bot.rehearsal.start import open_the_challenge, quiet, rehearsal
from content.loading import DEMO, load_challenge
from store import challenges, posts, standings, streaks
from store.values import PostState
from tests.flows.conftest import Stage

WEDNESDAY = date(2026, 3, 25)  # the clocks go forward in Lisbon on Sunday 29 March


@pytest.fixture
async def stage(tmp_path: Path) -> AsyncIterator[Stage]:
    content = load_challenge(DEMO)
    file = tmp_path / "changed.sqlite3"
    async with rehearsal(content, start=WEDNESDAY, database_file=file, ticking=False) as play:
        await open_the_challenge(play, WEDNESDAY)
        yield Stage(play)


async def go_to(stage: Stage, instant: str) -> list[str]:
    """Move to an instant in UTC by way of each post; give the first lines of what was posted."""
    room, group = stage.play.room, stage.play.group
    before = len(room.messages(group))
    target = datetime.fromisoformat(instant).replace(tzinfo=UTC)
    while (stop := await stage.next_post()) is not None and stop <= target:
        room.clock.move_to(max(stop, room.clock()))
        await quiet(stage.play)
    room.clock.move_to(target)
    await quiet(stage.play)
    return [text.splitlines()[0] for text in stage.group_texts()[before:]]


async def test_a_week_with_every_change_ends_with_the_right_places_and_streaks(stage: Stage):
    """Lisbon is at UTC until the 29th, an hour on after. Source: Directive 2000/84/EC."""
    posted = await go_to(stage, "2026-03-25 06:30")
    assert posted == ["Day 1 of 7 · Round the bollards"]
    await stage.say("Petra", "4 rounds + 2")
    await stage.say("Marlow", "3 rounds + 45")
    await _moved_over_the_weekend(stage)
    await _swapped_and_reminded(stage)
    await _paused_and_restarted(stage)

    posted = await go_to(stage, "2026-04-03 05:30")
    assert posted == ["Day 5 of 7 · Slack water", "Day 6 of 7 · Out along the breakwater"]
    await stage.say("Petra", "2.1k")
    posted = await go_to(stage, "2026-04-04 12:00")
    assert posted[-1] == "Day 7 of 7 · Up the harbour steps"
    assert await stage.say("Marlow", "yesterday 1.8 km") == ["Marlow, day 6, Full: 1800 m"]
    await stage.say("Petra", "6 rounds + 9")
    assert "1. Petra" in (await stage.say("Petra", "/places"))[0]

    posted = await go_to(stage, "2026-04-06 05:00")
    assert posted[-2:] == [
        "Day 7 · Up the harbour steps: the result",
        "Seven Mornings on the Quay: the final result",
    ]
    assert await _streaks(stage) == {"Petra": (5, 5), "Marlow": (0, 4)}
    # Full has Petra and Marlow. Day 1: P M; 2: P M; 4: P M; 6: P M; 7: P, M missed (3).
    assert await _overall(stage, [1, 2, 4, 6, 7]) == [("Petra", 1, 5), ("Marlow", 2, 11)]
    await _every_post_that_was_to_come_was_sent_once(stage)


async def _moved_over_the_weekend(stage: Stage) -> None:
    # Day 3 is called off; day 2 moves over the weekend, and day 4 with it beyond the change.
    await stage.say("Ines", "/plan skip 3")
    [moved] = await stage.say("Ines", "/plan move 2 2026-03-28")
    assert moved.startswith("Day 2 comes on Sat 28 March, 06:00, not on Thu 26 March, 06:00.")
    posted = await go_to(stage, "2026-03-27 12:00")
    assert posted == ["Day 1 · Round the bollards: the result"]
    assert await stage.say("Tamsin", "yesterday 3 rounds + 2") == [
        (
            "Tamsin, the challenge had no day on Thu 26 March, so I recorded nothing. "
            "Name the day you mean, for example: day 1: and your score."
        )
    ]
    # A day is made up until the second close after it, as it would be without any change.
    [late] = await stage.say("Tamsin", "day 1: 3 rounds + 2")
    assert "make-up time for day 1 is over" in late

    posted = await go_to(stage, "2026-03-28 12:00")
    assert posted == ["Day 2 of 7 · Tide going out"]
    await stage.say("Petra", "9:41")
    await stage.say("Marlow", "capped, 14 reps left")


async def _swapped_and_reminded(stage: Stage) -> None:
    # What would have been day 5 comes on day 4, and the rest day on day 5.
    [swapped] = await stage.say("Ines", "/plan swap 4 5")
    assert swapped.startswith("Swapped: day 4, Mon 30 March, 06:00, is now “Anchor hold”")
    await stage.say("Ines", "/plan reminder 19:00")
    posted = await go_to(stage, "2026-03-28 20:00")
    assert posted == [
        (
            "Day 2 closes in 9 hours and 45 minutes, at 05:45. 2 of 5 people are in. "
            "Write yours here, in full or in part: every score counts."
        )
    ]

    # 06:00 in Lisbon is 05:00 UTC from the 29th on; the close comes an hour of the night sooner.
    posted = await go_to(stage, "2026-03-29 04:45")
    assert posted == ["Day 2 · Tide going out: the result"]
    [mine] = await stage.say("Marlow", "Saturday's was 9:59")
    assert mine.startswith("Marlow, day 2, Full: 9:59")
    assert await go_to(stage, "2026-03-30 04:59") == []
    assert await go_to(stage, "2026-03-30 05:00") == ["Day 4 of 7 · Anchor hold"]
    await stage.say("Petra", "2:05")


async def _paused_and_restarted(stage: Stage) -> None:
    # A pause over two mornings, with a restart inside; day 4's own times stay.
    await stage.say("Ines", "/plan pause")
    assert await go_to(stage, "2026-03-31 10:00") == []
    await stage.play.restart()
    assert (await stage.say("Marlow", "day 4: 1 min 30 hold"))[0].startswith("Marlow, day 4")
    assert await go_to(stage, "2026-04-01 21:00") == []
    assert await _streaks(stage) == {"Petra": (3, 3), "Marlow": (3, 3)}
    answer, *waited = await stage.say("Ines", "/plan resume")
    assert answer.startswith("It goes on. Day 5 comes on Thu 2 April, 06:00, not on Tue 31 March")
    assert [text.splitlines()[0] for text in waited] == ["Day 4 · Anchor hold: the result"]


async def _streaks(stage: Stage) -> dict[str, tuple[int, int]]:
    names = {person.user_id: name for name, person in stage.play.people.items()}
    async with stage.play.database.reading() as session:
        found = await streaks.streaks(
            session, chat_id=stage.play.group.chat_id, challenge_id=1, now=stage.play.room.clock()
        )
    return {names[s.user_id]: (s.current, s.best) for s in found if s.best}


async def _overall(stage: Stage, days: list[int]) -> list[tuple[str, int, int]]:
    async with stage.play.database.reading() as session:
        found = await standings.overall(
            session,
            chat_id=stage.play.group.chat_id,
            challenge_id=1,
            division="full",
            day_numbers=days,
        )
    return [(place.name, place.place, place.points) for place in found]


async def _every_post_that_was_to_come_was_sent_once(stage: Stage) -> None:
    async with stage.play.database.reading() as session:
        kept = await posts.posts_of(session, stage.play.group.chat_id, 1)
        ended = await challenges.latest_challenge(session, stage.play.group.chat_id)
    assert ended.ended_at is not None
    assert {post.state for post in kept} == {PostState.SENT}
    assert sorted(post.day_number for post in kept if post.kind == "day") == [1, 2, 4, 5, 6, 7]
    assert sorted(post.day_number for post in kept if post.kind == "standings") == [1, 2, 4, 6, 7]
    headings = [text.splitlines()[0] for text in stage.group_texts() if text]
    for number in (1, 2, 4, 5, 6, 7):
        assert sum(h.startswith(f"Day {number} of 7") for h in headings) == 1
    assert not any(h.startswith(("Day 3 of 7", "Day 3 ·")) for h in headings)
