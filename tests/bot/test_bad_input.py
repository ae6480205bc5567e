"""Whatever arrives has a decided answer, silence among them, and records only what is meant."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import pytest

from bot.rehearsal.start import Rehearsal, quiet
from content.score import Finished, RoundsAndReps
from store import people
from store.values import ChatId, ResultState, UserId
from tests.bot import acts

SCORE = "3 rounds + 45"
READ_BACK = "Marlow, day 1, Full: 3 rounds + 45 → round 4, 5 of 18 goblet squats; 225 reps"
CHANNEL = {"id": -1_000_000_009_999, "type": "channel", "title": "Harbour news"}
OTHER_BOT = {"id": 99, "is_bot": True, "first_name": "Helper", "username": "helper_bot"}
FORWARD = {"type": "hidden_user", "date": 1, "sender_user_name": "Somebody"}
STICKER = {
    "file_id": "s",
    "file_unique_id": "s",
    "type": "regular",
    "width": 1,
    "height": 1,
    "is_animated": False,
    "is_video": False,
}
OUT_OF_DATE = "That button is out of date."
WHO = "I cannot see who is writing"


async def test_a_score_in_a_caption_counts(play: Rehearsal):
    said = await acts.say(play, "Marlow", caption=SCORE)

    assert said == [READ_BACK]
    assert await acts.score(play, "Marlow") == RoundsAndReps(3, 45, 225)


async def test_what_is_not_for_the_bot_meets_silence(play: Rehearsal):
    """One after the other in one group: each is handled, none is answered or recorded."""
    room, group, marlow = play.room, play.group, play.people["Marlow"]
    room.say(marlow, group, caption="")  # a photo without words
    room.say(marlow, group, fields={"sticker": STICKER})
    room.say(marlow, group, SCORE, via_bot=OTHER_BOT)
    room.say(marlow, group, SCORE, fields={"forward_origin": FORWARD})
    room.say(marlow, group, SCORE, fields={"from": OTHER_BOT})
    room.say(marlow, group, SCORE, sender_chat=CHANNEL, fields={"is_automatic_forward": True})
    room.say(play.coach, group, "Good morning everybody!", sender_chat=group)
    room.say(marlow, group, "see you at 7:30 on pier 3")
    room.say(marlow, group, "/unknown command")
    room.say(marlow, group, "🦀" * 2048)
    room.say(marlow, group, "", fields={"text": " \u200b\u2066 \u200f"})

    said = await acts.answers(play, 0)

    kept = await acts.updates_kept(play)
    assert said == []
    assert [(done, aside) for _, done, aside, _ in kept] == [(True, False)] * 11
    assert await acts.result(play, "Marlow") is None


@pytest.mark.parametrize("text", [SCORE, "/join", "/begin", "/norep"])
async def test_an_administrator_without_a_name_is_asked_kindly(play: Rehearsal, text: str):
    [said] = await acts.say(play, "Ines", text, sender_chat=play.group)

    assert said.startswith(WHO)


async def test_somebody_who_writes_a_score_as_a_channel_is_asked_kindly(play: Rehearsal):
    [said] = await acts.say(play, "Marlow", SCORE, sender_chat=CHANNEL)

    assert said.startswith(WHO)
    assert await acts.say(play, "Marlow", "Fresh fish today", sender_chat=CHANNEL) == []


async def test_a_score_before_joining_is_recorded_once_a_division_is_chosen(play: Rehearsal):
    [asked] = await acts.say(play, "Brid", SCORE)
    before = await acts.result(play, "Brid")
    toasts = await acts.press(play, "Brid", 1)

    found = await acts.result(play, "Brid")
    assert asked.startswith("Brid, I can record “3 rounds + 45” as soon as you are in.")
    assert before is None
    assert toasts == ["You are in, in Lighter."]
    assert found is not None
    assert found.division == "lighter"
    assert await acts.score(play, "Brid") == RoundsAndReps(3, 45, 201)  # 52 in a lighter round
    read_back, welcome = acts.texts(play)  # what asked for the division says it now
    assert read_back.startswith("Brid, day 1, Lighter: 3 rounds + 45")
    assert welcome.startswith("Welcome, Brid!")


async def test_a_stranger_pressing_neither_joins_nor_takes_the_score(play: Rehearsal):
    newcomer = play.room.add_person("Zoe")
    play.people["Zoe"] = newcomer
    play.room.put_in_group(newcomer, play.group)
    await acts.say(play, "Brid", SCORE)
    asked = acts.last(play)

    await acts.press(play, "Zoe", 0, message=asked)
    for_zoe = (await acts.result(play, "Zoe"), await acts.result(play, "Brid"))
    await acts.press(play, "Brid", 0, message=asked)

    assert for_zoe == (None, None)
    assert await acts.result(play, "Zoe") is None
    assert await acts.score(play, "Brid") == RoundsAndReps(3, 45, 225)
    assert not await is_in(play, "Zoe")


async def test_a_group_without_a_challenge(eve: Rehearsal):
    silence = [
        *await acts.say(eve, "Marlow", SCORE),
        *await acts.say(eve, "Marlow", "/today@another_bot"),
    ]
    answered = {
        command: await acts.say(eve, "Marlow", command)
        for command in ("/join", "/today", "/easier", "/score 3+45", "/places", "/mine", "/help")
    }

    assert silence == []
    assert [len(said) for said in answered.values()] == [1] * 7
    assert answered["/today"][0].startswith("No challenge is running here.")


async def test_before_day_1_scores_wait_and_commands_say_when(eve: Rehearsal):
    await acts.say(eve, "Ines", "/begin 2026-06-01")
    await acts.press(eve, "Ines")

    assert await acts.say(eve, "Marlow", SCORE) == []
    for command in ("/today", "/places", "/mine", "/score 3+45"):
        [said] = await acts.say(eve, "Marlow", command)
        assert said.startswith("Seven Mornings on the Quay starts on Monday 1 June at 06:00."), (
            command
        )
    assert await acts.score(eve, "Marlow") is None


async def test_after_the_end_nothing_is_recorded(play: Rehearsal):
    await acts.say(play, "Ines", "/finish")

    assert await acts.say(play, "Marlow", SCORE) == []
    assert await acts.result(play, "Marlow") is None
    [said] = await acts.say(play, "Marlow", "/score 3 rounds + 45")
    assert said.startswith("No challenge is running here.")


async def test_a_score_on_a_rest_day_is_turned_down(play: Rehearsal):
    go_to(play, 4)
    await quiet(play)

    [said] = await acts.say(play, "Marlow", f"/score {SCORE}")

    assert said == "Marlow, day 4 is a rest day: there is nothing to score."
    assert await acts.result(play, "Marlow", 4) is None


@pytest.mark.parametrize("text", ["day 9: 3 rounds + 45", "day 3: 12 11 11 10 10 9"])
async def test_a_day_that_is_not_there_yet_gets_no_score(play: Rehearsal, text: str):
    [said] = await acts.say(play, "Marlow", text)

    assert re.fullmatch(r"Marlow, day [39] is not open, so I recorded nothing\.", said)
    assert await acts.result(play, "Marlow") is None


async def test_an_edit_that_leaves_the_text_alone_is_not_answered(play: Rehearsal):
    await acts.say(play, "Marlow", SCORE)

    assert await acts.edit(play, "Marlow", acts.last_of(play, "Marlow"), SCORE) == []
    assert await acts.changes(play, "Marlow") == 1


async def test_an_edited_score_replaces(play: Rehearsal):
    await acts.say(play, "Marlow", SCORE)

    [said] = await acts.edit(play, "Marlow", acts.last_of(play, "Marlow"), "3 rounds + 54")

    assert said.endswith("Before: 3 rounds + 45.")
    assert await acts.score(play, "Marlow") == RoundsAndReps(3, 54, 234)
    assert await acts.changes(play, "Marlow") == 2


async def test_a_score_edited_away_stands_until_it_is_taken_out(play: Rehearsal):
    await acts.say(play, "Marlow", SCORE)

    [said] = await acts.edit(play, "Marlow", acts.last_of(play, "Marlow"), "what a day!")
    stands = await acts.score(play, "Marlow")
    toasts = await acts.press(play, "Marlow")

    assert said.startswith("You changed the message that I had read as 3 rounds + 45 for day 1.")
    assert stands == RoundsAndReps(3, 45, 225)
    assert toasts == ["Taken out."]
    assert await acts.score(play, "Marlow") is None


async def test_chatter_edited_into_a_score_counts(play: Rehearsal):
    await acts.say(play, "Marlow", "what a day!")

    assert await acts.edit(play, "Marlow", acts.last_of(play, "Marlow"), SCORE) == [READ_BACK]


async def test_a_score_edited_to_another_day_moves(play: Rehearsal):
    await acts.say(play, "Marlow", SCORE)
    first = acts.last_of(play, "Marlow")
    go_to(play, 2)
    await acts.say(play, "Marlow", "9:41")
    message_id = acts.last_of(play, "Marlow")

    await acts.edit(play, "Marlow", message_id, "yesterday 3 rounds + 54")

    assert first != message_id
    assert await acts.score(play, "Marlow", 2) is None
    assert await acts.score(play, "Marlow", 1) == RoundsAndReps(3, 54, 234)


async def test_the_day_is_the_messages_own_not_that_of_its_arrival(play: Rehearsal):
    await play.rungbell.stop()
    play.room.say(play.people["Marlow"], play.group, SCORE)
    go_to(play, 2)
    play.room.say(play.people["Marlow"], play.group, "9:41")

    await play.restart()
    await quiet(play)

    assert await acts.score(play, "Marlow", 1) == RoundsAndReps(3, 45, 225)
    assert await acts.score(play, "Marlow", 2) == Finished(581)


@pytest.mark.parametrize("text", ["/score", "/score ", "/score lovely", "/score 🦀", "/score <b>"])
async def test_a_score_that_cannot_be_read_is_not_met_with_silence(play: Rehearsal, text: str):
    [said] = await acts.say(play, "Marlow", text)

    assert "3 rounds + 45" in said
    assert await acts.result(play, "Marlow") is None


async def test_a_button_belongs_to_its_person(play: Rehearsal):
    await acts.say(play, "Marlow", SCORE)
    read_back = acts.last(play)
    await acts.say(play, "Petra", "3 rounds + 99")
    question = acts.last(play)

    toasts = [
        *await acts.press(play, "Oskar", 0, message=read_back),
        *await acts.press(play, "Oskar", 0, message=question),
    ]

    assert toasts == ["That button is for somebody else."] * 2
    assert await acts.score(play, "Marlow") == RoundsAndReps(3, 45, 225)
    assert await acts.result(play, "Oskar") is None


async def test_a_question_is_settled_once(play: Rehearsal):
    await acts.say(play, "Petra", "3 rounds + 99")
    question = acts.last(play)
    for key in acts.keys(question)[:2]:
        play.room.press(play.people["Petra"], play.group, question["message_id"], key)
    await quiet(play)

    assert [toast.text for toast in play.room.toasts] == ["", "That question is settled already."]
    assert await acts.changes(play, "Petra") == 1


async def test_none_of_these_records_nothing(play: Rehearsal):
    await acts.say(play, "Petra", "3 rounds + 99")

    await acts.press(play, "Petra", -1)

    assert acts.texts(play)[-1].startswith("Nothing recorded.")
    assert await acts.result(play, "Petra") is None


async def test_taking_out_twice_is_harmless(play: Rehearsal):
    await acts.say(play, "Marlow", SCORE)
    read_back = acts.last(play)
    [key] = acts.keys(read_back)

    for _ in range(2):
        play.room.press(play.people["Marlow"], play.group, read_back["message_id"], key)
    await quiet(play)

    assert len(play.room.toasts) == 2
    assert await acts.changes(play, "Marlow") == 2
    assert (await state(play, "Marlow")) is ResultState.WITHDRAWN


async def test_joining_twice_with_one_button_says_so(play: Rehearsal):
    await acts.say(play, "Brid", "/join")
    invitation = acts.last(play)
    for _ in range(2):
        key = acts.keys(invitation)[2]
        play.room.press(play.people["Brid"], play.group, invitation["message_id"], key)
    await quiet(play)

    assert [toast.text for toast in play.room.toasts] == [
        "You are in, in Bodyweight.",
        "You are in Bodyweight already.",
    ]


async def test_stale_and_forged_buttons_do_nothing(play: Rehearsal):
    """In one group, one after the other; none fails, so no organiser is troubled."""
    await acts.say(play, "Marlow", "/join")
    message, chat = acts.last(play), play.group.chat_id
    petra = play.people["Petra"].user_id
    forged = [
        "",
        ":",
        "a",
        "a:",
        "a:1:2:3",
        f"a:{chat}:77:0",
        f"a:{chat}:1:99999999999999999999999999",
        "b:5",
        "j:1:1:0:0",
        f"j:{chat}:2:0:0",
        f"j:{chat}:1:9:0",
        f"j:{chat}:1:-1:0",
        f"j:{chat}:1:0:99999999999999999999999999",
        f"m:{chat}:1:1:0:9999",
        f"m:{chat}:1:9:0:0",
        f"m:{chat}:1:1:-1:0",
        "p:1:2:3:day:1",
        f"p:{chat}:1:1:night:1",
        f"w:{chat}:1:1:{petra}",
        f"w:{chat}:2:1:{petra}",
        "w:" + "9" * 62,
        "w:NaN:1e9:0x1:١",
        "'; DROP TABLE results; --",
        "x" * 4096,
        "\u202ea:1:1:1",
    ]

    toasts = [
        toast for data in forged for toast in await acts.forge(play, "Marlow", data, message)
    ]

    assert len(toasts) == len(forged)
    assert set(toasts) <= {
        OUT_OF_DATE,
        "That button is for somebody else.",
        "Only administrators of this group can do that.",
    }
    assert acts.texts(play, play.coach) == []
    assert all(done for _, done, _, _ in await acts.updates_kept(play))


async def test_a_date_out_of_reach_is_not_begun(eve: Rehearsal):
    await acts.say(eve, "Ines", "/begin")
    offer = acts.last(eve)

    for number in (
        0,
        -5,
        3_000_000,
        999_999_999_999,
        datetime(2026, 5, 1, tzinfo=UTC).toordinal(),
    ):
        assert await acts.forge(eve, "Ines", f"b:{number}", offer) == [OUT_OF_DATE]


@pytest.mark.parametrize(
    "name",
    [
        pytest.param('<b>Mar & "low"</i> &amp;', id="signs"),
        pytest.param("\u202eMarlow\u200f", id="right_to_left_marks"),
        pytest.param("🏃🏽‍♀️" * 9, id="emoji"),
        pytest.param("X" * 64, id="as_long_as_may_be"),
        pytest.param("{name} %s \\n", id="placeholders"),
    ],
)
async def test_any_name_is_shown_as_it_is(play: Rehearsal, name: str):
    play.people["Odd"] = odd = play.room.add_person(name)
    play.room.put_in_group(odd, play.group)
    shown = name.replace("\u202e", "")
    await acts.say(play, "Odd", SCORE)
    await acts.press(play, "Odd", 0)
    places = await acts.say(play, "Odd", "/places")
    mine = await acts.say(play, "Odd", "/mine")
    answers = [*acts.texts(play), *places, *mine]

    assert len(answers) == 6
    assert f"1. {shown} · 3 rounds + 45" in places[0]
    assert mine[0].startswith(f"{shown} · Full")
    assert not any("\u202e" in text for text in answers)
    assert not any("formatting refused" in text for text in answers)


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("3 rounds + 45 " + "w" * 4082, id="one_long_word"),
        pytest.param("what a day " * 372, id="many_words"),
        pytest.param("1 " * 2048, id="many_numbers"),
        pytest.param("+" * 4096, id="signs_only"),
    ],
)
async def test_the_longest_message_is_handled_like_any_other(play: Rehearsal, text: str):
    said = await acts.say(play, "Marlow", text[:4096])

    assert len(said) <= 1
    assert all(len(answer) <= 4096 for answer in said)
    assert [(done, aside) for _, done, aside, _ in await acts.updates_kept(play)] == [
        (True, False)
    ]


async def test_in_private_a_score_counts_for_ones_group(play: Rehearsal):
    marlow = play.people["Marlow"]
    play.room.start_private(marlow)
    await quiet(play)

    [said] = await acts.say(play, "Marlow", SCORE, place=marlow)

    assert said == READ_BACK
    assert acts.texts(play) == []


async def test_in_private_a_stranger_is_told_that_nothing_runs(play: Rehearsal):
    brid = play.people["Brid"]
    play.room.start_private(brid)
    await quiet(play)

    chatter = await acts.say(play, "Brid", SCORE, place=brid)
    [command] = await acts.say(play, "Brid", "/score 3+45", place=brid)

    assert chatter == []
    assert command.startswith("No challenge is running here.")


def go_to(play: Rehearsal, day: int) -> None:
    play.room.clock.move_to(acts.AFTER_FIRST_POST + timedelta(days=day - 1))


async def state(play: Rehearsal, name: str) -> ResultState | None:
    found = await acts.result(play, name)
    return None if found is None else found.state


async def is_in(play: Rehearsal, name: str) -> bool:
    async with play.database.reading() as session:
        found = await people.participant(
            session,
            chat_id=ChatId(play.group.chat_id),
            challenge_id=acts.FIRST,
            user_id=UserId(acts.person(play, name).user_id),
        )
    return found is not None


async def test_an_older_joining_question_gets_the_newer_score(play: Rehearsal):
    await acts.say(play, "Brid", SCORE)
    older = acts.last(play)
    await acts.say(play, "Brid", "4 rounds + 2")
    newer = acts.last(play)

    await acts.press(play, "Brid", 0, message=older)
    recorded = await acts.score(play, "Brid")
    await acts.press(play, "Brid", 0, message=newer)

    assert recorded == RoundsAndReps(4, 2, 242)
    assert await acts.changes(play, "Brid") == 1


async def test_in_private_the_challenge_joined_last_is_meant(play: Rehearsal):
    marlow = play.people["Marlow"]
    play.room.start_private(marlow)
    pier = play.room.add_group("Pier")
    play.room.join(play.coach, pier, "administrator")
    play.room.join(marlow, pier)
    await acts.say(play, "Ines", "/begin 2026-06-02", place=pier)
    await acts.press(play, "Ines", message=acts.last(play, pier))
    invitation = acts.last(play, pier)
    go_to(play, 2)
    await quiet(play)
    await acts.press(play, "Marlow", 1, message=invitation)

    [said] = await acts.say(play, "Marlow", SCORE, place=marlow)

    assert said.startswith("Marlow, day 1, Lighter: 3 rounds + 45")
    assert await acts.result(play, "Marlow", 1) is None  # in the first group


async def test_in_private_a_running_challenge_comes_before_one_that_has_ended(play: Rehearsal):
    marlow = play.people["Marlow"]
    play.room.start_private(marlow)
    await acts.say(play, "Ines", "/finish")
    await acts.say(play, "Ines", "/begin 2026-06-02")
    await acts.press(play, "Ines")
    invitation = acts.last(play)
    go_to(play, 2)
    await quiet(play)
    await acts.press(play, "Marlow", 1, message=invitation)

    [mine] = await acts.say(play, "Marlow", "/mine", place=marlow)

    assert mine.startswith("Marlow · Lighter\nDay 1: open until")
