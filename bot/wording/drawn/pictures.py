"""Words in and under pictures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from bot.wording.voice import Voice
from core.group.garden import SowingOf
from core.replies.looks import SowingLine
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


def tray_sentence(tray: str, cells: Mapping[str, int], free: int, voice: Voice) -> str:
    """Return the one sentence of a tray map."""
    parts = [cell_state(state, n, voice) for state, n in cells.items() if n]
    if free:
        parts.append(voice.say("{n} free", n=free))
    return voice.say("Tray {tray}, cells: {parts}", tray=tray, parts=voice.listed(parts)) + "."


def cell_state(state: str, n: int, voice: Voice) -> str:
    """Return how many cells are in a state, in words."""
    match state:
        case "up":
            return voice.say_n("{n} with a plant", "{n} with a plant", n)
        case "moved":
            return voice.say_n("{n} moved on", "{n} moved on", n)
        case "lost":
            return voice.say_n("{n} cell lost", "{n} cells lost", n)
        case "wait":
            return voice.say_n("{n} sown, not up", "{n} sown, not up", n)
        case _:
            return voice.say_n("{n} nothing came", "{n} nothing came", n)


def tally(pairs: Sequence[tuple[str, int]], voice: Voice) -> str:
    """Return the cells of a sowing by state; the numbers add up to its cells."""
    return ", ".join(cell_state(state, n, voice) for state, n in pairs)


def block_name(line: SowingLine, voice: Voice) -> str:
    """Return what stands over a block of cells."""
    return voice.say(
        "{sowing} {crop}", sowing=line.sowing, crop=voice.crop(line.crop, line.variety)
    )


def legend_name(line: SowingLine, voice: Voice) -> str:
    """Return the first line of a legend entry: crop, variety, lot, sowing."""
    crop = voice.crop(line.crop, line.variety)
    if line.lot:
        return voice.say("{sowing} {crop}, lot {lot}", sowing=line.sowing, crop=crop, lot=line.lot)
    return voice.say("{sowing} {crop}", sowing=line.sowing, crop=crop)


def legend_facts(line: SowingLine, cells: str, voice: Voice) -> str:
    """Return the second line of a legend entry."""
    return voice.say(
        "{cells}: {tally}. Sown {day}; {standing}.",
        cells=line.cells,
        tally=cells,
        day=voice.month_day(line.sown_on),
        standing=standing(line, voice),
    )


def tray_caption(
    sentence: str,
    below: str,
    lines: Sequence[tuple[SowingLine, str]],
    work: Sequence[str],
    voice: Voice,
) -> str:
    """Return a tray map in words."""
    parts = [sentence, below + "."]
    parts += [
        voice.say(
            "{crop} in {cells}: {tally}; {stage}, {standing}.",
            crop=voice.crop(line.crop, line.variety),
            cells=line.cells,
            tally=cells,
            stage=stage_name(line.stage, voice),
            standing=standing(line, voice),
        )
        for line, cells in lines
    ]
    parts.append(" ".join(work) if work else voice.say("Nothing to do today."))
    return "\n".join(parts)


# --- curve --------------------------------------------------------------------------------


def curve_sentence(
    sowings: Sequence[SowingOf], courses: Sequence[Sequence[tuple[date, int]]], voice: Voice
) -> str:
    """Return what one or several curves come to, in one sentence."""
    seeds, up = sum(s.seeds for s in sowings), sum(points[-1][1] for points in courses)
    if len(sowings) > 1:
        return voice.say(
            "{up} of {seeds} seeds are up in {n} sowings.", up=up, seeds=seeds, n=len(sowings)
        )
    one = sowings[0]
    name = voice.say("{sowing} {crop}", sowing=one.code, crop=voice.crop(one.crop, one.variety))
    if len(courses[0]) < 2:
        return voice.say("{name}: nobody has counted yet.", name=name)
    return voice.say("{name}: {up} of {seeds} seeds are up.", name=name, up=up, seeds=seeds)


def curve_below(one: SowingOf | None, voice: Voice) -> str:
    """Return the line under the title."""
    if one is None:
        return voice.say("Emergence: seedlings up at each look")
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


# --- space --------------------------------------------------------------------------------


def space_sentence(
    rows: Mapping[str, tuple[int, Sequence[int]]], weeks: Sequence[date], voice: Voice
) -> str:
    """Return whether the shelves hold what is planned, in one sentence."""
    if not rows or not weeks:
        return voice.say("No plan says how many places are needed.")
    over = [
        (week, code)
        for code, (places, used) in rows.items()
        for week, n in zip(weeks, used, strict=False)
        if n > places
    ]
    if over:
        week, code = min(over)
        return voice.say(
            "Too many trays on shelf {shelf} from {day} on.",
            shelf=code,
            day=voice.month_day(week),
        )
    full = [
        week for p, used in rows.values() for week, n in zip(weeks, used, strict=False) if n >= p
    ]
    if full:
        return voice.say(
            "Every tray has a place; the first full week: {day}.", day=voice.month_day(min(full))
        )
    return voice.say("Every tray has a place, and no week is full.")


def stands_here(trays: Sequence[tuple[str, Sequence[tuple[str, str | None]]]], voice: Voice) -> str:
    """Return what stands on a shelf today, tray by tray."""
    if not trays:
        return voice.say("No tray stands here today.")
    said = [
        f"{tray} {voice.listed([voice.crop(c, v) for c, v in crops])}"
        if crops
        else voice.say("{tray} empty", tray=tray)
        for tray, crops in trays
    ]
    return voice.say("Today: {trays}.", trays="; ".join(said))


def crop_on_shelf(crop: str, spans: Sequence[tuple[date, date]], voice: Voice) -> str:
    """Return from when to when a crop stands on a shelf, stay by stay."""
    days = [
        voice.say("{first} to {last}", first=voice.month_day(first), last=voice.month_day(last))
        for first, last in spans
    ]
    return voice.say("{crop}: {days}", crop=voice.crop(crop), days="; ".join(days))


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


def moisture(level: str, voice: Voice) -> str:
    """Return how the mix was found."""
    match level:
        case "dry":
            return voice.say("dry")
        case "wet":
            return voice.say("wet")
        case _:
            return voice.say("right")


Points = Sequence[tuple[date, float]]


def log_sentence(
    shelf: str, temps: Mapping[str, Points], light: Points, water: Points, voice: Voice
) -> str:
    """Return what four weeks of a shelf come to, in one sentence."""
    values = [temp for points in temps.values() for _, temp in points]
    if values:
        return voice.say(
            "Shelf {shelf}: {low} to {high} in four weeks.",
            shelf=shelf,
            low=voice.temp(min(values)),
            high=voice.temp(max(values)),
        )
    if light or water:
        return voice.say("Shelf {shelf}: no temperature read in four weeks.", shelf=shelf)
    return voice.say("Shelf {shelf}: nothing read in four weeks.", shelf=shelf)


def log_lines(temps: Mapping[str, Points], light: Points, water: Points, voice: Voice) -> list[str]:
    """Return the log in words."""
    lines = []
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
    if water:
        levels = [level for _, level in water]
        lines.append(
            voice.say(
                "Mix found dry {dry}, right {right}, wet {wet} times.",
                dry=levels.count(0.0),
                right=levels.count(1.0),
                wet=levels.count(2.0),
            )
        )
    return lines
