"""Figures of a group's own trays and sowings: its records joined with the trade's arithmetic.

Pure functions of a `Garden` and a date. What a figure rests on travels with it.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from core.folding import fold
from core.group.coming_up import catalogue_of as catalogue_of
from core.group.coming_up import emergence as emergence
from core.group.coming_up import mix_readings as mix_readings
from core.group.coming_up import shelf_of as shelf_of
from core.group.coming_up import site_factor as site_factor
from core.group.coming_up import speed_of as speed_of
from core.group.coming_up import usual_temp as usual_temp
from core.group.garden import Garden, SowingOf
from core.group.growing import Growing
from core.group.pots import pot_ml
from core.group.shelf_light import last_light as last_light
from core.group.shelf_light import shelf_dli as shelf_dli
from core.group.shelf_light import shelf_hours as shelf_hours
from core.group.standing import Standing, standing
from core.requests import Moisture, TempKind
from core.trade.crops.hardiness import hardiness_of, timing_days
from core.trade.crops.table import Crop, Method, crop_by_id
from core.trade.crops.trays import kinds_with
from core.trade.dates.schedule import Schedule, schedule_crop
from core.trade.frost.dates import FrostDates
from core.trade.frost.store import frost_from_values
from core.trade.hardening import course as hc
from core.trade.hardening import plan as hd
from core.trade.stage import TrayStage
from core.trade.water import interval as wt

TRUE_LEAVES_AFTER = timedelta(days=10)
"""Seed leaves last about so long after the first seedling shows; from memory."""

LOOKED_WITH_WATER_DAYS = 0.05
"""A look within so long of a watering is of the mix before it and says nothing of the interval;
from memory."""


# --- water --------------------------------------------------------------------------------


def in_tray(garden: Garden, tray: str) -> list[Standing]:
    """Return what lives in a tray."""
    return [pair for pair in standing(garden) if pair[1].tray == tray]


def tray_stage(living: list[tuple[SowingOf, Growing]], day: date) -> TrayStage:
    """Return the thirstiest stage in a tray on a day."""
    stage = TrayStage.BEFORE_EMERGENCE
    for _, growing in living:
        if any(on <= day for on, _, _ in growing.outings):
            return TrayStage.HARDENING
        if growing.potted_on is not None and growing.potted_on <= day:
            stage = TrayStage.POTTED
        elif growing.first_up_on is not None and growing.first_up_on <= day:
            older = day - growing.first_up_on >= TRUE_LEAVES_AFTER
            thinned = growing.thinned_on is not None and growing.thinned_on <= day
            if stage is not TrayStage.POTTED:
                if older or thinned:
                    stage = TrayStage.TRUE_LEAVES
                elif stage is TrayStage.BEFORE_EMERGENCE:
                    stage = TrayStage.COTYLEDON
    return stage


def cell_volume(garden: Garden, tray: str) -> float:
    """Return the volume of a tray's cells in ml: as given, else of the usual tray of that size."""
    found = garden.trays[tray]
    if found.cell_ml is not None:
        return found.cell_ml
    if found.pot_mm is not None:
        return pot_ml(found.pot_mm)
    kinds = kinds_with(found.cells)
    if kinds:
        usual = next((kind for kind in kinds if kind.usual), kinds[0])
        low, high = usual.cell_ml()
        return (low + high) / 2
    # an own size: the usual flat's mix shared over its cells (TRAY-GEOM, estimated)
    return 4200.0 / max(1, found.cells)


def tray_air(garden: Garden, tray: str, day: date, stage: TrayStage) -> wt.TrayAir:
    """Return what a tray stands in on a day, from what was logged."""
    shelf = shelf_of(garden, tray)
    temps = [t.temp_c for t in mix_readings(garden, tray) if timedelta(0) <= day - t.on < WEEK]
    air = sum(temps) / len(temps) if temps else usual_temp(garden, tray)[0]
    on_mat = bool(shelf and shelf.heat_mat) and stage is TrayStage.BEFORE_EMERGENCE
    return wt.TrayAir(
        cell_ml=cell_volume(garden, tray),
        stage=stage,
        air_temp_c=min(45.0, max(0.0, air)),
        dli_mol=None if shelf is None else shelf_dli(garden, shelf.code, day),
        on_mat=on_mat,
    )


WEEK = timedelta(days=7)


def waterings(garden: Garden, tray: str) -> list[datetime]:
    """Return when a tray was watered, oldest first; sowing and potting up count as one."""
    found = [
        r.at
        for r in garden.tray_reports.get(tray, ())
        if r.kind == "watered" and "cells" not in r.values  # some cells only: the rest is as dry
    ]
    zone = ZoneInfo(garden.site.zone)
    for sowing, growing in in_tray(garden, tray):
        day = growing.since or sowing.sown_on
        if day is not None:
            found.append(datetime.combine(day, time(12), zone).astimezone(UTC))
    return sorted(found)


def tray_interval(garden: Garden, tray: str, day: date) -> wt.Interval | None:
    """Return how long a tray lasts, learned from its moisture reports; None when it is empty."""
    key = ("tray_interval", tray, day)
    if key not in garden.worked_out:
        garden.worked_out[key] = _tray_interval(garden, tray, day)
    found: wt.Interval | None = garden.worked_out[key]
    return found


def _tray_interval(garden: Garden, tray: str, day: date) -> wt.Interval | None:
    living = in_tray(garden, tray)
    if not living:
        return None
    watered = waterings(garden, tray)
    looks: list[wt.MoistureReport] = []
    for report in garden.tray_reports.get(tray, ()):
        if report.kind != "moist":
            continue
        before = [at for at in watered if at < report.at]
        if not before:
            continue
        age = (report.at - before[-1]).total_seconds() / 86_400
        if age < LOOKED_WITH_WATER_DAYS:
            continue
        then = tray_air(garden, tray, report.on, tray_stage(living, report.on))
        looks.append(
            wt.MoistureReport(
                age_days=age,
                level=Moisture(report.values["level"]),
                prior_days=wt.prior_interval(then),
            )
        )
    return wt.interval(tray_air(garden, tray, day, tray_stage(living, day)), looks)


def tray_check_on(garden: Garden, tray: str, day: date) -> date | None:
    """Return the date of a tray's next look; None when nothing lives in it.

    A look while watering tells how the mix was before, so the watering counts, not the look.
    """
    lasts = tray_interval(garden, tray, day)
    watered = waterings(garden, tray)
    if lasts is None or not watered:
        return None
    looked = [
        (r.at, Moisture(r.values["level"]))
        for r in garden.tray_reports.get(tray, ())
        if r.kind == "moist"
        and not timedelta(0) <= r.at - watered[-1] < timedelta(days=LOOKED_WITH_WATER_DAYS)
    ]
    return wt.next_check_on(
        watered[-1],
        lasts,
        zone=ZoneInfo(garden.site.zone),
        looked=looked[-1] if looked else None,
    )


# --- dates --------------------------------------------------------------------------------


def frost_of(garden: Garden, which: str = "last") -> FrostDates | None:
    """Return the site's last (or first) frost dates, None when nobody has given them."""
    stored = (garden.site.frost or {}).get(which)
    return frost_from_values(stored) if stored else None


def season_year(frost: FrostDates | None, today: date) -> int:
    """Return the year of the spring that planning is about: the next after high summer."""
    if frost is not None and frost.hemisphere == "south":
        return today.year
    return today.year + (1 if today.month >= 8 else 0)


def crop_here(garden: Garden, crop_id: str, variety: str | None) -> tuple[Crop, str | None]:
    """Return a crop's row, with the days to maturity of a variety, and the lot they are of.

    The lot is None where the crop's own days stand.
    """
    crop, wanted = crop_by_id(crop_id), fold(variety or "")
    for lot in garden.lots.values():
        if not wanted or lot.crop != crop_id or fold(lot.variety or "") != wanted:
            continue
        if (days := lot.maturity_days) is not None:
            return replace(crop, maturity_days_min=days, maturity_days_max=days), lot.code
    return crop, None


def schedule_of(
    garden: Garden,
    crop_id: str,
    today: date,
    variety: str | None = None,
    level: float | None = None,
) -> Schedule | None:
    """Return a crop's dates here, or None when no frost dates are known or none can be told.

    Args:
        variety: whose days to maturity end the season, where a lot has them.
        level: chance of frost to accept instead of the class's.
    """
    frost = frost_of(garden)
    if frost is None:
        return None
    crop, year = crop_here(garden, crop_id, variety)[0], season_year(frost, today)
    for spring in (year - 1, year):  # the growing year under way may not be over
        found = schedule_crop(
            crop,
            frost,
            spring,
            level=level,
            lamp_raised=lamp_raised(garden),
            first_frost=frost_of(garden, "first"),
            on=today,
        )
        if any(part is not None and part.sow.latest >= today for part in found.parts):
            break
    return found


def lamp_raised(garden: Garden) -> bool:
    """Whether plants here grow under lamps: on every shelf that is not a window."""
    return any(shelf.lamp not in (None, "window") for shelf in garden.shelves.values())


def plant_out_on(garden: Garden, sowing: SowingOf, today: date) -> date | None:
    """Return when a sowing is to be planted out.

    Not before the crop's date by frost, nor before its least weeks in the tray are over.
    """
    crop = crop_by_id(sowing.crop)
    if crop.method is Method.DIRECT and crop.weeks_sow_to_plantout_min is None:
        return None
    try:
        dates = schedule_of(garden, sowing.crop, sowing.sown_on)
    except Exception as error:
        from core.errors import UserError

        if isinstance(error, UserError):
            return None
        raise
    if dates is None or dates.indoors is None:
        return None
    weeks = crop.weeks_sow_to_plantout_min or 4
    return max(dates.indoors.plant_out.target, sowing.sown_on + timedelta(weeks=weeks))


def out_about(garden: Garden, sowing: SowingOf, growing: Growing, today: date) -> date | None:
    """Return when a sowing is likely to go out: its date, or later when hardening off is."""
    planned = plant_out_on(garden, sowing, today)
    if planned is None or growing.first_up_on is None:
        return planned
    course = hardening(garden, sowing, growing, today)
    return planned if course is None else max(planned, course.ready_on)


def harden_days(garden: Garden, crop: Crop) -> int:
    """Return the length of hardening off in days: the long end for plants from under lamps."""
    days = hardiness_of(crop.hardiness_class).harden_days
    return max(days, timing_days("harden_lamp_raised")) if lamp_raised(garden) else days


def outdoor_temps(garden: Garden) -> list[hc.OutdoorTemp]:
    """Return the outdoor lows by date, reported or forecast; what was measured comes last.

    A low of last night holds for the date before it; a forecast for its own night.
    """
    found: list[tuple[int, hc.OutdoorTemp]] = []
    for report in garden.site_reports:
        if report.kind != "temp":
            continue
        temp, of = float(report.values["temp_c"]), report.values.get("of")
        if of == TempKind.FORECAST:
            found.append((0, hc.OutdoorTemp(day=report.on, low_c=temp)))
        elif of == TempKind.LOW:
            found.append((1, hc.OutdoorTemp(day=report.on - timedelta(days=1), low_c=temp)))
        elif of == TempKind.OUTSIDE:
            found.append((1, hc.OutdoorTemp(day=report.on, day_c=temp)))
    return [temp for _, temp in sorted(found, key=lambda pair: pair[0])]


def hardening(
    garden: Garden, sowing: SowingOf, growing: Growing, today: date
) -> hc.HardeningCourse | None:
    """Return where a sowing's hardening off stands; None when it has no planting-out date.

    It begins in time for the planting-out date, but never with seed leaves alone.
    """
    out_on = plant_out_on(garden, sowing, today)
    if out_on is None:
        return None
    crop = crop_by_id(sowing.crop)
    limit = hd.lowest_safe(crop.hardiness_class.value, crop.id).limit_c
    plan = hd.hardening_plan(harden_days(garden, crop), limit_c=limit)
    begun = hc.start_on(out_on, len(plan))
    if growing.first_up_on is not None:
        begun = max(begun, growing.first_up_on + TRUE_LEAVES_AFTER)
    decided = [growing.begun_on] if growing.begun_on else []
    if growing.outings:
        decided.append(growing.outings[0][0])
    begun = min([begun, *decided])
    return hc.hardening_course(
        plan,
        begun_on=begun,
        plant_out_on=out_on,
        days_out=[hc.DayOut(day=on, hours=hours) for on, hours, _ in growing.outings],
        temps=outdoor_temps(garden),
        today=today,
    )
