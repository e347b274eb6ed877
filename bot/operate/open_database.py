"""Open the database of a URL and bring it to this program's schema, or say what to set."""

from __future__ import annotations

from sqlalchemy import Engine

from core.records.database import Database, open_engine
from core.records.schema import SchemaTooNew, upgrade


def as_url(place: str) -> str:
    """Return the URL of a SQLite file, or `place` as it stands where it is a URL already."""
    return place if "://" in place else f"sqlite:///{place}"


class DatabaseClosed(Exception):
    """The database cannot be used; the message says in one line what to set or do."""


def open_database(url: str) -> Database:
    """Return the database at a checked URL, upgraded; raise DatabaseClosed.

    The message never holds the URL, which may hold a password.
    """
    from sqlalchemy.exc import DatabaseError, NoSuchModuleError, OperationalError

    try:
        engine = open_engine(url)
    except (NoSuchModuleError, ModuleNotFoundError, ValueError) as error:
        raise DatabaseClosed(f"DATABASE_URL: no driver for it: {error}") from None
    try:
        _upgrade(engine)
    except SchemaTooNew as error:
        raise DatabaseClosed(
            f"DATABASE_URL: the database was written by a newer Traywarden (schema {error.found}); "
            "install that version, or set another database"
        ) from None
    except OperationalError as error:
        raise DatabaseClosed(f"DATABASE_URL: cannot open the database: {_short(error)}") from None
    except DatabaseError as error:
        raise DatabaseClosed(
            f"DATABASE_URL: this is no database of Traywarden: {_short(error)}"
        ) from None
    return Database(engine)


def _upgrade(engine: Engine) -> None:
    try:
        upgrade(engine)
    except BaseException:
        engine.dispose()
        raise


def _short(error: Exception) -> str:
    first = str(getattr(error, "orig", error)).strip().splitlines()
    return first[0][:200] if first else type(error).__name__
