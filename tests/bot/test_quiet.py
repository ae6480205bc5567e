"""The organiser chooses how much is said in the group when a score is recorded."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest
from sqlalchemy import select

from bot.calls import React, Say, call_from_json, call_to_json
from bot.rehearsal.shapes import REACTIONS
from bot.rehearsal.start import Rehearsal, quiet
from bot.wording import Wording
from content.errors import ContentInvalid
from content.loading import DEMO, load_challenge
from content.score import RoundsAndReps
from store.tables import ChallengeRow
from tests.bot import acts
from tests.bot.test_bad_input import READ_BACK, SCORE, go_to

SHORT = "Marlow, day 1, Full: 3 rounds + 45"


async def choose(play: Rehearsal, read_back: str) -> None:
    """Let the running challenge have been written so."""
    async with play.database.work() as session:
        row = (await session.scalars(select(ChallengeRow))).one()
        content = json.loads(row.content)
        content["head"]["read_back"] = read_back
        row.content = json.dumps(content)
        await session.commit()


def reactions(play: Rehearsal) -> dict[int, list[str]]:
    """Give the bot's reactions in the group by message."""
    bot_id = play.room.bot.user_id
    return {
        message_id: by[bot_id]
        for message_id, by in play.group.talk.reactions.items()
        if by.get(bot_id)
    }


async def test_short_is_one_line_without_the_place(play: Rehearsal):
    await choose(play, "short")

    assert await acts.say(play, "Marlow", SCORE) == [SHORT]
    [corrected] = await acts.say(play, "Marlow", "make that 3+54, RPE 8, with 16 kg")
    assert corrected == "Marlow, day 1, Full: 3 rounds + 54 Before: 3 rounds + 45."
    [other] = await acts.say(play, "Petra", "3 rounds + 45 lighter")
    assert "\n" not in other
    assert len(acts.keys(acts.last(play))) == 1


async def test_a_reaction_is_all_a_sure_score_gets(play: Rehearsal):
    await choose(play, "reaction")

    said = await acts.say(play, "Marlow", SCORE)

    assert said == []
    assert reactions(play) == {acts.last_of(play, "Marlow"): ["👍"]}
    assert await acts.score(play, "Marlow") == RoundsAndReps(3, 45, 225)


async def test_two_days_in_one_message_get_one_reaction(play: Rehearsal):
    await choose(play, "reaction")
    go_to(play, 2)
    await quiet(play)

    said = await acts.say(play, "Marlow", "yesterday 3+20, today 9:41")

    assert said == []
    assert list(reactions(play)) == [acts.last_of(play, "Marlow")]


async def test_what_needs_words_gets_them(play: Rehearsal):
    await choose(play, "reaction")
    await acts.say(play, "Marlow", SCORE)

    [corrected] = await acts.say(play, "Marlow", "make that 3+54")
    [edited] = await acts.edit(play, "Marlow", acts.last_of(play, "Marlow"), "make that 3+50")
    [question] = await acts.say(play, "Petra", "3 rounds + 99")
    [refused] = await acts.say(play, "Oskar", "day 9: 3+20")
    [moved] = await acts.say(play, "Marlow", "make that 3+50 in the lighter version")
    [taken] = await acts.say(play, "Marlow", "remove my score")
    go_to(play, 3)
    await quiet(play)
    [late] = await acts.say(play, "Oskar", "day 1: 3 rounds + 20")

    assert corrected.endswith("Before: 3 rounds + 45.")
    assert edited.endswith("Before: 3 rounds + 54.")
    assert moved.startswith("Marlow, day 1, Lighter: ")
    assert question.startswith("Petra, a round of Full holds")
    assert refused == "Oskar, day 9 is not open, so I recorded nothing."
    assert "is taken out" in taken
    assert "make-up time for day 1 is over" in late
    assert len(reactions(play)) == 1


async def test_a_choice_turns_the_question_into_the_read_back(play: Rehearsal):
    await choose(play, "reaction")
    await acts.say(play, "Marlow", "3 rounds + 99")
    question = int(acts.last(play)["message_id"])

    said = await acts.say(play, "Marlow", "the first", reply_to=question)

    assert said == []
    assert acts.texts(play) == ["Marlow, day 1, Full: 3 rounds + 9"]
    assert reactions(play) == {}


@pytest.mark.parametrize("read_back", ["short", "reaction"])
async def test_in_private_all_is_said(play: Rehearsal, read_back: str):
    await choose(play, read_back)
    marlow = play.people["Marlow"]
    play.room.start_private(marlow)
    await quiet(play)

    assert await acts.say(play, "Marlow", SCORE, place=marlow) == [READ_BACK]


@pytest.mark.parametrize("read_back", ["full", "short", "reaction"])
async def test_a_score_costs_the_group_one_message_at_most(play: Rehearsal, read_back: str):
    await choose(play, read_back)
    go_to(play, 2)
    await quiet(play)

    for name, text in (
        ("Marlow", "9:41"),
        ("Petra", "yesterday 3+20, today 9:41, RPE 8"),
        ("Oskar", "capped, 14 reps left, in the bodyweight version"),
        ("Tamsin", "CAP+14"),
        ("Brid", "9:50"),  # not in yet
    ):
        said = await acts.say(play, name, text)
        assert len(said) <= 1, text


async def test_who_joins_with_a_score_finds_it_in_place_of_the_question(play: Rehearsal):
    await choose(play, "reaction")
    await acts.say(play, "Brid", SCORE)

    await acts.press(play, "Brid", 0)

    assert acts.texts(play)[0] == "Brid, day 1, Full: 3 rounds + 45"


async def test_where_the_group_allows_no_such_reaction_the_line_is_said(play: Rehearsal):
    await choose(play, "reaction")
    play.group.allowed_reactions = frozenset({"🔥"})

    assert await acts.say(play, "Marlow", SCORE) == [SHORT]
    assert len(acts.keys(acts.last(play))) == 1
    assert await acts.owed_count(play) == 0


async def test_a_message_deleted_meanwhile_gets_the_line(play: Rehearsal):
    await choose(play, "reaction")
    marlow, group = play.people["Marlow"], play.group
    play.room.drop_next("setMessageReaction", carried_out=False)
    message = play.room.say(marlow, group, SCORE)
    await quiet(play)
    play.room.erase(marlow, group, message["message_id"])
    play.room.clock.advance(timedelta(seconds=5))

    assert await acts.answers(play, 0) == [SHORT]


async def test_a_reaction_that_may_be_there_is_set_again_and_stays_one(play: Rehearsal):
    await choose(play, "reaction")
    play.room.drop_next("setMessageReaction", carried_out=True)
    await acts.say(play, "Marlow", SCORE)
    play.room.clock.advance(timedelta(seconds=5))
    await quiet(play)

    assert len(play.room.calls_of("setMessageReaction")) == 2
    assert reactions(play) == {acts.last_of(play, "Marlow"): ["👍"]}
    assert await acts.owed_count(play) == 0


async def test_a_group_that_moves_meanwhile_gets_the_line_in_its_new_chat(play: Rehearsal):
    await choose(play, "reaction")
    new = play.room.add_group(play.group.title)
    play.room.answer_next(
        "setMessageReaction",
        status=400,
        description="Bad Request: group chat was upgraded to a supergroup chat",
        parameters={"migrate_to_chat_id": new.chat_id},
    )

    await acts.say(play, "Marlow", SCORE)

    assert await acts.answers(play, 0, new) == [SHORT]


def test_the_reaction_is_one_the_platform_knows():
    assert str(Wording()("reaction")) in REACTIONS


def test_a_reaction_owed_is_read_back_as_it_was():
    call = React(-5, 7, "👍", Say(-5, "text", reply_to=7))

    assert call_from_json(call_to_json(call)) == call


def test_another_way_to_read_back_is_refused(tmp_path):
    for file in DEMO.iterdir():
        (tmp_path / file.name).write_text(file.read_text(encoding="utf-8"), encoding="utf-8")
    head = tmp_path / "challenge.yaml"
    head.write_text(head.read_text(encoding="utf-8") + "read_back: silent\n", encoding="utf-8")

    with pytest.raises(ContentInvalid, match="read_back"):
        load_challenge(tmp_path)


async def test_an_edit_after_a_score_was_taken_out_is_answered_in_words(play: Rehearsal):
    """The reaction is there already: another one would look like nothing had happened."""
    await choose(play, "reaction")
    await acts.say(play, "Marlow", SCORE)
    message_id = acts.last_of(play, "Marlow")
    await acts.say(play, "Marlow", "remove my score")

    edited = await acts.edit(play, "Marlow", message_id, "3 rounds + 46")
    await acts.say(play, "Marlow", "remove my score")
    anew = await acts.say(play, "Marlow", "3 rounds + 47")

    assert edited == ["Marlow, day 1, Full: 3 rounds + 46"]
    assert anew == []
    assert acts.last_of(play, "Marlow") in reactions(play)
