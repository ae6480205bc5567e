"""The whole demo week over HTTP: every post, standing and streak, a restart in the middle."""

from __future__ import annotations

from store import posts, standings, streaks
from tests.flows.conftest import Stage


async def test_a_week_from_joining_to_the_final_result(stage: Stage):
    await _day_one(stage)
    posted = await stage.go_to(2, "07:00")
    assert [text.splitlines()[0] for text in posted] == [
        "Day 1 · Round the bollards: the result",
        "Day 2 of 7 · Tide going out",
    ]
    assert await _streaks(stage) == {
        "Marlow": (1, 1),
        "Petra": (1, 1),
        "Oskar": (1, 1),
        "Tamsin": (0, 0),
        "Yusuf": (0, 0),
        "Brid": (1, 1),
    }

    await _day_two(stage)
    await stage.play.restart()
    posted = await stage.go_to(3, "07:00")
    assert [text.splitlines()[0] for text in posted] == [
        "Day 2 · Tide going out: the result",
        "Day 3 of 7 · Steady oars",
    ]
    assert "After 2 workouts" in posted[0]
    assert await _overall(stage, "full", [1, 2]) == [("Petra", 1, 2), ("Marlow", 2, 4)]

    await _day_three(stage)
    posted = await stage.go_to(5, "07:00")
    assert [text.splitlines()[0] for text in posted] == [
        "Day 3 · Steady oars: the result",
        "Day 4 of 7 · Slack water",
        "Day 5 of 7 · Anchor hold",
    ]
    # The rest day neither breaks nor lengthens anything.
    assert (await _streaks(stage))["Petra"] == (3, 3)
    assert (await _streaks(stage))["Marlow"] == (3, 3)

    await stage.say("Petra", "2:05")
    await stage.say("Marlow", "1 min 30 hold")
    await stage.go_to(6, "07:00")
    await stage.say("Petra", "2.1k")
    await stage.say("Yusuf", "1.3 miles")
    await stage.go_to(7, "07:00")
    assert await stage.say("Petra", "finished the round of 14") == [
        "Petra, day 7, Full: 7 full rounds → 168 reps"
    ]
    # Marlow makes up day 6 in time, so the streak holds; day 1 is long over.
    assert await stage.say("Marlow", "yesterday 1.8 km") == ["Marlow, day 6, Full: 1800 m"]
    [late] = await stage.say("Tamsin", "day 1: 3 rounds + 2")
    assert "make-up time for day 1 is over" in late
    await stage.say("Marlow", "6 rounds + 9")
    assert (await _streaks(stage))["Marlow"] == (6, 6)

    posted = await stage.go_to(9, "07:00")
    assert [text.splitlines()[0] for text in posted] == [
        "Day 7 · Up the harbour steps: the result",
        "Seven Mornings on the Quay: the final result",
    ]
    assert "Thank you, all 6 of you who took part!" in posted[-1]
    assert (await _streaks(stage))["Petra"] == (6, 6)
    assert await stage.say("Petra", "8 rounds + 1") == []  # the challenge has ended
    await _every_post_was_sent_once(stage)


async def _day_one(stage: Stage) -> None:
    await stage.say("Marlow", "3 rounds + 54")
    assert await stage.say("Marlow", "sorry, 45 not 54") == [
        (
            "Marlow, day 1, Full: 3 rounds + 45 → round 4, 5 of 18 goblet squats; 225 reps\n"
            "Before: 3 rounds + 54."
        )
    ]
    await stage.say("Petra", "four rounds plus two, what a morning")
    await stage.say("Oskar", "got 12 lunges into round 3")
    # Brid has not joined: the score waits behind the division buttons.
    [invite] = await stage.say("Brid", "2 rounds + 20")
    assert "as soon as you are in" in invite
    recorded = await stage.press("Brid", "Bodyweight")
    assert recorded.startswith("Brid, day 1, Bodyweight: 2 rounds + 20")


async def _day_two(stage: Stage) -> None:
    await stage.say("Petra", "9:41!!")
    [capped] = await stage.say("Marlow", "capped, 14 reps left")
    assert capped.startswith("Marlow, day 2, Full: capped at 130 reps")
    await stage.say("Oskar", "10:20")
    await stage.say("Brid", "DNF")
    await stage.say("Brid", "76 reps")


async def _day_three(stage: Stage) -> None:
    await stage.say("Petra", "14 13 12 12 11 12")
    await stage.say("Marlow", "lowest 9")
    message = stage.play.room.say(stage.person("Oskar"), stage.play.group, "15 15 14 14 13 12")
    answers = await stage.edit("Oskar", message["message_id"], "15 15 14 14 13 13")
    corrected = "Oskar, day 3, Lighter: lowest 13, total 84\nBefore: lowest 12, total 83."
    assert answers == [
        "Oskar, day 3, Lighter: lowest 12, total 83",
        corrected,
    ]


async def _streaks(stage: Stage) -> dict[str, tuple[int, int]]:
    names = {person.user_id: name for name, person in stage.play.people.items()}
    async with stage.play.database.reading() as session:
        found = await streaks.streaks(
            session, chat_id=stage.play.group.chat_id, challenge_id=1, now=stage.play.room.clock()
        )
    return {names[s.user_id]: (s.current, s.best) for s in found}


async def _overall(stage: Stage, division: str, days: list[int]) -> list[tuple[str, int, int]]:
    async with stage.play.database.reading() as session:
        found = await standings.overall(
            session,
            chat_id=stage.play.group.chat_id,
            challenge_id=1,
            division=division,
            day_numbers=days,
        )
    return [(place.name, place.place, place.points) for place in found]


async def _every_post_was_sent_once(stage: Stage) -> None:
    async with stage.play.database.reading() as session:
        planned = await posts.posts_of(session, stage.play.group.chat_id, 1)
    assert {post.state for post in planned} == {"sent"}
    headings = [text.splitlines()[0] for text in stage.group_texts() if text]
    for number in range(1, 8):
        assert sum(h.startswith(f"Day {number} of 7") for h in headings) == 1
    assert sum(h.endswith(": the result") for h in headings) == 6
