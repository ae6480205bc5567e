"""A person asks for what is kept about them, and has it deleted."""

from __future__ import annotations

import json

import pytest
from sqlalchemy import select

from bot.rehearsal.start import Rehearsal
from content.score import RoundsAndReps
from store.tables import Base, ChallengeRow
from tests.bot import acts


@pytest.fixture
async def played(play: Rehearsal) -> Rehearsal:
    """Marlow and Petra have scored; Marlow talks to the bot in private."""
    await acts.say(play, "Marlow", "3 rounds + 45, zigzag morning")
    await acts.say(play, "Petra", "2 rounds + 10")
    play.room.start_private(play.people["Marlow"])
    await acts.answers(play, 0)
    return play


async def ask(play: Rehearsal, name: str = "Marlow") -> list[str]:
    return await acts.say(play, name, "/kept", place=play.people[name])


async def every_text(play: Rehearsal) -> str:
    found = []
    async with play.database.reading() as session:
        for table in Base.metadata.sorted_tables:
            found += [str(tuple(row)) for row in await session.execute(select(table))]
    return "\n".join(found)


async def test_everything_kept_comes_as_a_file(played: Rehearsal):
    await ask(played)

    file_message, offer = played.room.messages(played.people["Marlow"])[-2:]
    stored = played.room.files.by_id(file_message["document"]["file_id"])
    found = json.loads(stored.upload.data)
    assert file_message["document"]["file_name"] == "rungbell-kept-about-me.json"
    assert [row["name"] for row in found["participants"]] == ["Marlow"]
    assert [row["raw_text"] for row in found["results"]] == ["3 rounds + 45, zigzag morning"]
    assert "Petra" not in stored.upload.data.decode()
    assert "Seven Mornings on the Quay" in offer["text"]
    assert [b["text"] for row in offer["reply_markup"]["inline_keyboard"] for b in row] == [
        "Delete it all"
    ]


async def test_one_press_and_a_second_delete_everything(played: Rehearsal):
    marlow = played.people["Marlow"]
    await ask(played)
    assert "zigzag" in await every_text(played)

    await acts.press(played, "Marlow", message=acts.last(played, marlow))
    sure = acts.last(played, marlow)
    assert "Delete everything about you?" in sure["text"]
    assert "stay without your name" in sure["text"]
    assert (await acts.result(played, "Marlow")) is not None
    await acts.press(played, "Marlow", 0, message=sure)

    assert acts.last(played, marlow)["text"].startswith("Done.")
    left = await every_text(played)
    assert "Marlow" not in left
    assert "zigzag" not in left
    assert str(marlow.user_id) not in left
    assert (await acts.say(played, "Petra", "/places"))[0].splitlines()[-2:] == [
        "1. Somebody · 3 rounds + 45",
        "2. Petra · 2 rounds + 10",
    ]


async def test_a_challenge_may_have_results_removed(played: Rehearsal):
    async with played.database.work() as session:
        row = (await session.scalars(select(ChallengeRow))).one()
        content = json.loads(row.content)
        content["head"]["leaving"] = "remove"
        row.content = json.dumps(content)
        await session.commit()
    marlow = played.people["Marlow"]
    await ask(played)

    await acts.press(played, "Marlow", message=acts.last(played, marlow))
    assert "close up" in acts.last(played, marlow)["text"]
    await acts.press(played, "Marlow", message=acts.last(played, marlow))

    [places] = await acts.say(played, "Petra", "/places")
    assert "1. Petra" in places
    assert "Somebody" not in places


async def test_no_keeps_everything(played: Rehearsal):
    marlow = played.people["Marlow"]
    await ask(played)
    await acts.press(played, "Marlow", message=acts.last(played, marlow))

    await acts.press(played, "Marlow", 1, message=acts.last(played, marlow))

    assert acts.last(played, marlow)["text"] == "Nothing is deleted."
    assert await acts.score(played, "Marlow") == RoundsAndReps(3, 45, 225)


async def test_who_left_can_join_and_score_again(played: Rehearsal):
    marlow = played.people["Marlow"]
    await ask(played)
    for _ in range(2):
        await acts.press(played, "Marlow", message=acts.last(played, marlow))

    [invite] = await acts.say(played, "Marlow", "3 rounds + 50")
    assert "as soon as you are in" in invite
    await acts.press(played, "Marlow", 0)

    assert await acts.score(played, "Marlow") == RoundsAndReps(3, 50, 230)


async def test_in_the_group_the_way_to_the_private_chat_is_shown(played: Rehearsal):
    assert await acts.say(played, "Marlow", "/kept") == [
        "Marlow, that is between you and me: write /kept to me in private."
    ]


async def test_another_cannot_press_it(played: Rehearsal):
    await acts.say(played, "Petra", "/places")
    data = f"f:{played.people['Marlow'].user_id}:2"
    await acts.say(played, "Marlow", "2 rounds + 400")  # an answer with buttons

    assert await acts.forge(played, "Petra", data) == ["That button is for somebody else."]
    assert await acts.forge(played, "Marlow", data) == ["That button is for somebody else."]
    assert await acts.forge(played, "Marlow", "f:x:2") == ["That button is out of date."]
    assert await acts.score(played, "Marlow") == RoundsAndReps(3, 45, 225)


async def test_about_somebody_who_never_joined_only_the_private_chat_is_kept(played: Rehearsal):
    brid = played.people["Brid"]
    played.room.start_private(brid)

    offer = (await ask(played, "Brid"))[-1]
    for _ in range(2):
        await acts.press(played, "Brid", message=acts.last(played, brid))

    assert offer.startswith("You take part in no challenge.")
    assert (await ask(played, "Brid"))[-1].startswith("I keep nothing about you but")
