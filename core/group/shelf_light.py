"""The light of a shelf from what was read there: its latest reading, its lamp, its hours."""

from __future__ import annotations

from datetime import date

from core.group.garden import Garden, Happening
from core.trade.light.lamp import (
    LAMPS,
    Lamp,
    LightFigure,
    LightUnit,
    dli_mol,
    lamp_hours,
    ppfd_from_reading,
)


def shelf_hours(garden: Garden, shelf: str) -> float | None:
    """Return the lamp hours a day: the latest said, else by the timer's times."""
    for report in reversed(garden.shelf_reports.get(shelf, ())):
        if report.kind == "light" and report.values.get("hours") is not None:
            return float(report.values["hours"])
    found = garden.shelves[shelf]
    if found.on_at is not None and found.off_at is not None:
        return lamp_hours(found.on_at, found.off_at)
    return None


def last_light(garden: Garden, shelf: str, by: date | None = None) -> Happening | None:
    """Return the latest light reading of a shelf or of a tray on it, not after `by`."""
    found = list(garden.shelf_reports.get(shelf, ()))
    for code, tray in garden.trays.items():
        if tray.shelf == shelf:
            found += garden.tray_reports.get(code, ())
    readings = [
        r
        for r in found
        if r.kind == "light"
        and (by is None or r.on <= by)
        and (r.values.get("ppfd") is not None or r.values.get("lux") is not None)
    ]
    return max(readings, key=lambda r: (r.at, r.id)) if readings else None


def figure_of(reading: Happening, lamp: Lamp | None) -> LightFigure | None:
    """Return the PPFD a reading stands for; None where lux says nothing under this lamp."""
    if reading.values.get("ppfd") is not None:
        any_lamp = lamp or LAMPS.by_id()["white_led"]
        return ppfd_from_reading(float(reading.values["ppfd"]), LightUnit.PPFD, any_lamp)
    if lamp is None:
        return None
    return ppfd_from_reading(float(reading.values["lux"]), LightUnit.LUX, lamp)


def shelf_dli(garden: Garden, shelf: str, by: date | None = None) -> float | None:
    """Return a shelf's daily light integral, mol m-2 d-1; None when it cannot be told.

    By its latest reading not after `by` and its lamp hours; never for a window, whose light is
    not steady. Checked by: tests/core/group/test_shelf_light.py.
    """
    row = garden.shelves.get(shelf)
    if row is None or row.lamp == "window":
        return None
    reading, hours = last_light(garden, shelf, by), shelf_hours(garden, shelf)
    if reading is None or hours is None:
        return None
    figure = figure_of(reading, LAMPS.by_id().get(row.lamp or ""))
    return None if figure is None else figure.scaled(dli_mol(1.0, hours)).value
