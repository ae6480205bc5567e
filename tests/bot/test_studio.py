"""Reviews and pictures are made beside the conversation, once each, and end in an answer."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable
from datetime import UTC, datetime

from bot.calls import Call, Say, SendPhoto, call_from_json
from bot.studio import Studio, Study, Wanted
from content.loading import DEMO, load_challenge
from store import owed
from store.engine import Database

CONTENT = load_challenge(DEMO)
NOW = datetime(2026, 6, 1, 6, 0, tzinfo=UTC)
REVIEW = Study(5001, CONTENT, Wanted.REVIEW)


async def calls(database: Database) -> list[object]:
    async with database.reading() as session:
        return [call_from_json(each.call) for each in await owed.owed(session, NOW, limit=9)]


async def test_a_review_and_a_picture_are_owed_like_any_answer(database: Database):
    rung = []
    at_work = Studio(database, lambda: NOW, lambda: rung.append(1))

    at_work.begin([REVIEW, Study(5001, CONTENT, Wanted.PICTURE, 1)])
    await at_work.settle()

    review, picture = await calls(database)
    assert isinstance(review, Say)
    assert "Review: Seven Mornings on the Quay" in review.text
    assert isinstance(picture, SendPhoto)
    assert len(rung) == 2


async def test_a_day_without_expected_scores_has_no_picture(database: Database):
    at_work = Studio(database, lambda: NOW, lambda: None)

    at_work.begin([Study(5001, CONTENT, Wanted.PICTURE, 4)])
    await at_work.settle()

    [said] = await calls(database)
    assert isinstance(said, Say)
    assert said.text == "Day 4 has no expected scores to draw."


async def test_asked_for_twice_at_once_it_is_made_once(database: Database):
    at_work = Studio(database, lambda: NOW, lambda: None)

    at_work.begin([REVIEW, REVIEW])
    at_work.begin([REVIEW])
    await at_work.settle()

    assert len(await calls(database)) == 1


async def test_what_goes_wrong_is_told_and_does_not_stop_the_next(database: Database):
    tries = []

    def work(study: Study) -> list[Call]:
        tries.append(study)
        if len(tries) == 1:
            raise ArithmeticError
        return [Say(study.chat_id, "made")]

    at_work = Studio(database, lambda: NOW, lambda: None, work)
    for _ in range(2):
        at_work.begin([REVIEW])
        await at_work.settle()

    failed, made = await calls(database)
    assert isinstance(failed, Say)
    assert failed.text.startswith("The review went wrong.")
    assert made == Say(5001, "made")


def behind(gate: threading.Event) -> Callable[[Study], list[Call]]:
    """Give work that waits until the gate opens."""

    def work(study: Study) -> list[Call]:
        assert gate.wait(30)
        return [Say(study.chat_id, "made")]

    return work


async def test_the_conversation_goes_on_while_it_is_at_work(database: Database):
    """Were the work done on the loop, nothing could open the gate it waits for."""
    gate = threading.Event()
    at_work = Studio(database, lambda: NOW, lambda: None, behind(gate))

    at_work.begin([REVIEW])
    await asyncio.sleep(0)
    gate.set()
    await at_work.settle()

    assert await calls(database) == [Say(5001, "made")]


async def test_a_stop_leaves_nothing_running_and_nothing_owed(database: Database):
    gate = threading.Event()
    at_work = Studio(database, lambda: NOW, lambda: None, behind(gate))
    at_work.begin([REVIEW])
    await asyncio.sleep(0)

    await at_work.stop()
    gate.set()

    await at_work.settle()
    assert await calls(database) == []
