"""Lines the grammar could not read: what stood, and what to type instead."""

from __future__ import annotations

from bot.grammar import command_of
from bot.grammar import problems as p
from bot.grammar.files import FileUnclear
from bot.message import Button, Message
from bot.wording.pieces.short import short
from bot.wording.voice import Voice
from bot.wording.words import Words
from core.requests import CropInfo, Help


def example(command: str) -> str:
    """Return the plainest line of a command; its bare word when it has none."""
    found = command_of(command)
    return found.examples[0] if found else f"/{command}"


def _line(text: str) -> Message:
    return Message(text=text)


def _other(error: p.NotUnderstood, voice: Voice) -> Message:
    return _line(voice.say("That could not be read, so nothing was recorded. Try: /help"))


def _empty(error: p.EmptyMessage, voice: Voice) -> Message:
    return _line(voice.say("No words in that. What is due today: /due. What can be said: /help"))


def _too_long(error: p.TooLong, voice: Voice) -> Message:
    return _line(
        voice.say(
            "That line has {length} characters; up to {limit} are read, so nothing was recorded. "
            "Send it in shorter lines.",
            length=voice.number(error.length, 0),
            limit=voice.number(error.limit, 0),
        )
    )


def _too_many(error: p.TooManyLines, voice: Voice) -> Message:
    return _line(
        voice.say_n(
            "The first {kept} lines were read and {n} was not. Send that one again.",
            "The first {kept} lines were read and {n} were not. Send those again.",
            error.dropped,
            kept=error.kept,
        )
    )


def _command_unknown(error: p.CommandUnknown, voice: Voice) -> Message:
    typed = short(error.typed)
    if not error.nearest:
        return _line(
            voice.say(
                "No command is called “{typed}”, so nothing was recorded. What can be said: /help",
                typed=typed,
            )
        )
    near = error.nearest[:3]
    return Message(
        text=voice.say(
            "No command is called “{typed}”. Near it: {words}. All of them: /help",
            typed=typed,
            words=voice.listed([f"/{word}" for word in near], style="or"),
        ),
        rows=(tuple(Button(f"/help {word}", Help(topic=word)) for word in near),),
    )


def _crop_not_said(error: p.CropNotSaid, voice: Voice) -> Message:
    return _line(voice.say("Which crop? An example: {example}", example=example(error.command)))


def _crop_not_known(error: p.CropNotKnown, voice: Voice) -> Message:
    typed = short(error.typed)
    if not error.nearest:
        return Message(
            text=voice.say("No crop is known as “{typed}”. All crops: /crop", typed=typed),
            rows=((Button(voice.say("Crops"), CropInfo()),),),
        )
    return _line(
        voice.say(
            "No crop is known as “{typed}”. Near it: {crops}. Type one of these, or see all: /crop",
            typed=typed,
            crops=voice.listed([voice.crop(crop) for crop in error.nearest], style="or"),
        )
    )


def _number_not_said(error: p.NumberNotSaid, voice: Voice) -> Message:
    return _line(
        voice.say(
            "/{command} needs a number. An example: {example}",
            command=error.command,
            example=example(error.command),
        )
    )


def _number_odd(error: p.NumberOdd, voice: Voice) -> Message:
    return _line(
        voice.say(
            "{given} is outside what /{command} takes here ({low} to {high}). "
            "An example: {example}",
            given=voice.number(error.given, 2),
            command=error.command,
            low=voice.number(error.lo, 2),
            high=voice.number(error.hi, 2),
            example=example(error.command),
        )
    )


def _tray_not_said(error: p.TrayNotSaid, voice: Voice) -> Message:
    if error.cells:
        return _line(
            voice.say(
                "{cells} of which tray? Put its code before the cells, such as: T1 {cells}",
                cells=short(error.cells),
            )
        )
    return _line(voice.say("Which tray? An example: {example}", example=example(error.command)))


def _one_tray(error: p.OneTrayAtATime, voice: Voice) -> Message:
    return _line(
        voice.say(
            "{cells} of {trays}? Cells go with one tray a line: {tray} {cells}, "
            "then the next on its own line.",
            cells=short(error.cells),
            trays=voice.listed(error.trays[:8], style="or"),
            tray=error.trays[0] if error.trays else "T1",
        )
    )


def _cells_not_said(error: p.CellsNotSaid, voice: Voice) -> Message:
    return _line(
        voice.say("Which cells, or how many? An example: {example}", example=example(error.command))
    )


def _what(error: p.WhatNotSaid, voice: Voice) -> Message:
    values = {"command": error.command, "example": example(error.command)}
    phrases = {
        "reading": voice.say("/{command} needs a figure. An example: {example}", **values),
        "level": voice.say("Was it dry, right or wet? An example: {example}", **values),
        "text": voice.say("/{command} needs some words after it. An example: {example}", **values),
        "notice": voice.say("Press the button under the reminder itself.", **values),
        "choice": voice.say("Press one of the buttons under the question.", **values),
        "sets": voice.say(
            "/{command} needs two sides with “vs” between. An example: {example}", **values
        ),
        "name": voice.say("/{command} needs a name. An example: {example}", **values),
        "date": voice.say("/{command} needs a date. An example: {example}", **values),
        "count": voice.say("/{command} needs a count or a place. An example: {example}", **values),
    }
    return _line(
        phrases.get(error.needs)
        or voice.say("/{command} needs a little more. An example: {example}", **values)
    )


def _left_over(error: p.LeftOver, voice: Voice) -> Message:
    return _line(
        voice.say(
            "“{words}” does not fit with /{command}, so nothing was recorded. "
            "An example: {example}",
            words=short(error.words),
            command=error.command,
            example=example(error.command),
        )
    )


def _date(error: p.DateNotUnderstood, voice: Voice) -> Message:
    return _line(
        voice.say(
            "“{typed}” is no date that can be used here. Write it like 3 Apr or {iso}.",
            typed=short(error.typed),
            iso=voice.today.isoformat(),
        )
    )


def _time(error: p.TimeNotUnderstood, voice: Voice) -> Message:
    return _line(
        voice.say(
            "“{typed}” is no time of day. Write it like 7:30 or 19:30.", typed=short(error.typed)
        )
    )


def _unit_clash(error: p.UnitClash, voice: Voice) -> Message:
    return _line(
        voice.say(
            "“{typed}” holds two readings of one kind, or a unit /{command} does not take. "
            "One at a time: {example}",
            typed=short(error.typed),
            command=error.command,
            example=example(error.command),
        )
    )


def _frost_percent(error: p.FrostPercentOdd, voice: Voice) -> Message:
    return _line(
        voice.say(
            "Frost dates are kept for a chance of 10, 50 or 90 percent, not {given}. "
            "An example: /frost 10% 15 May 50% 28 Apr 90% 9 Apr",
            given=voice.number(error.given),
        )
    )


def _frost_order(error: p.FrostOrder, voice: Voice) -> Message:
    return _line(
        voice.say(
            "Of the last-frost dates the smaller chance is the later date. "
            "An example: /frost 10% 15 May 50% 28 Apr 90% 9 Apr"
        )
    )


def _file(error: FileUnclear, voice: Voice) -> Message:
    name = short(error.name)
    if error.reason == "size":
        return _line(
            voice.say("{name} is larger than 5 MB and was not read. Send a shorter one.", name=name)
        )
    if error.reason == "text":
        return _line(
            voice.say(
                "{name} could not be read as text. Send daily minima or a plan as CSV, "
                "closures as .ics.",
                name=name,
            )
        )
    return _line(
        voice.say(
            "What is {name} for? Send it again with one word: /frost (daily minima), "
            "/plan (a list of crops) or /closed (a calendar).",
            name=name,
        )
    )


WORDS: Words = {
    p.NotUnderstood: _other,
    p.EmptyMessage: _empty,
    p.TooLong: _too_long,
    p.TooManyLines: _too_many,
    p.CommandUnknown: _command_unknown,
    p.CropNotSaid: _crop_not_said,
    p.CropNotKnown: _crop_not_known,
    p.NumberNotSaid: _number_not_said,
    p.NumberOdd: _number_odd,
    p.TrayNotSaid: _tray_not_said,
    p.OneTrayAtATime: _one_tray,
    p.CellsNotSaid: _cells_not_said,
    p.WhatNotSaid: _what,
    p.LeftOver: _left_over,
    p.DateNotUnderstood: _date,
    p.TimeNotUnderstood: _time,
    p.UnitClash: _unit_clash,
    p.FrostPercentOdd: _frost_percent,
    p.FrostOrder: _frost_order,
    FileUnclear: _file,
}
