"""Back a database up into a file, restore one from it, and say what was done."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from sqlalchemy.exc import DatabaseError

from bot.operate.open_database import DatabaseClosed
from core.records import backup
from core.records.backup import BackupBroken, Kept, NotEmpty, NothingToKeep
from core.records.database import open_engine
from core.records.schema import SchemaTooNew

WHY = {
    "other": "this is no backup of Traywarden",
    "cut": "the backup is cut short; take it from another copy",
    "changed": "the backup was changed or damaged; take it from another copy",
    "order": "the backup was changed or damaged; take it from another copy",
    "after-end": "the backup was changed or damaged; take it from another copy",
}


def back_up(url: str, path: Path, now: datetime) -> str:
    """Write the database at a checked URL to a file; return what to say.

    Raises DatabaseClosed with one line that says what to do.
    """
    engine = open_engine(url)
    try:
        kept = backup.backup(engine, path, now)
    except NothingToKeep:
        raise DatabaseClosed(
            "DATABASE_URL: there is nothing of Traywarden in this database"
        ) from None
    except FileExistsError:
        raise DatabaseClosed(f"{path.name} is there already; choose another name") from None
    except OSError as error:
        raise DatabaseClosed(f"{path.name} cannot be written: {error.strerror}") from None
    except DatabaseError as error:
        raise DatabaseClosed(f"DATABASE_URL: cannot read the database: {_short(error)}") from None
    finally:
        engine.dispose()
    return (
        f"{path.name}: {_amount(kept)}. It holds names and all that was reported: keep it where "
        "only you can read it."
    )


def put_back(url: str, path: Path) -> str:
    """Restore a file into the empty database at a checked URL; return what to say.

    Raises DatabaseClosed with one line that says what to do.
    """
    engine = open_engine(url)
    try:
        kept = backup.restore(engine, path)
    except NotEmpty:
        raise DatabaseClosed(
            "DATABASE_URL: this database is not empty; restore into a new one"
        ) from None
    except SchemaTooNew as error:
        raise DatabaseClosed(
            f"{path.name} is of a newer Traywarden (schema {error.found[:20]}); "
            "install that version"
        ) from None
    except BackupBroken as broken:
        raise DatabaseClosed(f"{path.name}: {WHY[broken.why]}") from None
    except OSError as error:
        raise DatabaseClosed(f"{path.name} cannot be read: {error.strerror}") from None
    except DatabaseError as error:
        raise DatabaseClosed(f"DATABASE_URL: cannot restore there: {_short(error)}") from None
    finally:
        engine.dispose()
    return f"{path.name}: {_amount(kept)} restored, as of {kept.made_at:%Y-%m-%d %H:%M} UTC."


def _amount(kept: Kept) -> str:
    rows = sum(kept.rows.values())
    return f"{rows} row{'' if rows == 1 else 's'} in {len(kept.rows)} tables"


def _short(error: DatabaseError) -> str:
    words = str(error.orig).strip().splitlines()
    return words[0][:200] if words else type(error).__name__
