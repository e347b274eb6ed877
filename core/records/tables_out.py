"""Every table of a group as CSV, so that it can be read back into an empty group.

A row is numbered within its table, from 1, and another table names it by that number; no account
and no id of a messenger goes out. Dates and instants are ISO, amounts SI, JSON as it is kept. A
cell that begins with an apostrophe has one more in front of it, as has one that a spreadsheet
would run; an apostrophe alone is an empty text.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Mapping
from datetime import date, datetime, time
from typing import Any

from sqlalchemy import Column, Table, select
from sqlalchemy.orm import Session

from core.records import models as m

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "'")
PLANNED = re.compile(r"P(\d+)-(\d+)")  # id of a planned sowing: its plan and its place

TABLES: dict[str, type[m.Base]] = {
    model.__tablename__: model
    for model in (
        m.Member, m.Shelf, m.Act, m.Tray, m.Lot, m.Plan, m.Sowing, m.Report, m.Duty, m.Absence,
        m.Closure, m.Wish, m.Reminder,
    )
}  # fmt: skip
"""Tables by name, each after those its rows name."""

SITE = "site"
SITE_COLUMNS = (
    "name", "zone", "place", "latitude", "longitude", "language", "each_language", "brief",
    "fahrenheit",
    "inches",
    "round_at", "quiet_from", "quiet_to", "channel", "paused_until", "demo", "frost", "next_sowing",
    "next_act", "next_lot", "created_at",
)  # fmt: skip
LEFT_OUT = frozenset({"id", "group_id", "person_id", "runs_chat", "former_names"})
UNITS = (
    ("_mm", "mm"), ("_cm", "cm"), ("_ml", "ml"), ("_c", "degC"), ("_on", "date"),
    ("on_day", "date"), ("paused_until", "date"),
    ("_at", "UTC instant"), ("on_at", "local time"), ("off_at", "local time"),
    ("round_at", "local time"), ("_percent", "percent"), ("grams", "g"), ("maturity_days", "days"),
    ("latitude", "degrees north"), ("longitude", "degrees east"), ("rows", "count"),
    ("cols", "count"), ("places", "count"), ("tubes", "count"), ("plants", "count"),
    ("tested_up", "count"), ("tested_of", "count"), ("seeds", "count"), ("seeds_per_cell", "count"),
    ("speed_seeds", "count"), ("quiet_from", "local time"), ("quiet_to", "local time"),
)  # fmt: skip
"""Ending of a column's name and its unit; the last one that fits holds."""


def names_of(table: str) -> dict[str, str]:
    """Return column → table it names a row of, for the columns of one table that do."""
    if table == "trays":
        return {"shelf_id": "shelves", "act_id": "acts"}  # act_id stands without a key
    found = {}
    for column in columns_of(table):
        for key in column.foreign_keys:
            found[column.name] = key.column.table.name
    return found


def columns_of(table: str) -> list[Column[Any]]:
    """Return the columns of a table that go out, in order."""
    if table == SITE:
        every = _table(m.Group).columns
        return [every[name] for name in SITE_COLUMNS]
    return [c for c in _table(TABLES[table]).columns if c.name not in LEFT_OUT]


def _table(model: type[m.Base]) -> Table:
    table = model.__table__
    assert isinstance(table, Table)
    return table


def unit_of(column: str) -> str:
    """Return the unit of a column, empty where it is a word or a number of a row."""
    found = ""
    for ending, unit in UNITS:
        if column.endswith(ending):
            found = unit
    return found


def tables_of(session: Session, group_id: int) -> dict[str, str]:
    """Return file name → CSV text of all tables of a group, and of what their columns mean.

    Checked by: tests/records/test_import.py.
    """
    numbers: dict[str, dict[int, int]] = {}
    files = {"tables/columns.csv": _meanings()}
    group = session.get_one(m.Group, group_id)
    files[f"tables/{SITE}.csv"] = _csv(
        [c.name for c in columns_of(SITE)],
        [{c.name: cell(c, getattr(group, c.name), {}) for c in columns_of(SITE)}],
    )
    plans: dict[int, int] = {}
    for name, model in TABLES.items():
        every: Any = model
        order = [every.joined_at, every.name] if model is m.Member else []
        rows = session.scalars(
            select(model).where(every.group_id == group_id).order_by(*order, every.id)
        ).all()
        numbers[name] = {row.id: number for number, row in enumerate(rows, 1)}  # type: ignore[attr-defined]
        if model is m.Plan:
            plans = numbers[name]
        refers = names_of(name)
        lines = []
        for row in rows:
            line: dict[str, object] = {"row_number": numbers[name][row.id]}  # type: ignore[attr-defined]
            for column in columns_of(name):
                value = getattr(row, column.name)
                if column.name in refers and value is not None:
                    value = numbers[refers[column.name]].get(value)
                line[column.name] = cell(column, value, plans)
            lines.append(line)
        files[f"tables/{name}.csv"] = _csv(
            ["row_number", *(c.name for c in columns_of(name))], lines
        )
    return files


def cell(column: Column[Any], value: Any, plans: Mapping[int, int]) -> str:
    """Return a value as a cell that reads back to it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict | list):
        text = json.dumps(renamed(value, plans), ensure_ascii=False, sort_keys=True)
    elif isinstance(value, datetime | date | time):
        text = value.isoformat()
    elif isinstance(value, str):
        text = renamed(value, plans) if column.name == "plan_item" else value
    else:
        text = repr(value)
    if isinstance(value, str) and not value:
        return "'"
    return f"'{text}" if isinstance(value, str) and text.startswith(FORMULA_STARTS) else text


def renamed(value: Any, plans: Mapping[int, int]) -> Any:
    """Return JSON values with the ids of planned sowings named after other plans' numbers."""
    if isinstance(value, str):
        found = PLANNED.fullmatch(value)
        return f"P{plans.get(int(found[1]), int(found[1]))}-{found[2]}" if found else value
    if isinstance(value, dict):
        return {key: renamed(one, plans) for key, one in value.items()}
    if isinstance(value, list):
        return [renamed(one, plans) for one in value]
    return value


def _meanings() -> str:
    rows: list[dict[str, object]] = []
    for table in (SITE, *TABLES):
        refers = names_of(table) if table != SITE else {}
        for column in columns_of(table):
            rows.append(
                {
                    "table": table,
                    "column": column.name,
                    "unit": unit_of(column.name),
                    "names_row_of": refers.get(column.name, ""),
                    "meaning": meanings()[f"{table}.{column.name}"],
                }
            )
    return _csv(["table", "column", "unit", "names_row_of", "meaning"], rows)


def meanings() -> dict[str, str]:
    """Return `table.column` → what it holds, from columns.toml."""
    import tomllib
    from importlib.resources import files

    read = tomllib.loads(files("core.records").joinpath("columns.toml").read_text("utf-8"))
    return {f"{t}.{c}": said for t, columns in read.items() for c, said in columns.items()}


def _csv(columns: list[str], rows: list[dict[str, object]]) -> str:
    out = io.StringIO()
    writer = csv.DictWriter(out, fieldnames=columns, lineterminator="\r\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()
