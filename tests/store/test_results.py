from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta

import pytest
from sqlalchemy.exc import IntegrityError

from store.errors import NoSuchResult, NotJoined, WasStruck
from store.results import (
    change_of_message,
    history,
    record,
    reinstate,
    reread,
    result_of,
    results_of_day,
    results_of_message,
    results_of_person,
    set_mark,
    strike,
    text_of_message,
    withdraw,
)
from store.values import ChangeKind, ResultState
from tests.store.builders import (
    CHAT,
    COACH,
    FIRST,
    MIRA,
    START,
    TOMO,
    a_challenge,
    a_day,
    a_participant,
    an_entry,
)

UNTIL = a_day(1).make_up_until
KEY = {"chat_id": CHAT, "challenge_id": FIRST, "day_number": 1, "user_id": MIRA}
JUDGED = {**KEY, "by": COACH, "why": "short of depth", "now": START}


@pytest.fixture
async def session(database):
    """A unit of work in which Mira has joined."""
    async with database.work() as session:
        await a_challenge(session)
        await a_participant(session, MIRA)
        yield session


async def _record(session, entry, *, now=START):
    return await record(session, entry, make_up_until=UNTIL, now=now, by=entry.user_id)


async def test_a_first_score_is_stored_as_said(session):
    recorded = await _record(session, an_entry())

    assert recorded.replaced is None
    assert recorded.result.state is ResultState.COUNTED
    assert await result_of(session, **KEY) == recorded.result
    assert await results_of_message(session, CHAT, 10) == (recorded.result,)
    assert [c.kind for c in await history(session, **KEY)] == [ChangeKind.RECORDED]


async def test_a_second_score_replaces_the_first_and_both_stay_in_the_history(session):
    first = await _record(session, an_entry(rank_key=225))
    second = await _record(session, an_entry(rank_key=230, message_id=11))

    assert second.replaced == first.result
    assert await results_of_person(session, chat_id=CHAT, challenge_id=FIRST, user_id=MIRA) == (
        second.result,
    )
    recorded, corrected = await history(session, **KEY)
    assert (recorded.change_number, corrected.change_number) == (1, 2)
    assert corrected.kind is ChangeKind.CORRECTED
    assert corrected.before == recorded.after
    assert json.loads(corrected.before)["rank_key"] == 225
    assert json.loads(corrected.after)["said_at"] == second.result.said_at.isoformat()


async def test_the_same_message_again_leaves_one_history_line(session):
    first = await _record(session, an_entry())
    again = await _record(session, an_entry(), now=START + timedelta(hours=1))

    assert (again.result, again.replaced) == (first.result, first.result)
    assert len(await history(session, **KEY)) == 1


async def test_an_edited_message_is_a_correction(session):
    await _record(session, an_entry(rank_key=225))
    edited = await _record(session, an_entry(rank_key=226))

    assert edited.result.rank_key == 226
    assert len(await history(session, **KEY)) == 2


async def test_the_same_message_again_does_not_bring_a_struck_result_back(session):
    await _record(session, an_entry())
    struck = await strike(session, **JUDGED)

    again = await _record(session, an_entry())

    assert again.result == struck
    assert again.result.state is ResultState.NO_REP


async def test_the_struck_score_in_other_words_stays_struck(session):
    await _record(session, an_entry())
    struck = await strike(session, **JUDGED)
    retold = replace(an_entry(message_id=12), raw_text="it was 225!")

    again = await _record(session, retold)

    assert (again.result, again.replaced) == (struck, struck)
    assert await result_of(session, **KEY) == struck
    assert len(await history(session, **KEY)) == 2


async def test_the_struck_number_in_another_division_is_a_correction(session):
    await _record(session, an_entry())
    await strike(session, **JUDGED)

    moved = await _record(session, an_entry(division="lighter"))

    assert moved.result.state is ResultState.COUNTED


async def test_a_new_score_replaces_a_struck_one(session):
    await _record(session, an_entry())
    struck = await strike(session, **JUDGED)

    renewed = await _record(session, an_entry(rank_key=224, message_id=12))

    assert (renewed.replaced, renewed.result.state) == (struck, ResultState.COUNTED)


@pytest.mark.parametrize(
    ("after_the_end", "state"),
    [
        pytest.param(timedelta(0), ResultState.COUNTED, id="at_the_last_instant"),
        pytest.param(timedelta(microseconds=1), ResultState.LATE, id="just_after"),
    ],
)
async def test_when_it_was_said_decides_whether_a_score_is_late(session, after_the_end, state):
    late_arrival = UNTIL + timedelta(days=3)

    recorded = await _record(session, an_entry(said_at=UNTIL + after_the_end), now=late_arrival)

    assert recorded.result.state is state


async def test_strike_and_reinstate_leave_lines_with_who_when_and_why(session):
    await _record(session, an_entry())
    struck = await strike(session, **JUDGED)
    back = await reinstate(session, **{**JUDGED, "why": "seen on video"})

    assert (struck.state, back.state) == (ResultState.NO_REP, ResultState.COUNTED)
    _, no_rep, reinstated = await history(session, **KEY)
    assert (no_rep.kind, no_rep.by, no_rep.at, no_rep.why) == (
        ChangeKind.NO_REP,
        COACH,
        START,
        "short of depth",
    )
    assert (reinstated.kind, reinstated.why) == (ChangeKind.REINSTATED, "seen on video")


async def test_a_late_result_is_late_again_when_reinstated(session):
    await _record(session, an_entry(said_at=UNTIL + timedelta(seconds=1)))
    await withdraw(session, **JUDGED)

    assert (await reinstate(session, **JUDGED)).state is ResultState.LATE


async def test_a_button_pressed_twice_leaves_one_line(session):
    recorded = await _record(session, an_entry())
    first = await withdraw(session, **JUDGED)
    second = await withdraw(session, **JUDGED)

    assert first == second == replace(recorded.result, state=ResultState.WITHDRAWN)
    assert len(await history(session, **KEY)) == 2


async def test_a_person_cannot_take_back_what_was_struck(session):
    """A withdrawn result could be entered again, and would count."""
    await _record(session, an_entry())
    struck = await strike(session, **JUDGED)

    with pytest.raises(WasStruck) as info:
        await withdraw(session, **{**JUDGED, "by": MIRA})

    assert (info.value.day_number, info.value.user_id) == (1, MIRA)
    assert await result_of(session, **KEY) == struck


async def test_an_organiser_removes_what_was_struck(session):
    await _record(session, an_entry())
    await strike(session, **JUDGED)

    assert (await withdraw(session, **JUDGED)).state is ResultState.WITHDRAWN


async def test_only_participants_have_results(session):
    with pytest.raises(NotJoined) as info:
        await _record(session, an_entry(TOMO))

    assert info.value.user_id == TOMO


@pytest.mark.parametrize("change", [withdraw, strike, reinstate])
async def test_what_is_not_there_cannot_be_changed(session, change):
    with pytest.raises(NoSuchResult) as info:
        await change(session, **JUDGED)

    assert (info.value.day_number, info.value.user_id) == (1, MIRA)
    assert await result_of(session, **KEY) is None


async def test_a_result_needs_a_day_of_the_challenge(session):
    await _record(session, an_entry(day_number=99))

    with pytest.raises(IntegrityError):
        await session.commit()


async def test_one_message_may_give_two_days_and_both_are_found_by_day(session):
    second = await _record(session, an_entry(day_number=2))
    first = await _record(session, an_entry(day_number=1), now=START + timedelta(minutes=1))

    assert await results_of_message(session, CHAT, 10) == (first.result, second.result)


async def test_effort_and_load_stay_with_the_result_and_in_its_history(session):
    said = replace(an_entry(), effort=8, load_g=16_000)
    first = await _record(session, said)
    second = await _record(session, replace(said, effort=9))

    assert (first.result.effort, first.result.load_g) == (8, 16_000)
    assert await result_of(session, **KEY) == second.result
    assert second.replaced == first.result
    _, corrected = await history(session, **KEY)
    assert json.loads(corrected.before)["effort"] == 8
    assert json.loads(corrected.after)["effort"] == 9


async def test_a_message_corrected_by_another_still_leads_to_its_result(session):
    await _record(session, an_entry(rank_key=225))
    corrected = await _record(session, an_entry(rank_key=230, message_id=11))
    struck = await strike(session, **JUDGED)

    assert await results_of_message(session, CHAT, 10) == ()
    assert await text_of_message(session, CHAT, 10) == "225 reps"
    assert await text_of_message(session, CHAT, 12) is None
    assert await change_of_message(session, CHAT, 10) == struck
    assert await change_of_message(session, CHAT, 11) == struck
    assert await change_of_message(session, CHAT, 12) is None
    assert struck == replace(corrected.result, state=ResultState.NO_REP)


async def test_of_a_message_that_gave_two_days_the_latest_change_is_found(session):
    await _record(session, an_entry(day_number=2))
    second = await _record(session, an_entry(day_number=1), now=START + timedelta(minutes=1))

    assert await change_of_message(session, CHAT, 10) == second.result


async def test_a_mark_stays_through_judgements_and_goes_with_a_correction(session):
    await _record(session, an_entry())
    await set_mark(session, *KEY.values(), mark="above_group")

    again = await _record(session, an_entry())
    struck = await strike(session, **JUDGED)
    back = await reinstate(session, **JUDGED)
    corrected = await _record(session, an_entry(rank_key=226))

    assert again.result == again.replaced
    assert [r.mark for r in (again.result, struck, back)] == ["above_group"] * 3
    assert corrected.result.mark is None
    assert (await result_of(session, **KEY)).mark is None
    kinds = [change.kind for change in await history(session, **KEY)]
    assert kinds == [  # a mark is no change
        ChangeKind.RECORDED,
        ChangeKind.NO_REP,
        ChangeKind.REINSTATED,
        ChangeKind.CORRECTED,
    ]


async def test_what_is_not_there_cannot_be_marked(session):
    with pytest.raises(NoSuchResult) as info:
        await set_mark(session, *KEY.values(), mark="above_group")

    assert info.value.user_id == MIRA


@pytest.mark.parametrize("state", [ResultState.COUNTED, ResultState.NO_REP, ResultState.LATE])
async def test_a_reread_result_keeps_words_state_and_time_and_has_a_line(session, state):
    said_at = UNTIL + timedelta(hours=1) if state is ResultState.LATE else START
    await _record(session, an_entry(said_at=said_at))
    if state is ResultState.NO_REP:
        await strike(session, **JUDGED)
    before = await result_of(session, **KEY)

    after = await reread(
        session,
        before,
        result='{"done": true}',
        rank_key=7,
        by=COACH,
        why="day 1 was changed",
        now=START + timedelta(hours=2),
    )

    assert after == replace(before, result='{"done": true}', rank_key=7)
    assert await result_of(session, **KEY) == after
    line = (await history(session, **KEY))[-1]
    assert (line.kind, line.by, line.why) == (ChangeKind.REREAD, COACH, "day 1 was changed")
    assert json.loads(line.before)["result"] == before.result


async def test_a_result_reread_as_the_same_leaves_no_line(session):
    before = (await _record(session, an_entry())).result

    same = await reread(
        session,
        before,
        result=before.result,
        rank_key=before.rank_key,
        by=COACH,
        why="",
        now=START,
    )

    assert same == before
    assert len(await history(session, **KEY)) == 1


async def test_the_results_of_a_day_come_in_the_order_they_were_said(session):
    await a_participant(session, TOMO)
    await _record(session, an_entry(said_at=START + timedelta(minutes=2)))
    await _record(session, an_entry(user_id=TOMO, said_at=START))
    await _record(session, an_entry(day_number=2, said_at=START))
    await withdraw(session, **JUDGED)

    found = await results_of_day(session, chat_id=CHAT, challenge_id=FIRST, day_number=1)

    assert [(each.user_id, each.state) for each in found] == [
        (TOMO, ResultState.COUNTED),
        (MIRA, ResultState.WITHDRAWN),
    ]
