"""What several do at once comes out as if one had done it after the other, on each engine."""

from __future__ import annotations

import asyncio
from datetime import timedelta
from itertools import pairwise

import pytest
from sqlalchemy import select

from store import asks, inbox, owed, people, posts, results
from store.engine import Database
from store.groups import move_chat, note_group
from store.hold import hold
from store.tables import AskRow, GroupRow, OwedRow, UpdateRow
from store.values import ChatId, UpdateId, UserId
from tests.store.builders import (
    CHAT,
    FIRST,
    MIRA,
    START,
    a_challenge,
    a_participant,
    a_plan,
    an_ask,
    an_entry,
)

UPDATE = UpdateId(5)


@pytest.fixture
async def neighbour(database_url):
    """A second `Database` on the same one stands for another process."""
    neighbour = Database(database_url)
    yield neighbour
    await neighbour.close()


@pytest.fixture
async def begun(database):
    async with database.work() as session:
        await a_challenge(session, posts=[a_plan(1)])
        await a_participant(session)
        await inbox.receive(session, [(UPDATE, CHAT, "{}")], START)
        await session.commit()


async def at_once(action, *own: Database, times=3):
    """Let each do its work several times, all of them at once; give what each returned."""

    async def one(database, number):
        async with database.work() as session:
            found = await action(session, number)
            await session.commit()
            return found

    works = [one(database, number) for number, database in enumerate(own * times)]
    return await asyncio.gather(*works)


@pytest.mark.usefixtures("begun")
async def test_calls_owed_to_a_chat_are_numbered_without_gap_or_double(database, neighbour):
    async def owe(session, _):
        return await owed.owe(session, chat_id=CHAT, call="{}", useful_until=START, now=START)

    numbers = await at_once(owe, database, neighbour)

    assert sorted(numbers) == [1, 2, 3, 4, 5, 6]
    async with database.reading() as session:
        assert len((await session.scalars(select(OwedRow.owed_id))).all()) == 6


@pytest.mark.usefixtures("begun")
async def test_every_correction_starts_from_the_one_before(database, neighbour):
    async def correct(session, number):
        entry = an_entry(rank_key=200 + number, message_id=number)
        await results.record(session, entry, make_up_until=START, now=START, by=MIRA)

    await at_once(correct, database, neighbour)

    async with database.reading() as session:
        lines = await results.history(
            session, chat_id=CHAT, challenge_id=FIRST, day_number=1, user_id=MIRA
        )
    assert [line.change_number for line in lines] == [1, 2, 3, 4, 5, 6]
    assert [later.before for _, later in pairwise(lines)] == [line.after for line in lines[:-1]]


@pytest.mark.usefixtures("begun")
async def test_one_question_is_open_however_many_are_asked_at_once(database, neighbour):
    await at_once(lambda session, n: an_ask(session, message_id=n), database, neighbour)

    async with database.reading() as session:
        opened = await session.execute(select(AskRow.ask_id, AskRow.closed_at))
        found = sorted(opened.all())
    assert [(number, at is None) for number, at in found] == [
        *((n, False) for n in range(1, 6)),
        (6, True),
    ]
    async with database.reading() as session:
        assert (await asks.open_ask_of(session, CHAT, MIRA)).ask_id == 6


async def test_an_answer_and_the_next_question_do_not_wait_for_each_other(database, neighbour):
    """A person presses in private while their words in the group are being asked about."""
    async with database.work() as session:
        await a_challenge(session)
        await a_participant(session)
        await an_ask(session)
        await session.commit()

    async def answer(session, number):
        await asks.close_ask(session, CHAT, 1, START)
        entry = an_entry(rank_key=300 + number, message_id=300 + number)
        await results.record(session, entry, make_up_until=START, now=START, by=MIRA)

    async def ask(session, number):
        await an_ask(session, message_id=400 + number)

    await asyncio.gather(at_once(answer, database), at_once(ask, neighbour))

    async with database.reading() as session:
        assert (await asks.open_ask_of(session, CHAT, MIRA)).ask_id == 4


async def test_who_meets_a_group_or_a_person_first_does_not_matter(database, neighbour):
    async def meet(session, number):
        await note_group(session, CHAT, f"Park {number}", is_active=True, now=START)
        await people.mark_can_write_to(session, MIRA, can=True)

    await at_once(meet, database, neighbour)

    async with database.reading() as session:
        assert len((await session.scalars(select(GroupRow.title))).all()) == 1


@pytest.mark.usefixtures("begun")
async def test_an_update_is_taken_by_one_and_only_once(database, neighbour):
    async def take(session, _):
        if taken := await inbox.take(session, UPDATE):
            await inbox.mark_done(session, UPDATE, START)
        return taken

    assert sorted(await at_once(take, database, neighbour)) == [False] * 5 + [True]


@pytest.mark.usefixtures("begun")
async def test_an_update_whose_handling_failed_can_be_taken_again(database, neighbour):
    async with database.work() as session:
        assert await inbox.take(session, UPDATE)

    async with neighbour.work() as session:
        assert await inbox.take(session, UPDATE)


@pytest.mark.usefixtures("begun")
async def test_an_update_set_aside_is_not_taken(database):
    async with database.work() as session:
        await inbox.set_aside(session, UPDATE, "ValueError", START)

        assert not await inbox.take(session, UPDATE)


@pytest.mark.parametrize("engine_name", ["postgresql"])
@pytest.mark.usefixtures("begun")
async def test_what_another_has_in_hand_is_passed_over_without_waiting(database, neighbour):
    async with database.reading() as session:
        [post] = await posts.due_posts(session, START, limit=9)
    async with database.work() as first, neighbour.work() as second:
        assert await inbox.take(first, UPDATE)
        assert await posts.claim(first, post, START)

        assert not await inbox.take(second, UPDATE)
        assert not await posts.claim(second, post, START)


@pytest.mark.parametrize("engine_name", ["postgresql"])
async def test_groups_are_written_side_by_side(database, neighbour):
    async with database.work() as first, neighbour.work() as second:
        await note_group(first, CHAT, "Park", is_active=True, now=START)
        await note_group(second, ChatId(-77), "Quay", is_active=True, now=START)
        await second.commit()
        await first.commit()

    async with database.reading() as session:
        titles = await session.scalars(select(GroupRow.title))
        assert sorted(titles) == ["Park", "Quay"]


@pytest.mark.usefixtures("begun")
async def test_rows_loaded_before_holding_are_read_anew(database, neighbour, engine_name):
    """On SQLite nobody else can write meanwhile."""
    async with database.work() as session:
        early = await session.get_one(GroupRow, CHAT)
        assert early.title == ""
        if engine_name == "postgresql":
            async with neighbour.work() as other:
                await note_group(other, CHAT, "Park", is_active=True, now=START)
                await other.commit()

        await hold(session, CHAT)

        found = await session.get_one(GroupRow, CHAT)
        assert found.title == ("Park" if engine_name == "postgresql" else "")


@pytest.mark.usefixtures("begun")
async def test_a_result_told_while_its_group_moves_is_in_the_new_one(database, neighbour):
    new = ChatId(-1_009)

    async def move(session, _):
        await move_chat(session, old=CHAT, new=new)

    async def receive(session, number):
        update = (UpdateId(20 + number), CHAT, "{}")
        await inbox.receive(session, [update], START + timedelta(seconds=number))

    async with database.work() as session:
        await results.record(session, an_entry(), make_up_until=START, now=START, by=MIRA)
        await session.commit()
    await asyncio.gather(at_once(move, database, times=1), at_once(receive, neighbour))

    async with database.reading() as session:
        key = {"challenge_id": FIRST, "day_number": 1, "user_id": UserId(MIRA)}
        moved = await results.result_of(session, chat_id=new, **key)
        assert moved is not None
        assert await results.result_of(session, chat_id=CHAT, **key) is None
        assert len((await session.scalars(select(UpdateRow.update_id))).all()) == 4
