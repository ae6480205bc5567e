"""Keep effort and load with a result, and a mark for what an organiser should look at."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    for name in ("effort", "load_g"):
        op.add_column("results", sa.Column(name, sa.BigInteger(), nullable=True))
    op.add_column("results", sa.Column("mark", sa.String(), nullable=True))


def downgrade() -> None:
    for name in ("effort", "load_g", "mark"):
        op.drop_column("results", name)
