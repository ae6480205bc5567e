"""A day of a running challenge is written anew: before it is out, and after."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlalchemy import update

from bot.rehearsal.start import Rehearsal, open_the_challenge, quiet
from bot.running import stored_score
from content.loading import DEMO
from content.score import RoundsAndReps
from store import plans, results
from store.tables import PostRow
from store.values import ChangeKind, ChatId, ResultState, UserId
from tests.bot import acts
from tests.bot.desk_acts import labels, press_data, send, tap, with_buttons, write
from tests.bot.test_bad_input import state

STALE = "That button is out of date."
# Day 1 of the demo in Full has 8 push-ups in a round of 60; here it has 10 in one of 62.
CHANGED = """Title: Round the bollards
warm-up 45/15: march, arm circles, hip circles, arm swings
AMRAP 14:
10 push-ups
20 forward lunges
12 dumbbell rows 16 kg
18 goblet squats 16 kg
2 burpees
lighter, complete list:
8 knee push-ups
16 reverse lunges
12 dumbbell rows 8 kg
14 goblet squats 8 kg
2 step-back burpees
caution: Wet stone is slippery."""


async def history(play: Rehearsal) -> list[str]:
    async with play.database.reading() as session:
        found = await plans.changes_of_plan(session, ChatId(play.group.chat_id), acts.FIRST)
    return [change.what for change in found]


async def test_the_day_as_it_is_is_shown_so_that_it_can_be_sent_back_changed(play: Rehearsal):
    said = await write(play, "/plan change 2")

    assert "Day 2 is written like this." in said
    assert "Title: Tide going out" in said
    shown = said.partition("\n\n")[2]
    same = await write(play, shown)
    assert "Day 2 is written like that already." in same


async def test_a_day_that_is_not_out_is_replaced_once_that_is_pressed(play: Rehearsal):
    said = await write(play, "/plan change 2 Pier sprints\n5 rounds for time: 10 burpees")
    before = await write(play, "/plan preview 2")
    await write(play, "/plan change 2 Pier sprints\n5 rounds for time: 10 burpees")
    done = await tap(play, "Change day 2")
    after = await write(play, "/plan preview 2")

    assert "Quayside Movers" in said
    assert "Day 2 is not out yet" in said
    assert "Pier sprints" not in before
    assert "Day 2 is changed: " in done
    assert "Pier sprints" in after
    assert (await history(play))[-1].startswith("day 2 changed: ")
    play.room.clock.advance(timedelta(days=1))
    await quiet(play)
    assert any("Day 2 of 7 · Pier sprints" in text for text in acts.texts(play))


async def test_a_workout_day_that_becomes_a_rest_day_has_no_result(play: Rehearsal):
    await write(play, "/plan change 2 rest day: Sleep in.")
    await tap(play, "Change day 2")

    said = await write(play, "/plan")

    assert "day 2 · rest day" in said
    assert "day 2 · result" not in said


async def test_the_post_of_a_day_that_is_out_is_edited_with_a_visible_note(eve: Rehearsal):
    play = eve
    await open_the_challenge(play, acts.START)
    play.room.clock.move_to(acts.AFTER_FIRST_POST + timedelta(minutes=11))
    await quiet(play)
    post = await acts.post_of(play, 1)
    await write(play, f"/plan change 1\n{CHANGED}")
    done = await tap(play, "Change day 1")

    [edited] = [m for m in play.room.messages(play.group) if m["message_id"] == post.message_id]
    assert "Its post in the group is edited and says so." in done
    assert edited["text"].startswith("Changed at 06:12: Full: 10 push-ups instead of 8 push-ups;")
    assert "• 10 push-ups\n• 20 forward lunges" in edited["text"]
    assert "edit_date" in edited
    assert acts.keys(edited) != []


async def test_results_are_read_anew_from_their_words_and_the_places_follow(play: Rehearsal):
    await acts.say(play, "Petra", "3 rounds + 45")
    await acts.say(play, "Marlow", "185 reps")
    told = await write(play, f"/plan change 1\n{CHANGED}")
    untouched = await acts.score(play, "Petra")
    done = await tap(play, "Change day 1")

    assert "Petra, Full: 3 rounds + 45 (225 reps) → 3 rounds + 45 (231 reps)" in told
    assert untouched == RoundsAndReps(3, 45, 225)
    assert "Petra, Full: 3 rounds + 45 (225 reps) → 3 rounds + 45 (231 reps)" in done
    assert "Marlow, Full: 3 rounds + 5 (185 reps) → 2 rounds + 61 (185 reps)" in done
    assert await acts.score(play, "Petra") == RoundsAndReps(3, 45, 231)
    assert await acts.score(play, "Marlow") == RoundsAndReps(2, 61, 185)
    async with play.database.reading() as session:
        lines = await results.history(
            session,
            chat_id=ChatId(play.group.chat_id),
            challenge_id=acts.FIRST,
            day_number=1,
            user_id=UserId(acts.person(play, "Petra").user_id),
        )
    assert [line.kind for line in lines] == [ChangeKind.RECORDED, ChangeKind.REREAD]
    assert (lines[-1].by, lines[-1].why) == (play.coach.user_id, "day 1 was changed")
    [mine] = await acts.say(play, "Petra", "/mine")
    assert "3 rounds + 45" in mine


async def test_what_can_no_longer_be_read_stays_and_is_listed(play: Rehearsal):
    await acts.say(play, "Petra", "3 rounds + 55")
    shorter = CHANGED.replace("10 push-ups\n20 forward lunges", "10 push-ups\n2 forward lunges")
    await write(play, f"/plan change 1\n{shorter}")

    done = await tap(play, "Change day 1")

    assert (
        "Petra, Full: “3 rounds + 55” cannot be read on the new day and stays "
        "3 rounds + 55 (235 reps)."
    ) in done
    assert await acts.score(play, "Petra") == RoundsAndReps(3, 55, 235)
    assert await acts.changes(play, "Petra") == 1


async def test_a_struck_score_is_read_anew_and_stays_struck(play: Rehearsal):
    await acts.say(play, "Petra", "3 rounds + 45")
    await acts.say(play, "Ines", "/norep knees", reply_to=acts.last_of(play, "Petra"))
    await write(play, f"/plan change 1\n{CHANGED}")

    done = await tap(play, "Change day 1")

    assert "(231 reps) (“3 rounds + 45”) · not counted" in done
    assert await state(play, "Petra") is ResultState.NO_REP
    found = await acts.result(play, "Petra")
    assert found is not None
    assert stored_score(found.result) == RoundsAndReps(3, 45, 231)


async def test_a_question_about_the_old_day_is_dropped_and_the_person_asked_to_write_again(
    play: Rehearsal,
):
    await acts.say(play, "Petra", "2 rounds + 400")
    question = acts.last(play)
    await write(play, f"/plan change 1\n{CHANGED}")

    done = await tap(play, "Change day 1")
    toasts = await acts.press(play, "Petra", message=question)

    assert "One open question about a score no longer fits" in done
    assert acts.texts(play)[-1].startswith("Day 1 has been changed, so my question no longer fits")
    assert toasts == ["That question is settled already."]


async def test_scores_said_after_the_change_are_read_on_the_new_day(play: Rehearsal):
    await write(play, f"/plan change 1\n{CHANGED}")
    await tap(play, "Change day 1")

    [said] = await acts.say(play, "Petra", "3 rounds + 5")

    assert said.endswith("round 4, 5 of 10 push-ups; 191 reps")


async def test_a_day_that_is_out_cannot_turn_into_a_rest_day(play: Rehearsal):
    await write(play, "/plan change 1 rest day: Sleep in.")

    said = await tap(play, "Change day 1")

    assert said.startswith("Day 1 is out: it cannot turn from a workout into a rest day")
    assert len(await history(play)) == 1


async def test_mistakes_and_questions_are_told_and_answered_as_in_a_draft(play: Rehearsal):
    wrong = await write(play, "/plan change 2 Pier\nAMRAP 12: 10 push-ups, 12 blobs")
    unsure = await write(play, "AMRAP 12: 10 push-ups, 20 lunges")
    sure = await tap(play, "reverse lunge")

    assert "Line 2: AMRAP 12: 10 push-ups, 12 blobs\n→ I do not know “blobs”" in wrong
    assert "→ Which “lunges”?" in unsure
    assert "• 20 reverse lunges" in sure
    assert "Change day 2" in labels(play)


async def test_a_new_movement_can_be_defined_for_a_changed_day(play: Rehearsal):
    await write(play, "/plan change 2 Pier\nAMRAP 12: 10 push-ups, 12 crab reaches")
    await tap(play, "“crab reaches” is a movement of my own")
    await tap(play, "core")
    await tap(play, "bird dog")
    await write(play, "your hand touches the other foot")
    await tap(play, "Change day 2")

    [said] = [text for text in [await write(play, "/plan preview 2")] if text]

    assert "• 12 crab reaches" in said


async def test_a_day_may_come_as_a_file(play: Rehearsal):
    await write(play, "/plan change 2")
    data = (DEMO / "day-6.yaml").read_bytes()

    said = await send(play, "anything.yaml", data)
    done = await tap(play, "Change day 2")

    assert "Day 2 of 7 · Out along the breakwater" in said
    assert "Day 2 is changed: " in done


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        ("/plan change 9", "There is no day 9: the challenge has days 1 to 7."),
        ("/plan change", "I need the number of a day, and the workout behind it"),
        ("/plan change three", "I need the number of a day, and the workout behind it"),
    ],
)
async def test_what_makes_no_sense_is_refused_with_the_reason(
    play: Rehearsal, words: str, answer: str
):
    assert answer in await write(play, words)


async def test_in_the_group_the_new_day_is_not_written(play: Rehearsal):
    [said] = await acts.say(play, "Ines", "/plan change 2 AMRAP 5: 5 burpees")

    assert said == (
        "Write that to me in a private chat: /plan change 2. The group sees the day once it is "
        "right."
    )


async def test_a_second_press_finds_the_day_changed_already(play: Rehearsal):
    await write(play, "/plan change 2 Pier sprints\n5 rounds for time: 10 burpees")
    message = with_buttons(play)
    data = acts.keys(message)[-1]
    for _ in range(2):
        play.room.press(play.coach, play.coach, message["message_id"], data)
    await quiet(play)

    assert [toast.text for toast in play.room.toasts[-2:]] == ["", STALE]
    assert len(await history(play)) == 2


async def test_who_is_no_administrator_any_more_changes_nothing(play: Rehearsal):
    await write(play, "/plan change 2 Pier sprints\n5 rounds for time: 10 burpees")
    message = with_buttons(play)
    play.room.put_in_group(play.coach, play.group, "member")
    play.room.clock.advance(timedelta(minutes=30))

    toasts = await press_data(play, "Ines", message, acts.keys(message)[-1])

    assert toasts == ["Only administrators of this group can do that."]
    assert len(await history(play)) == 1


async def test_once_the_challenge_has_ended_there_is_nothing_to_change(play: Rehearsal):
    await write(play, "/plan change 2 Pier sprints\n5 rounds for time: 10 burpees")
    message = with_buttons(play)
    await acts.say(play, "Ines", "/finish")

    assert await press_data(play, "Ines", message, acts.keys(message)[-1]) == [STALE]
    said = await write(play, "AMRAP 5: 5 burpees")
    assert said.startswith("That challenge is not running any more")


async def test_with_several_groups_the_text_waits_until_the_group_is_chosen(play: Rehearsal):
    second = play.room.add_group("Harbour Crew")
    play.room.put_in_group(play.coach, second, "creator")
    await acts.say(play, "Ines", "/begin", place=second)
    await acts.press(play, "Ines", message=acts.last(play, second))

    asked = await write(play, "/plan change 2 Pier sprints\n5 rounds for time: 10 burpees")
    said = await tap(play, "Quayside Movers · Seven Mornings on the Quay")
    last = play.room.messages(play.coach)[-1].get("text", "")

    assert asked == "Which group?"
    assert "Pier sprints" in said + last
    assert "Change day 2" in labels(play)


async def test_a_post_of_several_messages_points_to_a_new_one_below_itself(eve: Rehearsal):
    """Only the number of a post's first message is known, so its rest cannot be edited."""
    play = eve
    await open_the_challenge(play, acts.START)
    play.room.clock.move_to(acts.AFTER_FIRST_POST)
    await quiet(play)
    post = await acts.post_of(play, 1)
    long = "\n".join(f"caution: {'Mind the step. ' * 20}{number}" for number in range(14))
    await write(play, f"/plan change 1\n{CHANGED}\n{long}")

    done = await tap(play, "Change day 1")

    [first] = [m for m in play.room.messages(play.group) if m["message_id"] == post.message_id]
    below = [
        m
        for m in play.room.messages(play.group)
        if m.get("reply_to_message", {}).get("message_id") == post.message_id
    ]
    assert "Its post is longer than a message" in done
    assert first["text"].endswith("stands in the reply to this message.")
    assert below[0]["text"].startswith("Changed at 06:01: ")
    assert "Day 1 of 7 · Round the bollards" in below[0]["text"]


async def test_a_post_nobody_knows_the_place_of_is_not_edited_and_that_is_said(play: Rehearsal):
    """After a group got a new id, the numbers of its old messages are of no use."""
    async with play.database.work() as session:
        await session.execute(update(PostRow).values(message_id=None))
        await session.commit()
    await write(play, f"/plan change 1\n{CHANGED}")

    done = await tap(play, "Change day 1")

    assert "Its post cannot be edited" in done
    assert "Day 1 is changed: " in done
