"""Who leaves takes names and words along; the places of the others are as the challenge says."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest
from sqlalchemy import select

from store import asks, drafts, inbox, owed, people, plans, results
from store.kept import kept_about
from store.leaving import leave
from store.standings import day_standings, overall
from store.tables import AskRow, Base, ChangeRow, ParticipantRow, ResultRow, UpdateRow
from store.values import ChatId, UpdateId, UserId
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
    an_ask,
    an_entry,
)

LENA = UserId(7_000_000_003)
NAME, WORDS = "Míra <3", "three plus fifty, my knee is fine"
HERE = {(CHAT, FIRST)}
TOLD = {"make_up_until": a_day(1).make_up_until, "now": START}


def an_update(number, sender, text, **more: object):
    message = {"from": {"id": sender}, "chat": {"id": CHAT}, "text": text, **more}
    return UpdateId(number), CHAT, json.dumps({"update_id": number, "message": message})


@pytest.fixture
async def played(database):
    """Mira is second of three, has corrected herself, was asked, and organises too."""
    async with database.work() as session:
        stored = await a_challenge(session)
        await drafts.save_draft(session, ChatId(MIRA), WORDS, now=START)
        await plans.note_change(session, stored, by=MIRA, by_name=NAME, what="paused", at=START)
        for user_id, name, reps in ((TOMO, "Tomo", 230), (MIRA, NAME, 225), (LENA, "Lena", 220)):
            await a_participant(session, user_id, name=name)
            await people.mark_can_write_to(session, user_id, can=True)
            entry = an_entry(user_id, rank_key=reps - 1, message_id=reps)
            await results.record(session, entry, **TOLD, by=user_id)
            await results.record(
                session, an_entry(user_id, rank_key=reps, message_id=reps + 1), **TOLD, by=user_id
            )
        await results.strike(
            session,
            chat_id=CHAT,
            challenge_id=FIRST,
            day_number=1,
            user_id=LENA,
            by=MIRA,
            why="shallow",
            now=START,
        )
        await an_ask(session, TOMO)
        await an_ask(session, MIRA)
        await people.add_organiser(session, chat_id=CHAT, user_id=MIRA, now=START)
        await owed.owe(
            session, chat_id=ChatId(MIRA), call=f'"{NAME}"', useful_until=START, now=START
        )
        replied = {"reply_to_message": {"from": {"id": MIRA}, "text": WORDS}}
        await inbox.receive(
            session,
            [
                an_update(1, MIRA, WORDS),
                an_update(2, COACH, "/norep", **replied),
                an_update(3, TOMO, f"well done {NAME}"),
                an_update(4, TOMO, f"my reps: {MIRA}"),
                an_update(5, MIRA, "waiting"),
                an_update(6, MIRA, "delete it"),
            ],
            START,
        )
        for number in range(1, 5):
            await inbox.mark_done(session, UpdateId(number), START)
        row = await session.get_one(ResultRow, (CHAT, FIRST, 1, MIRA))
        row.raw_text, row.effort, row.mark = WORDS, 8, "far"
        await session.commit()
    return database


async def go(database, *, keep=HERE, user_id=MIRA):
    async with database.work() as session:
        await leave(
            session,
            user_id,
            keep=keep,
            name="Somebody",
            now=START + timedelta(hours=3),
            handling=UpdateId(6),
        )
        await session.commit()


async def places(database):
    async with database.reading() as session:
        day = await day_standings(
            session, chat_id=CHAT, challenge_id=FIRST, day_number=1, division="full"
        )
        week = await overall(
            session, chat_id=CHAT, challenge_id=FIRST, division="full", day_numbers=[1]
        )
    return [(p.place, p.name, p.rank_key) for p in day], [(p.place, p.name) for p in week]


async def every_cell(database):
    """Give everything the database holds, as text; waiting updates are another's turn."""
    async with database.reading() as session:
        found = []
        for table in Base.metadata.sorted_tables:
            for row in (await session.execute(select(table))).mappings():
                if table.name != "inbox" or row["update_id"] != 5:
                    found += [(table.name, key, str(value)) for key, value in row.items()]
    return found


@pytest.mark.parametrize("keep", [HERE, set()], ids=["keep_place", "remove"])
async def test_nothing_of_the_person_is_left_anywhere(played, keep):
    spoken_of_by_others = {("inbox", "payload", f"{MIRA}")}

    def of_mira(cells):
        signs = (NAME, json.dumps(NAME)[1:-1], WORDS, "knee", str(MIRA))
        return [cell for cell in cells if any(sign in cell[2] for sign in signs)]

    before = {table for table, _, _ in of_mira(await every_cell(played))}
    assert before >= {"participants", "results", "result_changes", "asks", "inbox", "owed"}

    await go(played, keep=keep)

    left = of_mira(await every_cell(played))
    assert [(table, key) for table, key, _ in left] == [
        (table, key)
        for table, key, _ in spoken_of_by_others  # a number that is no id
    ]
    assert f"my reps: {MIRA}" in left[0][2]


async def test_a_kept_place_is_nobodys_and_changes_no_other(played):
    day, week = await places(played)
    assert [place for place, *_ in day] == [1, 2]

    await go(played)

    assert await places(played) == (
        [(p, n.replace(NAME, "Somebody"), key) for p, n, key in day],
        [(p, n.replace(NAME, "Somebody")) for p, n in week],
    )
    async with played.reading() as session:
        rows = (await session.scalars(select(ResultRow).where(ResultRow.user_id < 0))).all()
        assert [(r.user_id, r.raw_text, r.effort, r.load_g, r.mark) for r in rows] == [
            (-1, "", None, None, None)
        ]


async def test_a_removed_result_lets_the_places_close_up(played):
    await go(played, keep=set(), user_id=TOMO)

    assert await places(played) == ([(1, NAME, 225)], [(1, NAME)])


async def test_several_who_leave_stay_apart(played):
    for user_id in (MIRA, TOMO, LENA):
        await go(played, user_id=user_id)

    async with played.reading() as session:
        found = await session.scalars(select(ParticipantRow.user_id))
        assert sorted(found) == [-3, -2, -1]
        assert (await session.scalars(select(ChangeRow.by))).all() == []
    assert [p for p, *_ in (await places(played))[0]] == [1, 2]


async def test_who_left_may_join_again_beside_the_old_place(played):
    await go(played)

    async with played.work() as session:
        await a_participant(session, MIRA)
        await results.record(session, an_entry(MIRA, rank_key=240), **TOLD, by=MIRA)
        await session.commit()

    assert (await places(played))[0] == [(1, "Mira", 240), (2, "Tomo", 230), (3, "Somebody", 225)]


async def test_the_others_keep_their_words_and_history(played):
    async with played.reading() as session:
        key = {"chat_id": CHAT, "challenge_id": FIRST, "day_number": 1, "user_id": LENA}
        before = await results.history(session, **key)

    await go(played)

    async with played.reading() as session:
        after = await results.history(session, **key)
        open_ask = await asks.open_ask_of(session, CHAT, TOMO)
    assert [(c.kind, c.why, c.after) for c in after] == [(c.kind, c.why, c.after) for c in before]
    assert [c.by for c in after] == [LENA, LENA, 0]
    assert open_ask is not None
    assert open_ask.raw_text == "45"


async def test_questions_keep_their_numbers_and_updates_their_ids(played):
    await go(played)

    async with played.work() as session:
        assert (await an_ask(session, TOMO)).ask_id == 3
        asked = await session.execute(
            select(AskRow.ask_id, AskRow.user_id).order_by(AskRow.ask_id)
        )
        assert asked.all() == [(1, TOMO), (2, 0), (3, TOMO)]
        assert await inbox.receive(session, [an_update(1, MIRA, WORDS)], START) == 0
        waiting = {update.update_id for update in await inbox.waiting(session, limit=9)}
        assert waiting == {5, 6}  # the one that said so is marked done by its handler
        payloads = await session.execute(
            select(UpdateRow.update_id, UpdateRow.payload).order_by(UpdateRow.update_id)
        )
        assert [number for number, payload in payloads if payload == "{}"] == [1, 2, 3, 6]


async def test_leaving_twice_changes_nothing_more(played):
    await go(played)
    before = await every_cell(played)

    await go(played)

    assert await every_cell(played) == before


async def test_a_person_is_given_every_row_about_them(played):
    async with played.reading() as session:
        found = await kept_about(session, MIRA)
        of_nobody = await kept_about(session, UserId(1))

    assert {table: len(rows) for table, rows in found.items()} == {
        "participants": 1,
        "results": 1,
        "result_changes": 3,  # two of her own, one that she made as an organiser
        "asks": 1,
        "private_chats": 1,
        "organisers": 1,
        "owed": 1,
        "challenges": 0,
        "plan_changes": 1,
        "drafts": 1,
        "inbox": 3,  # not the one in which somebody replied to her
    }
    assert [row["update_id"] for row in found["inbox"]] == [1, 5, 6]
    assert [set(row) >= {"before", "after"} for row in found["result_changes"]] == [
        True,
        True,
        False,
    ]
    assert found["participants"][0]["name"] == NAME
    assert found["results"][0]["raw_text"] == WORDS
    assert not any(of_nobody.values())
