"""A group's own figures for a topic: its shelves' light, its trays' water, what is up, how warm."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from core.group import outlook
from core.group.garden import Garden
from core.group.standing import Standing, standing
from core.replies.topics import Own, OwnDepth, OwnLight, OwnUp, OwnWarm, OwnWater
from core.shown.shelf_light import light_of
from core.trade.crops.table import GerminationLight, crop_by_id
from core.trade.emergence.reconciled import curve_of
from core.trade.light.lamp import LightTarget, target_of
from core.trade.water.dose import dose_ml

FRESH = timedelta(days=7)
"""A temperature read longer ago no longer speaks of today; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Meant:
    """What a question is about: the parts that stand, and what was named of tray, shelf, crop."""

    parts: tuple[Standing, ...]
    tray: str | None = None
    shelf: str | None = None
    crop: str | None = None


def meant_of(
    garden: Garden, *, sowing: str | None, tray: str | None, crop: str | None, shelf: str | None
) -> Meant:
    """Return what stands there by the narrowest thing named; everything when nothing is."""
    parts = standing(garden)
    if sowing is not None:
        parts = [pair for pair in parts if pair[0].code == sowing]
    elif tray is not None:
        parts = [pair for pair in parts if pair[1].tray == tray]
    elif shelf is not None:
        parts = [pair for pair in parts if _shelf(garden, pair[1].tray) == shelf]
    if crop is not None:
        parts = [pair for pair in parts if pair[0].crop == crop]
    return Meant(parts=tuple(parts), tray=tray, shelf=shelf, crop=crop)


def own_figures(garden: Garden, figures: str, meant: Meant, today: date) -> tuple[Own, ...]:
    """Return the group's own figures of a kind; none where nothing is on record.

    Args:
        figures: `figures` of a row of topics.toml.

    Checked by: tests/core/trouble/test_own_figures.py.
    """
    match figures:
        case "light":
            return tuple(_light(garden, meant, today))
        case "water":
            return tuple(_water(garden, meant, today))
        case "up":
            return tuple(_up(garden, meant, today))
        case "warm":
            return tuple(_warm(garden, meant, today))
        case "depth":
            return tuple(_depth(meant))
        case _:
            return ()


def _shelf(garden: Garden, tray: str | None) -> str | None:
    found = outlook.shelf_of(garden, tray)
    return None if found is None else found.code


def _light(garden: Garden, meant: Meant, today: date) -> Iterable[OwnLight]:
    shelves = [meant.shelf] if meant.shelf else []
    if not shelves and meant.tray is not None:
        shelves = [code for code in [_shelf(garden, meant.tray)] if code]
    if not shelves:
        shelves = sorted({s for _, g in meant.parts if (s := _shelf(garden, g.tray))})
    if not shelves:
        shelves = list(garden.shelves)
    for code in shelves:
        row = garden.shelves[code]
        known = row.height_mm is not None or outlook.shelf_hours(garden, code) is not None
        if row.lamp == "window" or known or outlook.last_light(garden, code) is not None:
            yield _light_of(garden, code, meant, today)


def _light_of(garden: Garden, code: str, meant: Meant, today: date) -> OwnLight:
    crops = [s.crop for s, g in standing(garden) if _shelf(garden, g.tray) == code]
    if meant.crop is not None:
        crops = [meant.crop]
    targets = {crop: target_of(crop) for crop in dict.fromkeys(crops)}
    most: LightTarget | None = max(targets.values(), key=lambda t: t.aim_mol, default=None)
    apart = most is not None and most.good_mol > min(t.high_mol for t in targets.values())
    return OwnLight(
        light=light_of(garden, code, today, most),
        needs=tuple((crop, t.good_mol, t.high_mol) for crop, t in targets.items()),
        apart=apart,
    )


def _water(garden: Garden, meant: Meant, today: date) -> Iterable[OwnWater]:
    trays = [meant.tray] if meant.tray else sorted({g.tray for _, g in meant.parts if g.tray})
    if not trays and meant.crop is None and len(garden.trays) == 1:
        trays = list(garden.trays)
    zone = ZoneInfo(garden.site.zone)
    for code in trays:
        used = sum(len(growing.cells) for _, growing in outlook.in_tray(garden, code))
        watered = outlook.waterings(garden, code)
        lasts = outlook.tray_interval(garden, code, today)
        cell_ml = outlook.cell_volume(garden, code)
        yield OwnWater(
            tray=code,
            cells=used or garden.trays[code].cells,
            cell_ml=cell_ml,
            dose_ml=dose_ml(cell_ml),
            watered_days=(today - watered[-1].astimezone(zone).date()).days if watered else None,
            lasts_days=lasts.usual if lasts is not None else None,
        )


def _up(garden: Garden, meant: Meant, today: date) -> Iterable[OwnUp]:
    seen = set()
    for sowing, growing in meant.parts:
        if sowing.code in seen or growing.potted_on is not None or growing.outings:
            continue
        seen.add(sowing.code)
        forecast = outlook.emergence(garden, sowing, today)
        yield OwnUp(
            sowing=sowing.code,
            crop=sowing.crop,
            tray=growing.tray or sowing.tray,
            up=growing.up,
            of=sowing.seeds,
            since=growing.first_up_on,
            first=forecast.p10_on,
            last=forecast.p90_on,
        )


def _warm(garden: Garden, meant: Meant, today: date) -> Iterable[OwnWarm]:
    seen = set()
    for sowing, growing in meant.parts:
        if sowing.code in seen or growing.outings:
            continue
        seen.add(sowing.code)
        read = [t for t in outlook.mix_readings(garden, growing.tray) if today - t.on <= FRESH]
        usual, basis = outlook.usual_temp(garden, growing.tray)
        shown = read[-1].temp_c if read else usual if basis == "usual" else None
        up = growing.first_up_on is not None
        wants = _wants(sowing.crop, up=up)
        if wants is not None:
            yield OwnWarm(
                sowing=sowing.code,
                crop=sowing.crop,
                tray=growing.tray,
                up=up,
                low=wants[0],
                high=wants[1],
                night=_night(sowing.crop) if up else None,
                shown=shown,
                read_on=read[-1].on if read else None,
            )
    if meant.crop is not None and not seen:
        low, high = _wants(meant.crop, up=False) or (0.0, 0.0)
        yield OwnWarm(sowing=None, crop=meant.crop, tray=None, up=False, low=low, high=high)


def _wants(crop_id: str, *, up: bool) -> tuple[float, float] | None:
    """Return the range of the mix before a crop is up, of the air by day after, °C."""
    crop = crop_by_id(crop_id)
    if not up:
        if crop.germ_opt_lo_c is not None and crop.germ_opt_hi_c is not None:
            return crop.germ_opt_lo_c, crop.germ_opt_hi_c
        limits = curve_of(crop_id).limits
        return float(limits.good_lo), float(limits.good_hi)
    if crop.day_lo_c is None or crop.day_hi_c is None:
        return None
    return crop.day_lo_c, crop.day_hi_c


def _night(crop_id: str) -> tuple[float, float] | None:
    crop = crop_by_id(crop_id)
    if crop.night_lo_c is None or crop.night_hi_c is None:
        return None
    return crop.night_lo_c, crop.night_hi_c


def _depth(meant: Meant) -> Iterable[OwnDepth]:
    crops = [meant.crop] if meant.crop else []
    if not crops and meant.tray is not None:
        crops = list(dict.fromkeys(sowing.crop for sowing, _ in meant.parts))
    for crop_id in crops:
        crop = crop_by_id(crop_id)
        if crop.sow_depth_mm_min is not None and crop.sow_depth_mm_max is not None:
            yield OwnDepth(
                crop=crop_id,
                low=crop.sow_depth_mm_min,
                high=crop.sow_depth_mm_max,
                light=crop.germination_light is GerminationLight.LIGHT,
            )
