"""Watering, feeding, thinning, a look at the mix, a note."""

from __future__ import annotations

from bot.message import TOAST, Message
from bot.wording.pieces.buttons import undo_row
from bot.wording.replies.reports.wrote import day_said, wrote
from bot.wording.voice import Voice
from core.replies import reports as r


def cared(reply: r.CareRecorded, voice: Voice) -> Message:
    where = voice.listed(reply.targets)
    day = day_said(voice, reply.on)
    match reply.kind:
        case "watered" if reply.values.get("from_below"):
            lines = [voice.say("Watered from below: {where}, {day}.", where=where, day=day)]
            lines.append(voice.say("Tip out what still stands after half an hour."))
        case "watered":
            lines = [voice.say("Watered: {where}, {day}.", where=where, day=day)]
        case "moist":
            lines = [_moist(voice, str(reply.values["level"]), where, day)]
        case "fed" if reply.values.get("ppm_n") is not None:
            lines = [
                voice.say(
                    "Fed: {where} at {ppm} ppm N, {day}.",
                    where=where,
                    ppm=voice.number(float(reply.values["ppm_n"]), 0),
                    day=day,
                )
            ]
        case "fed" if reply.values.get("strength") is not None:
            lines = [
                voice.say(
                    "Fed: {where} at {share} of the label's strength, {day}.",
                    where=where,
                    share=voice.percent(float(reply.values["strength"])),
                    day=day,
                )
            ]
        case "fed":
            lines = [voice.say("Fed: {where}, {day}.", where=where, day=day)]
        case "thinned":
            n = int(reply.values["per_cell"])
            lines = [
                voice.say_n(
                    "Thinned: {where} to {n} plant a cell, {day}.",
                    "Thinned: {where} to {n} plants a cell, {day}.",
                    n,
                    where=where,
                    day=day,
                )
            ]
        case _ if where:
            lines = [voice.say("Noted for {where}: {text}", where=where, text=reply.values["text"])]
        case _:
            lines = [voice.say("Noted: {text}", text=reply.values["text"])]
    lines += _checks(reply, voice)
    if "again" in reply.hints:
        lines.append(
            voice.say(
                "It had been watered today already. Too wet drowns roots: feel the mix first."
            )
        )
    if "strong" in reply.hints:
        lines.append(
            voice.say("That is strong for seedlings: 50–150 ppm N is usual. Watch the tips.")
        )
    if "full" in reply.hints:
        lines.append(
            voice.say(
                "Seedlings do with a quarter to half of the label's strength: watch the tips."
            )
        )
    if "dry" in reply.hints:
        lines.append(voice.say("Never feed a dry tray: water first, feed after."))
    return wrote(reply, voice, lines)


def _moist(voice: Voice, level: str, where: str, day: str) -> str:
    match level:
        case "dry":
            return voice.say(
                "{where} dry, {day}. Water now, from below if you can.", where=where, day=day
            )
        case "wet":
            return voice.say(
                "{where} wet, {day}. Let it dry before the next watering.", where=where, day=day
            )
        case _:
            return voice.say("{where} just right, {day}.", where=where, day=day)


def _checks(reply: r.CareRecorded, voice: Voice) -> list[str]:
    """Say when to look again: one line, trays with the same date together."""
    by_day: dict[str, list[str]] = {}
    for tray, day in sorted(reply.next_check.items(), key=lambda pair: pair[1]):
        if day > voice.today:  # today's is what was just said
            by_day.setdefault(day_said(voice, day), []).append(tray)
    if not by_day:
        return []
    if len(by_day) == 1:
        return [voice.say("Look again {day}.", day=next(iter(by_day)))]
    parts = [
        voice.say("{trays} {day}", trays=voice.listed(trays), day=day)
        for day, trays in by_day.items()
    ]
    return [voice.say("Look again: {parts}.", parts=", ".join(parts))]


def done(reply: r.Done, voice: Voice) -> Message:
    if reply.own:
        return Message(text=voice.say("You had said so already."), alone=TOAST)
    if reply.again:
        said = voice.say(
            "{name} had said so already. Thank you both.", name=reply.by or voice.say("somebody")
        )
        return Message(text=said, alone=TOAST)
    if not reply.acts:
        return Message(text=voice.say("Thank you. Nothing was left to record."), alone=TOAST)
    if reply.targets:
        text = voice.say("Thank you. Recorded for {where}.", where=voice.listed(reply.targets))
    else:
        text = voice.say("Thank you. Recorded.")
    return Message(text=text, rows=tuple(undo_row(voice, act) for act in reply.acts[:1]))
