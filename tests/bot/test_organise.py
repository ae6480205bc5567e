"""What only an administrator may do, and what becomes of it."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bot.rehearsal.start import Rehearsal, quiet
from store import challenges
from store.values import ChatId, ResultState
from tests.bot import acts

SCORE = "3 rounds + 45"
ADMIN_ONLY = "Only administrators of this group can do that."
TITLE = "Seven Mornings on the Quay"


@pytest.mark.parametrize("command", ["/begin", "/plan", "/norep", "/reinstate", "/finish"])
async def test_a_participant_may_not_organise(play: Rehearsal, command: str):
    await acts.say(play, "Petra", SCORE)
    message_id = acts.last_of(play, "Petra")

    assert await acts.say(play, "Marlow", command, reply_to=message_id) == [ADMIN_ONLY]
    assert await acts.score(play, "Petra") is not None
    assert await is_running(play)


@pytest.mark.parametrize("command", ["/begin", "/finish"])
async def test_in_private_nobody_begins_or_ends(play: Rehearsal, command: str):
    assert await acts.say(play, "Ines", command, place=play.coach) == [ADMIN_ONLY]


@pytest.mark.parametrize(
    ("command", "day"),
    [
        pytest.param("/begin", "Monday 1 June 2026", id="earliest"),
        pytest.param("/begin 2026-06-08", "Monday 8 June 2026", id="date"),
        pytest.param("/Begin 2026-06-08", "Monday 8 June 2026", id="capital_letter"),
        pytest.param("/begin@rungbell_rehearsal_bot", "Monday 1 June 2026", id="by_name"),
    ],
)
async def test_begin_offers_a_date_and_its_button_starts(eve: Rehearsal, command: str, day: str):
    [offer] = await acts.say(eve, "Ines", command)
    offered = await is_running(eve)
    toasts = await acts.press(eve, "Ines")

    assert f"Day 1 would be {day}, posted at 06:00" in offer
    assert not offered
    assert toasts == [""]
    assert await is_running(eve)
    assert acts.texts(eve)[-1].startswith(f"{TITLE} is set: day 1 comes on {day} at 06:00")


@pytest.mark.parametrize(
    "date",
    ["2026-05-31", "2027-06-03", "2026-02-30", "tomorrow", "<b>1</b>", "01/06/2026", "9999-12-31"],
)
async def test_a_date_that_will_not_do_is_not_offered(eve: Rehearsal, date: str):
    [said] = await acts.say(eve, "Ines", f"/begin {date}")

    assert said == f"“{date}” is not a date from today on. Write it as in /begin 2026-06-01."
    assert acts.keys(acts.last(eve)) == []


async def test_today_can_be_begun_until_its_post(eve: Rehearsal):
    eve.room.clock.advance(timedelta(hours=11, minutes=59))
    [before] = await acts.say(eve, "Ines", "/begin")
    eve.room.clock.advance(timedelta(minutes=1))
    [after] = await acts.say(eve, "Ines", "/begin")

    assert "Monday 1 June 2026" in before
    assert "Tuesday 2 June 2026" in after


async def test_the_button_is_for_administrators_only(eve: Rehearsal):
    await acts.say(eve, "Ines", "/begin")

    assert await acts.press(eve, "Marlow") == [ADMIN_ONLY]
    assert not await is_running(eve)


async def test_begin_pressed_twice_begins_once(eve: Rehearsal):
    await acts.say(eve, "Ines", "/begin")
    offer = acts.last(eve)
    for _ in range(2):
        eve.room.press(eve.coach, eve.group, offer["message_id"], acts.keys(offer)[0])
    await quiet(eve)

    assert [toast.text for toast in eve.room.toasts] == ["", "That button is out of date."]
    async with eve.database.reading() as session:
        [running] = await challenges.running_challenges(session)
    assert running.challenge_id == 1


async def test_an_old_offer_does_not_begin_in_the_past(eve: Rehearsal):
    await acts.say(eve, "Ines", "/begin")
    eve.room.clock.advance(timedelta(days=1))

    assert await acts.press(eve, "Ines") == ["That button is out of date."]
    assert not await is_running(eve)


async def test_while_one_runs_no_other_is_offered(play: Rehearsal):
    [said] = await acts.say(play, "Ines", "/begin")

    assert said == f"{TITLE} is still running here. End it first with /finish."


async def test_the_plan_shows_every_post_and_how_it_went(play: Rehearsal):
    [said] = await acts.say(play, "Ines", "/plan")

    lines = said.splitlines()
    assert lines[:4] == [
        f"{TITLE}: planned posts (Europe/Lisbon)",
        "Mon 1 June, 06:00 · day 1 · workout · sent",
        "Tue 2 June, 05:45 · day 1 · result",
        "Tue 2 June, 06:00 · day 2 · workout",
    ]
    assert lines[-1] == "Tue 9 June, 05:45 · day 7 · final result"
    assert len(lines) == 1 + 7 + 6 + 1


async def test_a_no_rep_takes_a_score_out_until_it_is_reinstated(play: Rehearsal):
    await acts.say(play, "Petra", SCORE)
    message_id = acts.last_of(play, "Petra")

    [struck] = await acts.say(play, "Ines", "/norep knees <not> down", reply_to=message_id)
    while_struck = await acts.result(play, "Petra")
    places = await acts.say(play, "Marlow", "/places")
    again = await acts.say(play, "Ines", "/norep", reply_to=message_id)
    [stands] = await acts.say(play, "Ines", "/reinstate", reply_to=message_id)

    assert struck == (
        "Petra, the organiser gave a no-rep for day 1 (3 rounds + 45). "
        "Reason: knees <not> down. It does not count; you can write a corrected score."
    )
    assert while_struck is not None
    assert while_struck.state is ResultState.NO_REP
    assert places == ["No day has a result yet."]
    assert len(again) == 1
    assert stands == "Petra, your score for day 1 stands again: 3 rounds + 45."
    assert await acts.score(play, "Petra") is not None
    assert await acts.changes(play, "Petra") == 3


async def test_a_judgement_needs_the_message_of_a_score(play: Rehearsal):
    await acts.say(play, "Petra", "good morning")
    chatter = acts.last_of(play, "Petra")

    assert await acts.say(play, "Ines", "/norep") == [
        "Reply to the person's own message with /norep and the reason, or with /reinstate."
    ]
    assert await acts.say(play, "Ines", "/norep", reply_to=chatter) == [
        "I have no score from that message. Reply to the message in which the person wrote it."
    ]


async def test_finish_ends_the_challenge_and_its_posts(play: Rehearsal):
    [said] = await acts.say(play, "Ines", "/finish")
    play.room.clock.advance(timedelta(days=1))
    later = await acts.answers(play, 1)

    assert said == f"{TITLE} is ended. Everything recorded stays."
    assert later == []
    [again] = await acts.say(play, "Ines", "/finish")
    assert again.startswith("No challenge is running here.")


async def test_after_the_end_another_can_begin(play: Rehearsal):
    await acts.say(play, "Ines", "/finish")
    await acts.say(play, "Ines", "/begin")
    await acts.press(play, "Ines")

    assert await is_running(play)


async def test_rights_taken_away_are_noticed_after_five_minutes(play: Rehearsal):
    play.room.put_in_group(play.people["Petra"], play.group, "administrator")
    may = await acts.say(play, "Petra", "/plan")
    play.room.put_in_group(play.people["Petra"], play.group, "member")

    play.room.clock.advance(timedelta(minutes=4, seconds=59))
    still = await acts.say(play, "Petra", "/plan")
    play.room.clock.advance(timedelta(seconds=1))
    no_longer = await acts.say(play, "Petra", "/plan")

    assert may == still
    assert may[0].startswith(TITLE)
    assert no_longer == [ADMIN_ONLY]


@pytest.mark.parametrize(("before", "after"), [("administrator", "member"), ("member", "creator")])
async def test_a_change_of_rights_the_platform_tells_of_is_noticed_at_once(
    play: Rehearsal, before: str, after: str
):
    play.room.put_in_group(play.people["Petra"], play.group, before)
    first = await acts.say(play, "Petra", "/plan")
    play.room.join(play.people["Petra"], play.group, after)
    second = await acts.say(play, "Petra", "/plan")

    refused = [said == [ADMIN_ONLY] for said in (first, second)]
    assert refused == [before == "member", after == "member"]


async def test_when_the_platform_does_not_tell_nobody_may_organise(play: Rehearsal):
    play.room.answer_next("getChatAdministrators", status=502, description="Bad Gateway")

    refused = await acts.say(play, "Ines", "/plan")
    allowed = await acts.say(play, "Ines", "/plan")

    assert refused == [ADMIN_ONLY]
    assert allowed[0].startswith(TITLE)


async def is_running(play: Rehearsal) -> bool:
    async with play.database.reading() as session:
        found = await challenges.running_challenge(session, ChatId(play.group.chat_id))
    return found is not None
