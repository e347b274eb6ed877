"""Engines and sessions: SQLite by default, PostgreSQL by URL.

SQLite runs in WAL mode with foreign keys on, and every transaction begins IMMEDIATE: two writers
queue at the start instead of failing half way. Only a connection with the execution option
`reads_only` begins without that: it sees one instant, while others go on writing.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sqlalchemy import Engine, create_engine, event
from sqlalchemy.engine import make_url
from sqlalchemy.exc import DBAPIError, InterfaceError, OperationalError, TimeoutError
from sqlalchemy.orm import Session, sessionmaker
from sqlalchemy.pool import StaticPool

BUSY_SECONDS = 30


def open_engine(url: str, *, pool_size: int = 5) -> Engine:
    """Return an engine for a database URL.

    `sqlite:///file` and `sqlite://` (memory) or `postgresql://...` (psycopg 3 is used whichever
    way it is written). Raises sqlalchemy.exc.ArgumentError for a URL that is none.
    """
    parsed = make_url(url)
    if parsed.get_backend_name() == "postgresql":
        return create_engine(
            parsed.set(drivername="postgresql+psycopg"),
            pool_pre_ping=True,
            pool_size=pool_size,
            hide_parameters=True,
        )
    if parsed.get_backend_name() != "sqlite":
        raise ValueError(parsed.get_backend_name())
    options: dict[str, Any] = {
        "connect_args": {"timeout": BUSY_SECONDS},
        "hide_parameters": True,  # errors are logged; ids and words of members are not
    }
    if parsed.database in (None, "", ":memory:"):
        options["poolclass"] = StaticPool
        options["connect_args"]["check_same_thread"] = False
    engine = create_engine(parsed, **options)

    @event.listens_for(engine, "connect")
    def prepare(connection: Any, _: Any) -> None:
        connection.isolation_level = None  # the driver's own BEGIN comes too late
        cursor = connection.cursor()
        cursor.execute("PRAGMA journal_mode=WAL")
        cursor.execute("PRAGMA synchronous=FULL")
        cursor.execute("PRAGMA foreign_keys=ON")
        cursor.execute("PRAGMA secure_delete=ON")  # what is deleted is in no page of the file
        cursor.close()

    @event.listens_for(engine, "begin")
    def begin(connection: Any) -> None:
        reads_only = connection.get_execution_options().get("reads_only", False)
        connection.exec_driver_sql("BEGIN" if reads_only else "BEGIN IMMEDIATE")

    return engine


def away(error: BaseException) -> bool:
    """Whether a database was out of reach, busy or full: no fault of what was to be written."""
    lost = isinstance(error, DBAPIError) and error.connection_invalidated
    return lost or isinstance(error, OperationalError | InterfaceError | TimeoutError)


class Database:
    """One engine and its transactions."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        self._sessions = sessionmaker(engine, expire_on_commit=False)

    @contextmanager
    def transaction(self) -> Iterator[Session]:
        """One unit of work: committed at the end, rolled back on any error."""
        with self._sessions() as session, session.begin():
            yield session

    def sweep_log(self) -> None:
        """Empty the log of SQLite, which holds pages as they were; elsewhere nothing is done."""
        if self.engine.dialect.name != "sqlite":
            return
        raw = self.engine.raw_connection()
        try:
            raw.cursor().execute("PRAGMA wal_checkpoint(TRUNCATE)")
        finally:
            raw.close()

    def close(self) -> None:
        self.engine.dispose()
