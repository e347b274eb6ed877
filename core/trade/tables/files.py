"""Files of the data tables: parsed once, turned into typed rows, every fault collected."""

from __future__ import annotations

import dataclasses
import functools
import tomllib
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any, Generic, TypeVar

from core.trade.tables.fields import Complaint, Fault, Known, Problem
from core.trade.tables.rows import convert_row

T = TypeVar("T")
Check = Callable[[tuple[T, ...]], Iterable[Complaint]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spec(Generic[T]):
    """What one table of a file holds.

    Attributes:
        name: name of the array of tables in the file (`crop` for `[[crop]]`).
        file: file in the data folder.
        row_type: frozen dataclass of one row.
        key: fields that together identify a row; unique in the table.
        check: the owner's own check of all good rows, or None.
    """

    name: str
    file: str
    row_type: type[T]
    key: tuple[str, ...] = ("id",)
    check: Check[T] | None = None


def read_rows(
    path: Path | Traversable,
    table: str,
    row_type: type[T],
    *,
    known_sources: Collection[str] | None,
    known_ids: Mapping[str, Collection[str]] | None = None,
    key: str | tuple[str, ...] = "id",
    check: Check[T] | None = None,
) -> tuple[tuple[T, ...], tuple[Fault, ...]]:
    """Return the good rows of `[[table]]` in one file, and every fault found.

    Args:
        path: the TOML file.
        table: name of its array of tables.
        row_type: frozen dataclass of one row.
        known_sources: source keys a row may name; None skips that check.
        known_ids: ids by table for fields declared with `ref`; None skips that check.
        key: field or fields that together identify a row.
        check: further check over all good rows.

    Checked by: tests/core/trade/tables/test_tables.py.
    """
    keys = (key,) if isinstance(key, str) else key
    spec = Spec(name=table, file=path.name, row_type=row_type, key=keys, check=check)
    raw, faults = parse(path)
    return rows_of(raw, faults, spec, Known(sources=known_sources, ids=known_ids))


def parse(path: Path | Traversable) -> tuple[dict[str, Any] | None, list[Fault]]:
    """Return the parsed file, or None and the fault that kept it from being read."""
    try:
        return _parsed(path.read_bytes()), []
    except OSError as error:
        problem, reason = Problem.UNREADABLE_FILE, error.strerror or str(error)
    except tomllib.TOMLDecodeError as error:
        problem, reason = Problem.TOML_SYNTAX, str(error)
    except UnicodeDecodeError as error:
        problem, reason = Problem.TOML_SYNTAX, f"not UTF-8 at byte {error.start}"
    return None, [Fault(file=path.name, problem=problem, values={"reason": reason})]


@functools.lru_cache(maxsize=64)
def _parsed(content: bytes) -> dict[str, Any]:
    return tomllib.loads(content.decode("utf-8"))


def raw_rows(raw: dict[str, Any] | None, name: str) -> list[Any]:
    found = (raw or {}).get(name, [])
    return found if isinstance(found, list) else []


def rows_of(
    raw: dict[str, Any] | None, faults: list[Fault], table: Spec[T], known: Known
) -> tuple[tuple[T, ...], tuple[Fault, ...]]:
    if raw is None:
        return (), tuple(faults)
    if table.name not in raw:
        problem = Problem.MISSING_TABLE
        return (), (Fault(file=table.file, problem=problem, values={"key": table.name}),)
    if not isinstance(raw[table.name], list):
        values = {"key": table.name, "given": type(raw[table.name]).__name__}
        return (), (Fault(file=table.file, problem=Problem.NOT_A_TABLE, values=values),)
    rows: list[T] = []
    seen: set[str] = set()
    keyed = {f.name for f in dataclasses.fields(table.row_type)} >= set(table.key)  # type: ignore[arg-type]
    for index, item in enumerate(raw[table.name], start=1):
        parts = [item.get(k) for k in table.key] if isinstance(item, dict) else []
        complete = keyed and parts and all(isinstance(p, str | int | float) for p in parts)
        name = "/".join(str(p) for p in parts) if complete else f"#{index}"

        def report(field: str, problem: Problem, _row: str = name, **values: object) -> None:
            faults.append(
                Fault(file=table.file, row=_row, field=field, problem=problem, values=values)
            )

        row = convert_row(item, table.row_type, known=known, report=report)
        if complete and name in seen:
            report("/".join(table.key), Problem.DUPLICATE_ID, given=name)
            row = None
        seen.add(name)
        if row is not None:
            rows.append(row)
    for found in table.check(tuple(rows)) if table.check else ():
        faults.append(
            Fault(
                file=table.file,
                row=found.row,
                field=found.field,
                problem=found.problem,
                values=found.values,
            )
        )
    return tuple(rows), tuple(faults)
