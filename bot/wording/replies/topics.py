"""How-to and what-is answers: the group's own figures first, then the rule."""

from __future__ import annotations

from bot.message import Button, Message
from bot.wording.pieces.works import named
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import requests as r
from core.replies import topics as t
from core.replies.reports import LightRecorded
from core.trouble.topics import TOPICS

ML_PER_LITRE = 1000.0


def topic(reply: t.TopicTold, voice: Voice) -> Message:
    row = TOPICS.by_id()[reply.topic]
    lines = [line for one in reply.own for line in _own(one, voice)]
    if reply.more:
        lines.append(
            voice.say_n("... and {n} more: name one.", "... and {n} more: name one.", reply.more)
        )
    lines.append(row.answer_es if voice.language == "es" else row.answer)
    works = named(row.sources)
    if works:
        lines.append(voice.say("By: {sources}", sources=works))
    elif "common practice" in row.sources:
        lines.append(voice.say("Common practice."))
    else:
        lines.append(voice.say("From memory."))
    return Message(
        text="\n".join(lines), rows=topic_buttons(reply.near, voice), fold=tuple(lines[-1:])
    )


def topic_buttons(near: tuple[str, ...], voice: Voice) -> tuple[tuple[Button, ...], ...]:
    """Return a button for each topic that may have been meant, by its title."""
    rows = [TOPICS.by_id()[one] for one in near]
    titles = [(row.words_es if voice.language == "es" else row.words)[0] for row in rows]
    return tuple((Button(title, r.Ask(text=title)),) for title in titles)


def _own(own: t.Own, voice: Voice) -> list[str]:
    match own:
        case t.OwnLight():
            return _light(own, voice)
        case t.OwnWater():
            return _water(own, voice)
        case t.OwnUp():
            return [_up(own, voice)]
        case t.OwnWarm():
            return [_warm(own, voice)]
        case t.OwnDepth():
            return [_depth(own, voice)]


# --- light ---


def _light(own: t.OwnLight, voice: Voice) -> list[str]:
    light = own.light
    facts = []
    if light.reason == "window":
        facts.append(voice.say("window light, no lamp"))
    if light.height_mm is not None:
        facts.append(voice.say("lamp {height} up", height=voice.length(light.height_mm)))
    if light.hours is not None and light.reason != "window":
        facts.append(voice.say("on {hours} h a day", hours=voice.number(light.hours)))
    if light.dli is not None:
        facts.append(voice.say("{dli} mol a day", dli=voice.number(light.dli)))
    if not facts:
        facts.append(voice.say("nothing said of its lamp"))
    head = voice.say("Shelf {shelf}: {facts}.", shelf=light.place, facts=", ".join(facts))
    needs = [_need(light, need, voice) for need in own.needs]
    if needs:
        head += " " + voice.say("Its plants want, mol a day: {needs}.", needs="; ".join(needs))
    lines = [head]
    if own.apart:
        lines.append(voice.say("No one light suits them all: put them on two shelves."))
    elif light.advice:
        lines.append(_would_do(light, voice))
    elif light.reason == "no_reading":
        lines.append(
            voice.say(
                "No light reading yet. With a phone's lux meter at leaf height: "
                "/light {shelf} 4500 lx",
                shelf=light.place,
            )
        )
    return lines


def _need(light: LightRecorded, need: tuple[str, float, float], voice: Voice) -> str:
    crop, least, most = need
    values = {
        "crop": voice.crop(crop),
        "low": voice.number(least, 0),
        "high": voice.number(most, 0),
    }
    if light.dli is None:
        return voice.say("{crop} {low}–{high}", **values)
    if light.dli < least:
        short = voice.percent(1 - light.dli / least)
        return voice.say("{crop} {low}–{high}, so {short} short", short=short, **values)
    if light.dli > most:
        return voice.say("{crop} {low}–{high}, so more than it needs", **values)
    return voice.say("{crop} {low}–{high}, so enough", **values)


def _would_do(light: LightRecorded, voice: Voice) -> str:
    ways = []
    for kind, values in light.advice:
        if kind == "height":
            ways.append(voice.say("lamp {height} up", height=voice.length(values["mm"])))
        elif kind == "hours":
            ways.append(voice.say("{hours} h a day", hours=voice.number(values["hours"])))
        elif kind == "both":
            ways.append(
                voice.say(
                    "lamp {height} up and {hours} h a day",
                    height=voice.length(values["mm"]),
                    hours=voice.number(values["hours"]),
                )
            )
        elif kind == "best":
            return voice.say(
                "This lamp gives at most {dli} mol here: it takes another lamp.",
                dli=voice.number(values["dli"]),
            )
    return voice.say("What would do: {ways}.", ways=voice.listed(ways, style="or"))


# --- water ---


def _water(own: t.OwnWater, voice: Voice) -> list[str]:
    whole = own.dose_ml * own.cells
    amount = (
        voice.say("{n} litres", n=voice.number(whole / ML_PER_LITRE))
        if whole >= ML_PER_LITRE
        else f"{voice.number(round(whole, -1), 0)} ml"
    )
    lines = [
        voice.say(
            "{tray}: {cells} cells of about {cell} ml: when due, some {dose} ml each, {amount} "
            "in all.",
            tray=own.tray,
            cells=own.cells,
            cell=voice.number(own.cell_ml, 0),
            dose=voice.number(own.dose_ml, 0),
            amount=amount,
        )
    ]
    facts = []
    if own.watered_days is not None:
        facts.append(
            voice.say("Last watered today.")
            if own.watered_days == 0
            else voice.say_n(
                "Last watered {n} day ago.", "Last watered {n} days ago.", own.watered_days
            )
        )
    if own.lasts_days is not None:
        facts.append(
            voice.say(
                "Such cells last about {days} days: feel them first.",
                days=voice.number(own.lasts_days),
            )
        )
    if facts:
        lines.append(" ".join(facts))
    return lines


# --- up, warm, deep ---


def _up(own: t.OwnUp, voice: Voice) -> str:
    values = {"sowing": own.sowing, "crop": voice.crop(own.crop), "tray": own.tray}
    if own.since is not None:
        return voice.say(
            "{sowing} {crop} in {tray}: {up} of {of} up, the first {since}: lid and mat off now.",
            up=own.up,
            of=own.of,
            since=voice.day(own.since),
            **values,
        )
    if own.first is None or own.last is None:
        return voice.say(
            "{sowing} {crop} in {tray}: none up yet; lid and mat off with the first.", **values
        )
    return voice.say(
        "{sowing} {crop} in {tray}: none up yet, expected {first} to {last}; lid and mat off "
        "with the first.",
        **voice.span(own.first, own.last),
        **values,
    )


def _warm(own: t.OwnWarm, voice: Voice) -> str:
    crop = voice.crop(own.crop)
    place = (
        voice.say("{sowing} {crop} in {tray}", sowing=own.sowing, crop=crop, tray=own.tray)
        if own.sowing is not None and own.tray is not None
        else crop
    )
    values = {"place": place, "low": voice.temp(own.low), "high": voice.temp(own.high)}
    if not own.up:
        said = voice.say("{place}: until it is up, mix at {low} to {high}.", **values)
    elif own.night is not None:
        said = voice.say(
            "{place}: up, so by day {low} to {high}, at night about {night}.",
            night=voice.temp(sum(own.night) / 2),
            **values,
        )
    else:
        said = voice.say("{place}: up, so by day {low} to {high}.", **values)
    if own.shown is None:
        return said
    if own.read_on is None:
        return f"{said} " + voice.say("Its shelf usually shows {temp}.", temp=voice.temp(own.shown))
    return f"{said} " + voice.say(
        "The mix showed {temp}, {day}.", temp=voice.temp(own.shown), day=voice.day(own.read_on)
    )


def _depth(own: t.OwnDepth, voice: Voice) -> str:
    crop = voice.crop(own.crop)
    if own.light or own.high == 0:
        return voice.say("{crop}: press it in, do not cover (by the crop table).", crop=crop)
    depth = voice.lengths(own.low, own.high)
    return voice.say("{crop}: cover {depth} (by the crop table).", crop=crop, depth=depth)


WORDS: Words = {t.TopicTold: topic}
