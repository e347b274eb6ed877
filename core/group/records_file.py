"""Read the archive of an export: its tables as rows of texts, whatever a stranger put in it.

Pure, and bounded, as it runs on files that anybody may send.
"""

from __future__ import annotations

import csv
import io
import zipfile
import zlib
from dataclasses import dataclass

from core.errors import UserError

MOST_FILES = 60
MOST_BYTES = 40_000_000  # unpacked, all together
MOST_ROWS = 200_000
MOST_CELL = 2_000_000  # letters: the body of a plan
FOLDER = "tables/"


@dataclass(eq=False, kw_only=True)
class RecordsUnreadable(UserError):
    """A file that is no export of a whole group, or is damaged.

    Attributes:
        reason: `format` (no such archive), `heads` (a table without the columns needed), `size`,
            `damaged` (a row does not fit), `not_empty` (the group), or `gone` (a table shown
            before that was written or let go since).
        where: table and row, as far as it is known.
    """

    name: str
    reason: str
    where: str = ""


Rows = dict[str, list[dict[str, str]]]


def read_records(data: bytes, name: str) -> Rows:
    """Return table → rows, a row as column → cell, of an export; raise RecordsUnreadable.

    Checked by: tests/records/test_import.py.
    """
    found: Rows = {}
    left = MOST_BYTES
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            members = archive.infolist()
            if len(members) > MOST_FILES:
                raise RecordsUnreadable(name=name, reason="size")
            for member in members:
                table = member.filename.removeprefix(FOLDER).removesuffix(".csv")
                if member.filename != f"{FOLDER}{table}.csv" or table == "columns":
                    continue
                with archive.open(member) as file:
                    raw = file.read(left + 1)  # what it says of its size may be a lie
                left -= len(raw)
                if left < 0:
                    raise RecordsUnreadable(name=name, reason="size")
                found[table] = _rows(raw.decode("utf-8-sig"), name, table)
    except (
        zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError, NotImplementedError,
        RuntimeError,
    ):  # fmt: skip
        raise RecordsUnreadable(name=name, reason="format") from None
    if "site" not in found or "sowings" not in found:
        raise RecordsUnreadable(name=name, reason="format")
    return found


def _rows(text: str, name: str, table: str) -> list[dict[str, str]]:
    csv.field_size_limit(MOST_CELL)
    rows: list[dict[str, str]] = []
    try:
        for row in csv.DictReader(io.StringIO(text, newline=""), strict=True):
            if None in row or None in row.values():
                raise RecordsUnreadable(
                    name=name, reason="damaged", where=f"{table} {len(rows) + 1}"
                )
            rows.append(dict(row))
            if len(rows) > MOST_ROWS:
                raise RecordsUnreadable(name=name, reason="size")
    except csv.Error:
        raise RecordsUnreadable(
            name=name, reason="damaged", where=f"{table} {len(rows) + 1}"
        ) from None
    return rows
