"""Headings of weather files: find the date and minimum columns and the unit they imply.

Services' own layouts are rows of `frost_headers.toml`; other files are read by common names.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from core.errors import FrostFileUnreadable
from core.trade.tables.registry import ident, register, text

HEADER_WITHIN_LINES = 80
"""A heading further down than this is not looked for; the longest preamble met has about 50."""


class TempUnit(StrEnum):
    """Unit the minima are written in."""

    CELSIUS = "celsius"
    FAHRENHEIT = "fahrenheit"
    TENTHS_CELSIUS = "tenths_celsius"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostLayout:
    """One service's headings, as `frost_headers.toml` lists them."""

    id: str = ident()
    date_columns: tuple[str, ...] = text()
    minimum_column: str = text()
    also_present: tuple[str, ...] = text(default=())
    unit: TempUnit
    example: str = text()
    source: str = text()


LAYOUTS = register("frost_layout", FrostLayout, file="frost_headers.toml")

DATE_NAMES = (
    "date", "date/time", "datetime", "day", "time", "yyyymmdd", "aaaammjj", "mess_datum",
    "datum", "fecha", "data", "jour", "dato", "obs date", "observation date", "ob_date",
    "ob_end_time", "local date", "valid", "date(nzst)", "date(utc)",
)  # fmt: skip
MINIMUM_NAMES = (
    "tmin", "t_min", "t.min", "tn", "tnk", "min", "min temp", "min_temp", "temp_min",
    "min temperature", "minimum", "minimum temperature", "low", "low temp", "low_temp",
    "temperature minimum", "min air temperature", "min_air_temp", "air_temp_min", "tasmin",
    "tre200dn", "mintemp", "min_temperature", "minimum_temperature",
    "temperature_2m_min", "daily minimum", "lowest", "t min",
)  # fmt: skip
STATION_NAMES = (
    "station", "station_id", "station id", "staid", "stn", "stations_id", "city", "site",
    "num_poste", "climate id", "station/location", "station number", "location", "place",
    "bureau of meteorology station number",
)  # fmt: skip
YEAR_NAMES = ("year", "yr", "yyyy", "jahr", "année", "annee")
MONTH_NAMES = ("month", "mo", "mm", "monat", "mois")
DAY_NAMES = ("day", "dy", "dd", "tag", "jour")


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadedTable:
    """The rows under a recognised heading; `*_at` are column positions."""

    header: tuple[str, ...]
    rows: list[list[str]]
    date_at: tuple[int, ...]
    minimum_at: int
    layout_unit: TempUnit
    heading_unit: TempUnit
    station_at: int | None
    column: str


def decode(content: bytes | str) -> str:
    """Return the text of a file: UTF-8, UTF-16 with a mark, else Windows-1252."""
    if isinstance(content, str):
        return content.lstrip("\ufeff")
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return content.decode("utf-16", errors="replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace")


def find_table(content: str) -> HeadedTable:
    """Return the rows under the first heading that names a date and a minimum.

    Raises FrostFileUnreadable when there is none.
    """
    lines = content.replace("\x00", "").splitlines()
    if not any(line.strip() for line in lines):
        raise FrostFileUnreadable(reason="empty")
    widest: tuple[str, ...] = ()
    saw_date = False
    for at, line in enumerate(lines[:HEADER_WITHIN_LINES]):
        for delimiter in sorted(",;\t|", key=line.count, reverse=True):
            if delimiter not in line:
                break
            header = tuple(_split(line, delimiter))
            found = _columns(header)
            if found is not None:
                return _under(found, header, lines[at + 1 :], delimiter)
            if len(header) > len(widest) and not any(looks_numeric(cell) for cell in header):
                widest = header
                saw_date = _first_of(_names(header), DATE_NAMES) is not None
    bare = _bare_pairs(lines)
    if bare is not None:
        return bare
    reason = "no_minimum_column" if saw_date else "no_date_column"
    raise FrostFileUnreadable(reason=reason, columns=widest)


def _under(
    found: tuple[tuple[int, ...], int, TempUnit],
    header: tuple[str, ...],
    lines: list[str],
    delimiter: str,
) -> HeadedTable:
    date_at, minimum_at, layout_unit = found
    reader = csv.reader((line for line in lines if line.strip()), delimiter=delimiter)
    try:
        rows = [[cell.strip() for cell in row] for row in reader]
    except csv.Error as error:
        raise FrostFileUnreadable(reason="no_values", columns=header) from error
    return HeadedTable(
        header=header,
        rows=rows,
        date_at=date_at,
        minimum_at=minimum_at,
        layout_unit=layout_unit,
        heading_unit=split_unit(header[minimum_at])[1],
        station_at=_first_of(_names(header), STATION_NAMES),
        column=header[minimum_at],
    )


def _split(line: str, delimiter: str) -> list[str]:
    try:
        cells = next(
            csv.reader([line.lstrip("#\ufeff ")], delimiter=delimiter, skipinitialspace=True)
        )
    except (csv.Error, StopIteration):
        return []
    return [cell.strip().strip('"') for cell in cells]


def _columns(header: Sequence[str]) -> tuple[tuple[int, ...], int, TempUnit] | None:
    """Return the positions of the date and the minimum, and the layout's unit."""
    names = _names(header)
    for layout in LAYOUTS.rows():
        needed = (*layout.date_columns, layout.minimum_column, *layout.also_present)
        if all(name in names for name in needed):
            date_at = tuple(names.index(name) for name in layout.date_columns)
            return date_at, names.index(layout.minimum_column), layout.unit
    minimum_at = _first_of(names, MINIMUM_NAMES)
    if minimum_at is None:
        return None
    parts = [_first_of(names, known) for known in (YEAR_NAMES, MONTH_NAMES, DAY_NAMES)]
    whole = _first_of(names, [n for n in DATE_NAMES if n not in DAY_NAMES or None in parts])
    if whole is not None:
        return (whole,), minimum_at, TempUnit.UNKNOWN
    known_parts = tuple(part for part in parts if part is not None)
    return (known_parts, minimum_at, TempUnit.UNKNOWN) if len(known_parts) == 3 else None


def _names(header: Iterable[str]) -> list[str]:
    return [split_unit(cell)[0] for cell in header]


_UNIT_END = re.compile(
    r"""(?P<sep>[\s_\[(]+|[^\x00-\x7f]+)      # something between the name and its unit
        (?P<tenths>0[.,]1\s*)?
        (?:[^a-z0-9]*)(?:deg(?:rees?)?[\s_.]*)?
        (?P<unit>celsius|fahrenheit|c|f)\s*[\])]?$""",
    re.VERBOSE,
)


def split_unit(heading: str) -> tuple[str, TempUnit]:
    """Return a heading in lower case without its unit, and the unit."""
    name = re.sub(r"\s+", " ", heading.strip().strip('"').lstrip("#").strip().lower())
    found = _UNIT_END.search(name)
    if found is None:
        return name, TempUnit.UNKNOWN
    return name[: found.start()].strip(), _unit_named(found["unit"], bool(found["tenths"]))


def _unit_named(letter: str, tenths: bool) -> TempUnit:
    if letter.startswith("f"):
        return TempUnit.FAHRENHEIT
    return TempUnit.TENTHS_CELSIUS if tenths else TempUnit.CELSIUS


def _first_of(names: Sequence[str], wanted: Iterable[str]) -> int | None:
    return next((names.index(name) for name in wanted if name in names), None)


def looks_numeric(cell: str) -> bool:
    """Return whether a cell is a number or a date rather than a heading."""
    return bool(re.fullmatch(r"[-+]?[\d.,/:\- ]*\d[\d.,/:\- ]*", cell.strip()))


def _bare_pairs(lines: list[str]) -> HeadedTable | None:
    """Read a file without a heading: two columns, a date and a number."""
    first = next(line for line in lines if line.strip())
    for delimiter in ";\t|,":
        cells = _split(first, delimiter)
        if len(cells) == 2 and all(looks_numeric(cell) and cell for cell in cells):
            header = ("", "")
            return _under(((0,), 1, TempUnit.UNKNOWN), header, lines, delimiter)
    return None
