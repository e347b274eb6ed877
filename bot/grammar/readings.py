"""Reports on water, temperature, light, feed and hardening."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from bot.grammar.crop_words import take_crop
from bot.grammar.dates import Lean, take_dates
from bot.grammar.names import take_for_whom
from bot.grammar.problems import NumberNotSaid, UnitClash, WhatNotSaid
from bot.grammar.quantities import (
    COUNT,
    NUMBER,
    celsius,
    number_of,
    take_hours,
    take_length_mm,
    take_lux,
    take_ppfd,
    take_ppm,
    take_strength,
    value,
)
from bot.grammar.slots import finish_report, take_told, take_where
from bot.grammar.text import Bag
from bot.grammar.unclear import Unclear
from core.requests import Fed, Light, Moist, Moisture, Out, Temp, TempKind, Watered

_INDOORS_C = (5.0, 45.0)  # beyond: the unit is doubtful (a person's slip, not a limit of the trade)
_INDOORS_F = (41.0, 113.0)
_OUTSIDE_C = (-40.0, 45.0)
_LOW_C = (-40.0, 30.0)
_OUTSIDE_F = (-40.0, 113.0)


def build_watered(bag: Bag) -> Watered:
    """Build a watering; nothing named = what is due or on duty."""
    for_round = None
    if hit := bag.find(r"(?<!\w)(?:for )?round\s+(\d{4}-\d\d-\d\d)(?!\w)"):
        part = Bag(hit[1], bag.context, bag.command)
        for_round = take_dates(part, Lean.PAST)[0].day
        bag.mask(hit.start(), hit.end())
    told = take_told(bag)
    below = bag.has("from (?:the )?(?:below|bottom|underneath)|bottom|below|by soaking|soaked")
    bag.drop("from (?:the )?(?:above|top)|overhead")
    bag.drop("well|thoroughly|again|lightly|good|fully|them|cans?|plants?|seedlings?")
    where = take_where(bag)
    finish_report(bag, told)
    return Watered(
        where=where, on=told.on, for_whom=told.for_whom, notice=told.notice,
        from_below=below, for_round=for_round,
    )  # fmt: skip


_MUCH = "(?:too |bone |very |quite |a bit )*"
_LEVELS = (
    (Moisture.DRY, f"{_MUCH}(?:dry|dried(?: out)?|parched|thirsty|light)"),
    (Moisture.WET, f"{_MUCH}(?:wet|soggy|soaked|soaking|waterlogged|sodden|heavy)"),
    (Moisture.RIGHT, "right|fine|good|moist|damp|just right|ok|okay|evenly moist|alright|perfect"),
)  # fmt: skip


def build_moist(bag: Bag) -> Moist:
    """Build how the mix looks: dry, right or wet."""
    told = take_told(bag)
    levels = [level for level, words in _LEVELS if bag.has(words)]
    bag.drop("looks?|feels?|mix|soil|compost|surface|on top|level")
    bag.drop("looks?|feels?|mix|soil|compost|surface|on top|level|just|still")
    where = take_where(bag)
    finish_report(bag, told)
    if not levels:
        raise WhatNotSaid(command=bag.command, needs="level")
    if len(levels) > 1:
        raise UnitClash(command=bag.command, typed=" ".join(levels))
    return Moist(
        where=where, on=told.on, for_whom=told.for_whom, notice=told.notice, level=levels[0]
    )


_NIGHT = "(?:last night|overnight|night)(?:'s)?(?: low| minimum| min)?"
_KINDS = (
    (
        TempKind.FORECAST,
        "frosts? (?:warning|alert)|forecast(?: low)?(?: tonight)?|tonight(?:'s low)?"
        "|expected(?: low)?",
    ),
    (TempKind.LOW, f"{_NIGHT}|low|lowest|minimum|min"),
    (TempKind.OUTSIDE, "outside|outdoors?|out ?doors?|garden"),
    (TempKind.AIR, "air|room|ambient|indoors?|greenhouse"),
    (TempKind.MIX, "mix|soil|compost|substrate|medium|root ?zone|media"),
)  # fmt: skip
_DEGREES = r"(?P<minus>(?<![\w.])(?:-\s?|minus\s+))?(?P<n>{n})\s*(?:°|º|deg(?:rees?)?\.?)?\s*"


def build_temp(bag: Bag) -> Temp:
    """Build a temperature; without a unit the usual one, asked when that is absurd."""
    kind = next((kind for kind, words in _KINDS if bag.has(words)), None)
    pattern = _DEGREES.format(n=NUMBER.replace(r"(?<![\w.,/])", r"(?<![\w.,/])", 1))
    with_unit = bag.take(
        pattern
        + r"(?P<f>f(?:ahrenheit)?(?!\w))|"
        + _again(pattern)
        + r"(?P<c>c(?:elsius|entigrade)?(?!\w))"
    )
    told = take_told(bag)
    where = take_where(bag, bare_shelf=True, crop=False)
    bag.drop("frosts?|warning|alert|expected|coming|due|again")
    bag.drop("reads?|temperature|temps?|shows?|says?|thermometer|degrees?|low|was")
    if with_unit:
        fahrenheit = with_unit["f"] is not None
        number = value(with_unit["n"] or with_unit["n2"])
        minus = with_unit["minus"] or with_unit["minus2"]
        number = -number if minus else number
        temp_c = celsius(number) if fahrenheit else number_of(number)
    else:
        temp_c = _bare_temp(bag, kind, pattern)
    where = replace(where, crop=take_crop(bag))
    finish_report(bag, told)
    return Temp(
        where=where, on=told.on, for_whom=told.for_whom, notice=told.notice,
        temp_c=temp_c, kind=kind,
    )  # fmt: skip


def _again(pattern: str) -> str:
    return pattern.replace("(?P<n>", "(?P<n2>").replace("(?P<minus>", "(?P<minus2>")


def _bare_temp(bag: Bag, kind: TempKind | None, pattern: str) -> float:
    found = bag.take(pattern + r"(?!\w)")
    if not found:
        raise NumberNotSaid(command=bag.command)
    number: Fraction = -value(found["n"]) if found["minus"] else value(found["n"])
    fahrenheit = bag.context.fahrenheit
    if kind in (TempKind.LOW, TempKind.FORECAST, TempKind.OUTSIDE):
        in_c = _OUTSIDE_C if kind is TempKind.OUTSIDE else _LOW_C
        low, high = _OUTSIDE_F if fahrenheit else in_c
    else:
        low, high = _INDOORS_F if fahrenheit else _INDOORS_C
    if not low <= number <= high:
        typed = f"{'-' if number < 0 else ''}{found['n']}"
        usual, other = ("F", "C") if fahrenheit else ("C", "F")
        raise Unclear(
            kind="unit", start=found.start(), end=found.end(),
            options=(f" {typed}{other} ", f" {typed}{usual} "),
        )  # fmt: skip
    return celsius(number) if fahrenheit else number_of(number)


def build_light(bag: Bag) -> Light:
    """Build a light reading, a lamp height or the lamp's hours."""
    whom = take_for_whom(bag)
    ppfd, lux = take_ppfd(bag), take_lux(bag)
    height_mm, hours = take_length_mm(bag), take_hours(bag)
    told = take_told(bag, whom)
    bag.drop("(?:a|per) day|daily")
    bag.drop("above|over(?: the)?(?: canopy| plants?| tops)?|high|height|distance|away|up")
    bag.drop("canopy|plants?|reading|reads?|level|lamps?|lights?|tubes?|hours?|photoperiod")
    where = take_where(bag, bare_shelf=True)
    if ppfd is None and lux is None and height_mm is None and hours is None:
        _ask_light_unit(bag)
    finish_report(bag, told)
    return Light(
        where=where, on=told.on, for_whom=told.for_whom, notice=told.notice,
        ppfd=ppfd, lux=lux, height_mm=height_mm, hours=hours,
    )  # fmt: skip


def _ask_light_unit(bag: Bag) -> None:
    found = bag.find(rf"(?P<n>{NUMBER})(?!\w)")
    if not found:
        raise WhatNotSaid(command=bag.command, needs="reading")
    number = value(found["n"], thousands=True)
    inches = bag.context.inches
    units = [
        ("h", 1 <= number <= 24),
        ("in" if inches else "cm", 0 < number <= (40 if inches else 100)),
        ("umol", 20 <= number <= 2000),
        ("lx", 200 <= number <= 120_000),
        ("fc", inches and 20 <= number <= 10_000),
    ]
    options = tuple(f"{found['n']} {unit}" for unit, fits in units if fits)
    if not options:
        raise WhatNotSaid(command=bag.command, needs="reading")
    raise Unclear(kind="unit", start=found.start(), end=found.end(), options=options)


def build_fed(bag: Bag) -> Fed:
    """Build a feeding, with the strength where known."""
    told = take_told(bag)
    ppm = take_ppm(bag)
    strength = take_strength(bag)
    bag.drop("nitrogen|feed|strength|fertili[sz]er|plants?|seedlings?|at")
    bag.drop("nitrogen|feed|strength|fertili[sz]er|plants?|seedlings?|at")
    where = take_where(bag)
    finish_report(bag, told)
    return Fed(
        where=where, on=told.on, for_whom=told.for_whom, notice=told.notice,
        ppm_n=ppm, strength=strength,
    )  # fmt: skip


def build_out(bag: Bag) -> Out:
    """Build a stand outside to harden off."""
    whom = take_for_whom(bag)
    hours = take_hours(bag)
    told = take_told(bag, whom)
    once = bag.has("once|only today|just once")
    overnight = bag.has("overnight|all night|night|over night|day and night")
    bag.drop("outside|outdoors|out|hardening(?: off)?|for|put|set|took|taken|moved|stood")
    bag.drop("plants?|seedlings?|all day")
    where = take_where(bag)
    if hours is None and (hit := bag.take(rf"(?<!\w)for\s+({COUNT})")):
        hours = number_of(value(hit[1]))
    finish_report(bag, told)
    return Out(
        where=where, on=told.on, for_whom=told.for_whom, notice=told.notice,
        hours=hours, overnight=overnight, once=once,
    )  # fmt: skip
