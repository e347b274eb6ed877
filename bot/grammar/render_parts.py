"""Pieces of canonical command text."""

from __future__ import annotations

from datetime import date, time
from decimal import Decimal

from core.cells import CellPart, CellSpec, Part
from core.requests import Report, Where


def words(*parts: object) -> str:
    """Return the parts that are there, one blank between them."""
    return " ".join(str(part) for part in parts if part is not None and part != "")


def number(value: float) -> str:
    """Return a float without exponent and without needless zeros."""
    text = f"{Decimal(repr(value)):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def degrees(temp_c: float) -> str:
    """Return a temperature in degrees Celsius."""
    return f"{number(temp_c)}C"


def quoted(text: str) -> str:
    """Return a name in quotes; quotes inside become apostrophes."""
    return '"' + text.replace('"', "'") + '"'


def day(on: date) -> str:
    """Return an ISO date."""
    return on.isoformat()


def clock(at: time) -> str:
    """Return a time of day to the minute."""
    return f"{at:%H:%M}"


def cells(spec: CellSpec) -> str:
    """Return cells so that none is taken for a tray, lot or sowing."""
    return " ".join(_part(part) for part in spec.parts)


def _part(part: CellPart) -> str:
    text = part.text
    doubtful = part.part is Part.RANGE and any(label[0] in "LST" for label in text.split("-"))
    return f"cell {text}" if doubtful else text


def places(where: Where) -> str:
    """Return what a `Where` names."""
    return words(
        " ".join(where.trays),
        cells(where.cells) if where.cells else "",
        where.crop,
        where.sowing,
        where.lot,
        f"shelf {where.shelf}" if where.shelf else "",
        f"variety {quoted(where.variety)}" if where.variety else "",
        "everything" if where.everything else "",
    )


def report_tail(report: Report) -> str:
    """Return a report's day, person and notice."""
    return words(
        f"on {day(report.on)}" if report.on else "",
        f"for {quoted(report.for_whom)}" if report.for_whom else "",
        f"re:{report.notice}" if report.notice is not None else "",
    )
