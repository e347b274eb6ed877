"""The records as CSV texts for a spreadsheet: sowings, reports, readings and results.

Amounts are SI and Celsius, dates ISO, instants UTC. A cell that a spreadsheet would run as a
formula is led by an apostrophe. Column names are English, as file formats are;
`bot/wording/drawn/export_readme.py` explains them.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from sqlalchemy import func, or_, select
from sqlalchemy.orm import Session

from core.group.garden import SowingOf
from core.group.growing import follow
from core.records import models as m
from core.records import snapshot
from core.records.tables_out import tables_of
from core.trade.crops.table import crop_by_id
from core.trade.statistics.intervals import wilson_interval

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")

SOWING_COLUMNS = (
    "sowing", "crop", "crop_name", "variety", "lot", "tray", "cells", "cell_count", "sown_on",
    "seeds_per_cell", "seeds", "depth_mm", "sown_by", "closed_on",
)  # fmt: skip
REPORT_COLUMNS = (
    "report", "kind", "on_day", "recorded_at_utc", "said_by", "done_by", "for_helper", "sowing",
    "tray", "shelf", "values", "taken_back",
)  # fmt: skip
READING_COLUMNS = (
    "report", "on_day", "recorded_at_utc", "said_by", "tray", "shelf", "quantity", "value", "unit",
    "of", "taken_back",
)  # fmt: skip
RESULT_COLUMNS = (
    "sowing", "crop", "variety", "lot", "tray", "sown_on", "seeds", "up", "up_share", "low_95",
    "high_95", "first_up_on", "last_counted_on", "alive", "planted", "lost", "stage",
)  # fmt: skip

QUANTITIES = (
    ("temp", "temp_c", "temperature", "degC"),
    ("light", "ppfd", "ppfd", "umol m-2 s-1"),
    ("light", "lux", "illuminance", "lx"),
    ("light", "height_mm", "lamp_height", "mm"),
    ("light", "hours", "lamp_hours", "h per day"),
    ("moist", "level", "moisture", "dry / right / wet"),
    ("fed", "ppm_n", "feed_nitrogen", "mg per litre"),
    ("fed", "strength", "feed_strength", "share"),
)


def safe(value: object) -> object:
    """Return a cell that no spreadsheet runs: text led by a formula's sign gets an apostrophe."""
    if isinstance(value, str) and value.startswith(FORMULA_STARTS):
        return f"'{value}"
    return "" if value is None else value


def counts(session: Session, group_id: int, member_id: int | None) -> tuple[int, int]:
    """Return how many sowings and reports the files of a group, or of one member, hold."""
    acts = _acts(group_id, member_id)
    sowings = session.scalar(
        select(func.count(m.Sowing.id))
        .join(m.Act, m.Act.id == m.Sowing.act_id)
        .where(*acts, ~m.Sowing.void)
    )
    reports = session.scalar(
        select(func.count(m.Report.id)).join(m.Act, m.Act.id == m.Report.act_id).where(*acts)
    )
    return sowings or 0, reports or 0


def export_files(session: Session, group_id: int, member_id: int | None) -> dict[str, str]:
    """Return file name → text; `member_id` None = the whole group's records.

    Checked by: tests/records/test_export.py, which reads them with pandas.
    """
    names = _codes(session, m.Member.id, m.Member.name, m.Member.group_id == group_id)
    codes = _codes(session, m.Tray.id, m.Tray.code, m.Tray.group_id == group_id)
    shelves = _codes(session, m.Shelf.id, m.Shelf.code, m.Shelf.group_id == group_id)
    mine = select(m.Act.id).where(*_acts(group_id, member_id))
    sowings = snapshot.read_sowings(
        session, codes, m.Sowing.group_id == group_id, m.Sowing.act_id.in_(mine)
    )
    reports = session.execute(
        select(m.Report, m.Act, m.Sowing.number)
        .join(m.Act, m.Act.id == m.Report.act_id)
        .outerjoin(m.Sowing, m.Sowing.id == m.Report.sowing_id)
        .where(*_acts(group_id, member_id))
        .order_by(m.Report.on_day, m.Report.id)
    ).all()
    rows = [(report, act, number) for report, act, number in reports]
    whole = tables_of(session, group_id) if member_id is None else {}
    return {
        **whole,
        "sowings.csv": _csv(SOWING_COLUMNS, (_sowing(s, names) for s in sowings)),
        "reports.csv": _csv(REPORT_COLUMNS, (_report(*row, names, codes, shelves) for row in rows)),
        "readings.csv": _csv(
            READING_COLUMNS,
            (line for row in rows for line in _readings(*row, names, codes, shelves)),
        ),
        "results.csv": _csv(RESULT_COLUMNS, (_result(s) for s in sowings)),
    }


def _codes(session: Session, key: Any, code: Any, where: Any) -> dict[int, str]:
    """Return row id → name of one table's rows of a group."""
    return {row[0]: row[1] for row in session.execute(select(key, code).where(where))}


def _acts(group_id: int, member_id: int | None) -> tuple[Any, ...]:
    mine: tuple[Any, ...] = (m.Act.group_id == group_id,)
    if member_id is not None:
        mine = (*mine, or_(m.Act.by_id == member_id, m.Act.did_id == member_id))
    return mine


def _csv(columns: Sequence[str], rows: Iterable[Mapping[str, object]]) -> str:
    out = io.StringIO()
    writer = csv.DictWriter(out, fieldnames=columns, lineterminator="\r\n")
    writer.writeheader()
    for row in rows:
        writer.writerow({column: safe(row.get(column)) for column in columns})
    return out.getvalue()


def _sowing(sowing: SowingOf, names: Mapping[int, str]) -> dict[str, object]:
    return {
        "sowing": sowing.code,
        "crop": sowing.crop,
        "crop_name": crop_by_id(sowing.crop).name,
        "variety": sowing.variety,
        "lot": sowing.lot,
        "tray": sowing.tray,
        "cells": " ".join(cell.label for cell in sowing.cells),
        "cell_count": len(sowing.cells),
        "sown_on": sowing.sown_on.isoformat(),
        "seeds_per_cell": sowing.seeds_per_cell,
        "seeds": sowing.seeds,
        "depth_mm": sowing.depth_mm,
        "sown_by": names.get(sowing.did or 0),
        "closed_on": sowing.closed_on.isoformat() if sowing.closed_on else None,
    }


def _where(
    report: m.Report,
    act: m.Act,
    names: Mapping[int, str],
    trays: Mapping[int, str],
    shelves: Mapping[int, str],
) -> dict[str, object]:
    return {
        "report": f"R{act.number}",
        "on_day": report.on_day.isoformat(),
        "recorded_at_utc": act.recorded_at.strftime("%Y-%m-%dT%H:%M:%SZ"),
        "said_by": names.get(act.by_id or 0),
        "tray": trays.get(report.tray_id or 0),
        "shelf": shelves.get(report.shelf_id or 0),
        "taken_back": "yes" if report.undone else "no",
    }


def _report(
    report: m.Report,
    act: m.Act,
    number: int | None,
    names: Mapping[int, str],
    trays: Mapping[int, str],
    shelves: Mapping[int, str],
) -> dict[str, object]:
    values = "; ".join(f"{key}={value}" for key, value in sorted(report.values.items()))
    return {
        **_where(report, act, names, trays, shelves),
        "kind": report.kind,
        "done_by": names.get(act.did_id or 0),
        "for_helper": act.for_name,
        "sowing": f"S{number}" if number else None,
        "values": values,
    }


def _readings(
    report: m.Report,
    act: m.Act,
    number: int | None,
    names: Mapping[int, str],
    trays: Mapping[int, str],
    shelves: Mapping[int, str],
) -> Iterable[dict[str, object]]:
    for kind, key, quantity, unit in QUANTITIES:
        if report.kind == kind and report.values.get(key) is not None:
            yield {
                **_where(report, act, names, trays, shelves),
                "quantity": quantity,
                "value": report.values[key],
                "unit": unit,
                "of": report.values.get("of"),
            }


def _result(sowing: SowingOf) -> dict[str, object]:
    growing = follow(sowing)
    interval = wilson_interval(min(growing.up, sowing.seeds), sowing.seeds)
    counted = growing.counted_on
    return {
        "sowing": sowing.code,
        "crop": sowing.crop,
        "variety": sowing.variety,
        "lot": sowing.lot,
        "tray": sowing.tray,
        "sown_on": sowing.sown_on.isoformat(),
        "seeds": sowing.seeds,
        "up": growing.up if counted else None,
        "up_share": round(growing.up / sowing.seeds, 4) if counted else None,
        "low_95": round(interval.low, 4) if counted else None,
        "high_95": round(interval.high, 4) if counted else None,
        "first_up_on": growing.first_up_on.isoformat() if growing.first_up_on else None,
        "last_counted_on": counted.isoformat() if counted else None,
        "alive": growing.alive,
        "planted": growing.planted,
        "lost": growing.lost,
        "stage": growing.stage.value,
    }
