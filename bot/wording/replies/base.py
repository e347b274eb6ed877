"""Questions that only the member can settle: a short one, a button for each answer."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bot.message import Button, Message
from bot.wording.voice import Voice
from bot.wording.words import Words
from core.group.frames import COLD_FRAME
from core.replies.base import Choice, NothingRecorded, Option

MOST = 8  # buttons of one question


def choice(reply: Choice, voice: Voice) -> Message:
    """Return the question with its buttons; without any option, what to do instead."""
    text = _question(reply, voice)
    more = int(reply.values.get("more", 0)) + max(0, len(reply.options) - MOST)
    if more:
        rest = voice.say_n("{n} more: /trays", "{n} more: /trays", more)
        text = f"{text}\n{rest}"
    buttons = [Button(label_of(option, voice), option.request) for option in reply.options[:MOST]]
    return Message(text=text, rows=rows_of(buttons))


def rows_of(buttons: list[Button]) -> tuple[tuple[Button, ...], ...]:
    """Two short labels beside each other, long ones below each other."""
    wide = 2 if all(len(button.label) <= 18 for button in buttons) else 1
    return tuple(tuple(buttons[n : n + wide]) for n in range(0, len(buttons), wide))


def _question(reply: Choice, voice: Voice) -> str:
    values = reply.values
    match reply.question:
        case "sowing":
            return voice.say("Which sowing is meant?")
        case "tray":
            crop = values.get("crop")
            if reply.options:
                if crop:
                    return voice.say("Which tray for the {crop}?", crop=voice.crop(crop))
                return voice.say("Which tray is meant?")
            if values.get("any"):
                return voice.say("No tray has room for that. A new one of 72 cells: /tray T9 72")
            return voice.say("No tray is set up yet. One of 72 cells: /tray T1 72")
        case "temp_place":
            return voice.say(
                "{temp}: where was that read?", temp=voice.temp_exact(float(values["temp_c"]))
            )
        case "sown_twice":
            return voice.say(
                "{sowing} is the same, told a moment ago: {crop} in {n} cells. Was there another "
                "one?",
                sowing=values["sowing"],
                crop=voice.crop(values["crop"]),
                n=values["cells"],
            )
        case "pots_shelf":
            return voice.say_n(
                "{count} potted up: where do the pots stand? They take {n} tray place.",
                "{count} potted up: where do the pots stand? They take {n} tray places.",
                int(values["places"]),
                count=values["count"],
            )
        case "out_early":
            return _out_early(values, voice)
        case "shelf":
            return voice.say("Which shelf is meant?")
        case "lot":
            return voice.say("Which lot is meant?")
        case "crop":
            return voice.say("Which crop is meant?")
        case "member":
            name = values.get("name")
            if name:
                return voice.say("Who is meant by {name}?", name=name)
            return voice.say("Who is meant?")
        case "group":
            return voice.say("Which group is this about?")
        case "place":
            place = values.get("place")
            if place:
                return voice.say("Which {place} is meant?", place=place)
            return voice.say("Which place is meant?")
        case _:
            return voice.say("Which of these is meant?")


def _out_early(values: Mapping[str, Any], voice: Voice) -> str:
    what = voice.listed(
        voice.say("{sowing} {crop}", sowing=code, crop=voice.crop(crop))
        for code, crop in values["what"]
    )
    first = voice.say(
        "That is early for {what}: not below {limit}, by the kind of crop.",
        what=what,
        limit=voice.temp(float(values["limit_c"])),
    )
    if values.get("begin") is not None:
        due = voice.say(
            "By your dates hardening off begins about {day}. Was it an outing, or does it begin "
            "now?",
            day=voice.day(values["begin"]),
        )
    else:
        due = voice.say("Was it an outing, or does hardening off begin now?")
    return f"{first}\n{due}"


def label_of(option: Option, voice: Voice) -> str:
    values = option.values
    match option.kind:
        case "sowing":
            return _sowing(values, voice)
        case "tray" if "free" in values:
            return voice.say_n(
                "{tray} ({n} cell free)",
                "{tray} ({n} cells free)",
                int(values["free"]),
                tray=values["tray"],
            )
        case "tray":
            return str(values["tray"])
        case "shelf" | "pots_shelf" if values["shelf"] == COLD_FRAME:
            return voice.say("Cold frame")
        case "shelf":
            return voice.say("Shelf {shelf}", shelf=values["shelf"])
        case "pots_shelf" if values.get("free") is not None:
            return voice.say_n(
                "Shelf {shelf} ({n} place free)",
                "Shelf {shelf} ({n} places free)",
                int(values["free"]),
                shelf=values["shelf"],
            )
        case "pots_shelf":
            return voice.say("Shelf {shelf}", shelf=values["shelf"])
        case "another":
            return voice.say("Yes, another one")
        case "once":
            return voice.say("They were out this once")
        case "harden":
            return voice.say("Start hardening off")
        case "only":
            return voice.say(
                "Only {sowing} {crop}", sowing=values["sowing"], crop=voice.crop(values["crop"])
            )
        case "all_trays":
            return voice.say("All trays")
        case "outside":
            return voice.say("Outside")
        case "crop":
            return voice.crop(str(values["crop"]), values.get("variety"))
        case "lot":
            crop = values.get("crop")
            if crop:
                return voice.say(
                    "{lot}: {crop}",
                    lot=values["lot"],
                    crop=voice.crop(str(crop), values.get("variety")),
                )
            return str(values["lot"])
        case "member" | "group" | "place":
            return str(values.get("name") or values.get(option.kind))
        case _:
            return Button("", option.request).command


def _sowing(values: Mapping[str, Any], voice: Voice) -> str:
    name = voice.crop(str(values["crop"]), values.get("variety"))
    if values.get("tray"):
        return voice.say(
            "{sowing} {crop}, {tray}, sown {day}",
            sowing=values["sowing"],
            crop=name,
            tray=values["tray"],
            day=voice.day(values["sown_on"]),
        )
    return voice.say(
        "{sowing} {crop}, sown {day}",
        sowing=values["sowing"],
        crop=name,
        day=voice.day(values["sown_on"]),
    )


def nothing_recorded(reply: NothingRecorded, voice: Voice) -> Message:
    """What was proposed is let go."""
    return Message(text=voice.say("Nothing was recorded."))


WORDS: Words = {Choice: choice, NothingRecorded: nothing_recorded}
