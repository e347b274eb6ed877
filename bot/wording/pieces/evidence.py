"""One piece of evidence in words, with where it came from."""

from __future__ import annotations

from bot.wording.voice import Voice
from core.trouble.diagnosis import EvidenceUsed
from core.trouble.evidence import Origin


def reading_words(voice: Voice, used: EvidenceUsed) -> str | None:
    """Return `mix at 15 °C (you read it)`, or None for what needs no saying."""
    if used.origin in (Origin.SYMPTOM, Origin.MISSING):
        return None
    what = _value(voice, used)
    if what is None:
        return None
    match used.origin:
        case Origin.REPORT:
            return voice.say("{what} (as reported)", what=what)
        case Origin.SHELF_SETTING:
            return voice.say("{what} (as the shelf is set)", what=what)
        case Origin.ANSWER:
            return voice.say("{what} (you say)", what=what)
        case Origin.CROP_TABLE:
            return voice.say("{what} (crop table)", what=what)
        case _:
            return voice.say("{what} (worked out)", what=what)


def _value(voice: Voice, used: EvidenceUsed) -> str | None:
    value = used.value
    if isinstance(value, bool | str):
        return _flag(voice, used.name, value)
    number = float(value)
    name = used.name.removeprefix("crop.")
    match name:
        case "mix_temp_c":
            return voice.say("mix at {temp}", temp=voice.temp(number))
        case "air_day_c":
            return voice.say("air by day {temp}", temp=voice.temp(number))
        case "air_night_c":
            return voice.say("air at night {temp}", temp=voice.temp(number))
        case "outdoor_low_c":
            return voice.say("low outside {temp}", temp=voice.temp(number))
        case "germ_min_c":
            return voice.say("germinates from {temp}", temp=voice.temp(number))
        case "germ_opt_lo_c":
            return voice.say("germinates best from {temp}", temp=voice.temp(number))
        case "germ_max_c":
            return voice.say("germinates up to {temp}", temp=voice.temp(number))
        case "outdoor_min_c":
            return voice.say("safe outside down to {temp}", temp=voice.temp(number))
        case "day_min_c" | "day_max_c" | "night_min_c":
            return voice.say("its limit {temp}", temp=voice.temp(number))
        case "dli":
            return voice.say("{dli} mol of light a day", dli=voice.number(number))
        case "light_hours":
            return voice.say("lamp {hours} h a day", hours=voice.number(number))
        case "light_distance_cm":
            return voice.say("lamp {length} away", length=voice.length(number * 10))
        case "mix_moisture":
            return _moisture(voice, number)
        case "days_since_sowing":
            return voice.say_n("{n} day since sowing", "{n} days since sowing", round(number))
        case "days_since_emergence":
            return voice.say_n("{n} day since it showed", "{n} days since it showed", round(number))
        case "expected_emergence_days":
            return voice.say_n("due by day {n}", "due by day {n}", round(number))
        case "days_since_feed":
            return voice.say_n(
                "{n} day since the last feed", "{n} days since the last feed", round(number)
            )
        case "feed_ppm_n":
            return voice.say("fed at {ppm} ppm N", ppm=voice.number(number, 0))
        case "plants_per_cell":
            return voice.say_n("{n} plant a cell", "{n} plants a cell", round(number))
        case "weeks_in_container":
            return voice.say("{weeks} weeks in the cell", weeks=voice.number(number))
        case "weeks_max":
            return voice.say("wants out after {weeks} weeks", weeks=voice.number(number))
        case "emergence_pct":
            return voice.say("{share} up", share=voice.percent(number / 100))
        case "expected_low_pct":
            return voice.say("expected at least {share}", share=voice.percent(number / 100))
        case "sow_depth_mm":
            return voice.say("sown {depth} deep", depth=voice.length(number))
        case "seed_age_years":
            return voice.say_n("seed {n} year old", "seed {n} years old", round(number))
        case "seed_life_years":
            return voice.say_n("seed keeps {n} year", "seed keeps {n} years", round(number))
        case "seed_test_pct":
            return voice.say("tested {share}", share=voice.percent(number / 100))
        case "rh_pct":
            return voice.say("air humidity {share}", share=voice.percent(number / 100))
        case "harden_day":
            return voice.say("day {n} of hardening", n=round(number))
        case "days_since_transplant":
            return voice.say_n(
                "{n} day since potting up", "{n} days since potting up", round(number)
            )
        case _:
            return None


def _moisture(voice: Voice, level: float) -> str:
    if level >= 5:
        return voice.say("mix soaked")
    if level >= 4:
        return voice.say("mix wet")
    if level >= 3:
        return voice.say("mix moist")
    if level >= 2:
        return voice.say("mix rather dry")
    return voice.say("mix dry")


def _flag(voice: Voice, name: str, value: bool | str) -> str | None:
    match name, value:
        case "light_source", "window":
            return voice.say("light from a window")
        case "heat_mat_on", True:
            return voice.say("heat mat on")
        case "heat_mat_on", False:
            return voice.say("no heat mat")
        case "humidity_cover_on", True:
            return voice.say("cover on")
        case "fan_on", False:
            return voice.say("no fan")
        case "tray_weight_low", True:
            return voice.say("tray light")
        case "tray_standing_water", True:
            return voice.say("standing in water")
        case "tray_reused", True:
            return voice.say("tray used before")
        case "tray_sanitised", False:
            return voice.say("tray not cleaned")
        case _:
            return None
