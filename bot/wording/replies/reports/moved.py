"""Potting up, hardening off, planting out and losses."""

from __future__ import annotations

from bot.message import Message
from bot.wording.pieces.exposure import exposure
from bot.wording.replies.reports.wrote import day_said, wrote
from bot.wording.voice import Voice
from core.replies import reports as r


def potted(reply: r.PottedRecorded, voice: Voice) -> Message:
    crop = voice.crop(reply.crop)
    day = day_said(voice, reply.on)
    if reply.into_tray:
        first = voice.say(
            "{sowing} {crop}: {n} potted up into {tray} {cells}, {day}.",
            sowing=reply.sowing,
            crop=crop,
            n=reply.count,
            tray=reply.into_tray,
            cells=reply.into_cells,
            day=day,
        )
    else:
        first = voice.say(
            "{sowing} {crop}: {n} potted up, {day}.",
            sowing=reply.sowing,
            crop=crop,
            n=reply.count,
            day=day,
        )
    lines = [first]
    if reply.from_tray and reply.from_tray != reply.into_tray:
        lines.append(voice.say("Its cells in {tray} are free.", tray=reply.from_tray))
    if reply.left_out:
        lines.append(
            voice.say_n(
                "{n} seedling was left behind and does not count until it is potted up too.",
                "{n} seedlings were left behind and do not count until they are potted up too.",
                reply.left_out,
            )
        )
    return wrote(reply, voice, lines)


def out(reply: r.OutRecorded, voice: Voice) -> Message:
    codes = voice.listed(code for code, *_ in reply.days) or voice.say("the plants")
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
    for code, crop, done, of, hours, where, limit in reply.days:
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
    return wrote(reply, voice, lines)


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
    why = voice.say(" ({cause})", cause=reply.cause) if reply.cause else ""
    if reply.left == 0:
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
