"""The tables as mapped classes, and the way from a row to a value.

A chat's rows carry its id first in their key, so that a chat can live on one shard, and hang on
`groups`: changing the id there changes it everywhere. Rows never leave the store; its functions
hand out the frozen values of `store.values`.
"""

from __future__ import annotations

from dataclasses import fields
from datetime import date, datetime
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar

from sqlalchemy import BigInteger, Enum, ForeignKeyConstraint, Index, MetaData, String, Text, text
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

from store.types import UtcDateTime
from store.values import (
    ChallengeId,
    ChangeKind,
    ChatId,
    PostState,
    ResultState,
    UpdateId,
    UserId,
)

if TYPE_CHECKING:
    from enum import StrEnum

    from _typeshed import DataclassInstance

    Value = TypeVar("Value", bound=DataclassInstance)


def _words(kind: type[StrEnum]) -> Enum:
    """Store a StrEnum as its text, the same on every database."""
    return Enum(
        kind, native_enum=False, length=16, values_callable=lambda members: [*map(str, members)]
    )


def _hangs_on(
    parent: str, *columns: str, remote: tuple[str, ...] = (), later: bool = False
) -> ForeignKeyConstraint:
    """Refer to `parent`; follow it when its key changes and go with it when it goes.

    `later`: check at commit. A table that hangs on two parents needs it, because a changed chat id
    reaches it through one of them before the other has changed.
    """
    return ForeignKeyConstraint(
        columns,
        [f"{parent}.{column}" for column in remote or columns],
        onupdate="CASCADE",
        ondelete="CASCADE",
        deferrable=later or None,
        initially="DEFERRED" if later else None,
    )


def _where(condition: str) -> dict[str, Any]:
    """Say a partial index's condition to both databases."""
    return {"sqlite_where": text(condition), "postgresql_where": text(condition)}


class Base(DeclarativeBase):
    """Types by annotation, constraint names by convention (batch migrations need names)."""

    metadata = MetaData(
        naming_convention={
            "pk": "pk_%(table_name)s",
            "fk": "fk_%(table_name)s_%(referred_table_name)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        }
    )
    type_annotation_map: ClassVar = {
        int: BigInteger,
        ChatId: BigInteger,
        UserId: BigInteger,
        ChallengeId: BigInteger,
        UpdateId: BigInteger,
        str: String,
        datetime: UtcDateTime,
        ResultState: _words(ResultState),
        ChangeKind: _words(ChangeKind),
        PostState: _words(PostState),
    }


class GroupRow(Base):
    """A group chat. Everything of a chat hangs on this row."""

    __tablename__ = "groups"

    chat_id: Mapped[ChatId] = mapped_column(primary_key=True, autoincrement=False)
    title: Mapped[str]
    is_active: Mapped[bool]  # False: the bot cannot write there
    updated_at: Mapped[datetime]


class MovedChatRow(Base):
    """Where a group chat went when it got a new id. Hangs on no group: the old one is gone."""

    __tablename__ = "moved_chats"

    old_chat_id: Mapped[ChatId] = mapped_column(primary_key=True, autoincrement=False)
    new_chat_id: Mapped[ChatId]


class SentFileRow(Base):
    """A file the platform keeps for a bot. It hangs on no chat: any chat may get it again."""

    __tablename__ = "sent_files"

    bot_id: Mapped[UserId] = mapped_column(primary_key=True, autoincrement=False)
    name: Mapped[str] = mapped_column(primary_key=True)
    file_id: Mapped[str]
    sent_at: Mapped[datetime]


class OrganiserRow(Base):
    """A person named as organiser of a group, beside its administrators."""

    __tablename__ = "organisers"
    __table_args__ = (_hangs_on("groups", "chat_id"),)

    chat_id: Mapped[ChatId] = mapped_column(primary_key=True)
    user_id: Mapped[UserId] = mapped_column(primary_key=True)


class PrivateChatRow(Base):
    """Whether a person's private chat can be written to. Its id is the person's id."""

    __tablename__ = "private_chats"

    chat_id: Mapped[ChatId] = mapped_column(primary_key=True, autoincrement=False)
    can_write_to: Mapped[bool]


class ChallengeRow(Base):
    """See `values.Challenge`. At most one per chat has not ended."""

    __tablename__ = "challenges"
    __table_args__ = (
        _hangs_on("groups", "chat_id"),
        Index("ix_challenges_running", "chat_id", unique=True, **_where("ended_at IS NULL")),
    )

    chat_id: Mapped[ChatId] = mapped_column(primary_key=True)
    challenge_id: Mapped[ChallengeId] = mapped_column(primary_key=True)
    title: Mapped[str]
    tz: Mapped[str]
    start_date: Mapped[date]
    content: Mapped[str] = mapped_column(Text)
    thread_id: Mapped[int | None]
    organiser_id: Mapped[UserId]
    created_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]
    paused_at: Mapped[datetime | None]
    calendar_id: Mapped[str]


class DayRow(Base):
    """See `values.Day`."""

    __tablename__ = "days"
    __table_args__ = (_hangs_on("challenges", "chat_id", "challenge_id"),)

    chat_id: Mapped[ChatId] = mapped_column(primary_key=True)
    challenge_id: Mapped[ChallengeId] = mapped_column(primary_key=True)
    day_number: Mapped[int] = mapped_column(primary_key=True)
    is_rest: Mapped[bool]
    opens_at: Mapped[datetime]
    closes_at: Mapped[datetime]
    make_up_until: Mapped[datetime]
    on_date: Mapped[date]
    is_skipped: Mapped[bool]


class PlanChangeRow(Base):
    """See `values.PlanChange`."""

    __tablename__ = "plan_changes"
    __table_args__ = (_hangs_on("challenges", "chat_id", "challenge_id"),)

    chat_id: Mapped[ChatId] = mapped_column(primary_key=True)
    challenge_id: Mapped[ChallengeId] = mapped_column(primary_key=True)
    change_number: Mapped[int] = mapped_column(primary_key=True)
    by: Mapped[UserId]
    by_name: Mapped[str]
    at: Mapped[datetime]
    what: Mapped[str] = mapped_column(Text)
    told_at: Mapped[datetime | None]


class ParticipantRow(Base):
    """See `values.Participant`; whether one can write to the person is in `private_chats`."""

    __tablename__ = "participants"
    __table_args__ = (
        _hangs_on("challenges", "chat_id", "challenge_id"),
        Index("ix_participants_user", "user_id"),
    )

    chat_id: Mapped[ChatId] = mapped_column(primary_key=True)
    challenge_id: Mapped[ChallengeId] = mapped_column(primary_key=True)
    user_id: Mapped[UserId] = mapped_column(primary_key=True)
    name: Mapped[str]
    division: Mapped[str]
    language: Mapped[str]
    joined_at: Mapped[datetime]


class ResultRow(Base):
    """See `values.Result`."""

    __tablename__ = "results"
    __table_args__ = (
        _hangs_on("days", "chat_id", "challenge_id", "day_number", later=True),
        _hangs_on("participants", "chat_id", "challenge_id", "user_id", later=True),
        Index(
            "ix_results_ranking",
            *("chat_id", "challenge_id", "day_number", "division", "state", "rank_key"),
        ),
        Index("ix_results_person", "chat_id", "challenge_id", "user_id"),
        Index("ix_results_message", "message_chat_id", "message_id"),
    )

    chat_id: Mapped[ChatId] = mapped_column(primary_key=True)
    challenge_id: Mapped[ChallengeId] = mapped_column(primary_key=True)
    day_number: Mapped[int] = mapped_column(primary_key=True)
    user_id: Mapped[UserId] = mapped_column(primary_key=True)
    division: Mapped[str]
    rank_key: Mapped[int]
    result: Mapped[str] = mapped_column(Text)
    raw_text: Mapped[str] = mapped_column(Text)
    message_chat_id: Mapped[ChatId]
    message_id: Mapped[int]
    said_at: Mapped[datetime]
    recorded_at: Mapped[datetime]
    state: Mapped[ResultState]
    effort: Mapped[int | None]
    load_g: Mapped[int | None]
    mark: Mapped[str | None]


class ChangeRow(Base):
    """See `values.Change`. The message is that of `after`, to be found by."""

    __tablename__ = "result_changes"
    __table_args__ = (
        _hangs_on("results", "chat_id", "challenge_id", "day_number", "user_id"),
        Index("ix_result_changes_message", "message_chat_id", "message_id"),
    )

    chat_id: Mapped[ChatId] = mapped_column(primary_key=True)
    challenge_id: Mapped[ChallengeId] = mapped_column(primary_key=True)
    day_number: Mapped[int] = mapped_column(primary_key=True)
    user_id: Mapped[UserId] = mapped_column(primary_key=True)
    change_number: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[ChangeKind]
    by: Mapped[UserId]
    at: Mapped[datetime]
    why: Mapped[str]
    before: Mapped[str | None] = mapped_column(Text)
    after: Mapped[str] = mapped_column(Text)
    message_chat_id: Mapped[ChatId]
    message_id: Mapped[int]


class PostRow(Base):
    """See `values.Post`. The key is what makes a post happen once."""

    __tablename__ = "posts"
    __table_args__ = (
        _hangs_on("challenges", "chat_id", "challenge_id"),
        Index("ix_posts_due", "state", "due_at"),
    )

    chat_id: Mapped[ChatId] = mapped_column(primary_key=True)
    challenge_id: Mapped[ChallengeId] = mapped_column(primary_key=True)
    day_number: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str] = mapped_column(primary_key=True)
    due_at: Mapped[datetime]
    useful_until: Mapped[datetime]
    state: Mapped[PostState]
    claimed_at: Mapped[datetime | None]
    sent_at: Mapped[datetime | None]
    skipped_at: Mapped[datetime | None]
    message_id: Mapped[int | None]
    note: Mapped[str]


class AskRow(Base):
    """See `values.Ask`."""

    __tablename__ = "asks"
    __table_args__ = (
        _hangs_on("challenges", "chat_id", "challenge_id"),
        Index("ix_asks_open", "chat_id", "user_id", **_where("closed_at IS NULL")),
    )

    chat_id: Mapped[ChatId] = mapped_column(primary_key=True)
    ask_id: Mapped[int] = mapped_column(primary_key=True)
    challenge_id: Mapped[ChallengeId]
    user_id: Mapped[UserId]
    day_number: Mapped[int]
    kind: Mapped[str]
    choices: Mapped[str] = mapped_column(Text)
    raw_text: Mapped[str] = mapped_column(Text)
    message_chat_id: Mapped[ChatId]
    message_id: Mapped[int]
    said_at: Mapped[datetime]
    asked_at: Mapped[datetime]
    closed_at: Mapped[datetime | None]


class DraftRow(Base):
    """What a person is writing, in the private chat with that id. Hangs on no group."""

    __tablename__ = "drafts"

    chat_id: Mapped[ChatId] = mapped_column(primary_key=True, autoincrement=False)
    written: Mapped[str] = mapped_column(Text)  # JSON, opaque to the store
    changed_at: Mapped[datetime]


class UpdateRow(Base):
    """A raw update as received. Keyed by update id: that is what makes receiving it twice one."""

    __tablename__ = "inbox"
    __table_args__ = (
        Index(
            "ix_inbox_waiting", "update_id", **_where("done_at IS NULL AND set_aside_at IS NULL")
        ),
        Index("ix_inbox_done", "done_at"),
    )

    update_id: Mapped[UpdateId] = mapped_column(primary_key=True, autoincrement=False)
    chat_id: Mapped[ChatId]
    payload: Mapped[str] = mapped_column(Text)
    received_at: Mapped[datetime]
    done_at: Mapped[datetime | None]
    set_aside_at: Mapped[datetime | None]  # never handled again, kept to look at
    attempts: Mapped[int]  # failed ones
    failed_at: Mapped[datetime | None]  # the last time
    error: Mapped[str | None] = mapped_column(Text)


class OwedRow(Base):
    """See `values.Owed`. The chat may be a private one, so it hangs on no group."""

    __tablename__ = "owed"
    __table_args__ = (Index("ix_owed_not_before", "not_before"),)

    chat_id: Mapped[ChatId] = mapped_column(primary_key=True)
    owed_id: Mapped[int] = mapped_column(primary_key=True)
    call: Mapped[str] = mapped_column(Text)
    created_at: Mapped[datetime]
    not_before: Mapped[datetime]
    useful_until: Mapped[datetime]
    attempts: Mapped[int]


def to_value(kind: type[Value], row: Base) -> Value:
    """Copy a row into the frozen value whose fields bear the same names."""
    return kind(**{field.name: getattr(row, field.name) for field in fields(kind)})
