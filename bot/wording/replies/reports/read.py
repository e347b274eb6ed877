"""Temperatures and light: what they change."""

from __future__ import annotations

from bot.message import Message
from bot.wording.pieces.lamps import lamp_name, light_parts
from bot.wording.replies.reports.wrote import day_said, wrote
from bot.wording.voice import Voice
from core.replies import reports as r


def temp(reply: r.TempRecorded, voice: Voice) -> Message:
    value = voice.temp_exact(reply.temp_c)
    day = day_said(voice, reply.on)
    where = reply.place or ""
    match reply.kind:
        case "outside":
            first = voice.say("{temp} outside, {day}.", temp=value, day=day)
        case "low":
            first = voice.say("Low of {temp} outside, night to {day}.", temp=value, day=day)
        case "forecast":
            first = voice.say("{temp} expected tonight.", temp=value)
        case "air" if reply.shelf:
            first = voice.say(
                "Shelf {where}: air at {temp}, {day}.", where=where, temp=value, day=day
            )
        case "mix" if reply.shelf:
            first = voice.say(
                "Shelf {where}: mix at {temp}, {day}.", where=where, temp=value, day=day
            )
        case "air" if where == "all":
            first = voice.say("Air at {temp}, {day}.", temp=value, day=day)
        case "air":
            first = voice.say("{where}: air at {temp}, {day}.", where=where, temp=value, day=day)
        case _ if where == "all":
            first = voice.say("Mix at {temp} in all trays, {day}.", temp=value, day=day)
        case _:
            first = voice.say("{where}: mix at {temp}, {day}.", where=where, temp=value, day=day)
    lines = [first]
    for crop, verdict in reply.verdicts:
        name = voice.crop(crop)
        match verdict:
            case "too_cold":
                lines.append(voice.say("Too cold for {crop} to come up: warm it.", crop=name))
            case "too_hot":
                lines.append(voice.say("Too hot for {crop} to come up: cool it.", crop=name))
            case "slow":
                lines.append(voice.say("Cool for {crop}: it comes up slowly.", crop=name))
            case "warm":
                lines.append(voice.say("Warm for {crop}: fewer come up, cool it.", crop=name))
    best = [voice.crop(crop) for crop, verdict in reply.verdicts if verdict == "best"]
    good = [voice.crop(crop) for crop, verdict in reply.verdicts if verdict == "good"]
    if best:
        lines.append(voice.say("Just right for {crops}.", crops=voice.listed(best)))
    if good:
        lines.append(voice.say("Good for {crops}.", crops=voice.listed(good)))
    for sowing, window in reply.moved.items():
        if window.p10 and window.p90:
            lines.append(
                voice.say(
                    "{sowing} now expected {first} to {last}, by the temperatures you read.",
                    sowing=sowing,
                    **voice.span(window.p10, window.p90),
                )
            )
    if reply.held:
        lines.append(
            voice.say(
                "Keep in or bring in: {what}.",
                what=voice.listed(
                    voice.say(
                        "{sowing} {crop} (not below {temp}, by the kind of crop)",
                        sowing=code,
                        crop=voice.crop(crop),
                        temp=voice.temp(limit),
                    )
                    for code, crop, limit in dict.fromkeys(reply.held)
                ),
            )
        )
    if reply.cover:
        lines.append(
            voice.say(
                "Cover outside: {what}.",
                what=voice.listed(
                    voice.say_n(
                        "{sowing} {crop}, {n} plant",
                        "{sowing} {crop}, {n} plants",
                        plants,
                        sowing=code,
                        crop=voice.crop(crop),
                    )
                    for code, crop, plants in reply.cover
                ),
            )
        )
    return wrote(reply, voice, lines)


def light(reply: r.LightRecorded, voice: Voice) -> Message:
    return wrote(reply, voice, light_lines(reply, voice))


def light_lines(reply: r.LightRecorded, voice: Voice) -> list[str]:
    """Return what a shelf's light comes to and how to better it."""
    if reply.reason == "window":
        return _window_lines(reply, voice)
    parts = light_parts(reply, voice)
    head = voice.say("Shelf {shelf}", shelf=reply.place)
    if parts:
        head = voice.say("Shelf {shelf}: {parts}.", shelf=reply.place, parts=", ".join(parts))
    lines = [head]
    match reply.reason:
        case "no_reading":
            lines.append(
                voice.say(
                    "No light reading yet. With a phone's lux meter at leaf height: "
                    "/light {shelf} 4500 lx",
                    shelf=reply.place,
                )
            )
        case "no_factor":
            lines.append(
                voice.say(
                    "Lux says nothing sure under this lamp: ask the maker for a PPFD figure, "
                    "or set the lamp kind with /shelf {shelf}",
                    shelf=reply.place,
                )
            )
        case "no_hours":
            lines.append(
                voice.say("How long is the lamp on? /light {shelf} 14h", shelf=reply.place)
            )
    if reply.dli is None or reply.dli_low is None or reply.dli_high is None:
        return lines
    assert reply.target is not None
    lines.append(
        voice.say(
            "That is {dli} mol a day ({low}–{high}); seedlings do well at {from_}–{to} "
            "(growers' advice).",
            dli=voice.number(reply.dli),
            low=voice.number(reply.dli_low),
            high=voice.number(reply.dli_high),
            from_=voice.number(reply.target[0], 0),
            to=voice.number(reply.target[1], 0),
        )
    )
    measured = reply.basis.startswith("measured")
    lines.append(
        voice.say("By your light meter.")
        if measured
        else voice.say("Reckoned from lux by the kind of lamp; such a factor is uncertain.")
    )
    for kind, values in reply.advice:
        match kind:
            case "hours":
                lines.append(
                    voice.say("To reach it: {hours} h a day.", hours=voice.number(values["hours"]))
                )
            case "height":
                lines.append(
                    voice.say(
                        "To reach it: lamp {height} above the leaves (by a measured table "
                        "of tube lamps).",
                        height=voice.length(values["mm"]),
                    )
                )
            case "both":
                lines.append(
                    voice.say(
                        "To reach it: lamp {height} above the leaves (by a measured table "
                        "of tube lamps) and {hours} h a day.",
                        height=voice.length(values["mm"]),
                        hours=voice.number(values["hours"]),
                    )
                )
            case "best":
                lines.append(
                    voice.say(
                        "This lamp gives at most {dli} mol here: it takes another lamp.",
                        dli=voice.number(values["dli"]),
                    )
                )
    return lines


def _window_lines(reply: r.LightRecorded, voice: Voice) -> list[str]:
    parts = [lamp_name(voice, "window")]
    if reply.lux is not None:
        parts.insert(0, voice.say("{lux} lx", lux=voice.number(reply.lux, 0)))
    lines = [voice.say("Shelf {shelf}: {parts}.", shelf=reply.place, parts=", ".join(parts))]
    if reply.dli is None or reply.dli_low is None or reply.dli_high is None:
        lines.append(
            voice.say("What a window gives depends on the place. Name it: /site place Chicago")
        )
        return lines
    assert reply.target is not None
    assert reply.hours is not None
    lines.append(
        voice.say(
            "The sill gives about {dli} mol a day now ({low}–{high}); seedlings do well at "
            "{from_}–{to} (growers' advice).",
            dli=voice.number(reply.dli),
            low=voice.number(reply.dli_low),
            high=voice.number(reply.dli_high),
            from_=voice.number(reply.target[0], 0),
            to=voice.number(reply.target[1], 0),
        )
    )
    lines.append(
        voice.say(
            "Reckoned from {hours} h of day at this place; what a window lets in is a rule of "
            "thumb.",
            hours=voice.number(reply.hours),
        )
    )
    return lines
