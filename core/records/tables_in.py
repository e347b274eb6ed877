"""Write the tables of an export into an empty group."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import UTC, date, datetime, time
from typing import Any

from sqlalchemy import JSON, Boolean, Column, Date, Float, Integer, String, Time, func, select
from sqlalchemy.orm import Session

from core.cells import Cell
from core.folding import fold
from core.group.records_file import RecordsUnreadable, Rows
from core.records import models as m
from core.records.tables_out import SITE, TABLES, columns_of, names_of, renamed
from core.trade.crops.table import CROPS

EMPTY_OF = (m.Sowing, m.Act, m.Tray, m.Shelf, m.Lot, m.Plan)


def is_empty(session: Session, group_id: int) -> bool:
    """Whether nothing was set up or reported in a group yet."""
    return not any(
        session.scalar(select(func.count(model.id)).where(model.group_id == group_id))
        for model in EMPTY_OF
    )


def write_tables(session: Session, group_id: int, tables: Rows, name: str) -> dict[str, int]:
    """Write an export into a group that is empty; return table → rows written.

    A member of the file whose name one of the group bears is that one, account and all; others
    are members without an account. Raises RecordsUnreadable for a row that does not fit.
    Checked by: tests/records/test_import.py.
    """
    keys: dict[str, dict[int, int]] = {}
    counts: dict[str, int] = {}
    _site(session, group_id, tables[SITE], name)
    for table, model in TABLES.items():
        keys[table] = {}
        refers = names_of(table)
        made: dict[int, Any] = {}
        for place, row in enumerate(tables.get(table, ()), 1):
            try:
                values = _values(table, row, refers, keys)
                if table == "plans":
                    values["body"] = {}  # once its own id is known
                _check(table, values)
                made[int(row["row_number"])] = _row(session, group_id, model, values)
            except (ValueError, KeyError, TypeError, OverflowError, RecursionError):
                raise RecordsUnreadable(
                    name=name, reason="damaged", where=f"{table} {place}"
                ) from None
        session.flush()
        keys[table] = {number: row.id for number, row in made.items()}
        counts[table] = len(made)
        if table == "plans":
            for row in tables.get(table, ()):
                body = json.loads(_text(row["body"]))
                made[int(row["row_number"])].body = renamed(body, keys["plans"])
    session.flush()
    return counts


def _site(session: Session, group_id: int, rows: list[dict[str, str]], name: str) -> None:
    group = session.get_one(m.Group, group_id)
    try:
        (row,) = rows
        for column in columns_of(SITE):
            setattr(group, column.name, _value(column, row[column.name]))
    except (ValueError, KeyError, TypeError, OverflowError, RecursionError):
        raise RecordsUnreadable(name=name, reason="damaged", where=SITE) from None
    session.flush()


def _row(session: Session, group_id: int, model: type[m.Base], values: dict[str, Any]) -> Any:
    if model is m.Member and values["left_at"] is None:
        known = session.scalars(
            select(m.Member).where(m.Member.group_id == group_id, m.Member.left_at.is_(None))
        ).all()
        for member in known:
            if fold(member.name) == fold(values["name"]):
                member.name, member.joined_at = values["name"], values["joined_at"]
                member.coordinator = member.coordinator or values["coordinator"]
                return member
    made = model(group_id=group_id, **values)
    session.add(made)
    return made


def _values(
    table: str,
    row: Mapping[str, str],
    refers: Mapping[str, str],
    keys: Mapping[str, Mapping[int, int]],
) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for column in columns_of(table):
        text = row[column.name]
        if column.name in refers:
            found[column.name] = keys[refers[column.name]][int(text)] if text else None
        else:
            found[column.name] = _value(column, text)
        if found[column.name] is None and not column.nullable:
            raise ValueError(column.name)
        if column.name == "plan_item" or (table == "acts" and column.name == "summary"):
            found[column.name] = renamed(found[column.name], keys.get("plans", {}))
        if table == "reports" and column.name == "values":
            found[column.name] = renamed(found[column.name], keys["plans"])
    return found


def _value(column: Column[Any], text: str) -> Any:
    """Return what a cell of `tables_out.cell` says; raise ValueError for what does not fit."""
    if text == "":
        return None
    kind = column.type
    match kind:
        case m.Instant():
            at = datetime.fromisoformat(text)
            return at.astimezone(UTC) if at.tzinfo else at.replace(tzinfo=UTC)
        case Boolean():
            return {"yes": True, "no": False}[text]
        case Date():
            return date.fromisoformat(text)
        case Time():
            return time.fromisoformat(text)
        case Float():
            return float(text)
        case JSON():
            return json.loads(_text(text))
        case Integer():
            number = int(text)
            if abs(number) >= 2**63:
                raise ValueError(text)
            return number
        case String():
            said = _text(text)
            if (kind.length is not None and len(said) > kind.length) or "\x00" in said:
                raise ValueError(column.name)
            return said
        case _:
            number = int(text)
            return number


def _text(cell: str) -> str:
    return cell[1:] if cell.startswith("'") else cell


def _check(table: str, values: Mapping[str, Any]) -> None:
    """Raise ValueError, KeyError for what the program would stumble over."""
    if table in ("sowings", "lots", "wishes") and values["crop"] not in CROPS.by_id():
        raise ValueError(values["crop"])
    if table == "trays" and not (1 <= values["rows"] <= 26 and 1 <= values["cols"] <= 99):
        raise ValueError("cells")
    if table == "sowings":
        if not values["cells"] or values["seeds_per_cell"] < 1:
            raise ValueError("cells")
        for label in values["cells"].split():
            Cell.of(label)
