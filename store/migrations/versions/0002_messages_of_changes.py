"""Find a change by its message; remember where chats moved."""

from __future__ import annotations

import json
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

_KEY = ("chat_id", "challenge_id", "day_number", "user_id", "change_number")
_NEW = ("message_chat_id", "message_id")
_CHANGES = sa.table(
    "result_changes", *map(sa.column, (*_KEY, *_NEW)), sa.column("after", sa.Text())
)


def upgrade() -> None:
    op.create_table(
        "moved_chats",
        sa.Column("old_chat_id", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("new_chat_id", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("old_chat_id", name=op.f("pk_moved_chats")),
    )
    for name in _NEW:
        op.add_column("result_changes", sa.Column(name, sa.BigInteger(), nullable=True))
    _fill()
    with op.batch_alter_table("result_changes") as table:
        for name in _NEW:
            table.alter_column(name, existing_type=sa.BigInteger(), nullable=False)
    op.create_index("ix_result_changes_message", "result_changes", [*_NEW])


def _fill() -> None:
    """Copy the message out of the JSON, row by row: databases read JSON each in their own way."""
    connection = op.get_bind()
    values = [
        {f"key_{name}": row[name] for name in _KEY}
        | {name: json.loads(row["after"])[name] for name in _NEW}
        for row in connection.execute(
            sa.select(*(_CHANGES.c[name] for name in (*_KEY, "after")))
        ).mappings()
    ]
    if values:
        same = sa.and_(*(_CHANGES.c[name] == sa.bindparam(f"key_{name}") for name in _KEY))
        new: dict[str, Any] = {name: sa.bindparam(name) for name in _NEW}
        connection.execute(sa.update(_CHANGES).where(same).values(new), values)


def downgrade() -> None:
    op.drop_index("ix_result_changes_message", "result_changes")
    with op.batch_alter_table("result_changes") as table:
        for name in _NEW:
            table.drop_column(name)
    op.drop_table("moved_chats")
