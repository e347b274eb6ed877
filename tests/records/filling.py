"""Fill every table of a database with invented rows, whatever its columns, and read them back."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from sqlalchemy import (
    JSON,
    Boolean,
    Column,
    Connection,
    Date,
    DateTime,
    Engine,
    Float,
    Integer,
    MetaData,
    String,
    Table,
    Time,
    insert,
    select,
)

ROWS = 3
START = datetime(2027, 2, 28, 23, 30, 15, 250000, tzinfo=UTC)

Row = dict[str, Any]
Content = dict[str, list[Row]]


def tables(engine: Engine) -> MetaData:
    """Return the tables as they are in the database, not as the models say."""
    found = MetaData()
    found.reflect(engine)
    found.remove(found.tables["alembic_version"])
    return found


def fill(engine: Engine, rows: int = ROWS) -> None:
    """Put rows into every table: no column the same in two rows, each foreign key held.

    The last row leaves out what may be left out.
    """
    found = tables(engine)
    keys: dict[str, list[Any]] = {}
    with engine.begin() as connection:
        for table in _parents_first(found):
            made = []
            for number in range(1, rows + 1):
                sparse = number == rows
                row = {
                    column.name: _value(column, number, keys, connection)
                    for column in table.columns
                    if not (sparse and column.nullable)
                    and not (column.primary_key and isinstance(column.type, Integer))
                }
                made.append(connection.execute(insert(table).values(row)).inserted_primary_key[0])
            keys[table.name] = made


def _parents_first(found: MetaData) -> list[Table]:
    return list(found.sorted_tables)


def _value(
    column: Column[Any], number: int, keys: dict[str, list[Any]], connection: Connection
) -> Any:
    for foreign in column.foreign_keys:
        return keys[foreign.column.table.name][number - 1]
    match column.type:
        case Boolean():
            return number % 2 == 1
        case JSON():
            return {"number": number, "text": "fèves 🌱", "list": [1, 2.5, None, {"deep": True}]}
        case Integer():
            return 7_000_000_000 + number
        case Float():
            return number + 0.1
        case DateTime():
            at = START + timedelta(hours=number)
            return at if connection.dialect.name == "postgresql" else at.replace(tzinfo=None)
        case Date():
            return date(2028, 2, 27) + timedelta(days=number)
        case Time():
            return time(7, 30 + number)
        case String():
            words = f'{number} Kürbis \'n "beans"\n\\t 🌱'
            length = column.type.length
            return words if length is None else words[:length]
    raise TypeError(f"{column}: no value for {column.type!r}")


def content(engine: Engine) -> Content:
    """Return every row of every table, in the order of the first column; instants aware."""
    found = tables(engine)
    with engine.connect() as connection:
        return {
            table.name: [
                {name: _plain(value) for name, value in row.items()}
                for row in connection.execute(
                    select(table).order_by(*table.primary_key.columns)
                ).mappings()
            ]
            for table in found.sorted_tables
        }


def _plain(value: Any) -> Any:
    if isinstance(value, datetime):
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)
    return value
