"""Remember files that the platform keeps for us, so that each is sent up once."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from store.types import UtcDateTime

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "sent_files",
        sa.Column("bot_id", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("file_id", sa.String(), nullable=False),
        sa.Column("sent_at", UtcDateTime(), nullable=False),
        sa.PrimaryKeyConstraint("bot_id", "name", name=op.f("pk_sent_files")),
    )


def downgrade() -> None:
    op.drop_table("sent_files")
