"""Values with defaults, and a running challenge to test on."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

from store.asks import open_ask
from store.challenges import start_challenge
from store.people import join
from store.tables import ParticipantRow, ResultRow
from store.values import (
    Challenge,
    ChallengeId,
    ChatId,
    Day,
    Entry,
    PostPlan,
    ResultState,
    UserId,
)

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from sqlalchemy.ext.asyncio import AsyncSession

    from store.values import Ask

CHAT = ChatId(-1_001_234_567_890)
FIRST = ChallengeId(1)
COACH = UserId(900)
MIRA = UserId(7_000_000_001)
TOMO = UserId(7_000_000_002)
START = datetime(2026, 3, 2, 4, 0, tzinfo=UTC)  # day 1 opens


def a_day(number: int, *, is_rest: bool = False) -> Day:
    """A day of 18 hours that can be made up until 48 hours after it opened."""
    opens_at = START + timedelta(days=number - 1)
    return Day(
        number=number,
        is_rest=is_rest,
        on_date=opens_at.date(),
        opens_at=opens_at,
        closes_at=opens_at + timedelta(hours=18),
        make_up_until=opens_at + timedelta(hours=48),
    )


def some_days(count: int, *, rest: Collection[int] = ()) -> tuple[Day, ...]:
    return tuple(a_day(number, is_rest=number in rest) for number in range(1, count + 1))


def a_plan(day_number: int = 1, kind: str = "day", *, after_h: int = 0) -> PostPlan:
    due_at = START + timedelta(days=day_number - 1, hours=after_h)
    return PostPlan(
        day_number=day_number, kind=kind, due_at=due_at, useful_until=due_at + timedelta(hours=6)
    )


async def a_challenge(
    session: AsyncSession,
    *,
    chat_id: ChatId = CHAT,
    days: Sequence[Day] = (),
    posts: Sequence[PostPlan] = (),
) -> Challenge:
    return await start_challenge(
        session,
        chat_id=chat_id,
        title="Seven mornings",
        tz="Europe/Lisbon",
        start_date=date(2026, 3, 2),
        content="{}",
        thread_id=None,
        organiser_id=COACH,
        days=days or some_days(7, rest=(4,)),
        posts=posts,
        now=START - timedelta(days=1),
    )


async def a_participant(
    session: AsyncSession,
    user_id: UserId = MIRA,
    *,
    chat_id: ChatId = CHAT,
    division: str = "full",
    name: str = "Mira",
    now: datetime = START,
) -> None:
    await join(
        session,
        chat_id=chat_id,
        challenge_id=FIRST,
        user_id=user_id,
        name=name,
        division=division,
        language="en",
        now=now,
    )


def an_entry(
    user_id: UserId = MIRA,
    *,
    chat_id: ChatId = CHAT,
    day_number: int = 1,
    division: str = "full",
    rank_key: int = 225,
    message_id: int = 10,
    said_at: datetime = START + timedelta(hours=2),
) -> Entry:
    return Entry(
        chat_id=chat_id,
        challenge_id=FIRST,
        day_number=day_number,
        user_id=user_id,
        division=division,
        rank_key=rank_key,
        result=f'{{"total_reps":{rank_key}}}',
        raw_text=f"{rank_key} reps",
        message_chat_id=chat_id,
        message_id=message_id,
        said_at=said_at,
    )


async def an_ask(session: AsyncSession, user_id: UserId = MIRA, *, message_id: int = 10) -> Ask:
    return await open_ask(
        session,
        chat_id=CHAT,
        challenge_id=FIRST,
        user_id=user_id,
        day_number=1,
        kind="score",
        choices="[]",
        raw_text="45",
        message_chat_id=CHAT,
        message_id=message_id,
        said_at=START,
        now=START,
    )


async def people_at_home(session: AsyncSession, homes: Mapping[int, str]) -> None:
    """Enter many people at once: home division by user id."""
    session.add_all(
        [
            ParticipantRow(
                chat_id=CHAT,
                challenge_id=FIRST,
                user_id=UserId(user_id),
                name=f"Person {user_id}",
                division=division,
                language="en",
                joined_at=START,
            )
            for user_id, division in homes.items()
        ]
    )
    await session.flush()


async def scores(
    session: AsyncSession,
    keys: Mapping[tuple[int, int], tuple[str, int]],
    *,
    state: ResultState = ResultState.COUNTED,
) -> None:
    """Store many results at once: (user id, day number) to (division done, rank key)."""
    session.add_all(
        [
            ResultRow(
                chat_id=CHAT,
                challenge_id=FIRST,
                day_number=day_number,
                user_id=UserId(user_id),
                division=division,
                rank_key=rank_key,
                result="{}",
                raw_text="",
                message_chat_id=CHAT,
                message_id=0,
                said_at=START,
                recorded_at=START,
                state=state,
            )
            for (user_id, day_number), (division, rank_key) in keys.items()
        ]
    )
    await session.flush()
