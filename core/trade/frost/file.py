"""A file of daily minimum temperatures, as weather services and loggers write them.

`read_minima` takes the file's content and returns one value for each calendar day, with
everything it set aside counted.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from core.errors import (
    FrostFileDatesAmbiguous,
    FrostFileManyStations,
    FrostFileUnitUnknown,
    FrostFileUnreadable,
)
from core.folding import fold
from core.trade.frost.absurd import AbsurdValue, absurd_values
from core.trade.frost.headers import (
    HeadedTable,
    TempUnit,
    decode,
    find_table,
    looks_numeric,
    split_unit,
)

MISSING_VALUES = frozenset({-9999.0, -9999.9, -999.9, -999.0, -99.9, -99.99, 9999.0, 9999.9, 999.9})
"""Numbers that services write for "no value" (from memory)."""
EARLIEST_YEAR, LATEST_YEAR = 1700, 2200
WARMEST_MINIMUM_C = 45.0
"""Above any daily minimum on record, about 43 °C (from memory); more must be °F."""
COLDEST_PLAUSIBLE_YEAR_F = 32.0
"""Nineteen nights in twenty of a whole year at or below this in °F: no plants are raised there."""


class UnitBasis(StrEnum):
    """What told the unit."""

    GIVEN = "given"
    HEADING = "heading"
    UNITS_ROW = "units_row"
    LAYOUT = "layout"
    VALUES = "values"


@dataclass(frozen=True, slots=True, kw_only=True)
class DailyMinima:
    """A record of daily minima, one entry for each calendar day from first to last.

    Attributes:
        days: (date, °C or None where missing or absurd), in order, without gaps; not empty.
        unit_read: unit the file was written in.
        unit_basis: what told the unit.
        absurd: values set aside, in order of date.
        missing_days: days without a value, counting absurd ones.
        duplicates: rows set aside because their day had a row already; the coldest stands.
        unreadable_rows: rows without a readable date.
        column: heading of the column of minima; "" when the file had no heading.
    """

    days: tuple[tuple[date, float | None], ...]
    unit_read: TempUnit
    unit_basis: UnitBasis
    absurd: tuple[AbsurdValue, ...]
    missing_days: int
    duplicates: int
    unreadable_rows: int
    column: str


def read_minima(
    content: bytes | str, *, unit: TempUnit | None = None, station: str | None = None
) -> DailyMinima:
    """Return the daily minima of a delimited text file.

    Args:
        content: the whole file: commas, semicolons, tabs or bars; decimal point or comma;
            UTF-8 with or without a mark, UTF-16 with one, or Windows-1252.
        unit: unit of the minima when the person says it; overrules the file.
        station: the place to read, where the file holds several.

    Raises FrostFileUnreadable, FrostFileUnitUnknown, FrostFileDatesAmbiguous or
    FrostFileManyStations.
    Checked by: tests/core/trade/frost/test_frost_file.py, tests/reference/test_frost_records.py.
    """
    table = find_table(decode(content))
    rows = _one_station(table, station)
    units_row = _units_row(table, rows)
    if units_row is not None:
        rows = rows[1:]
    raw = [(_date_text(row, table.date_at), _number(row, table.minimum_at)) for row in rows]
    values = [v for _, v in raw if v is not None]
    if not values:
        raise FrostFileUnreadable(reason="no_values", columns=table.header)
    read_as, basis = _unit(table, units_row, values, unit)
    parse = _date_reader([d for d, _ in raw], table.header)
    coldest: dict[date, float | None] = {}
    duplicates = unreadable = 0
    for written, value in raw:
        day = parse(written)
        if day is None:
            unreadable += 1
            continue
        minimum_c = None if value is None else to_celsius(value, read_as)
        if day in coldest:
            duplicates += 1
            minimum_c = _colder(coldest[day], minimum_c)
        coldest[day] = minimum_c
    absurd = absurd_values(coldest)
    for found in absurd:
        coldest[found.day] = None
    if all(value is None for value in coldest.values()):
        raise FrostFileUnreadable(reason="no_values", columns=table.header)
    first, last = min(coldest), max(coldest)
    every = (first + timedelta(days=n) for n in range((last - first).days + 1))
    days = tuple((day, coldest.get(day)) for day in every)
    return DailyMinima(
        days=days,
        unit_read=read_as,
        unit_basis=basis,
        absurd=absurd,
        missing_days=sum(value is None for _, value in days),
        duplicates=duplicates,
        unreadable_rows=unreadable,
        column=table.column,
    )


def to_celsius(value: float, unit: TempUnit) -> float:
    """Return a temperature in °C; raise ValueError for an unknown unit.

    Rounded to 0.01 °C, so that 32 °F and 0 tenths are 0 exactly.
    """
    if unit is TempUnit.FAHRENHEIT:
        return round((value - 32.0) / 1.8, 2)
    if unit is TempUnit.TENTHS_CELSIUS:
        return round(value / 10.0, 2)
    if unit is TempUnit.CELSIUS:
        return round(value, 2)
    raise ValueError("unit of a temperature is not known")


def _one_station(table: HeadedTable, station: str | None) -> list[list[str]]:
    """Return the rows of the place asked for; raise FrostFileManyStations if unclear."""
    at = table.station_at
    if at is None:
        return table.rows
    names = tuple(dict.fromkeys(row[at] for row in table.rows if at < len(row) and row[at]))
    if station is None and len(names) <= 1:
        return table.rows
    wanted = [name for name in names if station and fold(name) == fold(station)]
    if not wanted:
        raise FrostFileManyStations(column=table.header[at], stations=names)
    return [row for row in table.rows if at < len(row) and row[at] == wanted[0]]


def _units_row(table: HeadedTable, rows: list[list[str]]) -> TempUnit | None:
    """Return the unit that the row below the heading states, or None if it is no such row."""
    if not rows or looks_numeric(_date_text(rows[0], table.date_at)):
        return None
    if table.minimum_at >= len(rows[0]):
        return None
    unit = split_unit("x " + rows[0][table.minimum_at])[1]
    return None if unit is TempUnit.UNKNOWN else unit


def _unit(
    table: HeadedTable,
    units_row: TempUnit | None,
    values: list[float],
    given: TempUnit | None,
) -> tuple[TempUnit, UnitBasis]:
    """Return the unit of the minima and what told it; raise FrostFileUnitUnknown."""
    told = (
        (given or TempUnit.UNKNOWN, UnitBasis.GIVEN),
        (table.heading_unit, UnitBasis.HEADING),
        (units_row or TempUnit.UNKNOWN, UnitBasis.UNITS_ROW),
        (table.layout_unit, UnitBasis.LAYOUT),
        (_unit_by_values(values), UnitBasis.VALUES),
    )
    for unit, basis in told:
        if unit is not TempUnit.UNKNOWN:
            return unit, basis
    raise FrostFileUnitUnknown(column=table.column, lowest=min(values), highest=max(values))


def _unit_by_values(values: list[float]) -> TempUnit:
    """Return the only unit in which the values can be daily minima, if there is one.

    One value in a hundred may be wrong. Whole numbers beyond 130 are tenths of °C; values
    above 45 are °F; a whole year hardly ever above 32 can only be °C.
    """
    ordered = sorted(values)
    high, usual_high = ordered[(len(ordered) - 1) * 99 // 100], ordered[len(ordered) * 19 // 20]
    if high > 130:
        whole = all(value == int(value) for value in values)
        return TempUnit.TENTHS_CELSIUS if whole else TempUnit.UNKNOWN
    if high > WARMEST_MINIMUM_C:
        return TempUnit.FAHRENHEIT
    if len(values) >= 350 and usual_high <= COLDEST_PLAUSIBLE_YEAR_F:
        return TempUnit.CELSIUS
    return TempUnit.UNKNOWN


def _number(row: list[str], at: int) -> float | None:
    """Return the number in a cell, or None for a blank, a flag or a missing-value code."""
    if at >= len(row):
        return None
    try:
        value = float(row[at].strip().strip('"').replace(",", ".").replace("\u2212", "-"))
    except ValueError:
        return None
    return None if value in MISSING_VALUES or value != value or abs(value) > 1e5 else value


def _date_text(row: list[str], at: tuple[int, ...]) -> str:
    if max(at) >= len(row):
        return ""
    return "-".join(row[column].strip().strip('"') for column in at)


_YEAR_FIRST = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ].*)?")
_COMPACT = re.compile(r"(\d{4})(\d{2})(\d{2})(?:\d{2}|\d{4}|\d{6})?")
_YEAR_LAST = re.compile(r"(\d{1,2})([-/.])(\d{1,2})[-/.](\d{4})(?:[T ].*)?")


def _date_reader(written: list[str], header: tuple[str, ...]) -> Callable[[str], date | None]:
    """Return a reader of dates, having looked at all of them to tell day from month.

    Raises FrostFileDatesAmbiguous, or FrostFileUnreadable when most are no dates.
    """
    last = [m for m in map(_YEAR_LAST.fullmatch, written) if m]
    day_first = True
    if last and not any(m[2] == "." for m in last):
        first_over = any(int(m[1]) > 12 for m in last)
        second_over = any(int(m[3]) > 12 for m in last)
        if first_over == second_over:
            raise FrostFileDatesAmbiguous(example=last[0][0])
        day_first = first_over

    def read(text: str) -> date | None:
        if found := _YEAR_FIRST.fullmatch(text) or _COMPACT.fullmatch(text):
            year, month, day = (int(part) for part in found.groups())
        elif found := _YEAR_LAST.fullmatch(text):
            one, other, year = int(found[1]), int(found[3]), int(found[4])
            day, month = (one, other) if day_first else (other, one)
        else:
            return None
        try:
            return date(year, month, day) if EARLIEST_YEAR <= year <= LATEST_YEAR else None
        except ValueError:
            return None

    if 2 * sum(read(text) is not None for text in written) < len(written):
        raise FrostFileUnreadable(reason="dates", columns=header)
    return read


def _colder(one: float | None, other: float | None) -> float | None:
    known = [value for value in (one, other) if value is not None]
    return min(known) if known else None
