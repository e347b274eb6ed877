"""Setting up the place: site, frost dates, shelves, trays and lots."""

from __future__ import annotations

import re

from bot.grammar.cells import take_place, take_shelf
from bot.grammar.languages import take_language
from bot.grammar.names import take_quoted
from bot.grammar.problems import (
    LeftOver,
    NumberOdd,
    TrayNotSaid,
    UnitClash,
    WhatNotSaid,
)
from bot.grammar.quantities import COUNT, celsius, number_of, take_length_mm, value
from bot.grammar.slots import nothing_left
from bot.grammar.text import Bag
from bot.grammar.times import take_time_after, take_times, take_times_after
from core.folding import plain
from core.requests import SetShelf, SetSite, SetTray, ShowShelf, ShowTray, Trays

HALF_A_YEAR = 182  # days; frost dates of one spring lie closer together
ZONE = r"(?:utc|gmt|[a-z]+(?:/[a-z0-9_+-]+){1,2})"


def take_units(bag: Bag) -> tuple[bool | None, bool | None]:
    """Claim the units wanted: (fahrenheit, inches), None where not said."""
    imperial = bag.has("imperial(?: units)?|us units|american(?: units)?")
    metric = bag.has("metric(?: units)?")
    fahrenheit = bag.has("(?:degrees? )?fahrenheit|°f|f")
    celsius_said = bag.has("(?:degrees? )?(?:celsius|centigrade)|°c|c")
    fahrenheit = fahrenheit or (bag.take(r"°f(?!\w)") is not None)
    celsius_said = celsius_said or (bag.take(r"°c(?!\w)") is not None)
    inches = bag.has("inch(?:es)?")
    centimetres = bag.has("cm|mm|centimet(?:er|re)s?|millimet(?:er|re)s?")
    bag.drop("units?")
    if (fahrenheit and celsius_said) or (inches and centimetres) or (imperial and metric):
        raise UnitClash(command=bag.command, typed=bag.whole.strip())
    warm: bool | None = True if fahrenheit else False if celsius_said else None
    long: bool | None = True if inches else False if centimetres else None
    if imperial or metric:
        warm = imperial if warm is None else warm
        long = imperial if long is None else long
    return warm, long


def build_site(bag: Bag) -> SetSite:
    """Build the place, zone, units, language and hours of a group."""
    name = take_quoted(bag, "name|called")
    place = take_quoted(bag, "place|at|in|town|city") or take_quoted(bag)
    zone = bag.take(rf"(?<!\w)(?:(?:time ?)?zone|tz)\s*[:=]?\s*({ZONE})(?![\w/])") or bag.take(
        r"(?<![\w/])((?:africa|america|asia|atlantic|australia|europe|indian|pacific|antarctica|etc)"
        r"(?:/[a-z0-9_+-]+){1,2})(?![\w/])"
    )
    brief = _take_brief(bag)
    quiet = take_times_after(bag, "quiet(?: hours| time)?")
    quiet_from = None if quiet else take_time_after(bag, "quiet from")
    quiet_to = None if quiet else take_time_after(bag, "quiet (?:to|until)")
    round_at = take_time_after(bag, "(?:daily |morning )?round(?: time)?")
    if name is None and (hit := bag.take(r"(?<!\w)(?:name|called)\s+([^\x00]+?)\s*$")):
        name = hit[1].strip()
    channel = _take_channel(bag)
    language = take_language(bag)
    fahrenheit, inches = take_units(bag)
    bag.drop("units?|site|show|settings|quiet hours|place|town|city")
    if place is None and bag.left():
        place = bag.left_text()
        if not re.search(r"[^\W\d_]", place) or len(place) > 100:
            raise LeftOver(command=bag.command, words=place[:100])
    return SetSite(
        place=place,
        zone=zone[1] if zone else None,
        language=language,
        fahrenheit=fahrenheit,
        inches=inches,
        round_at=round_at,
        quiet_from=quiet[0] if quiet else quiet_from,
        quiet_to=quiet[1] if quiet else quiet_to,
        name=name,
        channel=channel,
        brief=brief,
    )


def _take_brief(bag: Bag) -> bool | None:
    """Take how plain reports are answered: `answers brief`, by a mark, or `answers full`."""
    hit = bag.take(
        r"(?<!\w)answers?\s*[:=]?\s*"
        r"(?:(brief(?:ly)?|short|quiet(?:ly)?|(?:by |with )?(?:a )?marks?)"
        r"|full|long|in full|in words)(?!\w)"
    )
    return None if hit is None else hit[1] is not None


_CHANNELS = {
    "both": "both|normal|on|daily|every day",
    "group": "group(?: only)?|in the group",
    "private": "private(?: only)?|in private",
    "weekly": "weekly|once a week|every week",
    "paused": "paused?|off|stop|none",
}


def _take_channel(bag: Bag) -> str | None:
    """Take where reminders go: `reminders weekly`, `reminders pause`."""
    for channel, words in _CHANNELS.items():
        if bag.take(rf"(?<!\w)reminders?\s*[:=]?\s*(?:{words})(?!\w)"):
            return channel
    return None


_LAMPS = (
    ("window", "window(?: ?sill)?|no lamps?|daylight"),
    ("red_blue_led", "(?:red[ -]?blue|blurple|purple|pink)(?: led)?s?"),
    ("white_led", "(?:white )?leds?(?: strips?| panels?| bars?)?"),
    ("cool_white_fluorescent", "(?:cool white )?(?:fluorescents?|cfls?)|t(?:5|8|12) tubes?"),
    ("high_pressure_sodium_double", "(?:double[- ]ended|de) hps"),
    ("high_pressure_sodium", "hps|(?:high[- ]pressure )?sodium"),
    ("ceramic_metal_halide_4200k", "cmh|ceramic(?: metal halide)?"),
    ("metal_halide", "mh|metal[- ]halide"),
    ("incandescent", "incandescent|light ?bulbs?|filament"),
)  # fmt: skip


def build_shelf(bag: Bag) -> SetShelf | ShowShelf:
    """Build a shelf's set-up, or the wish to see one."""
    space = bag.has("space|room")
    add = bag.has("add|set|new|make|change")
    kind = bag.take(r"(?<!\w)lamp[:=]([a-z0-9_]+)(?!\w)")
    lamp = plain(kind[1]) if kind else None
    for lamp_id, words in _LAMPS if lamp is None else ():
        if bag.has(words):
            lamp = lamp_id
            break
    hit = bag.take(
        rf"({COUNT})\s*x?\s*(?:tubes?|lamps?|lights?|panels?|bulbs?|bars?|strips?)(?!\w)"
    )
    tubes = int(value(hit[1])) if hit else None
    hit = bag.take(rf"({COUNT})\s*(?:tray )?(?:places?|slots?|spaces?|trays?)(?!\w)")
    places = int(value(hit[1])) if hit else None
    hit = bag.take(
        r"(?<!\w)(?:usual(?:ly)?|about|mix)?\s*(-?\d{1,3}(?:[.,]\d{1,6})?)\s*°?\s*(?:(c)|(f))(?!\w)"
    )
    usual = None
    if hit:
        number = value(hit[1].lstrip("-")) * (-1 if hit[1].startswith("-") else 1)
        usual = celsius(number) if hit[3] else number_of(number)
    height_mm = take_length_mm(bag)
    times = take_times(bag) or take_times_after(bag, "on|lit|light")
    on_at = None if times else take_time_after(bag, "on(?: at)?")
    off_at = None if times else take_time_after(bag, "off(?: at)?")
    mat = _yes_no(bag, "(?:heat(?:ed|ing)? )?mat|heated")
    timer = _yes_no(bag, "timer|time switch")
    bag.drop("high|height|above|over|lamps?|lights?|on|hours|shelf|rack|usual(?:ly)?|space|tubes?")
    code = take_code_word(bag)
    nothing_left(bag)
    values = (lamp, tubes, height_mm, times, on_at, off_at, places, mat, timer, usual)
    if space or (code and not add and all(one is None for one in values)):
        return ShowShelf(shelf=code, space=space)
    if code is None and (add or any(one is not None for one in values)):
        raise WhatNotSaid(command=bag.command, needs="name")
    return SetShelf(
        code=code, lamp=lamp, tubes=tubes, height_mm=height_mm,
        on_at=times[0] if times else on_at, off_at=times[1] if times else off_at,
        places=places, heat_mat=mat, timer=timer, usual_temp_c=usual,
    )  # fmt: skip


def take_code_word(bag: Bag) -> str | None:
    """Claim the shelf's code: a known one, else the first short word left."""
    code = take_shelf(bag, bare=True)
    if code:
        return code
    found = bag.take(r"(?<![\w'])([^\W_]{1,12})(?![\w'])")
    return found[1].upper() if found else None


def _yes_no(bag: Bag, words: str) -> bool | None:
    if bag.has(f"(?:no|without|not?) (?:a )?(?:{words})|(?:{words}) off"):
        return False
    return True if bag.has(f"(?:with )?(?:a )?(?:{words})(?: on)?") else None


def build_tray(bag: Bag) -> SetTray | ShowTray | Trays:
    """Build trays added, moved or retired; a code alone shows that tray."""
    shelf = take_shelf(bag)
    add = bag.has("add|set|new|make|change|move")
    retired = bag.has("retired?|remove|removed|gone|thrown away|out of use|broken|delete")
    grid = bag.take(r"(?<![\w.,])(\d{1,2})\s*(?:x|by|\*)\s*(\d{1,2})(?!\w)")
    rows = cols = 0
    if grid:
        rows, cols = int(grid[1]), int(grid[2])
        if not (1 <= rows <= 26 and 1 <= cols <= 40):
            worst, most = (rows, 26) if not 1 <= rows <= 26 else (cols, 40)
            raise NumberOdd(command=bag.command, given=worst, lo=1, hi=most)
    codes = list(take_place_codes(bag))
    if re.fullmatch(r"\d{1,4}", bag.whole.strip()):  # `/tray 2`
        return ShowTray(tray=f"T{int(bag.whole)}")
    hit = (
        bag.take(rf"({COUNT})\s*(?:-\s*)?(?:cells?|holes?|plugs?|cell)?(?!\w)")
        if not grid
        else None
    )
    cells = int(value(hit[1])) if hit else 0
    if cells > 1040:
        raise NumberOdd(command=bag.command, given=cells, lo=1, hi=1040)
    bag.drop("trays?|cells?|rows?|show|size|onto|shelf|rack|flats?|inserts?|plug")
    if not codes and bag.left() and (cells or grid or shelf or add or retired):
        hit = bag.take(r"(?<![\w'])((?=\w*[^\W\d_])[^\W_]{1,12})(?![\w'])")
        codes = [hit[1].upper()] if hit else []
    nothing_left(bag)
    said = cells or grid or shelf or retired or add
    if not codes:
        if said:
            raise TrayNotSaid(command=bag.command)
        return Trays()
    if not said and len(codes) == 1:
        return ShowTray(tray=codes[0])
    if not said:
        raise WhatNotSaid(command=bag.command, needs="reading")
    return SetTray(
        codes=tuple(codes), cells=cells, rows=rows, cols=cols, shelf=shelf, retired=retired
    )


def take_place_codes(bag: Bag) -> tuple[str, ...]:
    """Claim tray codes only; cells have no meaning in a set-up."""
    place = take_place(bag)
    if place.cells is not None:
        raise LeftOver(command=bag.command, words=place.cells.text)
    return place.trays
