"""What the light of a shelf comes to, as replies and pictures say it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from core.group import outlook
from core.group.garden import Garden
from core.group.shelf_light import figure_of
from core.replies.reports import LightRecorded
from core.trade.light.height import HEIGHT_TABLES, light_advice
from core.trade.light.lamp import LAMPS, TARGETS, LightTarget


def light_of(
    garden: Garden, shelf: str, today: date | None = None, target: LightTarget | None = None
) -> LightRecorded:
    """Return what a shelf's light comes to, from its latest reading, hours and lamp.

    A shelf at a window has no steady light to read: what `today`'s sun gives there is said, where
    the site is known. `target` None holds it against what seedlings want in general.
    """
    row = garden.shelves[shelf]
    hours = outlook.shelf_hours(garden, shelf)
    target = target or TARGETS.by_id()["seedling"]
    nothing = LightRecorded(
        act=0,
        place=shelf,
        on=garden.site.created_on or date.min,
        ppfd=None,
        hours=hours,
        height_mm=row.height_mm,
        dli=None,
        dli_low=None,
        dli_high=None,
        band=None,
        target=(target.good_mol, target.high_mol),
        advice=(),
        basis="",
    )
    lamp = LAMPS.by_id().get(row.lamp or "")
    reading = outlook.last_light(garden, shelf)
    if row.lamp == "window":
        return _window(garden, nothing, today)
    if reading is None:
        return replace(nothing, reason="no_reading")
    figure = figure_of(reading, lamp)
    if figure is None:
        return replace(nothing, reason="no_factor")
    if hours is None:
        return replace(nothing, ppfd=figure.value, reason="no_hours")
    heights = HEIGHT_TABLES.by_id().get(lamp.height_table or "") if lamp else None
    read_at = reading.values.get("height_mm", row.height_mm)
    advice = light_advice(
        figure,
        target,
        hours=hours,
        lamp=lamp or LAMPS.by_id()["white_led"],
        table=heights,
        height_mm=float(read_at) if read_at else None,
    )
    ways: list[tuple[str, Mapping[str, Any]]] = []
    if advice.hours_needed is not None:
        ways.append(("hours", {"hours": advice.hours_needed, "now": hours}))
    if advice.height_needed_mm is not None:
        ways.append(("height", {"mm": advice.height_needed_mm, "now": advice.height_now_mm}))
    if advice.both is not None:
        ways.append(("both", {"mm": advice.both[0], "hours": advice.both[1]}))
    if not ways and advice.band in ("low", "marginal") and advice.best_dli_mol is not None:
        ways.append(("best", {"dli": advice.best_dli_mol}))
    return replace(
        nothing,
        ppfd=figure.value,
        dli=advice.dli.value,
        dli_low=advice.dli.low,
        dli_high=advice.dli.high,
        band=advice.band.value,
        advice=tuple(ways),
        basis=f"{figure.basis.value}:{advice.height_basis.value if advice.height_basis else ''}",
    )


def _window(garden: Garden, nothing: LightRecorded, today: date | None) -> LightRecorded:
    from core.trade.light.daylight import window_light

    site = garden.site
    if today is None or site.latitude is None or site.longitude is None:
        return replace(nothing, hours=None, reason="window")
    found = window_light(site.latitude, site.longitude, today)
    return replace(
        nothing,
        hours=found.day_hours,
        dli=found.window.value,
        dli_low=found.window.low,
        dli_high=found.window.high,
        reason="window",
        basis="window:",
    )
