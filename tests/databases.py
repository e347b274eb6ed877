"""Fresh databases for tests, on whichever engine the test runs.

A test that holds on both engines uses the fixture `both_engines`; whatever it opens by
`new_url()` or `new_database()` is then of the engine at hand. Without the fixture it is SQLite.
What was opened is closed, and removed, when the test ends.
"""

from __future__ import annotations

import functools
import sqlite3
from collections.abc import Callable
from pathlib import Path

from core.records.database import Database, open_engine
from core.records.schema import upgrade
from tests.postgres import PostgresServer

SQLITE, POSTGRESQL = "sqlite", "postgresql"
ENGINES = (SQLITE, POSTGRESQL)


class _Here:
    """What the running test uses."""

    server: PostgresServer | None = None  # None = SQLite
    made: list[str] = []
    opened: list[Database] = []


def new_database(url: str | None = None) -> Database:
    """Return an open database with the newest schema and nothing in it.

    `url` is one of `new_url`; None = a new one, in memory where the engine can.
    """
    if url is None and _Here.server is None:
        database = Database(open_engine("sqlite://"))
        raw = database.engine.raw_connection()
        assert isinstance(raw.dbapi_connection, sqlite3.Connection)
        raw.dbapi_connection.deserialize(_schema_only())
        raw.close()
    else:
        database = Database(open_engine(url or new_url()))
        upgrade(database.engine)
    _Here.opened.append(database)
    return database


def new_url(folder: Path | None = None, *, empty: bool = False) -> str:
    """Return the URL of a new database, which several processes may open.

    Args:
        folder: where a SQLite file goes; needed for one.
        empty: without any table.
    """
    if _Here.server is not None:
        url = _Here.server.new(empty=empty)
        _Here.made.append(url)
        return url
    if folder is None:
        raise ValueError("a SQLite file needs a folder")
    number = sum(1 for _ in folder.glob("traywarden-*.db")) + 1
    file = folder / f"traywarden-{number}.db"
    file.write_bytes(b"" if empty else _schema_only())
    return f"sqlite:///{file}"


@functools.cache
def _schema_only() -> bytes:
    """Return a SQLite database with the newest schema, made once."""
    engine = open_engine("sqlite://")
    upgrade(engine)
    raw = engine.raw_connection()
    assert isinstance(raw.dbapi_connection, sqlite3.Connection)
    taken = raw.dbapi_connection.serialize()
    raw.close()
    engine.dispose()
    return taken


def begin(engine: str, server: Callable[[], PostgresServer]) -> None:
    """Open databases of an engine from now on."""
    _Here.server = server() if engine == POSTGRESQL else None


def end() -> None:
    """Close what was opened, remove what was made, and go back to SQLite."""
    for database in _Here.opened:
        database.close()
    _Here.opened.clear()
    if _Here.server is not None:
        for url in _Here.made:
            _Here.server.drop(url)
    _Here.made.clear()
    _Here.server = None
