"""Shelves and trays set up: what stands now and how to change it."""

from __future__ import annotations

from bot.message import Button, Message
from bot.wording.pieces.cautions import caution_lines
from bot.wording.pieces.lamps import lamp_name
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import requests as q
from core.group.frames import COLD_FRAME
from core.group.garden import ShelfOf
from core.replies import shelves as r


def shelf_said(reply: r.ShelfSaid, voice: Voice) -> Message:
    """One shelf as it stands, and what would help."""
    shelf = reply.shelf
    first = voice.say("Shelf {code} added.", code=shelf.code)
    if not reply.new:
        first = voice.say("Shelf {code} changed.", code=shelf.code)
    about = shelf_text(voice, shelf)
    lines = [f"{first} {about}" if about else first]
    if reply.hours is not None:
        lines.append(
            voice.say("The lamp is on {hours} h a day.", hours=voice.number(reply.hours, 1))
        )
    if reply.missing:
        lines.append(
            voice.say(
                "Worth adding: {parts}. For instance: /shelf {code} {example}",
                parts=voice.listed(_missing(voice, part) for part in reply.missing),
                code=shelf.code,
                example=_example(voice, reply.missing),
            )
        )
    lines += caution_lines(voice, reply.cautions)
    return Message(text="\n".join(lines))


def _missing(voice: Voice, part: str) -> str:
    match part:
        case "lamp":
            return voice.say("the lamp")
        case "height":
            return voice.say("its height over the plants")
        case "hours":
            return voice.say("its hours")
        case _:
            return voice.say("what the mix usually shows")


def _example(voice: Voice, missing: tuple[str, ...]) -> str:
    parts = {
        "lamp": "led 2 tubes",
        "height": "4in" if voice.inches else "10cm",
        "hours": "6:00-20:00",
        "temp": "usual 70F" if voice.fahrenheit else "usual 21C",
    }
    return " ".join(parts[part] for part in missing)


def shelf_text(voice: Voice, shelf: ShelfOf) -> str:
    """Return what is known of a shelf as one line; empty when nothing is."""
    parts: list[str] = []
    if shelf.lamp is not None:
        name = lamp_name(voice, shelf.lamp)
        if shelf.tubes:
            parts.append(voice.say("{n} x {lamp}", n=shelf.tubes, lamp=name))
        else:
            parts.append(name)
    if shelf.height_mm is not None:
        parts.append(voice.say("{height} over the plants", height=voice.length(shelf.height_mm)))
    if shelf.on_at is not None and shelf.off_at is not None:
        parts.append(
            voice.say(
                "on {start} to {end}",
                start=voice.clock(shelf.on_at),
                end=voice.clock(shelf.off_at),
            )
        )
    if shelf.timer:
        parts.append(voice.say("by timer"))
    if shelf.places is not None:
        parts.append(voice.say_n("{n} place for trays", "{n} places for trays", shelf.places))
    if shelf.heat_mat:
        parts.append(voice.say("heat mat"))
    if shelf.usual_temp_c is not None:
        parts.append(voice.say("mix usually {temp}", temp=voice.temp_exact(shelf.usual_temp_c)))
    return f"{', '.join(parts)}." if parts else ""


def shelves_listed(reply: r.ShelvesListed, voice: Voice) -> Message:
    """All shelves, a line each."""
    if not reply.shelves:
        return Message(
            text=voice.say("No shelf yet. Add one: /shelf A led 2 tubes 10cm 6:00-20:00 4 places")
        )
    lines = []
    for shelf, trays in reply.shelves:
        about = shelf_text(voice, shelf)
        lines.append(voice.say("{code}: {about}", code=shelf.code, about=about).rstrip())
        lines.append(
            voice.say("   trays: {trays}", trays=", ".join(trays))
            if trays
            else voice.say("   no trays")
        )
    if reply.loose:
        lines.append(voice.say("On no shelf: {trays}", trays=", ".join(reply.loose)))
    return Message(text="\n".join(lines))


def trays_said(reply: r.TraysSaid, voice: Voice) -> Message:
    """Trays added, changed or retired."""
    if reply.retired:
        return Message(
            text=voice.say_n(
                "{trays} is out of use. Its reports are kept.",
                "{trays} are out of use. Their reports are kept.",
                len(reply.retired),
                trays=", ".join(reply.retired),
            )
        )
    size = ""
    if reply.rows:
        size = voice.say(
            "{cells} cells, {rows} x {cols}",
            cells=reply.rows * reply.cols,
            rows=reply.rows,
            cols=reply.cols,
        )
    where = voice.say("on shelf {shelf}", shelf=reply.shelf) if reply.shelf else ""
    if reply.shelf == COLD_FRAME:
        where = voice.say("in the cold frame")
    about = ", ".join(part for part in (size, where) if part)
    lines = []
    for codes, phrase in (
        (reply.added, "added"),
        (reply.changed, "changed"),
    ):
        if not codes:
            continue
        names = ", ".join(codes)
        if phrase == "added":
            lines.append(voice.say("{trays} added: {about}.", trays=names, about=about))
        else:
            lines.append(voice.say("{trays} changed: {about}.", trays=names, about=about))
    rows: tuple[tuple[Button, ...], ...] = ()
    if reply.added:
        lines.append(voice.say("Rows are letters, columns numbers: A1 is the first cell."))
        rows = ((Button(voice.say("Labels for it"), q.Labels(where=q.Where(trays=reply.added))),),)
    return Message(text="\n".join(lines), rows=rows)


WORDS: Words = {
    r.ShelfSaid: shelf_said,
    r.ShelvesListed: shelves_listed,
    r.TraysSaid: trays_said,
}
