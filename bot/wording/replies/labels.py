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
    lines = [
        voice.say("Labels for {what}: {pages}.", what=voice.listed(parts), pages=pages),
        voice.say("Plain paper, cut along the lines.")
        if reply.typed is None
        else voice.say(
            "For label sheets of {grid}. Try one on plain paper first: makers differ.",
            grid=reply.typed.replace("x", " × "),
        ),
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
    other = r.Labels(where=reply.where, letter_paper=reply.paper != "letter")
    button = voice.say("On A4") if reply.paper == "letter" else voice.say("On US letter paper")
    return Message(
        text="\n".join(lines),
        rows=((Button(button, other),),),
        attachments=(Attachment(what="labels", name="labels.pdf", values=values, picture=False),),
    )


# --- on the label -------------------------------------------------------------------------


def head(label: Label, voice: Voice) -> str:
    """Return the name of a label: the crop, or the tray."""
    if label.size is not None:
        return voice.say("Tray {tray}", tray=label.tray)
    name = voice.crop(label.crops[0][0])
    return name[:1].upper() + name[1:]


def facts(label: Label, voice: Voice) -> list[str]:
    """Return the lines under a label's name, the most needed first."""
    if label.size is not None:
        rows, cols = label.size
        crops = [voice.crop(crop, variety) for crop, variety in label.crops]
        lines = [voice.listed(crops, "unit")] if crops else []
        size = voice.say("{rows} × {cols} cells", rows=rows, cols=cols)
        if label.shelf:
            lines.append(voice.say("Shelf {shelf}, {size}", shelf=label.shelf, size=size))
        else:
            lines.append(size)
        return lines
    place = label.tray or voice.say("in pots")
    if label.tray and label.cells:
        place = voice.say("{tray} {cells}", tray=label.tray, cells=label.cells)
    lines = [
        label.crops[0][1] or "",
        voice.say("{place}, {sowing}", place=place, sowing=label.sowing),
    ]
    if label.on is not None:
        sown = voice.say("sown {day}", day=voice.plain_day(label.on))
        lines.append(sown)
    if label.lot:
        lines.append(voice.say("lot {lot}", lot=label.lot))
    if label.member in voice.people:
        lines.append(voice.who(label.member))
    return [line for line in lines if line]


WORDS: Words = {k.LabelsReady: ready}
