"""What was read in, in words."""

from __future__ import annotations

from bot.message import Button, Message
from bot.wording.pieces.short import short
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import requests as r
from core.group.spreadsheet import SheetRow
from core.replies import importing as k

SHOWN, UNCLEAR = 12, 6  # lines on one screen


def how(reply: k.ImportHow, voice: Voice) -> Message:
    """Say what can be read in and how."""
    table = voice.say(
        "Send a table of sowings as CSV with the word /import: columns crop, tray, cells, sown, "
        "and if you have them variety, seeds per cell, up, counted. Dates as 2027-03-31. "
        "I show what I read before anything is written."
    )
    if not reply.empty:
        return Message(text=table)
    export = voice.say("This group is empty: the ZIP of /export can be read back the same way.")
    return Message(text=f"{export}\n{table}")


def imported(reply: k.Imported, voice: Voice) -> Message:
    """Say how much was read back."""
    counts = dict(reply.counts)
    parts = [
        voice.say_n("{n} tray", "{n} trays", counts.get("trays", 0)),
        voice.say_n("{n} sowing", "{n} sowings", counts.get("sowings", 0)),
        voice.say_n("{n} report", "{n} reports", counts.get("reports", 0)),
    ]
    return Message(
        text="\n".join(
            (
                voice.say(
                    "{name} is read in: {what}.",
                    name=short(reply.name),
                    what=voice.listed(parts),
                ),
                voice.say("Members of it keep their names; each is joined to an account with "
                          "that name when there is one here."),
            )
        ),
        rows=((Button(voice.say("All trays"), r.Trays()),),),
    )  # fmt: skip


def shown(reply: k.ImportShown, voice: Voice) -> Message:
    """Show the rows as read, what is left out, and ask."""
    lines = [
        voice.say_n(
            "{name}, as I read it: {n} sowing. Nothing is written yet.",
            "{name}, as I read it: {n} sowings. Nothing is written yet.",
            len(reply.rows),
            name=short(reply.name),
        )
    ]
    lines += [_row(row, voice) for row in reply.rows[:SHOWN]]
    if len(reply.rows) > SHOWN:
        rest = len(reply.rows) - SHOWN
        lines.append(voice.say_n("… and {n} more", "… and {n} more", rest))
    for number, column, text in reply.unclear[:UNCLEAR]:
        lines.append(_unclear(number, column, text, voice))
    if len(reply.unclear) > UNCLEAR:
        rest = len(reply.unclear) - UNCLEAR
        lines.append(voice.say_n("… and {n} row more", "… and {n} rows more", rest))
    rows: tuple[tuple[Button, ...], ...] = ()
    if reply.dialogue is not None:
        rows = (
            (
                Button(voice.say("Write these"), r.Import(dialogue=reply.dialogue)),
                Button(voice.say("Leave it"), r.Nothing()),
            ),
        )
    return Message(text="\n".join(lines), rows=rows)


def _row(row: SheetRow, voice: Voice) -> str:
    said = voice.say(
        "{crop}: {cells} in {tray}, sown {day}",
        crop=voice.crop(row.crop, row.variety),
        cells=voice.say_n("{n} cell", "{n} cells", row.cells),
        tray=row.tray,
        day=voice.plain_day(row.sown_on),
    )
    if row.seeds_per_cell > 1:
        said = voice.say("{row}, {n} seeds a cell", row=said, n=row.seeds_per_cell)
    if row.up is not None and row.counted_on is not None:
        said = voice.say(
            "{row}; {up} up by {day}", row=said, up=row.up, day=voice.plain_day(row.counted_on)
        )
    return said


def _unclear(number: int, column: str, text: str, voice: Voice) -> str:
    names = {
        "crop": voice.say("no crop I know"),
        "tray": voice.say("no such tray here"),
        "cells": voice.say("not a number of cells"),
        "seeds": voice.say("not a number of seeds"),
        "sown": voice.say("not a day like 2027-03-31, up to today"),
        "up": voice.say("not a count of its seeds"),
        "counted": voice.say("not a day after sowing, like 2027-03-31"),
    }
    return (
        voice.say(
            "Row {row} left out: “{text}” is {what}.",
            row=number,
            text=short(text),
            what=names[column],
        )
        if column not in ("crop", "tray")
        else voice.say(
            "Row {row} left out: “{text}”, {what}.",
            row=number,
            text=short(text),
            what=names[column],
        )
    )


def taken(reply: k.RowsTaken, voice: Voice) -> Message:
    """Say what was written."""
    sowings = voice.say_n("{n} sowing", "{n} sowings", reply.sowings)
    counted = voice.say_n("{n} count", "{n} counts", reply.counted)
    return Message(
        text=voice.say(
            "Written: {sowings}, {counted}. Each can be taken back by itself: /undo",
            sowings=sowings, counted=counted,
        ),
        rows=((Button(voice.say("All trays"), r.Trays()),),),
    )  # fmt: skip


WORDS: Words = {
    k.ImportHow: how,
    k.Imported: imported,
    k.ImportShown: shown,
    k.RowsTaken: taken,
}
