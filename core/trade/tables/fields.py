"""Fields of the data tables: how a row states what each value must be, and what a fault is.

A row of a table is a frozen dataclass. Its type hints say what each value is; the helpers
`number`, `text`, `ident`, `ref` and `plain` state the range, pattern or reference beside the
field.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Collection, Mapping
from dataclasses import MISSING, dataclass, field
from enum import StrEnum
from typing import Any

IDENT = r"[a-z0-9][a-z0-9_-]*"


class Problem(StrEnum):
    """Kinds of fault; the values each one carries are listed beside it."""

    UNREADABLE_FILE = "unreadable_file"  # reason
    TOML_SYNTAX = "toml_syntax"  # reason (with line and column)
    UNCLAIMED_FILE = "unclaimed_file"  # no module reads this file
    UNKNOWN_TABLE = "unknown_table"  # key, nearest
    MISSING_TABLE = "missing_table"  # key
    NOT_A_TABLE = "not_a_table"  # key, given
    UNKNOWN_KEY = "unknown_key"  # key, nearest
    MISSING_KEY = "missing_key"  # key
    WRONG_TYPE = "wrong_type"  # expected, given
    OUT_OF_RANGE = "out_of_range"  # given, lo, hi
    NOT_A_CHOICE = "not_a_choice"  # given, choices
    BAD_PATTERN = "bad_pattern"  # given, pattern
    DUPLICATE_ID = "duplicate_id"  # given
    UNKNOWN_SOURCE = "unknown_source"  # given, nearest
    MISSING_SOURCE = "missing_source"  # nothing
    LOW_ABOVE_HIGH = "low_above_high"  # lo, hi, other
    UNKNOWN_REFERENCE = "unknown_reference"  # given, table, nearest
    NAME_COLLIDES = "name_collides"  # given, other
    BAD_EXAMPLE = "bad_example"  # example, expected, given
    INCONSISTENT = "inconsistent"  # whatever the owner of the table states


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing wrong in one data file.

    Attributes:
        file: name of the file, without its folder.
        row: id of the row, or `#3` for the third row of its table, or "" for the whole file.
        field: field of the row, dotted when nested (`when.state`), or "".
        problem: kind of fault.
        values: the values that kind carries, see `Problem`.
    """

    file: str
    row: str = ""
    field: str = ""
    problem: Problem
    values: Mapping[str, object] = dataclasses.field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Complaint:
    """What a table's own check found wrong with one row; the loader adds the file."""

    row: str
    field: str = ""
    problem: Problem = Problem.INCONSISTENT
    values: Mapping[str, object] = dataclasses.field(default_factory=dict)


def number(
    *,
    lo: float | None = None,
    hi: float | None = None,
    default: Any = MISSING,
    ordered: bool = True,
) -> Any:
    """Declare a numeric field (or tuple or mapping of numbers) with lo <= value <= hi.

    `ordered=False` drops the check that this field is not above its `max`/`hi` partner.
    """
    return _field({"lo": lo, "hi": hi, "ordered": ordered}, default)


def text(*, pattern: str | None = None, default: Any = MISSING) -> Any:
    """Declare a text field (or tuple of texts) that must match `pattern` from end to end."""
    return _field({"pattern": pattern}, default)


def ident(*, default: Any = MISSING) -> Any:
    """Declare an id: lower-case letters, digits, `_` and `-`."""
    return text(pattern=IDENT, default=default)


def ref(table: str, *, also: Collection[str] = (), default: Any = MISSING) -> Any:
    """Declare a text field (or tuple of texts) that names a row of `table`, or one of `also`."""
    return _field({"ref": table, "also": tuple(also)}, default)


def plain(*, default: Any = MISSING) -> Any:
    """Declare a field with nothing to check beyond its type."""
    return _field({}, default)


def _field(metadata: dict[str, Any], default: Any) -> Any:
    if default is MISSING:
        return field(metadata=metadata)
    if isinstance(default, list | dict | set):
        return field(metadata=metadata, default_factory=lambda: default)
    return field(metadata=metadata, default=default)


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What a row may refer to: source keys, and ids by table (None: not checked)."""

    sources: Collection[str] | None = None
    ids: Mapping[str, Collection[str]] | None = None
