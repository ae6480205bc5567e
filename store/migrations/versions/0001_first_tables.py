"""First tables."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "groups",
        sa.Column("chat_id", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("is_active", sa.Boolean(), nullable=False),
        sa.Column("updated_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("chat_id", name=op.f("pk_groups")),
    )
    op.create_table(
        "inbox",
        sa.Column("update_id", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("chat_id", sa.BigInteger(), nullable=False),
        sa.Column("payload", sa.Text(), nullable=False),
        sa.Column("received_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("done_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("set_aside_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("attempts", sa.BigInteger(), nullable=False),
        sa.Column("failed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("error", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("update_id", name=op.f("pk_inbox")),
    )
    op.create_index("ix_inbox_done", "inbox", ["done_at"])
    op.create_index(
        "ix_inbox_waiting",
        "inbox",
        ["update_id"],
        sqlite_where=sa.text("done_at IS NULL AND set_aside_at IS NULL"),
        postgresql_where=sa.text("done_at IS NULL AND set_aside_at IS NULL"),
    )

    op.create_table(
        "owed",
        sa.Column("chat_id", sa.BigInteger(), nullable=False),
        sa.Column("owed_id", sa.BigInteger(), nullable=False),
        sa.Column("call", sa.Text(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("not_before", sa.DateTime(timezone=True), nullable=False),
        sa.Column("useful_until", sa.DateTime(timezone=True), nullable=False),
        sa.Column("attempts", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("chat_id", "owed_id", name=op.f("pk_owed")),
    )
    op.create_index("ix_owed_not_before", "owed", ["not_before"])

    op.create_table(
        "private_chats",
        sa.Column("chat_id", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("can_write_to", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("chat_id", name=op.f("pk_private_chats")),
    )
    op.create_table(
        "challenges",
        sa.Column("chat_id", sa.BigInteger(), nullable=False),
        sa.Column("challenge_id", sa.BigInteger(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("tz", sa.String(), nullable=False),
        sa.Column("start_date", sa.Date(), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
        sa.Column("thread_id", sa.BigInteger(), nullable=True),
        sa.Column("organiser_id", sa.BigInteger(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["chat_id"],
            ["groups.chat_id"],
            name=op.f("fk_challenges_groups"),
            onupdate="CASCADE",
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("chat_id", "challenge_id", name=op.f("pk_challenges")),
    )
    op.create_index(
        "ix_challenges_running",
        "challenges",
        ["chat_id"],
        unique=True,
        sqlite_where=sa.text("ended_at IS NULL"),
        postgresql_where=sa.text("ended_at IS NULL"),
    )

    op.create_table(
        "organisers",
        sa.Column("chat_id", sa.BigInteger(), nullable=False),
        sa.Column("user_id", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(
            ["chat_id"],
            ["groups.chat_id"],
            name=op.f("fk_organisers_groups"),
            onupdate="CASCADE",
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("chat_id", "user_id", name=op.f("pk_organisers")),
    )
    op.create_table(
        "asks",
        sa.Column("chat_id", sa.BigInteger(), nullable=False),
        sa.Column("ask_id", sa.BigInteger(), nullable=False),
        sa.Column("challenge_id", sa.BigInteger(), nullable=False),
        sa.Column("user_id", sa.BigInteger(), nullable=False),
        sa.Column("day_number", sa.BigInteger(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("choices", sa.Text(), nullable=False),
        sa.Column("raw_text", sa.Text(), nullable=False),
        sa.Column("message_chat_id", sa.BigInteger(), nullable=False),
        sa.Column("message_id", sa.BigInteger(), nullable=False),
        sa.Column("said_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("asked_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("closed_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["chat_id", "challenge_id"],
            ["challenges.chat_id", "challenges.challenge_id"],
            name=op.f("fk_asks_challenges"),
            onupdate="CASCADE",
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("chat_id", "ask_id", name=op.f("pk_asks")),
    )
    op.create_index(
        "ix_asks_open",
        "asks",
        ["chat_id", "user_id"],
        sqlite_where=sa.text("closed_at IS NULL"),
        postgresql_where=sa.text("closed_at IS NULL"),
    )

    op.create_table(
        "days",
        sa.Column("chat_id", sa.BigInteger(), nullable=False),
        sa.Column("challenge_id", sa.BigInteger(), nullable=False),
        sa.Column("day_number", sa.BigInteger(), nullable=False),
        sa.Column("is_rest", sa.Boolean(), nullable=False),
        sa.Column("opens_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("closes_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("make_up_until", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["chat_id", "challenge_id"],
            ["challenges.chat_id", "challenges.challenge_id"],
            name=op.f("fk_days_challenges"),
            onupdate="CASCADE",
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("chat_id", "challenge_id", "day_number", name=op.f("pk_days")),
    )
    op.create_table(
        "participants",
        sa.Column("chat_id", sa.BigInteger(), nullable=False),
        sa.Column("challenge_id", sa.BigInteger(), nullable=False),
        sa.Column("user_id", sa.BigInteger(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("division", sa.String(), nullable=False),
        sa.Column("language", sa.String(), nullable=False),
        sa.Column("joined_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["chat_id", "challenge_id"],
            ["challenges.chat_id", "challenges.challenge_id"],
            name=op.f("fk_participants_challenges"),
            onupdate="CASCADE",
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint(
            "chat_id", "challenge_id", "user_id", name=op.f("pk_participants")
        ),
    )
    op.create_index("ix_participants_user", "participants", ["user_id"])

    op.create_table(
        "posts",
        sa.Column("chat_id", sa.BigInteger(), nullable=False),
        sa.Column("challenge_id", sa.BigInteger(), nullable=False),
        sa.Column("day_number", sa.BigInteger(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("due_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("useful_until", sa.DateTime(timezone=True), nullable=False),
        sa.Column(
            "state",
            sa.Enum(
                "planned",
                "claimed",
                "sent",
                "skipped",
                "unknown",
                name="poststate",
                native_enum=False,
                length=16,
            ),
            nullable=False,
        ),
        sa.Column("claimed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("sent_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("skipped_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("message_id", sa.BigInteger(), nullable=True),
        sa.Column("note", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["chat_id", "challenge_id"],
            ["challenges.chat_id", "challenges.challenge_id"],
            name=op.f("fk_posts_challenges"),
            onupdate="CASCADE",
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint(
            "chat_id", "challenge_id", "day_number", "kind", name=op.f("pk_posts")
        ),
    )
    op.create_index("ix_posts_due", "posts", ["state", "due_at"])

    op.create_table(
        "results",
        sa.Column("chat_id", sa.BigInteger(), nullable=False),
        sa.Column("challenge_id", sa.BigInteger(), nullable=False),
        sa.Column("day_number", sa.BigInteger(), nullable=False),
        sa.Column("user_id", sa.BigInteger(), nullable=False),
        sa.Column("division", sa.String(), nullable=False),
        sa.Column("rank_key", sa.BigInteger(), nullable=False),
        sa.Column("result", sa.Text(), nullable=False),
        sa.Column("raw_text", sa.Text(), nullable=False),
        sa.Column("message_chat_id", sa.BigInteger(), nullable=False),
        sa.Column("message_id", sa.BigInteger(), nullable=False),
        sa.Column("said_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("recorded_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column(
            "state",
            sa.Enum(
                "counted",
                "late",
                "no_rep",
                "withdrawn",
                name="resultstate",
                native_enum=False,
                length=16,
            ),
            nullable=False,
        ),
        sa.ForeignKeyConstraint(
            ["chat_id", "challenge_id", "day_number"],
            ["days.chat_id", "days.challenge_id", "days.day_number"],
            name=op.f("fk_results_days"),
            onupdate="CASCADE",
            ondelete="CASCADE",
            initially="DEFERRED",
            deferrable=True,
        ),
        sa.ForeignKeyConstraint(
            ["chat_id", "challenge_id", "user_id"],
            ["participants.chat_id", "participants.challenge_id", "participants.user_id"],
            name=op.f("fk_results_participants"),
            onupdate="CASCADE",
            ondelete="CASCADE",
            initially="DEFERRED",
            deferrable=True,
        ),
        sa.PrimaryKeyConstraint(
            "chat_id", "challenge_id", "day_number", "user_id", name=op.f("pk_results")
        ),
    )
    op.create_index("ix_results_message", "results", ["message_chat_id", "message_id"])
    op.create_index("ix_results_person", "results", ["chat_id", "challenge_id", "user_id"])
    op.create_index(
        "ix_results_ranking",
        "results",
        ["chat_id", "challenge_id", "day_number", "division", "state", "rank_key"],
    )

    op.create_table(
        "result_changes",
        sa.Column("chat_id", sa.BigInteger(), nullable=False),
        sa.Column("challenge_id", sa.BigInteger(), nullable=False),
        sa.Column("day_number", sa.BigInteger(), nullable=False),
        sa.Column("user_id", sa.BigInteger(), nullable=False),
        sa.Column("change_number", sa.BigInteger(), nullable=False),
        sa.Column(
            "kind",
            sa.Enum(
                "recorded",
                "corrected",
                "no_rep",
                "withdrawn",
                "reinstated",
                name="changekind",
                native_enum=False,
                length=16,
            ),
            nullable=False,
        ),
        sa.Column("by", sa.BigInteger(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("why", sa.String(), nullable=False),
        sa.Column("before", sa.Text(), nullable=True),
        sa.Column("after", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["chat_id", "challenge_id", "day_number", "user_id"],
            ["results.chat_id", "results.challenge_id", "results.day_number", "results.user_id"],
            name=op.f("fk_result_changes_results"),
            onupdate="CASCADE",
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint(
            "chat_id",
            "challenge_id",
            "day_number",
            "user_id",
            "change_number",
            name=op.f("pk_result_changes"),
        ),
    )


def downgrade() -> None:
    for table in (
        "result_changes",
        "results",
        "posts",
        "participants",
        "days",
        "asks",
        "organisers",
        "challenges",
        "private_chats",
        "owed",
        "inbox",
        "groups",
    ):
        op.drop_table(table)
