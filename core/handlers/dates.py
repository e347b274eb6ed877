"""When to sow and plant out a crop here, and what the table says of it."""

from __future__ import annotations

from datetime import date, timedelta

from sqlalchemy.orm import Session

from core.errors import NoFrostYet, PlantOutDateNeeded
from core.group import outlook
from core.group.coming_up import assumed_c
from core.group.garden import Garden
from core.group.standing import standing
from core.records import snapshot
from core.replies.base import Reply
from core.replies.dates import (
    CropDates,
    CropList,
    CropSaid,
    DatesWithoutFrost,
    GrowingNow,
    UpIn,
)
from core.requests import CropInfo, TempKind, When
from core.scene import Scene
from core.trade.cautions import crop_cautions
from core.trade.crops.hardiness import hardiness_of
from core.trade.crops.row import Category, Crop, Method
from core.trade.crops.table import CROPS, crop_by_id
from core.trade.dates.resow import latest_resow
from core.trade.dates.schedule import Schedule
from core.trade.emergence import forecast as em
from core.trade.emergence.reconciled import GUIDE_AT_C, curve_of, days_basis
from core.trade.tables.sources import SourceStatus, source

WEEK = timedelta(days=7)
MOST_SOURCES = 3
WEEKS = (
    "weeks_sow_to_plantout_min",
    "weeks_sow_to_plantout_max",
    "plantout_weeks_vs_last_frost_min",
    "plantout_weeks_vs_last_frost_max",
)
SHOWN = (
    "hardiness_class",
    "sow_depth_mm_min",
    "germination_light",
    "pretreatment",
    "emergence_days_min",
    "germ_opt_lo_c",
    "weeks_sow_to_plantout_min",
    "plantout_weeks_vs_last_frost_min",
    "min_night_new_c",
    "min_soil_plantout_c",
    "spacing_cm_min",
    "storage_years",
)
"""Figures that an answer shows and that may be from memory, in the order they are told."""


def when(request: When, scene: Scene, session: Session) -> Reply:
    """Return the dates of a crop here.

    Raises NoFrostYet without last-frost dates, CropTimesMissing for a crop without weeks.
    """
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    frost = outlook.frost_of(garden)
    if frost is None:
        raise NoFrostYet()
    crop, packet = outlook.crop_here(garden, request.crop, request.variety)
    place = garden.site.place or garden.site.name
    growing = _growing(garden, crop.id, scene.today)
    try:
        schedule = outlook.schedule_of(garden, crop.id, scene.today, request.variety, request.risk)
    except PlantOutDateNeeded as needed:
        return DatesWithoutFrost(
            crop=crop.id,
            place=place,
            n_seasons=needed.n_seasons,
            lowest_night_c=lowest_night(crop)[0],
            soil_c=crop.min_soil_plantout_c,
            weeks=_weeks_in_tray(crop),
            growing=growing,
        )
    assert schedule is not None
    by_crop = schedule.weeks_basis.value == "crop"
    return CropDates(
        crop=crop.id,
        place=place,
        schedule=schedule,
        frost_basis=frost.basis.value,
        spread_assumed=frost.spread_assumed,
        season=_season(schedule, scene.today),
        resow=latest_resow(crop, schedule, first_frost=outlook.frost_of(garden, "first")),
        maturity=_maturity(crop),
        maturity_unverified=packet is None and "maturity_days_min" in crop.from_memory,
        packet=packet,
        variety=request.variety,
        risk=request.risk,
        lowest_night_c=lowest_night(crop)[0],
        soil_c=crop.min_soil_plantout_c,
        weeks_unverified=by_crop and any(name in crop.from_memory for name in WEEKS),
        growing=growing,
        planned=_planned(garden, crop.id, scene.today),
    )


def _maturity(crop: Crop) -> tuple[int, int] | None:
    low, high = crop.maturity_days_min, crop.maturity_days_max
    return None if low is None else (low, low if high is None else high)


def _growing(garden: Garden, crop: str, today: date) -> tuple[GrowingNow, ...]:
    return tuple(
        GrowingNow(
            sowing=sowing.code,
            tray=growing.tray,
            sown_on=sowing.sown_on,
            alive=growing.alive,
            plant_out_on=outlook.plant_out_on(garden, sowing, today),
        )
        for sowing, growing in standing(garden)
        if sowing.crop == crop
    )


def _planned(garden: Garden, crop: str, today: date) -> tuple[date, ...]:
    """Return the dates on which the accepted plan still has the crop to be sown."""
    plan = garden.plan or {}
    sown = {sowing.plan_item for sowing in garden.sowings} | set(plan.get("sown", ()))
    dates = (
        date.fromisoformat(entry["sow_on"])
        for entry in plan.get("sowings", ())
        if entry["crop"] == crop and entry["id"] not in sown
    )
    return tuple(sorted(day for day in dates if day >= today))


def _season(schedule: Schedule, today: date) -> str:
    parts = (("indoors", schedule.indoors), ("outdoors", schedule.outdoors))
    windows = {name: part.sow for name, part in parts if part is not None}
    now = [name for name, sow in windows.items() if sow.earliest <= today <= sow.latest]
    if now:
        return now[0] if len(now) == 1 else "both"
    return "ahead" if any(today < sow.earliest for sow in windows.values()) else "over"


def lowest_night(crop: Crop) -> tuple[float, bool]:
    """Return the coldest night for plants just set out, °C, and whether it is the class's."""
    if crop.min_night_new_c is not None:
        return crop.min_night_new_c, False
    return hardiness_of(crop.hardiness_class).lowest_night_c, True


def _weeks_in_tray(crop: Crop) -> tuple[float, float] | None:
    least, most = crop.weeks_sow_to_plantout_min, crop.weeks_sow_to_plantout_max
    if crop.method is Method.DIRECT or least is None or most is None:
        return None
    return least, most


# --- what the table says ------------------------------------------------------------------


def crop_info(request: CropInfo, scene: Scene, session: Session) -> Reply:
    """Return what the table says of a crop, or the list of crops by kind."""
    if request.crop is None:
        return CropList(
            kinds=tuple(
                (kind.value, tuple(crop.id for crop in CROPS.rows() if crop.category is kind))
                for kind in Category
            )
        )
    crop = crop_by_id(request.crop)
    garden = None
    if scene.group_id is not None and scene.member_id is not None:
        garden = snapshot.garden(session, scene.group_id, scene.today)
    night, by_class = lowest_night(crop)
    weeks, weeks_by_class = _weeks_vs_frost(crop)
    named = [key for key in crop.sources if source(key).status is not SourceStatus.FROM_MEMORY]
    return CropSaid(
        crop=crop.id,
        up_in=_up_in(crop, garden, scene.today),
        lowest_night_c=night,
        night_by_class=by_class,
        weeks_vs_last_frost=weeks,
        weeks_by_class=weeks_by_class,
        cautions=tuple(row.id for row in crop_cautions(h.value for h in crop.hazards)),
        sources=tuple(source(key).citation for key in named[:MOST_SOURCES]),
        more_sources=max(0, len(named) - MOST_SOURCES),
        unverified=tuple(name for name in SHOWN if name in crop.from_memory and _has(crop, name)),
    )


def _has(crop: Crop, name: str) -> bool:
    return getattr(crop, name) not in (None, ())


def _weeks_vs_frost(crop: Crop) -> tuple[tuple[float, float], bool]:
    least, most = crop.plantout_weeks_vs_last_frost_min, crop.plantout_weeks_vs_last_frost_max
    if least is not None and most is not None:
        return (least, most), False
    row = hardiness_of(crop.hardiness_class)
    return (row.weeks_vs_last_frost_min, row.weeks_vs_last_frost_max), True


TEMP_SD_C = {
    "read": em.READ_TEMP_SD_C,
    "usual": em.USUAL_TEMP_SD_C,
    "assumed": em.ASSUMED_TEMP_SD_C,
}


def _up_in(crop: Crop, garden: Garden | None, today: date) -> UpIn:
    """Return the days to emergence on the warmest shelf, else in a usual warm place."""
    curve = curve_of(crop.id)
    shelf, temp_c, temp_basis = _warmest(garden, today) if garden else (None, None, "")
    known = temp_c if garden is not None else None
    forecast = em.forecast_emergence(
        points=curve,
        catalogue=None,
        sown_on=today,
        today=today,
        usual_temp_c=GUIDE_AT_C if known is None else known,
        site=outlook.site_factor(garden, crop.id) if garden else None,
        temp_sd_c=em.USUAL_TEMP_SD_C if known is None else TEMP_SD_C[temp_basis],
    )
    learned = forecast.basis.site.sowings > 0
    return UpIn(
        low=_days(forecast.p10_on, today),
        high=_days(forecast.p90_on, today),
        temp_c=GUIDE_AT_C if known is None else known,
        temp_basis=temp_basis,
        shelf=shelf,
        basis="site" if learned else days_basis(curve.source),
        flags=tuple(sorted(flag.value for flag in forecast.flags)),
    )


def _days(on: date | None, today: date) -> int | None:
    return None if on is None else (on - today).days


def _warmest(garden: Garden, today: date) -> tuple[str | None, float | None, str]:
    """Return the shelf whose mix is warmest, its temperature in °C, and what that rests on.

    The mean of the last week's readings there, else the usual temperature given; only a group
    without any shelf gets none.
    """
    found: list[tuple[float, str, str]] = []
    for code, shelf in garden.shelves.items():
        readings = _mix_temps(garden, code, today)
        if readings:
            found.append((sum(readings) / len(readings), code, "read"))
        elif shelf.usual_temp_c is not None:
            found.append((shelf.usual_temp_c, code, "usual"))
        else:
            found.append((assumed_c(shelf), code, "assumed"))
    if not found:
        return None, None, ""
    temp_c, code, basis = max(found, key=lambda one: (one[2] != "assumed", one[0]))
    return code, temp_c, basis


def _mix_temps(garden: Garden, shelf: str, today: date) -> list[float]:
    """Return the mix temperatures read at a shelf and its trays in the last week, °C."""
    reports = list(garden.shelf_reports.get(shelf, ()))
    for code, tray in garden.trays.items():
        if tray.shelf == shelf:
            reports += garden.tray_reports.get(code, ())
    return [
        float(report.values["temp_c"])
        for report in reports
        if report.kind == "temp"
        and report.values.get("of", TempKind.MIX) == TempKind.MIX
        and timedelta(0) <= today - report.on < WEEK
    ]
