"""Words in and under pictures."""

from __future__ import annotations

from bot.wording.voice import Voice
from core.replies.looks import SowingLine

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
        return voice.say("{crop}, lot {lot}, {sowing}", crop=crop, lot=line.lot, sowing=line.sowing)
    return voice.say("{crop}, {sowing}", crop=crop, sowing=line.sowing)


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
