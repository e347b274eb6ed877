"""What the records already know about a tray or a sowing, as evidence for trouble-shooting.

Only readings fresh enough to speak of today are used; everything says where it came from.
"""

from __future__ import annotations

from datetime import date, timedelta

from core.group import outlook
from core.group.garden import Garden, Happening, SowingOf
from core.group.growing import Growing, Stage
from core.group.standing import Standing
from core.trade.crops.table import Crop, GerminationLight, crop_by_id
from core.trade.emergence.reconciled import curve_of
from core.trade.hardening import plan as hd
from core.trade.light.lamp import LAMPS, LightUnit, dli_mol, ppfd_from_reading
from core.trade.stage import TrayStage
from core.trouble.evidence import CropValues, Evidence, Origin

FRESH = timedelta(days=7)
"""A temperature or light reading older than this no longer speaks of today; common practice."""

LEVELS = {"dry": 1.0, "right": 3.0, "wet": 4.0}
"""`dry / right / wet` on the five-step moisture scale (BPG-MOIST)."""


LAMP_TYPES = {
    "cool_white_fluorescent": "fluorescent",
    "cool_white_fluorescent_4": "fluorescent",
    "red_blue_led": "led_panel",
    "high_pressure_sodium": "other",
    "high_pressure_sodium_double": "other",
    "metal_halide": "other",
    "ceramic_metal_halide_4200k": "other",
    "ceramic_metal_halide_3100k": "other",
    "incandescent": "other",
}
"""Lamps of lamps.toml as the rules tell them apart; a white LED may be a tube or a panel."""


def evidence_of(garden: Garden, aimed: Standing | None, tray: str | None, today: date) -> Evidence:
    """Return what is known of one sowing, or of one tray when no sowing is named."""
    code = aimed[1].tray if aimed is not None else tray
    found = Evidence()
    if code is not None and code in garden.trays:
        found = _tray(garden, code, today).over(found)
        shelf = outlook.shelf_of(garden, code)
        if shelf is not None:
            found = _shelf(garden, shelf.code, today).over(found)
    if aimed is not None:
        found = _sowing(garden, *aimed, today).over(found)
    return found


def _tray(garden: Garden, code: str, today: date) -> Evidence:
    found = Evidence()
    temps = [t for t in outlook.mix_readings(garden, code) if today - t.on <= FRESH]
    if temps:
        found = found.having("mix_temp_c", temps[-1].temp_c, Origin.REPORT)
    elif outlook.usual_temp(garden, code)[1] == "usual":
        usual = outlook.usual_temp(garden, code)[0]
        found = found.having("mix_temp_c", usual, Origin.SHELF_SETTING)
    looks = [r for r in garden.tray_reports.get(code, ()) if r.kind == "moist"]
    watered = outlook.waterings(garden, code)
    if looks and today - looks[-1].on <= timedelta(days=2):
        level = str(looks[-1].values["level"])
        same = _held(looks, level, today)
        found = found.having("mix_moisture", LEVELS[level], Origin.REPORT, held_days=same)
        found = found.having("tray_weight_low", level == "dry", Origin.REPORT)
    elif watered:
        lasts = outlook.tray_interval(garden, code, today)
        gone = (today - watered[-1].date()).days
        if lasts is not None and gone > 1.5 * lasts.usual:
            found = found.having("mix_moisture", 2.0, Origin.COMPUTED)
    return found


def _held(looks: list[Happening], level: str, today: date) -> float:
    """For how many days every look has said the same."""
    since = looks[-1].on
    for look in reversed(looks):
        if look.values["level"] != level:
            break
        since = look.on
    return float((today - since).days)


def _shelf(garden: Garden, code: str, today: date) -> Evidence:
    shelf = garden.shelves[code]
    found = Evidence()
    if shelf.heat_mat is not None:
        found = found.having("heat_mat_on", shelf.heat_mat, Origin.SHELF_SETTING)
    if shelf.lamp == "window":
        found = found.having("light_source", "window", Origin.SHELF_SETTING)
    elif shelf.lamp is not None:
        found = found.having("light_source", "lamp", Origin.SHELF_SETTING)
    if shelf.lamp in LAMP_TYPES:
        found = found.having("lamp_type", LAMP_TYPES[shelf.lamp], Origin.SHELF_SETTING)
    hours = outlook.shelf_hours(garden, code)
    if hours is not None:
        found = found.having("light_hours", hours, Origin.SHELF_SETTING)
    if shelf.height_mm is not None:
        found = found.having("light_distance_cm", shelf.height_mm / 10, Origin.SHELF_SETTING)
    reading = outlook.last_light(garden, code)
    lamp = LAMPS.by_id().get(shelf.lamp or "")
    if reading is not None and lamp is not None and today - reading.on <= 2 * FRESH:
        unit = LightUnit.PPFD if reading.values.get("ppfd") is not None else LightUnit.LUX
        figure = ppfd_from_reading(float(reading.values[unit.value]), unit, lamp)
        if figure is not None:
            found = found.having("light_ppfd_umol", min(figure.value, 2500.0), Origin.REPORT)
            if hours is not None:
                dli = min(dli_mol(figure.value, hours), 80.0)
                found = found.having("dli", dli, Origin.COMPUTED)
    air = [
        float(r.values["temp_c"])
        for r in garden.shelf_reports.get(code, ())
        if r.kind == "temp" and r.values.get("of") == "air" and today - r.on <= FRESH
    ]
    if air:
        found = found.having("air_day_c", air[-1], Origin.REPORT)
    return found


def _sowing(garden: Garden, sowing: SowingOf, growing: Growing, today: date) -> Evidence:
    crop = crop_by_id(sowing.crop)
    found = Evidence.of(
        Origin.COMPUTED,
        {
            "crop": sowing.crop,
            "days_since_sowing": float((today - sowing.sown_on).days),
            "seeds_sown": float(sowing.seeds),
        },
    )
    forecast = outlook.emergence(garden, sowing, today)
    if forecast.p90_days is not None:
        days = min(forecast.p90_days, 365.0)
        found = found.having("expected_emergence_days", days, Origin.COMPUTED)
    if growing.first_up_on is not None:
        days_up = float((today - growing.first_up_on).days)
        found = found.having("days_since_emergence", days_up, Origin.COMPUTED)
    if growing.counts:
        share = 100.0 * growing.up / sowing.seeds
        found = found.having("emergence_pct", share, Origin.REPORT)
    if growing.thinned_on is None and growing.potted_on is None:
        found = found.having("plants_per_cell", float(sowing.seeds_per_cell), Origin.REPORT)
    else:
        found = found.having("plants_per_cell", 1.0, Origin.REPORT)
    began = growing.potted_on or sowing.sown_on
    weeks = (today - began).days / 7
    found = found.having("weeks_in_container", weeks, Origin.COMPUTED)
    if growing.potted_on is not None:
        gone = float((today - growing.potted_on).days)
        found = found.having("days_since_transplant", gone, Origin.REPORT)
    fed = _fed(garden, growing)
    if fed is not None:
        found = found.having("days_since_feed", float((today - fed.on).days), Origin.REPORT)
        if fed.values.get("ppm_n") is not None:
            found = found.having("feed_ppm_n", float(fed.values["ppm_n"]), Origin.REPORT)
    elif growing.first_up_on is not None:
        found = found.having("days_since_feed", float((today - began).days), Origin.COMPUTED)
    if sowing.depth_mm is not None:
        found = found.having("sow_depth_mm", sowing.depth_mm, Origin.REPORT)
    if crop.storage_years is not None:
        found = found.having("seed_life_years", crop.storage_years, Origin.CROP_TABLE)
    lot = garden.lots.get(sowing.lot or "")
    if lot is not None and lot.packed_for is not None:
        age = float(max(0, sowing.sown_on.year - lot.packed_for))
        found = found.having("seed_age_years", age, Origin.REPORT)
    if lot is not None and lot.tested_of and lot.tested_up is not None:
        percent = 100.0 * lot.tested_up / lot.tested_of
        found = found.having("seed_test_pct", percent, Origin.REPORT)
    if growing.outings:
        found = found.having("harden_day", float(len(growing.outings)), Origin.REPORT)
    lows = [
        t.low_c
        for t in outlook.outdoor_temps(garden)
        if t.low_c is not None and today - t.day <= timedelta(days=3)
    ]
    if growing.stage is Stage.HARDENING and lows:
        found = found.having("outdoor_low_c", min(lows), Origin.REPORT)
    return found


def _fed(garden: Garden, growing: Growing) -> Happening | None:
    reports = [r for r in garden.tray_reports.get(growing.tray or "", ()) if r.kind == "fed"]
    return reports[-1] if reports else None


def limits_of(crop_id: str) -> CropValues:
    """Return a crop's limits as the rules ask for them."""
    crop: Crop = crop_by_id(crop_id)
    mix = curve_of(crop_id).limits
    return CropValues(
        germ_min_c=float(mix.least),
        germ_opt_lo_c=float(mix.good_lo),
        germ_good_hi_c=float(mix.good_hi),
        germ_max_c=float(mix.most),
        day_min_c=crop.day_lo_c,
        day_max_c=crop.day_hi_c,
        night_min_c=crop.night_lo_c,
        weeks_max=crop.weeks_max,
        outdoor_min_c=hd.lowest_safe(crop.hardiness_class.value, crop.id).limit_c,
        needs_light=crop.germination_light is GerminationLight.LIGHT,
        needs_chill=None if crop.chill_weeks_min is None else crop.chill_weeks_min > 0,
        depth_max_mm=crop.sow_depth_mm_max,
    )


def stage_of(
    garden: Garden, aimed: Standing | None, tray: str | None, today: date
) -> TrayStage | None:
    """Return how far the plants are; None when nothing is known of them."""
    if aimed is not None:
        return outlook.tray_stage([aimed], today)
    living = outlook.in_tray(garden, tray) if tray else []
    return outlook.tray_stage(living, today) if living else None


__all__ = ["evidence_of", "limits_of", "stage_of"]
