"""What Alembic runs: brings the database up to the mapped classes.

The program hands its connection over (`store.migrate`). A developer's `alembic revision
--autogenerate` has none and names the database with `-x url=...`.
"""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, Literal

from alembic import context

from store.engine import read_url
from store.migrate import migration_engine
from store.tables import Base
from store.types import UtcDateTime

if TYPE_CHECKING:
    from sqlalchemy.engine import Connection


def _render(kind: str, item: object, _context: object) -> str | Literal[False]:
    """Write plain types into migrations, which must not change when the program's types do."""
    if kind == "type" and isinstance(item, UtcDateTime):
        return "sa.DateTime(timezone=True)"
    return False


def _run(connection: Connection) -> None:
    context.configure(
        connection=connection,
        target_metadata=Base.metadata,
        render_item=_render,
        render_as_batch=True,  # SQLite alters a table by copying it
        transactional_ddl=True,  # true on SQLite too, once its driver leaves transactions alone
    )
    with context.begin_transaction():
        context.run_migrations()


async def _run_from_command_line() -> None:
    engine = migration_engine(read_url(context.get_x_argument(as_dictionary=True)["url"]))
    async with engine.begin() as connection:
        await connection.run_sync(_run)
    await engine.dispose()


handed_over = context.config.attributes.get("connection")
if handed_over is None:
    asyncio.run(_run_from_command_line())
else:
    _run(handed_over)
