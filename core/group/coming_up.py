"""When a group's sowings come up: its temperatures, lots and looks joined with a crop's curve."""

from __future__ import annotations

import math
from datetime import date, timedelta

from core.group.garden import Garden, ShelfOf, SowingOf
from core.group.growing import Growing
from core.requests import TempKind
from core.trade.crops.table import Crop, crop_by_id
from core.trade.emergence import forecast as em
from core.trade.emergence.reconciled import curve_of
from core.trade.emergence.site import SOWING_LOG_SD, censored_ratio, prior_log_sd
from core.trade.emergence.watch import Watch, watch
from core.trade.seed.keeping import slowing

ROOM_C = 18.0
"""Taken for a shelf without a mat on which nobody has read a temperature: a heated room of 18.5 °C
by day, a little cooler by night. From memory."""

MAT_C = 24.0
"""Taken for a shelf with a heat mat on which nobody has read a temperature; from memory."""

LOOK_GAP_DAYS = 4
"""Somebody is taken to have looked at a tray this long before its first count where no look is
written down; from memory of groups that come twice a week."""

_LOOKS = frozenset({"moist", "watered", "temp", "light"})


def shelf_of(garden: Garden, tray: str | None) -> ShelfOf | None:
    """Return the shelf a tray stands on."""
    found = garden.trays.get(tray or "")
    return None if found is None else garden.shelves.get(found.shelf or "")


def assumed_c(shelf: ShelfOf | None) -> float:
    """Return the temperature taken for the mix of a shelf of which nobody said anything, °C."""
    return MAT_C if shelf is not None and shelf.heat_mat else ROOM_C


def usual_temp(garden: Garden, tray: str | None) -> tuple[float, str]:
    """Return the temperature taken where none was read, and what it rests on.

    `usual` when the shelf's usual temperature was given, else `assumed`.
    """
    shelf = shelf_of(garden, tray)
    if shelf is not None and shelf.usual_temp_c is not None:
        return shelf.usual_temp_c, "usual"
    return assumed_c(shelf), "assumed"


def mix_readings(garden: Garden, tray: str | None) -> list[em.DayTemp]:
    """Return the mix temperatures read at a tray, or at its shelf, oldest first."""
    key = ("mix_readings", tray)
    if key not in garden.worked_out:
        garden.worked_out[key] = _mix_readings(garden, tray)
    found: list[em.DayTemp] = garden.worked_out[key]
    return found


def _mix_readings(garden: Garden, tray: str | None) -> list[em.DayTemp]:
    found = list(garden.tray_reports.get(tray or "", ()))
    shelf = shelf_of(garden, tray)
    if shelf is not None:
        found += garden.shelf_reports.get(shelf.code, ())
    return [
        em.DayTemp(on=report.on, temp_c=float(report.values["temp_c"]))
        for report in found
        if report.kind == "temp" and report.values.get("of", TempKind.MIX) == TempKind.MIX
    ]


def temp_sd(basis: str, readings: list[em.DayTemp], sown_on: date) -> float:
    """Return how far the temperature of a sowing may be off, °C, by what it rests on."""
    if any(reading.on >= sown_on for reading in readings):
        return em.READ_TEMP_SD_C
    return em.USUAL_TEMP_SD_C if basis == "usual" else em.ASSUMED_TEMP_SD_C


def catalogue_of(crop: Crop) -> em.CatalogueDays | None:
    """Return a crop's range of days to emergence in a warm place, with the range's own source."""
    low, high = crop.emergence_days_min, crop.emergence_days_max
    if low is None or high is None:
        return None
    return em.CatalogueDays(low=float(low), high=float(high), source=curve_of(crop.id).source)


def site_factor(garden: Garden, crop: str) -> em.SiteFactor:
    """Return how this site's speed for a crop compares with its curve."""
    past = [em.PastSowing(ratio=r, emerged=seeds) for r, seeds in garden.speeds.get(crop, ())]
    return em.site_factor(past, prior_sd=prior_log_sd(curve_of(crop).log_sd))


def aged_log(garden: Garden, sowing: SowingOf) -> float:
    """Return the log of the days that the age of a sowing's lot adds; 0 where it is not known."""
    lot = garden.lots.get(sowing.lot or "")
    if lot is None or lot.packed_for is None:
        return 0.0
    return slowing(sowing.crop, max(0, sowing.sown_on.year - lot.packed_for))


def emergence(garden: Garden, sowing: SowingOf, today: date) -> em.Forecast:
    """Return the window in which a sowing should come up, by what was logged up to a day."""
    readings = mix_readings(garden, sowing.tray)
    usual, basis = usual_temp(garden, sowing.tray)
    return em.forecast_emergence(
        points=curve_of(sowing.crop),
        catalogue=catalogue_of(crop_by_id(sowing.crop)),
        sown_on=sowing.sown_on,
        today=today,
        readings=readings,
        usual_temp_c=usual,
        site=site_factor(garden, sowing.crop),
        temp_sd_c=temp_sd(basis, readings, sowing.sown_on),
        aged_log=aged_log(garden, sowing),
    )


def looks(garden: Garden, sowing: SowingOf) -> list[date]:
    """Return the days on which somebody was at a sowing's tray or counted it, oldest first.

    Who waters a tray, feels it or reads its temperature sees whether something shows.
    """
    seen = [r.on for r in garden.tray_reports.get(sowing.tray, ()) if r.kind in _LOOKS]
    seen += [r.on for r in sowing.happenings if r.kind == "up"]
    return sorted({on for on in seen if on >= sowing.sown_on})


def watched(garden: Garden, sowing: SowingOf, growing: Growing, today: date) -> Watch:
    """Return where a sowing stands against its window and who has looked."""
    seen = [on for on in looks(garden, sowing) if on <= today]
    return watch(
        emergence(garden, sowing, today),
        today=today,
        emerged=growing.up,
        sown_on=sowing.sown_on,
        seeds=sowing.seeds,
        looked_on=seen[-1] if seen else None,
    )


def speed_of(garden: Garden, sowing: SowingOf, growing: Growing) -> tuple[float, int] | None:
    """Return a sowing's thermal time over its curve's and the seedlings it counts for, once up.

    The day on which half were up lies between the last look with fewer and the first with as many:
    what is learned is the mean of what is likely between these two. Used when a sowing is thinned,
    potted up, planted or given up; None when nothing can be told.
    """
    totals = [(on, up) for on, up in growing.counts if on > sowing.sown_on]
    if not totals or totals[-1][1] < 1:
        return None
    half = totals[-1][1] / 2
    found_on = next(on for on, up in totals if up >= half)
    fewer = [on for on, up in totals if up < half and on < found_on]
    first_up = next(on for on, up in totals if up > 0)
    fewer += [on for on in looks(garden, sowing) if on < first_up and on < found_on]
    before = max(fewer, default=found_on - timedelta(days=LOOK_GAP_DAYS))
    before = max(before, sowing.sown_on)
    ends = [_ratio(garden, sowing, (on - sowing.sown_on).days) for on in (before, found_on)]
    if ends[1] is None:
        return None
    sd = math.hypot(prior_log_sd(curve_of(sowing.crop).log_sd), SOWING_LOG_SD)
    return censored_ratio(ends[0], ends[1], log_sd=sd, emerged=totals[-1][1])


def _ratio(garden: Garden, sowing: SowingOf, days: int) -> float | None:
    """Return the thermal time a sowing had so many days after sowing over its curve's."""
    if days <= 0:
        return None
    found = em.thermal_ratio(
        curve_of(sowing.crop),
        sown_on=sowing.sown_on,
        median_days=float(days),
        readings=mix_readings(garden, sowing.tray),
        usual_temp_c=usual_temp(garden, sowing.tray)[0],
    )
    return None if found is None else found / math.exp(aged_log(garden, sowing))
