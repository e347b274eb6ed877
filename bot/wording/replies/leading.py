"""The questions that lead through a report or a setting, one piece at a time."""

from __future__ import annotations

from babel.dates import get_month_names

from bot.message import Button, Message
from bot.wording.replies.base import label_of, rows_of
from bot.wording.voice import Voice, locale_of
from bot.wording.words import Words
from core.replies.base import Option
from core.replies.leading import NextStep

STEPS = ("back", "stop")


def leading(reply: NextStep, voice: Voice) -> Message:
    """Return the question, its likely answers, and the way back and out."""
    text = _question(reply, voice)
    if "sowing" in reply.values:
        text = f"{_named(reply, voice)} {text}"
    hint = _hint(reply.stage, voice)
    if hint:
        text = f"{text} {hint}"
    answers = [one for one in reply.options if one.kind not in STEPS]
    steps = [one for one in reply.options if one.kind in STEPS]
    rows = rows_of([Button(_label(one, voice), one.request) for one in answers])
    return Message(
        text=text,
        rows=(*rows, tuple(Button(_label(one, voice), one.request) for one in steps)),
    )


def _named(reply: NextStep, voice: Voice) -> str:
    """Name the sowing that is asked about."""
    values = reply.values
    crop = voice.crop(str(values["crop"]), values.get("variety"))
    if values.get("tray"):
        return voice.say(
            "{sowing} {crop} in {tray}:", sowing=values["sowing"], crop=crop, tray=values["tray"]
        )
    return voice.say("{sowing} {crop}:", sowing=values["sowing"], crop=crop)


def _question(reply: NextStep, voice: Voice) -> str:
    act, stage = reply.act, reply.stage
    match stage:
        case "sowing":
            return _which(act, voice)
        case "count":
            return _how_many(act, voice)
        case "per_cell":
            return voice.say("thinned to one plant a cell?")
        case "hours":
            return voice.say("how long were they outside?")
        case "trays" if act == "watered":
            return voice.say("What was watered?")
        case "trays":
            return voice.say("What was fed?")
        case "crop":
            return voice.say("What was sown?")
        case "tray" if act == "sow":
            if reply.none:
                return voice.say("No tray has a free cell.")
            return voice.say("Into which tray?")
        case "tray" if act == "temp":
            return voice.say("Where was it measured?")
        case "tray":
            return voice.say("Which tray did you look at?")
        case "cells":
            if reply.none:
                return voice.say("That tray has no free cell.")
            return voice.say("Into how many cells?")
        case "level":
            return voice.say("How is the mix?")
        case "temp":
            return voice.say("What does the thermometer say?")
        case _:
            return _of_setting(stage, voice)


def _which(act: str, voice: Voice) -> str:
    match act:
        case "up":
            return voice.say("What came up?")
        case "lost":
            return voice.say("What was lost?")
        case "potted":
            return voice.say("What was potted up?")
        case "planted":
            return voice.say("What was planted out or handed out?")
        case "thinned":
            return voice.say("What was thinned?")
        case _:
            return voice.say("What was outside?")


def _how_many(act: str, voice: Voice) -> str:
    match act:
        case "up":
            return voice.say("how many show now, all told?")
        case "lost":
            return voice.say("how many were lost?")
        case "potted":
            return voice.say("how many were potted up?")
        case _:
            return voice.say("how many?")


def _of_setting(stage: str, voice: Voice) -> str:
    match stage:
        case "part":
            return voice.say("What would you like to change?")
        case "place":
            return voice.say("Where is the garden? Write the town and the country.")
        case "units":
            return voice.say("Which units?")
        case "language":
            return voice.say("Which language for the group?")
        case "round":
            return voice.say("When should the daily round come?")
        case "reminders":
            return voice.say("Where should reminders go?")
        case "side":
            return voice.say("Which frost?")
        case "month":
            return voice.say("In which month does it usually come?")
        case "day":
            return voice.say("About which day?")
        case "who":
            return voice.say("Who is on duty?")
        case "weekday":
            return voice.say("On which day of the week?")
        case "how_many":
            return voice.say("How many new trays?")
        case "size":
            return voice.say("How many cells has one?")
        case "onto":
            return voice.say("Where do they stand?")
        case _:
            return voice.say("Which tray would you like to see?")


def _hint(stage: str, voice: Voice) -> str:
    """Say that an answer can be typed, where the buttons are only the likely ones."""
    if stage in ("count", "temp", "crop", "cells", "hours", "day", "month", "round"):
        return voice.say("Tap, or write it.")
    return ""


def _label(option: Option, voice: Voice) -> str:
    values = option.values
    match option.kind:
        case "back":
            return voice.say("Back")
        case "stop":
            return voice.say("Stop")
        case "none":
            return voice.say("None yet")
        case "count" | "size":
            return voice.number(float(values.get("count") or values["cells"]), 0)
        case "all":
            return voice.say("All {n}", n=voice.number(float(values["count"]), 0))
        case "one":
            return voice.say("Yes")
        case "hours":
            return voice.say_n("{n} hour", "{n} hours", int(values["hours"]))
        case "due_trays":
            return voice.listed(values["trays"])
        case "cells" | "cells_free":
            return _cells(option, voice)
        case "temp":
            return voice.temp(float(values["temp_c"]))
        case "level":
            return _level(str(values["level"]), voice)
        case "month":
            names = get_month_names("wide", locale=voice.locale)
            return str(names[int(values["month"])])
        case "day":
            return voice.month_day(values["day"])
        case _:
            return _setting_label(option, voice)


def _cells(option: Option, voice: Voice) -> str:
    n, cells = int(option.values["n"]), str(option.values["cells"])
    if option.kind == "cells_free":
        return voice.say_n("{n} cell, all that is free", "{n} cells, all that are free", n)
    return voice.say_n("{n} cell: {cells}", "{n} cells: {cells}", n, cells=cells)


def _level(level: str, voice: Voice) -> str:
    match level:
        case "dry":
            return voice.say("Dry: pale and light")
        case "wet":
            return voice.say("Wet: shiny and heavy")
        case _:
            return voice.say("Right: dark and cool")


def _setting_label(option: Option, voice: Voice) -> str:
    values = option.values
    match option.kind:
        case "part":
            return _part(str(values["part"]), voice)
        case "units":
            return voice.say("°F and inches") if values["imperial"] else voice.say("°C and cm")
        case "language":
            return str(locale_of(values["language"]).get_display_name()).capitalize()
        case "clock":
            return voice.clock(values["at"])
        case "channel":
            return _channel(str(values["channel"]), voice)
        case "side":
            if values["side"] == "last":
                return voice.say("The last of spring")
            return voice.say("The first of autumn")
        case "weekday":
            return voice.weekday(int(values["weekday"]))
        case "new_trays":
            return voice.say("Add trays")
        case "no_shelf":
            return voice.say("On no shelf")
        case _:
            return label_of(option, voice)


def _part(part: str, voice: Voice) -> str:
    match part:
        case "place":
            return voice.say("Place")
        case "units":
            return voice.say("Units")
        case "language":
            return voice.say("Language")
        case "round":
            return voice.say("Time of the round")
        case _:
            return voice.say("Reminders")


def _channel(channel: str, voice: Voice) -> str:
    match channel:
        case "both":
            return voice.say("Own list in private, the rest here")
        case "group":
            return voice.say("All in the group")
        case "private":
            return voice.say("All in private")
        case "weekly":
            return voice.say("Once a week")
        case _:
            return voice.say("Pause")


WORDS: Words = {NextStep: leading}
