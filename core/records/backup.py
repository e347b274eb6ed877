"""Write a whole database into one file, and read such a file into an empty database.

The file is gzip over JSON lines, the same whichever engine wrote it: a head (format, schema
revision, when), for each table a line with its name and columns and then one line a row, and a
foot with the number of rows of each table and the SHA-256 of every line before it. Instants are
ISO 8601 in UTC; JSON columns are kept as their text.

A backup is taken in one read transaction while others go on writing: it shows one instant.
"""

from __future__ import annotations

import gzip
import hashlib
import json
import os
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Any

from sqlalchemy import (
    JSON,
    Column,
    Connection,
    Date,
    DateTime,
    Engine,
    MetaData,
    Table,
    Text,
    Time,
    cast,
    func,
    insert,
    inspect,
    select,
)
from sqlalchemy.types import NullType

from core.records import models as m
from core.records import schema

FORMAT = 1
KIND = "traywarden backup"
STAND = "alembic_version"
ROWS_AT_ONCE = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What a backup holds: the schema's revision and the number of rows of each table."""

    revision: str
    rows: dict[str, int]
    made_at: datetime


class BackupBroken(Exception):
    """The file is no backup, or not a whole one; `why` is one word, `where` a line number."""

    def __init__(self, why: str, where: int = 0) -> None:
        super().__init__(why, where)
        self.why, self.where = why, where


class NothingToKeep(Exception):
    """The database has no tables of Traywarden."""


class NotEmpty(Exception):
    """The database to restore into holds something already."""


def backup(engine: Engine, path: Path, now: datetime) -> Kept:
    """Write every row of a database to a new file, readable by its owner only.

    The file appears under its name once it is whole. Raises NothingToKeep, and OSError
    (FileExistsError where there is such a file).
    """
    revision = schema.current(engine)
    if revision is None:
        raise NothingToKeep
    if path.exists():
        raise FileExistsError(path)
    part = path.with_name(f"{path.name}.part-{os.getpid()}")
    try:
        handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "wb") as raw:
            with gzip.GzipFile(filename="", mode="wb", fileobj=raw, mtime=0) as packed:
                rows = _write(engine, packed, revision, now)
            raw.flush()
            os.fsync(raw.fileno())
        part.rename(path)
    finally:
        part.unlink(missing_ok=True)
    return Kept(revision=revision, rows=rows, made_at=now)


def _write(engine: Engine, packed: gzip.GzipFile, revision: str, now: datetime) -> dict[str, int]:
    digest = hashlib.sha256()

    def line(value: Any) -> None:
        words = json.dumps(value, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"
        digest.update(words)
        packed.write(words)

    counts: dict[str, int] = {}
    options: dict[str, Any] = {"reads_only": True}
    if engine.dialect.name == "postgresql":
        options = {"isolation_level": "REPEATABLE READ", "postgresql_readonly": True}
    with engine.connect().execution_options(**options) as connection, connection.begin():
        made_at = now.astimezone(UTC).isoformat()
        line({"kind": KIND, "format": FORMAT, "schema": revision, "made_at": made_at})
        for table in _tables(connection):
            line({"table": table.name, "columns": [column.name for column in table.columns]})
            counts[table.name] = 0
            for row in _rows(connection, table):
                line([_plain(value) for value in row])
                counts[table.name] += 1
    foot = {"rows": counts, "sha256": digest.hexdigest()}
    packed.write(json.dumps(foot).encode() + b"\n")
    return counts


def _tables(connection: Connection) -> list[Table]:
    """Return the tables as they are, those others point to first."""
    found = MetaData()
    found.reflect(connection)
    return [table for table in found.sorted_tables if table.name != STAND]


def _rows(connection: Connection, table: Table) -> Iterator[Any]:
    columns = [
        cast(column, Text) if isinstance(column.type, JSON) else column for column in table.columns
    ]
    asked = select(*columns).order_by(*table.primary_key.columns)
    yield from connection.execution_options(yield_per=ROWS_AT_ONCE).execute(asked)


def _plain(value: Any) -> Any:
    match value:
        case datetime():
            aware = value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)
            return aware.isoformat()
        case date() | time():
            return value.isoformat()
    return value


def read_kept(path: Path) -> Kept:
    """Read a backup to its end and return what it holds.

    Raises BackupBroken for a file that is none, is cut short or was changed, SchemaTooNew for one
    of a newer program, and OSError.
    """
    digest = hashlib.sha256()
    revision, made_at, table = "", "", ""
    counts: dict[str, int] = {}
    number = 0
    foot: dict[str, Any] | None = None
    for number, words in enumerate(_lines(path), 1):
        value = _parsed(words, number)
        if foot is not None:
            raise BackupBroken("after-end", number)
        if number == 1:
            if not isinstance(value, dict) or value.get("kind") != KIND:
                raise BackupBroken("other", number)
            revision, made_at = str(value.get("schema")), str(value.get("made_at"))
            if value.get("format") != FORMAT or revision not in schema.KNOWN:
                raise schema.SchemaTooNew(revision)
        elif isinstance(value, list):
            if table not in counts:
                raise BackupBroken("order", number)
            counts[table] += 1
        elif "table" in value:
            table = value["table"]
            if table in counts:
                raise BackupBroken("order", number)
            counts[table] = 0
        else:
            foot = value
            continue
        digest.update(words)
    if foot is None:
        raise BackupBroken("cut" if number else "other", number)
    if foot.get("sha256") != digest.hexdigest() or foot.get("rows") != counts:
        raise BackupBroken("changed", number)
    return Kept(revision=revision, rows=counts, made_at=datetime.fromisoformat(made_at))


def _lines(path: Path) -> Iterator[bytes]:
    number = 0
    with gzip.open(path, "rb") as packed:
        try:
            for words in packed:
                number += 1
                yield words
        except (EOFError, zlib.error):
            raise BackupBroken("cut", number) from None
        except gzip.BadGzipFile:
            raise BackupBroken("changed" if number else "other", number) from None


def _parsed(words: bytes, number: int) -> Any:
    try:
        value = json.loads(words)
    except ValueError:
        raise BackupBroken("changed" if number > 1 else "other", number) from None
    if not isinstance(value, dict | list):
        raise BackupBroken("changed", number)
    return value


def restore(engine: Engine, path: Path) -> Kept:
    """Read a backup into an empty database, of either engine, and upgrade it to the newest schema.

    The file is proved whole before anything is written; the rows come in one transaction. Raises
    what `read_kept` raises, and NotEmpty when the database holds anything.
    """
    kept = read_kept(path)
    _clear(engine)
    schema.upgrade(engine, kept.revision)
    with engine.begin() as connection:
        tables = {table.name: table for table in _tables(connection)}
        if set(kept.rows) != set(tables):
            raise BackupBroken("changed")
        _load(connection, path, tables)
        if connection.dialect.name == "postgresql":
            _number_on(connection, tables)
    schema.upgrade(engine)
    return kept


def _clear(engine: Engine) -> None:
    """Drop the tables of an empty database; raise NotEmpty when there is a row or another table."""
    ours = {*m.Base.metadata.tables, STAND}
    with engine.begin() as connection:
        names = set(inspect(connection).get_table_names())
        if names - ours:
            raise NotEmpty
        found = MetaData()
        found.reflect(connection)
        for table in found.sorted_tables:
            if table.name != STAND and connection.execute(select(table).limit(1)).first():
                raise NotEmpty
        found.drop_all(connection)


def _load(connection: Connection, path: Path, tables: dict[str, Table]) -> None:
    table: Table | None = None
    columns: list[Column[Any]] = []
    waiting: list[dict[str, Any]] = []

    def put() -> None:
        if table is not None and waiting:
            connection.execute(insert(table), waiting)
            waiting.clear()

    sqlite = connection.dialect.name == "sqlite"
    for words in _lines(path):
        value = json.loads(words)
        if isinstance(value, list):
            pairs = zip(columns, value, strict=True)
            waiting.append({column.name: _read(column, v, sqlite) for column, v in pairs})
            if len(waiting) == ROWS_AT_ONCE:
                put()
        elif "table" in value:
            put()
            table = tables[value["table"]]
            columns = [table.columns[name] for name in value["columns"]]
            for column in columns:
                if isinstance(column.type, JSON):
                    column.type = NullType()  # its text goes in as it is
    put()


def _read(column: Column[Any], value: Any, sqlite: bool) -> Any:
    if value is None:
        return None
    match column.type:
        case DateTime():
            at = datetime.fromisoformat(value)
            return at.astimezone(UTC).replace(tzinfo=None) if sqlite else at
        case Date():
            return date.fromisoformat(value)
        case Time():
            return time.fromisoformat(value)
    return value


def _number_on(connection: Connection, tables: dict[str, Table]) -> None:
    """Let PostgreSQL number new rows after those that were loaded."""
    for table in tables.values():
        if "id" in table.columns:
            sequence = func.pg_get_serial_sequence(table.name, "id")
            last = select(func.coalesce(func.max(table.c.id), 0) + 1).scalar_subquery()
            connection.execute(select(func.setval(sequence, last, False)))
