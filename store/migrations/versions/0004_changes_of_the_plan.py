"""Days on dates of their own, pauses, a name for calendars, the history of the plan."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any
from uuid import uuid4

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

_KEY = ("chat_id", "challenge_id")
_CHALLENGES = sa.table(
    "challenges",
    *map(sa.column, _KEY),
    sa.column("start_date", sa.Date()),
    sa.column("calendar_id", sa.String()),
)
_DAYS = sa.table(
    "days",
    *map(sa.column, (*_KEY, "day_number")),
    sa.column("on_date", sa.Date()),
    sa.column("is_skipped", sa.Boolean()),
)


def upgrade() -> None:
    op.add_column("challenges", sa.Column("paused_at", sa.DateTime(timezone=True), nullable=True))
    op.add_column("challenges", sa.Column("calendar_id", sa.String(), nullable=True))
    op.add_column("days", sa.Column("on_date", sa.Date(), nullable=True))
    op.add_column("days", sa.Column("is_skipped", sa.Boolean(), nullable=True))
    _fill()
    with op.batch_alter_table("challenges") as table:
        table.alter_column("calendar_id", existing_type=sa.String(), nullable=False)
    with op.batch_alter_table("days") as table:
        table.alter_column("on_date", existing_type=sa.Date(), nullable=False)
        table.alter_column("is_skipped", existing_type=sa.Boolean(), nullable=False)
    op.create_table(
        "plan_changes",
        sa.Column("chat_id", sa.BigInteger(), nullable=False),
        sa.Column("challenge_id", sa.BigInteger(), nullable=False),
        sa.Column("change_number", sa.BigInteger(), nullable=False),
        sa.Column("by", sa.BigInteger(), nullable=False),
        sa.Column("by_name", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("told_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["chat_id", "challenge_id"],
            ["challenges.chat_id", "challenges.challenge_id"],
            name=op.f("fk_plan_changes_challenges"),
            onupdate="CASCADE",
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint(
            "chat_id", "challenge_id", "change_number", name=op.f("pk_plan_changes")
        ),
    )


def _fill() -> None:
    """Until now the days of a challenge were on consecutive dates, and none was skipped."""
    connection = op.get_bind()
    connection.execute(sa.update(_DAYS).values(is_skipped=False))
    starts: dict[Any, date] = {}
    for row in connection.execute(sa.select(*(_CHALLENGES.c[n] for n in (*_KEY, "start_date")))):
        starts[row.chat_id, row.challenge_id] = row.start_date
        connection.execute(_same(_CHALLENGES, row).values(calendar_id=uuid4().hex))
    for row in connection.execute(sa.select(*(_DAYS.c[n] for n in (*_KEY, "day_number")))):
        start = starts[row.chat_id, row.challenge_id]
        on_date = start + timedelta(days=row.day_number - 1)
        one_day = _same(_DAYS, row).where(_DAYS.c.day_number == row.day_number)
        connection.execute(one_day.values(on_date=on_date))


def _same(table: sa.TableClause, row: Any) -> sa.Update:
    return sa.update(table).where(*(table.c[name] == getattr(row, name) for name in _KEY))


def downgrade() -> None:
    op.drop_table("plan_changes")
    with op.batch_alter_table("days") as table:
        table.drop_column("is_skipped")
        table.drop_column("on_date")
    with op.batch_alter_table("challenges") as table:
        table.drop_column("calendar_id")
        table.drop_column("paused_at")
