"""Bring a database to this program's schema, or refuse one that is newer."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from sqlalchemy import Engine, inspect, text

HEAD = "0012"  # the newest revision this program knows; a test holds it to the versions folder
KNOWN = tuple(f"{number:04}" for number in range(1, int(HEAD) + 1))
MIGRATIONS = Path(__file__).parent / "migrations"
LOCK = 7229  # any number, the same in every process


class SchemaTooNew(Exception):
    """The database was written by a newer Traywarden."""

    def __init__(self, found: str) -> None:
        super().__init__(found)
        self.found = found


def current(engine: Engine) -> str | None:
    """Return the revision a database stands at; None when it is empty."""
    with engine.connect() as connection:
        if not inspect(connection).has_table("alembic_version"):
            return None
        row = connection.execute(text("SELECT version_num FROM alembic_version")).first()
        return str(row[0]) if row else None


def upgrade(engine: Engine, to: str = HEAD) -> None:
    """Upgrade to a revision, in one transaction; nothing is done when the database stands there.

    There is no way down: going back to an older program is restoring a backup of its time.

    Raises SchemaTooNew when it stands at a revision this program does not know.
    """
    found = current(engine)
    if found == to:
        return
    if found is not None and found not in KNOWN:
        raise SchemaTooNew(found)
    from alembic import command  # slow to import, and rarely needed
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    sqlite = engine.dialect.name == "sqlite"
    with engine.connect() as connection:
        raw: Any = connection.connection.dbapi_connection
        if sqlite:
            raw.execute("PRAGMA foreign_keys=OFF")  # no effect inside a transaction
        try:
            with connection.begin():
                if not sqlite:  # one process upgrades, the others wait and find it done
                    connection.execute(text(f"SELECT pg_advisory_xact_lock({LOCK})"))
                config.attributes["connection"] = connection
                command.upgrade(config, to)
                if sqlite:
                    broken = connection.execute(text("PRAGMA foreign_key_check")).first()
                    if broken is not None:
                        raise RuntimeError(f"foreign keys broken after upgrade: {broken[0]}")
        finally:
            if sqlite:
                raw.execute("PRAGMA foreign_keys=ON")
