"""A sheet of labels: the message, and the words on each label."""

from __future__ import annotations

from typing import Any

from bot.message import Attachment, Button, Message
from bot.wording.replies.looks import spoken
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import requests as r
from core.group.labels import Label
from core.replies import labels as k

LINKED = "telegram"  # the messenger whose links open a chat with the bot


def ready(reply: k.LabelsReady, voice: Voice) -> Message:
    """Say what the sheet holds and how to print it."""
    parts = []
    if reply.trays:
        parts.append(voice.say_n("{n} tray", "{n} trays", reply.trays))
    if reply.rows:
        parts.append(voice.say_n("{n} sowing", "{n} sowings", reply.rows))
    paper = voice.say("US letter") if reply.paper == "letter" else voice.say("A4")
    pages = voice.say_n("{n} page of {paper}", "{n} pages of {paper}", reply.pages, paper=paper)
    if reply.shape == "card":
        parts = parts[:1]
    lines = [
        voice.say("Labels for {what}: {pages}.", what=voice.listed(parts), pages=pages),
        _stock(reply, voice),
        voice.say("Print at actual size, not fitted to the page."),
    ]
    values: dict[str, Any] = {
        "group_id": reply.group_id,
        "trays": list(reply.tray_codes),
        "sowings": list(reply.sowing_codes),
        "grid": reply.grid,
        **spoken(voice),
    }
    if LINKED in reply.platforms and voice.bot_name:
        values["bot_name"] = voice.bot_name
    letter = reply.paper == "letter"
    other = r.Labels(where=reply.where, shape=reply.shape, letter_paper=not letter)
    button = voice.say("On A4") if letter else voice.say("On US letter paper")
    shapes = tuple(
        Button(label, r.Labels(where=reply.where, shape=shape))
        for shape, label in (
            ("stake", voice.say("Stakes")),
            ("card", voice.say("Tray cards")),
            ("sheet", voice.say("Adhesive")),
        )
        if shape != reply.shape
        and (shape != "stake" or reply.rows)
        and (shape != "card" or reply.tray_codes)
    )
    return Message(
        text="\n".join(lines),
        rows=tuple(row for row in (shapes, (Button(button, other),)) if row),
        attachments=(Attachment(what="labels", name="labels.pdf", values=values, picture=False),),
    )


def _stock(reply: k.LabelsReady, voice: Voice) -> str:
    """Say what to print on."""
    if reply.shape == "stake":
        return voice.say("Stiff paper, cut along the lines; the pointed end goes into the mix.")
    if reply.shape == "card":
        return voice.say("Stiff paper, cut along the lines.")
    if reply.typed is None:
        return voice.say("Plain paper, cut along the lines.")
    return voice.say(
        "For label sheets of {grid}. Try one on plain paper first: makers differ.",
        grid=reply.typed.replace("x", " × "),
    )


# --- on the label -------------------------------------------------------------------------


def head(label: Label, voice: Voice) -> str:
    """Return the name of a label: the crop, or the tray."""
    if not label.crops and not label.tray:
        return voice.say("In pots")
    if label.size is not None:
        return voice.say("Tray {tray}", tray=label.tray)
    name = voice.crop(label.crops[0][0])
    return name[:1].upper() + name[1:]


def facts(label: Label, voice: Voice) -> list[str]:
    """Return the lines under a label's name, the most needed first."""
    if label.size is not None:
        rows, cols = label.size
        crops = list(dict.fromkeys(voice.crop(crop) for crop, _ in label.crops))
        lines = [voice.listed(crops, "unit")] if crops else []
        size = voice.say("{rows} × {cols} cells", rows=rows, cols=cols)
        if label.shelf:
            lines.append(voice.say("Shelf {shelf}, {size}", shelf=label.shelf, size=size))
        else:
            lines.append(size)
        return lines
    what, when = facts_beside(label, voice)
    first = 2 if label.crops[0][1] else 1
    return [*what[:first], *when, *what[first:]]


def facts_beside(label: Label, voice: Voice) -> list[list[str]]:
    """Return what a variety is and where it stands, and its days, to write side by side."""
    lines = [label.crops[0][1] or "", place(label, voice)]
    if label.lot:
        lines.append(voice.say("lot {lot}", lot=label.lot))
    if label.member in voice.people:
        lines.append(voice.who(label.member))
    return [[line for line in lines if line], days(label, voice)]


def place(label: Label, voice: Voice) -> str:
    """Return where a variety stands and as what it is reported."""
    where = label.tray or voice.say("in pots")
    if label.tray and label.cells:
        where = voice.say("{tray} {cells}", tray=label.tray, cells=label.cells)
    return voice.say("{place}, {sowing}", place=where, sowing=label.sowing)


def card_row(label: Label, voice: Voice) -> tuple[str, list[str]]:
    """Return a variety's name and what stands under it on a tray's card."""
    crop, variety = label.crops[0]
    cells = [label.cells] if label.cells else []
    return voice.crop(crop, variety), [*cells, *days(label, voice)] or [place(label, voice)]


def days(label: Label, voice: Voice) -> list[str]:
    """Return when a variety was sown, is to be up, and may go out."""
    lines = []
    if label.on is not None and label.last_on is not None:
        span = f"{voice.month_day(label.on)} – {voice.plain_day(label.last_on)}"
        lines.append(voice.say("sown {day}", day=span))
    elif label.on is not None:
        lines.append(voice.say("sown {day}", day=voice.plain_day(label.on)))
    if label.up_on is not None:
        lines.append(voice.say("up {day}", day=voice.month_day(label.up_on)))
    elif label.up_by is not None:
        lines.append(voice.say("up by {day}", day=voice.month_day(label.up_by)))
    if label.out_on is not None:
        lines.append(voice.say("plant out {day}", day=voice.month_day(label.out_on)))
    return lines


WORDS: Words = {k.LabelsReady: ready}
