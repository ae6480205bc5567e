"""Column types: instants that cannot lose their zone."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from sqlalchemy import DateTime
from sqlalchemy.types import TypeDecorator

from store.errors import NaiveDateTime

if TYPE_CHECKING:
    from sqlalchemy.engine import Dialect


class UtcDateTime(TypeDecorator[datetime]):
    """An instant: aware in, stored as UTC, aware UTC out.

    SQLite keeps text and drops the offset, even with `timezone=True`. Written in UTC with a fixed
    width, the text sorts as the instants do, so comparisons and indexes work on it.
    """

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:  # noqa: ARG002 - the hook's signature
        """Refuse naive values, convert the others to UTC."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise NaiveDateTime(value)
        return value.astimezone(UTC)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:  # noqa: ARG002 - the hook's signature
        """Give the zone back to what SQLite returns bare."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)
