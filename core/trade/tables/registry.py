"""Data tables: read once, typed, and checked as a whole.

Each subject module registers its table in one line and reads it through the result:

    LAMPS = register("lamp", Lamp, file="lamps.toml")
    LAMPS.rows()          # tuple[Lamp, ...]; TablesBroken lists every fault
    LAMPS.by_id()["led-4"]

A table is an array of tables in `core/data/*.toml` (`[[lamp]]`). `source` holds
`"KEY, where in it; KEY2"`, `sources` a list of the same; every key must be in `sources.toml`.
"""

from __future__ import annotations

import dataclasses
import functools
import importlib
import pkgutil
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any, TypeVar

from core.trade.tables.fields import (
    Complaint,
    Fault,
    Known,
    Problem,
    ident,
    number,
    plain,
    ref,
    text,
)
from core.trade.tables.files import Check, Spec, parse, raw_rows, read_rows, rows_of
from core.trade.tables.rows import nearest, source_keys

__all__ = [
    "Complaint",
    "Fault",
    "Problem",
    "Table",
    "TablesBroken",
    "check_all",
    "ident",
    "number",
    "plain",
    "read_rows",
    "ref",
    "register",
    "registered",
    "source_keys",
    "text",
]

T = TypeVar("T")
SOURCES_FILE = "sources.toml"
_NOT_SUBJECTS = {"records", "handlers"}  # core's packages that hold no data table


class TablesBroken(Exception):
    """A data table has faults; `faults` holds all of them."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__(f"{len(faults)} faults in {sorted({f.file for f in faults})}")
        self.faults = faults


@dataclass(frozen=True, slots=True, kw_only=True)
class Table(Spec[T]):
    """One registered table and its rows."""

    def rows(self) -> tuple[T, ...]:
        """Return the shipped rows, read once; raise TablesBroken with every fault."""
        return _shipped(self.name)

    def by_id(self) -> Mapping[str, T]:
        """Return the shipped rows by their key (the parts of a joint key joined by `/`)."""
        return _shipped_by_id(self.name)

    def read(self, directory: Path | Traversable) -> tuple[tuple[T, ...], tuple[Fault, ...]]:
        """Return the good rows and all faults of this table in another folder."""
        known = Known(sources=_known_sources(directory), ids=_known_ids(directory, self.row_type))
        raw, faults = parse(directory / self.file)
        return rows_of(raw, faults, self, known)


_registry: dict[str, Table[Any]] = {}


def register(
    name: str,
    row_type: type[T],
    *,
    file: str | None = None,
    key: str | tuple[str, ...] = "id",
    check: Check[T] | None = None,
) -> Table[T]:
    """Register the table `[[name]]` of `file` (default `NAMEs.toml`) and return it.

    Raises ValueError when the name is taken by another row type.
    """
    keys = (key,) if isinstance(key, str) else key
    table = Table(name=name, file=file or f"{name}s.toml", row_type=row_type, key=keys, check=check)
    old = _registry.get(name)
    if old is not None and old.row_type.__qualname__ != row_type.__qualname__:
        raise ValueError(f"table {name!r} is already registered for {old.row_type.__qualname__}")
    _registry[name] = table
    return table


def registered() -> Mapping[str, Table[Any]]:
    """Return every table registered so far, by name."""
    return dict(_registry)


def check_all(directory: Path | None = None) -> tuple[Fault, ...]:
    """Return every fault of every table in `directory` (default: the shipped tables).

    Imports all subject modules first, so that each table is registered. A file nobody reads
    and a table nobody registered are faults too.
    """
    _import_subjects()
    where = directory if directory is not None else data_directory()
    faults: list[Fault] = []
    for table in _registry.values():
        faults += table.read(where)[1]
    faults += _unclaimed(where)
    unique = {(f.file, f.row, f.field, f.problem, repr(f.values)): f for f in faults}
    return tuple(sorted(unique.values(), key=lambda f: f.file))


def data_directory() -> Traversable:
    """Return the folder of the shipped tables."""
    return files("core").joinpath("data")


@functools.cache
def _shipped(name: str) -> tuple[Any, ...]:
    rows, faults = _registry[name].read(data_directory())
    if faults:
        raise TablesBroken(faults)
    return rows


@functools.cache
def _shipped_by_id(name: str) -> Mapping[str, Any]:
    table = _registry[name]
    return {_key_of(table, row): row for row in table.rows()}


def _key_of(table: Table[Any], row: object) -> str:
    return "/".join(str(getattr(row, part)) for part in table.key)


def _known_sources(directory: Path | Traversable) -> frozenset[str]:
    """Return the source keys and their aliases; empty when the file cannot be read."""
    keys: set[str] = set()
    for row in raw_rows(parse(directory / SOURCES_FILE)[0], "source"):
        if isinstance(row, dict):
            keys.add(str(row.get("key")))
            keys.update(str(a) for a in row.get("aliases", ()))
    return frozenset(keys)


def _known_ids(directory: Path | Traversable, row_type: type) -> dict[str, frozenset[str]]:
    """Return the ids of each table that fields of `row_type` refer to."""
    ids: dict[str, frozenset[str]] = {}
    for name in {f.metadata["ref"] for f in dataclasses.fields(row_type) if "ref" in f.metadata}:
        table = _registry.get(name)
        if table is None:
            _import_subjects()
            table = _registry[name]
        rows = raw_rows(parse(directory / table.file)[0], name)
        found = (r.get(table.key[0]) for r in rows if isinstance(r, dict))
        ids[name] = frozenset(str(i) for i in found)
    return ids


def _unclaimed(directory: Path | Traversable) -> list[Fault]:
    faults: list[Fault] = []
    tables: dict[str, set[str]] = {}
    for table in _registry.values():
        tables.setdefault(table.file, set()).add(table.name)
    for path in sorted(directory.iterdir(), key=lambda p: p.name):
        if not path.name.endswith(".toml"):
            continue
        if path.name not in tables:
            faults.append(Fault(file=path.name, problem=Problem.UNCLAIMED_FILE))
            continue
        for key in parse(path)[0] or ():
            if key not in tables[path.name]:
                values = {"key": key, "nearest": nearest(key, tables[path.name])}
                faults.append(Fault(file=path.name, problem=Problem.UNKNOWN_TABLE, values=values))
    return faults


@functools.cache
def _import_subjects() -> None:
    """Import every module of core that may own a table."""
    package = importlib.import_module("core")
    _import_under(list(package.__path__), "core.")


def _import_under(paths: list[str], prefix: str) -> None:
    for found in pkgutil.iter_modules(paths, prefix):
        if found.name.removeprefix("core.") in _NOT_SUBJECTS:
            continue
        module = importlib.import_module(found.name)
        if found.ispkg:
            _import_under(list(module.__path__), found.name + ".")
