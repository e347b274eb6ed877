"""Mistakes about what is recorded: names, cells, undoing, and what is not set up yet."""

from __future__ import annotations

from bot.message import Button, Message
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import errors as e
from core.cells import Cell
from core.requests import Lead

MOST_NAMES = 12
MOST_CELLS = 60  # characters of a list of cells


def _line(text: str) -> Message:
    return Message(text=text)


def names(known: tuple[str, ...]) -> str:
    """Return codes in a row, the first dozen of many."""
    shown = ", ".join(known[:MOST_NAMES])
    return f"{shown} …" if len(known) > MOST_NAMES else shown


def _tray_unknown(error: e.TrayUnknown, voice: Voice) -> Message:
    if not error.known:
        return _no_trays(e.NoTraysYet(), voice)
    return _line(
        voice.say(
            "There is no tray {tray}. Trays here: {known}. Try: /trays",
            tray=error.tray,
            known=names(error.known),
        )
    )


def _shelf_unknown(error: e.ShelfUnknown, voice: Voice) -> Message:
    if not error.known:
        return _line(
            voice.say(
                "No shelf is set up yet. A coordinator adds one, such as: /shelf A led 6:00-20:00"
            )
        )
    if not error.shelf:
        return _line(
            voice.say("Which shelf? Shelves here: {known}. Try: /shelves", known=names(error.known))
        )
    return _line(
        voice.say(
            "There is no shelf {shelf}. Shelves here: {known}. Try: /shelves",
            shelf=error.shelf,
            known=names(error.known),
        )
    )


def _lot_unknown(error: e.LotUnknown, voice: Voice) -> Message:
    if not error.known:
        return _line(
            voice.say(
                "There is no lot {lot}: none is recorded yet. Try: /lot tomato 2025", lot=error.lot
            )
        )
    if error.lot.upper() in error.known:
        return _line(
            voice.say("Lot {lot} holds another crop. See the lots: /lot", lot=error.lot.upper())
        )
    return _line(
        voice.say(
            "There is no lot {lot}. Lots here: {known}. Try: /lot",
            lot=error.lot,
            known=names(error.known),
        )
    )


def _sowing_unknown(error: e.SowingUnknown, voice: Voice) -> Message:
    if not error.known:
        return _line(
            voice.say(
                "No sowing {sowing} is growing: nothing is, just now. Try: /trays",
                sowing=error.sowing,
            )
        )
    return _line(
        voice.say(
            "No sowing {sowing} is growing now. Growing: {known}. Try: /trays",
            sowing=error.sowing,
            known=names(error.known),
        )
    )


def _no_such_sowing(error: e.NoSuchSowing, voice: Voice) -> Message:
    crop = voice.crop(error.crop, error.variety) if error.crop else ""
    if crop and error.tray and error.cells:
        phrase = voice.say(
            "No {crop} grows in {tray} {cells} now. What grows where: /trays",
            crop=crop,
            tray=error.tray,
            cells=error.cells,
        )
    elif crop and error.tray:
        phrase = voice.say(
            "No {crop} grows in {tray} now. What grows there: /tray {tray}",
            crop=crop,
            tray=error.tray,
        )
    elif crop:
        phrase = voice.say("No {crop} grows here now. What grows where: /trays", crop=crop)
    elif error.tray and error.cells:
        phrase = voice.say(
            "Nothing grows in {tray} {cells} now. What grows there: /tray {tray}",
            tray=error.tray,
            cells=error.cells,
        )
    elif error.tray:
        phrase = voice.say(
            "Nothing grows in {tray} now. To sow there: /sow tomato {tray} A1-A6",
            tray=error.tray,
        )
    else:
        phrase = voice.say("Nothing grows here now. To sow: /sow tomato T1 A1-A6")
    return _line(phrase)


def _member_unknown(error: e.MemberUnknown, voice: Voice) -> Message:
    return _line(
        voice.say(
            "Nobody here is called {name}. Members: {known}. Try: /member",
            name=error.name,
            known=names(error.known) or "-",
        )
    )


def _report_unknown(error: e.ReportUnknown, voice: Voice) -> Message:
    return _line(
        voice.say(
            "There is no report {report} to find here. The last ones: /undo", report=error.report
        )
    )


def _name_taken(error: e.NameTaken, voice: Voice) -> Message:
    phrase = {
        "tray": voice.say("Tray {name} exists already. See it: /tray {name}", name=error.name),
        "shelf": voice.say("Shelf {name} exists already. See it: /shelf {name}", name=error.name),
        "lot": voice.say("Lot {name} exists already. See the lots: /lot", name=error.name),
        "member": voice.say(
            "Somebody here is called {name} already. Another name, such as: /me name {name} B",
            name=error.name,
        ),
    }.get(error.kind)
    return _line(
        phrase or voice.say("The name {name} is in use already. Try another.", name=error.name)
    )


def _cell_outside(error: e.CellOutside, voice: Voice) -> Message:
    return _line(
        voice.say(
            "{tray} has cells A1 to {last}, so there is no {cell}. See it: /tray {tray}",
            tray=error.tray,
            last=Cell(error.rows - 1, error.cols - 1).label,
            cell=error.cell,
        )
    )


def _cells(text: str) -> str:
    if len(text) <= MOST_CELLS:
        return text
    return text[:MOST_CELLS].rsplit(" ", 1)[0].rstrip(",") + " …"


def _cells_taken(error: e.CellsTaken, voice: Voice) -> Message:
    values = {
        "tray": error.tray,
        "cells": _cells(error.cells),
        "crop": voice.crop(error.crop),
        "sowing": error.sowing,
    }
    if not error.free:
        return _line(
            voice.say(
                "{tray} {cells} holds {crop} ({sowing}) and the tray is full. Others: /trays",
                **values,
            )
        )
    return _line(
        voice.say(
            "{tray} {cells} holds {crop} ({sowing}). Free there: {free}. Name those, or /trays",
            **values,
            free=_cells(error.free),
        )
    )


def _cells_empty(error: e.CellsEmpty, voice: Voice) -> Message:
    if not error.tray:
        return _line(voice.say("Nothing is up there yet. When it is: /up 12 tomato"))
    if not error.cells:
        return _line(
            voice.say("Nothing is up in {tray} yet. When it is: /up 12 {tray}", tray=error.tray)
        )
    return _line(
        voice.say(
            "Nothing is up in {tray} {cells} yet. When it is: /up 12 {tray}",
            tray=error.tray,
            cells=_cells(error.cells),
        )
    )


def _no_room(error: e.NoRoom, voice: Voice) -> Message:
    if error.free <= 0:
        return _line(voice.say("{tray} has no free cell. Others: /trays", tray=error.tray))
    return _line(
        voice.say_n(
            "{tray} has {n} free cell, not {asked}. Name fewer, or another tray: /trays",
            "{tray} has {n} free cells, not {asked}. Name fewer, or another tray: /trays",
            error.free,
            tray=error.tray,
            asked=error.asked,
        )
    )


def _nothing_to_undo(error: e.NothingToUndo, voice: Voice) -> Message:
    return _line(
        voice.say(
            "There is no report of yours from the last day to take back. "
            "An older one: ask a coordinator."
        )
    )


def _undo_late(error: e.UndoTooLate, voice: Voice) -> Message:
    if error.because == "rests":
        text = voice.say(
            "{report} stands: later reports rest on that sowing. "
            "Take those back first (/undo), or say it is over: /lost all S1",
            report=error.report,
        )
    elif error.because == "other":
        text = voice.say(
            "{report} stands: it is somebody else's report. They or a coordinator can take it "
            "back. Yours: /undo",
            report=error.report,
        )
    else:
        text = voice.say(
            "{report} stands: it is more than a day old. A coordinator can take it back with: "
            "/undo {report}",
            report=error.report,
        )
    return _line(text)


def _no_frost(error: e.NoFrostYet, voice: Voice) -> Message:
    text = voice.say(
        "Dates need the site's usual last frost, and none is set yet. "
        "A coordinator sets it, such as: /frost 28 April"
    )
    begin = Button(voice.say("Set the last frost"), Lead(act="frost", part="last"))
    return Message(text=text, rows=((begin,),))


def _no_trays(error: e.NoTraysYet, voice: Voice) -> Message:
    add = Button(voice.say("Add trays"), Lead(act="tray", part="new"))
    text = voice.say("No tray is set up or sown yet. To add one of 72 cells: /tray T1 72")
    return Message(text=text, rows=((add,),))


def _no_plan(error: e.NoPlan, voice: Voice) -> Message:
    return _line(
        voice.say("There is no plan of that kind. To make one: /plan 24 tomato, 12 pepper")
    )


WORDS: Words = {
    e.TrayUnknown: _tray_unknown,
    e.ShelfUnknown: _shelf_unknown,
    e.LotUnknown: _lot_unknown,
    e.SowingUnknown: _sowing_unknown,
    e.NoSuchSowing: _no_such_sowing,
    e.MemberUnknown: _member_unknown,
    e.ReportUnknown: _report_unknown,
    e.NameTaken: _name_taken,
    e.CellOutside: _cell_outside,
    e.CellsTaken: _cells_taken,
    e.CellsEmpty: _cells_empty,
    e.NoRoom: _no_room,
    e.NothingToUndo: _nothing_to_undo,
    e.UndoTooLate: _undo_late,
    e.NoFrostYet: _no_frost,
    e.NoTraysYet: _no_trays,
    e.NoPlan: _no_plan,
}
