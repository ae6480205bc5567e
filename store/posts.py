"""Planned posts: what is due, and the steps that make each happen at most once.

A post is claimed and the claim committed before it is sent; its message id is stored after. If
the program dies in between, the post stays claimed, and it is not sent again: it becomes unknown
and an organiser decides. So a post may be missing after a crash, but never appears twice silently.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import and_, exists, func, select, true, update

from store.errors import PostElsewhere
from store.tables import ChallengeRow, GroupRow, PostRow, to_value
from store.values import Post, PostState

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence
    from datetime import datetime

    from sqlalchemy import ColumnElement, Select
    from sqlalchemy.ext.asyncio import AsyncSession

    from store.values import ChallengeId, ChatId

_STARTED = (PostState.CLAIMED, PostState.UNKNOWN)


async def due_posts(
    session: AsyncSession,
    now: datetime,
    *,
    limit: int,
    exclude_chats: Collection[ChatId] = (),
) -> tuple[Post, ...]:
    """Return planned posts of running challenges whose time has come, the earliest due first.

    Those of a paused challenge wait until it goes on.

    Posts of groups the bot cannot write to wait until it can; those no longer useful are among the
    posts returned, for the caller to skip. `exclude_chats` are to be left alone for now.
    """
    return await _posts(
        session,
        select(PostRow)
        .join(GroupRow, GroupRow.chat_id == PostRow.chat_id)
        .where(_is_planned(), PostRow.due_at <= now, PostRow.chat_id.not_in(exclude_chats))
        .order_by(PostRow.due_at, PostRow.chat_id, PostRow.day_number, PostRow.kind)
        .limit(limit),
    )


async def next_due_at(session: AsyncSession) -> datetime | None:
    """Return when the next planned post is due, perhaps in the past; None if none is planned.

    Looks at the posts that `due_posts` would return.
    """
    return await session.scalar(
        select(func.min(PostRow.due_at))
        .join(GroupRow, GroupRow.chat_id == PostRow.chat_id)
        .where(_is_planned())
    )


async def posts_of(
    session: AsyncSession, chat_id: ChatId, challenge_id: ChallengeId
) -> tuple[Post, ...]:
    """Return all posts of a challenge, whatever their state, the earliest due first."""
    return await _posts(
        session,
        select(PostRow)
        .where(PostRow.chat_id == chat_id, PostRow.challenge_id == challenge_id)
        .order_by(PostRow.due_at, PostRow.day_number, PostRow.kind),
    )


async def post_as_it_is(session: AsyncSession, post: Post) -> Post | None:
    """Return a post as it stands now; None if the plan has it no longer."""
    row = await session.scalar(
        select(PostRow).where(_is_post(post)).execution_options(populate_existing=True)
    )
    return None if row is None else to_value(Post, row)


async def claim(session: AsyncSession, post: Post, now: datetime) -> bool:
    """Take a planned post to send it.

    Commit before sending. False: another one has it, it is planned no longer or for another time,
    or its challenge has ended or is paused.
    """
    free = (
        select(PostRow.state)
        .where(_is_post(post), PostRow.state == PostState.PLANNED)
        .with_for_update(skip_locked=True)  # whoever has it decides; no use in waiting
    )
    if await session.scalar(free) is None:
        return False
    values = {"state": PostState.CLAIMED, "claimed_at": now}
    as_planned = and_(PostRow.due_at == post.due_at, _is_running(), _is_going_on())
    return await _moved(session, post, (PostState.PLANNED,), values, also=as_planned)


async def confirm(
    session: AsyncSession, post: Post, *, message_id: int | None, now: datetime
) -> None:
    """Note that a claimed post was sent, or that an unknown one turned out to be there.

    Raises:
        PostElsewhere: It was neither.
    """
    values = {"state": PostState.SENT, "sent_at": now, "message_id": message_id, "note": ""}
    await _move(session, post, _STARTED, values)


async def release(session: AsyncSession, post: Post) -> bool:
    """Plan a post again that was certainly not sent: refused, or unknown and found missing.

    False: its challenge has ended meanwhile. It is left as it is, for the caller to skip.

    Raises:
        PostElsewhere: It was neither claimed nor unknown.
    """
    values = {"state": PostState.PLANNED, "claimed_at": None, "note": ""}
    if await _moved(session, post, _STARTED, values, also=_is_running()):
        return True
    found = await _state(session, post)
    if found not in _STARTED:
        raise _elsewhere(post, found, _STARTED)
    return False


async def skip(session: AsyncSession, post: Post, *, why: str, now: datetime) -> None:
    """Give a post up that was not sent: too late to be useful, refused for good, or called off.

    Raises:
        PostElsewhere: It was sent or skipped already.
    """
    values = {"state": PostState.SKIPPED, "skipped_at": now, "note": why}
    await _move(session, post, (PostState.PLANNED, *_STARTED), values)


async def plan_again(session: AsyncSession, post: Post, now: datetime) -> bool:
    """Plan a post again, at once, that was given up; False: it was not, or its challenge ended."""
    values = {"state": PostState.PLANNED, "due_at": now, "skipped_at": None, "note": ""}
    return await _moved(session, post, (PostState.SKIPPED,), values, also=_is_running())


async def claimed_before(session: AsyncSession, before: datetime) -> tuple[Post, ...]:
    """Return posts claimed before an instant and not confirmed, the oldest claim first."""
    return await _posts(
        session,
        select(PostRow)
        .where(PostRow.state == PostState.CLAIMED, PostRow.claimed_at < before)
        .order_by(PostRow.claimed_at, PostRow.chat_id, PostRow.day_number, PostRow.kind),
    )


async def doubt(session: AsyncSession, *, since: datetime, now: datetime) -> None:
    """Take posts that fell due since a copy was made for interrupted: they may be out already.

    For a restored database. At the next start the organisers are asked about them; those no longer
    useful are skipped like any other.
    """
    await session.execute(
        update(PostRow)
        .where(
            PostRow.state == PostState.PLANNED,
            PostRow.due_at > since,
            PostRow.due_at <= now,
            PostRow.useful_until >= now,
        )
        .values(state=PostState.CLAIMED, claimed_at=since)
    )


async def mark_unknown(session: AsyncSession, post: Post, why: str) -> None:
    """Note that nobody knows whether a claimed post was sent.

    Raises:
        PostElsewhere: It is not claimed.
    """
    values = {"state": PostState.UNKNOWN, "note": why}
    await _move(session, post, (PostState.CLAIMED,), values)


def _is_planned() -> ColumnElement[bool]:
    is_active = GroupRow.is_active.is_(True)
    return and_(PostRow.state == PostState.PLANNED, is_active, _is_running(), _is_going_on())


def _is_running() -> ColumnElement[bool]:
    return _challenge_has(ChallengeRow.ended_at.is_(None))


def _is_going_on() -> ColumnElement[bool]:
    return _challenge_has(ChallengeRow.paused_at.is_(None))


def _challenge_has(condition: ColumnElement[bool]) -> ColumnElement[bool]:
    return exists().where(
        ChallengeRow.chat_id == PostRow.chat_id,
        ChallengeRow.challenge_id == PostRow.challenge_id,
        condition,
    )


async def _posts(session: AsyncSession, query: Select[PostRow]) -> tuple[Post, ...]:
    return tuple(to_value(Post, row) for row in await session.scalars(query))


async def _move(
    session: AsyncSession, post: Post, sources: Sequence[PostState], values: dict[str, Any]
) -> None:
    if not await _moved(session, post, sources, values):
        raise _elsewhere(post, await _state(session, post), sources)


async def _state(session: AsyncSession, post: Post) -> PostState | None:
    return await session.scalar(select(PostRow.state).where(_is_post(post)))


def _elsewhere(
    post: Post, found: PostState | None, expected: Sequence[PostState]
) -> PostElsewhere:
    name = f"{post.kind!r} of day {post.day_number}, chat {post.chat_id}"
    return PostElsewhere(name, found=found, expected=expected)


async def _moved(
    session: AsyncSession,
    post: Post,
    sources: Sequence[PostState],
    values: dict[str, Any],
    *,
    also: ColumnElement[bool] | None = None,
) -> bool:
    """Change a post if it is in one of the states; the database says whether it was."""
    moved = await session.execute(
        update(PostRow)
        .where(_is_post(post), PostRow.state.in_(sources), true() if also is None else also)
        .values(values)
        .returning(PostRow.state)
    )
    return moved.one_or_none() is not None


def _is_post(post: Post) -> ColumnElement[bool]:
    return and_(
        PostRow.chat_id == post.chat_id,
        PostRow.challenge_id == post.challenge_id,
        PostRow.day_number == post.day_number,
        PostRow.kind == post.kind,
    )
