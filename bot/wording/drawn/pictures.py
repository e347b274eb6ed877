"""Words in and under pictures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from bot.wording.voice import Voice
from core.group.garden import SowingOf
from core.replies.looks import SowingLine
from core.replies.plans import SeasonLine, SeasonSaid
from core.replies.reports import WindowSaid
from core.requests import TempKind

PLANTS = ("up", "thinned", "potted", "hardening")


def stage_name(stage: str, voice: Voice) -> str:
    """Return a stage in a word or two, for a key."""
    match stage:
        case "sown":
            return voice.say("not up yet")
        case "up":
            return voice.say("up")
        case "thinned":
            return voice.say("thinned")
        case "potted":
            return voice.say("potted up")
        case "hardening":
            return voice.say("hardening off")
        case _:
            return voice.say("free")


def standing(line: SowingLine, voice: Voice) -> str:
    """Return how a sowing stands: what is up, alive, or when to expect it."""
    if line.stage == "sown":
        window = line.window
        if window is not None and window.p10 is not None and window.p90 is not None:
            return voice.say(
                "{seeds} seeds, up {first} to {last}",
                seeds=line.seeds,
                first=voice.month_day(window.p10),
                last=voice.month_day(window.p90),
            )
        return voice.say_n("{n} seed, none up yet", "{n} seeds, none up yet", line.seeds)
    return voice.say(
        "{up} of {seeds} up, {alive} alive", up=line.up, seeds=line.seeds, alive=line.alive
    )


# --- tray ---------------------------------------------------------------------------------


def tray_below(shelf: str | None, cells: int, free: int, voice: Voice) -> str:
    """Return the line under a tray's name."""
    what = voice.say_n("{n} cell", "{n} cells", cells)
    left = voice.say("{n} free", n=free)
    if shelf:
        return voice.say("Shelf {shelf}, {cells}, {free}", shelf=shelf, cells=what, free=left)
    return voice.say("On no shelf, {cells}, {free}", cells=what, free=left)


def legend_name(line: SowingLine, voice: Voice) -> str:
    """Return the first line of a legend entry: crop, variety, lot, sowing."""
    crop = voice.crop(line.crop, line.variety)
    if line.lot:
        return voice.say("{sowing} {crop}, lot {lot}", sowing=line.sowing, crop=crop, lot=line.lot)
    return voice.say("{sowing} {crop}", sowing=line.sowing, crop=crop)


def legend_facts(line: SowingLine, voice: Voice) -> str:
    """Return the second line of a legend entry."""
    return voice.say(
        "{cells}; sown {day}; {standing}",
        cells=line.cells,
        day=voice.month_day(line.sown_on),
        standing=standing(line, voice),
    )


def tray_caption(
    tray: str, below: str, lines: tuple[SowingLine, ...], work: list[str], voice: Voice
) -> str:
    """Return a tray map in words."""
    parts = [voice.say("Map of tray {tray}. {below}.", tray=tray, below=below)]
    parts += [
        voice.say(
            "{crop} in {cells}: {stage}, {standing}.",
            crop=voice.crop(line.crop, line.variety),
            cells=line.cells,
            stage=stage_name(line.stage, voice),
            standing=standing(line, voice),
        )
        for line in lines
    ]
    parts.append(" ".join(work) if work else voice.say("Nothing to do today."))
    return "\n".join(parts)


# --- curve --------------------------------------------------------------------------------


def curve_title(one: SowingOf | None, voice: Voice) -> str:
    """Return the title of one or of several curves."""
    if one is None:
        return voice.say("Emergence")
    return voice.say("Emergence, {sowing}", sowing=one.code)


def curve_below(one: SowingOf | None, voice: Voice) -> str:
    """Return the line under the title."""
    if one is None:
        return voice.say("Seedlings up at each look, of the seeds sown")
    return voice.say("{crop}, tray {tray}", crop=voice.crop(one.crop, one.variety), tray=one.tray)


def curve_name(sowing: SowingOf, voice: Voice) -> str:
    """Return a curve's name in the legend."""
    return voice.say(
        "{sowing} {crop}, tray {tray}",
        sowing=sowing.code,
        crop=voice.crop(sowing.crop, sowing.variety),
        tray=sowing.tray,
    )


def curve_facts(sowing: SowingOf, points: Sequence[tuple[date, int]], voice: Voice) -> str:
    """Return what a curve comes to."""
    sown = voice.month_day(sowing.sown_on)
    if len(points) < 2:
        return voice.say_n(
            "{n} seed sown {day}; nobody has counted.",
            "{n} seeds sown {day}; nobody has counted.",
            sowing.seeds,
            day=sown,
        )
    day, up = points[-1]
    return voice.say(
        "{up} of {seeds} up ({share}) by {day}; sown {sown}.",
        up=up,
        seeds=sowing.seeds,
        share=voice.percent(up / sowing.seeds),
        day=voice.month_day(day),
        sown=sown,
    )


def window_short(window: WindowSaid, voice: Voice) -> str:
    """Return a window's three dates; empty without them."""
    if window.p10 is None or window.p50 is None or window.p90 is None:
        return ""
    return voice.say(
        "Expected {first}, {middle}, {last} (10, 50, 90%).",
        first=voice.month_day(window.p10),
        middle=voice.month_day(window.p50),
        last=voice.month_day(window.p90),
    )


def curve_caption(said: Sequence[str], voice: Voice) -> str:
    """Return the curves in words."""
    return "\n".join([voice.say("Seedlings up by date."), *said])


# --- season -------------------------------------------------------------------------------


def phase_name(phase: str, voice: Voice) -> str:
    """Return a phase of the season chart."""
    match phase:
        case "sown":
            return voice.say("sow to emerge")
        case "grow":
            return voice.say("grow on")
        case "potted":
            return voice.say("in pots")
        case _:
            return voice.say("harden off")


def season_name(line: SeasonLine, voice: Voice) -> str:
    """Return a row's name."""
    crop = voice.crop(line.crop, line.variety)
    if line.sowing is None:
        return voice.say("{crop} (planned)", crop=crop)
    return voice.say("{sowing} {crop}", sowing=line.sowing, crop=crop)


def direct_name(crop: str, variety: str | None, voice: Voice) -> str:
    """Return the row's name of a crop sown outdoors."""
    return voice.say("{crop} (outdoors)", crop=voice.crop(crop, variety))


def season_below(band: tuple[date, date] | None, voice: Voice) -> str:
    """Return what is said of the frost under the title."""
    if band is None:
        return voice.say("No last frost known yet: /frost 28 April")
    return voice.say(
        "Last frost {first} to {last} in 8 springs of 10",
        first=voice.month_day(band[0]),
        last=voice.month_day(band[1]),
    )


def season_caption(said: SeasonSaid, band: tuple[date, date] | None, voice: Voice) -> str:
    """Return the season chart in words."""
    lines = [voice.say("The season by weeks. {frost}.", frost=season_below(band, voice))]
    lines += [_season_line(line, voice) for line in said.lines]
    for each in said.direct:
        lines.append(
            voice.say(
                "{name}: sow {sow} to {latest}.",
                name=direct_name(each.crop, each.variety, voice),
                sow=voice.month_day(each.sow_on),
                latest=voice.month_day(each.latest),
            )
        )
    return "\n".join(lines)


def _season_line(line: SeasonLine, voice: Voice) -> str:
    name, sow = season_name(line, voice), voice.month_day(line.sow_on)
    out = voice.month_day(line.plant_out) if line.plant_out else ""
    if line.sowing is None:
        if not out:
            return voice.say("{name}: sow {sow}.", name=name, sow=sow)
        return voice.say("{name}: sow {sow}, plant out {out}.", name=name, sow=sow, out=out)
    if not out:
        return voice.say("{name}: sown {sow}.", name=name, sow=sow)
    return voice.say("{name}: sown {sow}, plant out {out}.", name=name, sow=sow, out=out)


# --- space --------------------------------------------------------------------------------


def shelf_space(
    code: str, places: int, weeks: Sequence[date], used: Sequence[int], voice: Voice
) -> str:
    """Return a shelf's fullest week."""
    most = max(used, default=0)
    if not most:
        return voice.say("Shelf {shelf}: nothing of {places} places.", shelf=code, places=places)
    week = weeks[list(used).index(most)]
    return voice.say(
        "Shelf {shelf}: fullest {day}, {used} of {places} places.",
        shelf=code,
        day=voice.month_day(week),
        used=most,
        places=places,
    )


# --- log ----------------------------------------------------------------------------------


def log_below(first: date, voice: Voice) -> str:
    """Return the line under a shelf's name."""
    return voice.say("As read since {day}", day=voice.month_day(first))


def temp_axis(voice: Voice) -> str:
    """Return the heading of the temperatures with their unit."""
    return voice.say("Temperature, {unit}", unit="°F" if voice.fahrenheit else "°C")


def temp_kind(of: str, voice: Voice) -> str:
    """Return what a temperature was of."""
    return voice.say("air") if of == TempKind.AIR else voice.say("mix")


def light_now(dli: float | None, hours: float | None, voice: Voice) -> str:
    """Return what the light comes to in a day."""
    if hours is None:
        return ""
    lit = voice.number(hours)
    if dli is None:
        return voice.say("Lamp {hours} h a day.", hours=lit)
    return voice.say(
        "Now {dli} mol/m² a day, lamp {hours} h a day.", dli=voice.number(dli), hours=lit
    )


def log_caption(
    shelf: str,
    temps: Mapping[str, Sequence[tuple[date, float]]],
    light: Sequence[tuple[date, float]],
    voice: Voice,
) -> str:
    """Return the log in words."""
    lines = [voice.say("Log of shelf {shelf}.", shelf=shelf)]
    for of, points in temps.items():
        values = [temp for _, temp in points]
        lines.append(
            voice.say(
                "{of}: {low} to {high}, last {temp} on {day}.",
                of=temp_kind(of, voice),
                low=voice.temp(min(values)),
                high=voice.temp(max(values)),
                temp=voice.temp(values[-1]),
                day=voice.month_day(points[-1][0]),
            )
        )
    if light:
        lines.append(
            voice.say(
                "Light, last read {day}: {ppfd} µmol/m²/s.",
                day=voice.month_day(light[-1][0]),
                ppfd=voice.number(light[-1][1], 0),
            )
        )
    return "\n".join(lines)
