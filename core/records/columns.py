"""What the tables are made of: their base, instants, ids, and indexes on some of the rows."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from typing import Any, ClassVar

from sqlalchemy import (
    JSON,
    BigInteger,
    Date,
    DateTime,
    Dialect,
    Index,
    Integer,
    MetaData,
    Text,
    Time,
    text,
)
from sqlalchemy.orm import DeclarativeBase
from sqlalchemy.types import TypeDecorator

Json = dict[str, Any]


class Instant(TypeDecorator[datetime]):
    """An aware UTC instant; SQLite forgets the zone, so it is put back on reading."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a naive instant")
        value = value.astimezone(UTC)
        return value.replace(tzinfo=None) if dialect.name == "sqlite" else value

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


BigId = BigInteger().with_variant(Integer, "sqlite")  # SQLite numbers only INTEGER keys itself


class Base(DeclarativeBase):
    """Names of constraints are fixed so that migrations can find them on both engines."""

    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(table_name)s_%(column_0_N_name)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
            "fk": "fk_%(table_name)s_%(column_0_name)s",
            "pk": "pk_%(table_name)s",
        }
    )
    type_annotation_map: ClassVar[dict[Any, Any]] = {
        datetime: Instant(),
        date: Date(),
        time: Time(),
        Json: JSON(),
        str: Text(),
        int: BigId,
    }


def partly(name: str, *columns: str, where: str) -> Index:
    """Return an index of those rows only that a query looks for.

    A column that is NULL in most rows is indexed where it is not: SQLite else looks through all
    of its NULLs for a row with none, or takes the index for useless.
    """
    return Index(name, *columns, sqlite_where=text(where), postgresql_where=text(where))
