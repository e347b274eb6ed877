"""Answers about records that are read in."""

from __future__ import annotations

from dataclasses import dataclass

from core.group.spreadsheet import SheetRow
from core.replies.base import Reply


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportHow(Reply):
    """How records are read in; `empty`: whether an export could be, here and now."""

    empty: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Imported(Reply):
    """An export was read back: (table, rows) of each table with any."""

    name: str
    counts: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportShown(Reply):
    """A table as it was read; nothing is written yet.

    Attributes:
        dialogue: what the button to write it names; None when there is nothing to write.
        unclear: (row, column, what stood there) of the rows left out.
    """

    name: str
    dialogue: int | None
    rows: tuple[SheetRow, ...]
    unclear: tuple[tuple[int, str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RowsTaken(Reply):
    """The rows of a table were written: sowings, and how many of them with a count."""

    sowings: int
    counted: int
