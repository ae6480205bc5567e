"""A result that stands out is recorded, marked, and told to the organisers once."""

from __future__ import annotations

import json
from collections.abc import Iterable

import pytest

from bot.rehearsal.start import Rehearsal, quiet
from content.score import Amount, Finished, RoundsAndReps, Score, Unit, rank_key, score_to_json
from store import people, results
from store.values import ChatId, Entry, UserId
from tests.bot import acts
from tests.bot.test_bad_input import go_to


async def others(
    play: Rehearsal, scores: Iterable[Score], *, day: int = 1, division: str = "full"
) -> None:
    """Put scores of further people on record, one person each, the same ones every day."""
    chat_id, now = ChatId(play.group.chat_id), play.room.clock()
    async with play.database.work() as session:
        for number, score in enumerate(scores):
            user_id = UserId(9_000 + number)
            await people.join(
                session,
                chat_id=chat_id,
                challenge_id=acts.FIRST,
                user_id=user_id,
                name=f"Person {number}",
                division=division,
                language="en",
                now=now,
            )
            await put(play, session, user_id, score, day=day, division=division)
        await session.commit()


async def put(play, session, user_id, score, *, day, division="full"):
    chat_id, now = ChatId(play.group.chat_id), play.room.clock()
    entry = Entry(
        chat_id=chat_id,
        challenge_id=acts.FIRST,
        day_number=day,
        user_id=user_id,
        division=division,
        rank_key=rank_key(score),
        result=json.dumps(score_to_json(score)),
        raw_text="",
        message_chat_id=chat_id,
        message_id=100_000 + user_id,
        said_at=now,
    )
    await results.record(session, entry, make_up_until=now, now=now, by=user_id)


def totals(*found: int) -> list[Score]:
    return [RoundsAndReps(total // 60, total % 60, total) for total in found]


def told(play: Rehearsal) -> list[str]:
    """Give what the organiser got in private about results that stand out."""
    return [text for text in acts.texts(play, play.coach) if "stands out" in text]


async def mark(play: Rehearsal, name: str, day: int = 1) -> str | None:
    found = await acts.result(play, name, day)
    assert found is not None
    return found.mark


SEVEN = totals(62, 64, 66, 68, 70, 72, 74)


async def test_far_above_the_group_is_recorded_marked_and_told_in_private(play: Rehearsal):
    await others(play, SEVEN)

    [said] = await acts.say(play, "Marlow", "6 rounds + 40")

    assert said.startswith("Marlow, day 1, Full: 6 rounds + 40")
    assert await acts.score(play, "Marlow") == RoundsAndReps(6, 40, 400)
    assert await mark(play, "Marlow") == "above_group"
    [note] = told(play)
    assert note.startswith(
        "Marlow, day 1 of Seven Mornings on the Quay, Full: 6 rounds + 40 stands out. "
        "It is about 5.8 times as good as the middle of the 8 results there."
    )
    assert await acts.changes(play, "Marlow") == 1


async def test_far_below_is_told_too(play: Rehearsal):
    await others(play, totals(310, 320, 330, 340, 350, 360, 370))

    await acts.say(play, "Marlow", "1 round")

    assert await mark(play, "Marlow") == "below_group"
    assert "the 8 results there is about 5.6 times as good" in told(play)[0]


@pytest.mark.parametrize(
    ("text", "group"),
    [
        pytest.param("4 rounds", SEVEN, id="strong"),
        pytest.param("6 rounds + 40", SEVEN[:6], id="too_few_to_compare"),
        pytest.param("6 rounds + 40, lighter", SEVEN, id="another_division"),
    ],
)
async def test_what_does_not_stand_out_is_not_marked(
    play: Rehearsal, text: str, group: list[Score]
):
    await others(play, group)

    await acts.say(play, "Marlow", text)

    assert await mark(play, "Marlow") is None
    assert told(play) == []


async def test_whoever_came_first_is_judged_when_there_are_enough(play: Rehearsal):
    await acts.say(play, "Marlow", "6 rounds + 40")
    await others(play, SEVEN[:6])
    before = (await mark(play, "Marlow"), told(play))

    await acts.say(play, "Petra", "1 round + 10")
    await acts.say(play, "Tamsin", "1 round + 11")

    assert before == (None, [])
    assert await mark(play, "Marlow") == "above_group"
    assert await mark(play, "Petra") is None
    assert [note.partition(",")[0] for note in told(play)] == ["Marlow"]


async def test_a_correction_clears_or_renews_the_mark(play: Rehearsal):
    await others(play, SEVEN)
    await acts.say(play, "Marlow", "6 rounds + 40")
    await acts.say(play, "Marlow", "make that 1 round + 10")
    cleared = await mark(play, "Marlow")
    await acts.say(play, "Marlow", "make that 6 rounds + 50")

    assert cleared is None
    assert await mark(play, "Marlow") == "above_group"
    assert [note.partition(" stands")[0].rpartition(": ")[2] for note in told(play)] == [
        "6 rounds + 40",
        "6 rounds + 50",
    ]


async def test_the_same_score_in_other_words_is_told_once(play: Rehearsal):
    await others(play, SEVEN)
    await acts.say(play, "Marlow", "6 rounds + 40")

    await acts.say(play, "Marlow", "6 rounds plus 40, RPE 9")
    await acts.edit(play, "Marlow", acts.last_of(play, "Marlow"), "6 rounds plus 40, RPE 10!")

    assert await mark(play, "Marlow") == "above_group"
    assert len(told(play)) == 1


async def test_far_from_ones_own_usual_standing(play: Rehearsal):
    """Six people on every day: too few to judge by the group alone."""
    marlow = UserId(play.people["Marlow"].user_id)
    days: dict[int, tuple[list[Score], Score]] = {
        1: (totals(200, 210, 220, 230, 240), RoundsAndReps(1, 40, 100)),
        2: ([Finished(s) for s in (400, 420, 440, 460, 480)], Finished(900)),
        3: ([Amount(n, Unit.REPS) for n in (10, 11, 12, 13, 14)], Amount(5, Unit.REPS)),
    }
    for day, (scores, own) in days.items():
        await others(play, scores, day=day)
        async with play.database.work() as session:
            await put(play, session, marlow, own, day=day)
            await session.commit()
    go_to(play, 5)
    await quiet(play)
    await others(play, [Amount(s, Unit.SECONDS) for s in (55, 58, 60, 62, 65)], day=5)

    await acts.say(play, "Marlow", "3:00")

    assert await mark(play, "Marlow", 5) == "above_own"
    [note] = told(play)
    assert "Marlow, day 5" in note
    assert "times as good as on 3 earlier days" in note


async def test_without_an_organiser_to_tell_the_mark_is_kept(play: Rehearsal):
    play.coach.has_blocked = True
    await others(play, SEVEN)

    [said] = await acts.say(play, "Marlow", "6 rounds + 40")

    assert said.startswith("Marlow, day 1")
    assert await mark(play, "Marlow") == "above_group"


async def test_the_note_names_the_day_in_the_command_that_strikes(play: Rehearsal):
    await others(play, SEVEN)
    go_to(play, 2)
    await quiet(play)
    await acts.say(play, "Marlow", "yesterday 6 rounds + 40, today 9:41")
    [note] = told(play)

    await acts.say(play, "Ines", "/norep day 1 why", reply_to=acts.last_of(play, "Marlow"))

    assert note.endswith(
        "A reply to the person's message with /norep day 1 takes it out of the places."
    )
    assert await acts.score(play, "Marlow", 1) is None
    assert await acts.score(play, "Marlow", 2) == Finished(581)


async def test_of_a_score_said_in_private_the_note_says_what_can_be_done(play: Rehearsal):
    marlow = play.people["Marlow"]
    play.room.start_private(marlow)
    await others(play, SEVEN)

    await acts.say(play, "Marlow", "6 rounds + 40", place=marlow)
    await acts.say(play, "Marlow", "6 rounds + 40")
    await acts.say(play, "Ines", "/norep day 1", reply_to=acts.last_of(play, "Marlow"))

    [note] = told(play)
    assert "It was said to me in private" in note
    assert "write it again in the group; a reply there with /norep day 1" in note
    assert await acts.score(play, "Marlow") is None
