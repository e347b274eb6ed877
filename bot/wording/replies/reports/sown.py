"""Sowing: what went where, and when it should show."""

from __future__ import annotations

from bot.message import Message
from bot.wording.pieces.crop_card import before_sowing
from bot.wording.pieces.stock import left_after
from bot.wording.pieces.windows import window_lines
from bot.wording.replies.reports.wrote import day_said, wrote
from bot.wording.voice import Voice
from core.replies import reports as r
from core.trade.crops.table import crop_by_id


def sown(reply: r.Sown, voice: Voice) -> Message:
    first = voice.say(
        "{sowing}: {crop} sown in {tray} {cells}, {day}.",
        sowing=reply.sowing,
        crop=voice.crop(reply.crop, reply.variety),
        tray=reply.tray,
        cells=reply.cells,
        day=day_said(voice, reply.on),
    )
    lines = [first]
    seeds = voice.say_n("{n} seed", "{n} seeds", reply.seeds)
    cells = voice.say_n("{n} cell", "{n} cells", reply.cell_count)
    how = _how(reply, voice)
    if reply.seeds != reply.cell_count:
        lines.append(voice.say("{seeds} in {cells}. {how}", seeds=seeds, cells=cells, how=how))
    elif how:
        lines.append(voice.say("{cells}. {how}", cells=cells, how=how))
    if reply.sown_deep_mm is not None:
        lines.append(
            voice.say(
                "{depth} is deep for this seed: it may not come up. Scrape some mix off.",
                depth=voice.length(reply.sown_deep_mm),
            )
        )
    if reply.stock is not None and reply.lot is not None:
        lines.append(left_after(voice, reply.lot, reply.stock))
    lines.append(before_sowing(crop_by_id(reply.crop), voice))
    lines += window_lines(voice, reply.window)
    for hint in reply.hints:
        match hint:
            case "too_early":
                lines.append(
                    voice.say(
                        "That is more than two weeks before this crop's sowing dates here. "
                        "See: /when {crop}",
                        crop=voice.crop(reply.crop),
                    )
                )
            case "too_late":
                lines.append(
                    voice.say(
                        "That is more than two weeks after this crop's sowing dates here. "
                        "See: /when {crop}",
                        crop=voice.crop(reply.crop),
                    )
                )
    return wrote(reply, voice, [line.rstrip() for line in lines if line])


def _how(reply: r.Sown, voice: Voice) -> str:
    """Say depth and cover in a few words."""
    if reply.germination_light == "light":
        return voice.say("Press in, do not cover: it germinates in light.")
    if reply.depth_mm is None:
        return ""
    low, high = reply.depth_mm
    if high <= 0:
        return voice.say("Press in, do not cover.")
    depth = voice.say("{depth} (by the crop table)", depth=voice.lengths(low, high))
    if reply.germination_light == "dark":
        return voice.say("Cover {depth} and keep dark until it shows.", depth=depth)
    if reply.germination_light == "light_cover":
        return voice.say("Cover thinly, {depth}.", depth=depth)
    return voice.say("Cover {depth}.", depth=depth)
