"""Potting up, hardening off, planting out and losses."""

from __future__ import annotations

from bot.message import Message
from bot.wording.pieces.cautions import told
from bot.wording.pieces.exposure import exposure
from bot.wording.pieces.loss_causes import cause_said
from bot.wording.replies.reports.wrote import day_said, wrote
from bot.wording.voice import Voice
from core.group.frames import COLD_FRAME
from core.replies import reports as r
from core.trouble.causes import CAUSES


def potted(reply: r.PottedRecorded, voice: Voice) -> Message:
    lines = [
        voice.say(
            "{sowing} {crop}: {n} potted up into {tray} {cells}, {day}.",
            sowing=reply.sowing,
            crop=voice.crop(reply.crop),
            n=reply.count,
            tray=reply.into_tray,
            cells=reply.into_cells,
            day=day_said(voice, reply.on),
        )
    ]
    if reply.pot_mm is not None:
        pots = voice.length(reply.pot_mm)
        if reply.shelf == COLD_FRAME:
            line = voice.say(
                "{tray} is a new tray of {size} pots in the cold frame; it is watered and fed "
                "like any other.",
                tray=reply.into_tray, size=pots,
            )  # fmt: skip
        elif reply.shelf:
            line = voice.say(
                "{tray} is a new tray of {size} pots on shelf {shelf}; it is watered and fed "
                "like any other.",
                tray=reply.into_tray, size=pots, shelf=reply.shelf,
            )  # fmt: skip
        else:
            line = voice.say(
                "{tray} is a new tray of {size} pots; it is watered and fed like any other.",
                tray=reply.into_tray, size=pots,
            )  # fmt: skip
        lines.append(line)
    if reply.from_tray and reply.freed_all:
        lines.append(voice.say("Its cells in {tray} are free.", tray=reply.from_tray))
    elif reply.from_tray and reply.freed:
        lines.append(voice.say("{tray} {cells} are free.", tray=reply.from_tray, cells=reply.freed))
    if reply.stay:
        lines.append(
            voice.say_n(
                "{n} plant stays in {tray}.",
                "{n} plants stay in {tray}.",
                reply.stay,
                tray=reply.from_tray or "",
            )
        )
    return wrote(reply, voice, lines)


def moved(reply: r.MovedRecorded, voice: Voice) -> Message:
    what = voice.listed(reply.targets)
    day = day_said(voice, reply.on)
    if reply.into:
        line = voice.say(
            "{sowing} {crop}: stands in {tray} {cells} now, {day}.",
            sowing=what, crop=voice.crop(reply.crop or ""), tray=reply.into,
            cells=reply.into_cells, day=day,
        )  # fmt: skip
    elif reply.shelf == COLD_FRAME:
        return wrote(
            reply, voice,
            [
                voice.say("{trays}: in the cold frame now, {day}.", trays=what, day=day),
                voice.say(
                    "At night it is taken to be 1 °C (2 °F) warmer than outside. Tell me the cold "
                    "nights: /temp tonight 2C. Open it on sunny days, or it gets too hot."
                ),
            ],
        )  # fmt: skip
    else:
        line = voice.say(
            "{trays}: on shelf {shelf} now, {day}.", trays=what, shelf=reply.shelf, day=day
        )
    return wrote(reply, voice, [line])


def harden(reply: r.HardenRecorded, voice: Voice) -> Message:
    lines = [
        voice.say(
            "{codes}: hardening off begins, {day}.",
            codes=voice.listed(reply.targets),
            day=day_said(voice, reply.on),
        )
    ]
    return wrote(reply, voice, [*lines, *_hardening_days(reply.days, voice)])


def out(reply: r.OutRecorded, voice: Voice) -> Message:
    codes = voice.listed(dict.fromkeys(code for code, *_ in reply.days) or reply.targets)
    day = day_said(voice, reply.on)
    if reply.overnight:
        first = voice.say("{codes}: out overnight, {day}.", codes=codes, day=day)
    elif reply.hours is not None:
        first = voice.say(
            "{codes}: {hours} h outside, {day}.",
            codes=codes,
            hours=voice.number(reply.hours),
            day=day,
        )
    else:
        first = voice.say("{codes}: outside, {day}.", codes=codes, day=day)
    lines = [first]
    if reply.once:
        lines[0] = (
            voice.say(
                "{codes}: {hours} h outside, {day}, this once.",
                codes=voice.listed(reply.once), hours=voice.number(reply.hours), day=day,
            )
            if reply.hours is not None
            else voice.say(
                "{codes}: outside, {day}, this once.", codes=voice.listed(reply.once), day=day
            )
        )  # fmt: skip
        lines.append(voice.say("Hardening off has not begun by that."))
    return wrote(reply, voice, [*lines, *_hardening_days(reply.days, voice)])


def _hardening_days(
    days: tuple[tuple[str, str, int, int, float | None, str, float], ...], voice: Voice
) -> list[str]:
    """Return where each sowing's hardening off stands, and what tomorrow asks for."""
    lines = []
    for code, crop, done, of, hours, where, limit in dict.fromkeys(days):
        if done >= of:
            lines.append(
                voice.say(
                    "{code} {crop}: hardened off, {of} of {of} days. Ready to plant out.",
                    code=code,
                    crop=voice.crop(crop),
                    of=of,
                )
            )
        elif hours:
            lines.append(
                voice.say(
                    "{code} {crop}: day {done} of {of} done. Tomorrow {hours} h, {where}; "
                    "in below {limit}.",
                    code=code,
                    crop=voice.crop(crop),
                    done=done,
                    of=of,
                    hours=voice.number(hours),
                    where=exposure(voice, where),
                    limit=voice.temp(limit),
                )
            )
        else:
            lines.append(
                voice.say(
                    "{code} {crop}: day {done} of {of} done. Tomorrow they stay in.",
                    code=code,
                    crop=voice.crop(crop),
                    done=done,
                    of=of,
                )
            )
    return lines


def planted(reply: r.PlantedRecorded, voice: Voice) -> Message:
    crop = voice.crop(reply.crop)
    day = day_said(voice, reply.on)
    if reply.to_whom:
        first = voice.say(
            "{sowing} {crop}: {n} to {name}, {day}.",
            sowing=reply.sowing,
            crop=crop,
            n=reply.count,
            name=reply.to_whom,
            day=day,
        )
    else:
        first = voice.say(
            "{sowing} {crop}: {n} planted out, {day}.",
            sowing=reply.sowing,
            crop=crop,
            n=reply.count,
            day=day,
        )
    lines = [first]
    lines.append(
        voice.say_n("{n} is left.", "{n} are left.", reply.left)
        if reply.left
        else voice.say("That was the last of them.")
    )
    if reply.water_in:
        lines.append(voice.say("Water them in now; I ask after them until they have rooted."))
    if reply.risk is not None and reply.risk >= 0.01:
        lines.append(
            voice.say(
                "Chance of frost on or after that day: {chance} ({basis}). Keep a cover at hand.",
                chance=voice.percent(reply.risk),
                basis=frost_basis(voice, reply.risk_basis),
            )
        )
    return wrote(reply, voice, lines)


def frost_basis(voice: Voice, basis: str | None) -> str:
    """Return what a frost figure rests on."""
    match basis:
        case "record":
            return voice.say("from your daily minima")
        case "levels":
            return voice.say("from the dates you gave")
        case _:
            return voice.say("from one usual date and an assumed spread")


def lost(reply: r.LostRecorded, voice: Voice) -> Message:
    crop = voice.crop(reply.crop)
    day = day_said(voice, reply.on)
    why = voice.say(" ({cause})", cause=cause_said(reply.cause, voice)) if reply.cause else ""
    if reply.outside:
        first = voice.say(
            "{sowing} {crop}: {n} lost outside{why}, {day}; {left} left there.",
            sowing=reply.sowing, crop=crop, n=reply.count, why=why, day=day, left=reply.left,
        )  # fmt: skip
    elif reply.cells:
        first = voice.say(
            "{sowing} {crop}: cells {cells} given up{why}, {day}.",
            sowing=reply.sowing, crop=crop, cells=reply.cells, why=why, day=day,
        )  # fmt: skip
    elif reply.closed:
        first = voice.say(
            "{sowing} {crop}: lost{why}, {day}. The sowing is closed.",
            sowing=reply.sowing,
            crop=crop,
            why=why,
            day=day,
        )
    else:
        first = voice.say(
            "{sowing} {crop}: {n} lost{why}, {day}; {left} left.",
            sowing=reply.sowing,
            crop=crop,
            n=reply.count,
            why=why,
            day=day,
            left=reply.left,
        )
    lines = [first]
    if reply.told is not None:
        remedy = told(voice, CAUSES.by_id()[reply.told].remedy)
        lines.append(voice.say("Today: {remedy}", remedy=remedy))
    if reply.beside:
        lines.append(
            voice.say(
                "It spreads: a look at {trays} is on tomorrow's list.",
                trays=voice.listed(list(reply.beside)),
            )
        )
    if reply.resow_by is not None:
        if reply.resow_by >= voice.today:
            lines.append(
                voice.say(
                    "There is time to resow: until {day}, by the crop's weeks in the tray "
                    "and your frost dates.",
                    day=voice.day(reply.resow_by),
                )
            )
        else:
            lines.append(
                voice.say(
                    "Too late to resow for this season: the last date was {day}.",
                    day=voice.day(reply.resow_by),
                )
            )
    return wrote(reply, voice, lines)
