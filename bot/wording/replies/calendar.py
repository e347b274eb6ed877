"""The calendar file and what stands in it, in words."""

from __future__ import annotations

from bot.message import Attachment, Message
from bot.wording.replies.looks import spoken
from bot.wording.voice import Voice
from bot.wording.words import Words
from core.group.calendar_dates import CalendarEvent
from core.replies.calendar import CalendarSaid

FILE_NAME = "traywarden.ics"


def calendar(reply: CalendarSaid, voice: Voice) -> Message:
    if reply.first is None or reply.last is None:
        return Message(
            text=voice.say(
                "There is nothing to put in a calendar yet: sow something, make a plan (/plan 24 "
                "tomato) or say who comes when (/duty me mon)."
            )
        )
    words = [_count(kind, n, voice) for kind, n in reply.counts]
    lines = [
        voice.say(
            "Calendar file, {first} to {last}: {what}.",
            **voice.span(reply.first, reply.last),
            what=voice.listed(words),
        ),
        voice.say(
            "Open it to add the dates. A newer file moves the same dates, it adds none twice."
        ),
    ]
    if reply.member_id is not None:
        lines.append(voice.say("Of the duties it holds yours."))
    file = Attachment(
        what="calendar",
        name=FILE_NAME,
        values={"group_id": reply.group_id, "member_id": reply.member_id, **spoken(voice)},
        picture=False,
    )
    return Message(text="\n".join(lines), attachments=(file,))


def _count(kind: str, n: int, voice: Voice) -> str:
    match kind:
        case "sow":
            return voice.say_n("{n} sowing", "{n} sowings", n)
        case "pot_up":
            return voice.say_n("{n} potting up", "{n} pottings up", n)
        case "harden":
            return voice.say_n("{n} hardening off", "{n} hardenings off", n)
        case "plant_out":
            return voice.say_n("{n} planting out", "{n} plantings out", n)
        case "closed":
            return voice.say_n("{n} closure", "{n} closures", n)
        case _:
            return voice.say_n("{n} duty day", "{n} duty days", n)


def event_title(event: CalendarEvent, voice: Voice) -> str:
    """Return the line a calendar shows for an event."""
    crop = voice.crop(event.crop, event.variety) if event.crop else ""
    match event.kind:
        case "sow":
            return voice.say("Sow {crop}", crop=crop)
        case "pot_up":
            return voice.say("Pot up {crop}", crop=crop)
        case "harden":
            return voice.say("Harden off {crop}", crop=crop)
        case "plant_out":
            return voice.say("Plant out {crop}", crop=crop)
        case "closed":
            label = event.values.get("label")
            if label:
                return voice.say("Closed: {label}", label=label)
            return voice.say("Closed")
        case _ if event.values.get("own"):
            return voice.say("Seedlings: your turn")
        case _:
            names = voice.listed(voice.who(member) for member in event.members)
            return voice.say("Seedlings: {names}", names=names)


def event_text(event: CalendarEvent, voice: Voice) -> str:
    """Return the longer words of an event; empty when there is nothing to add."""
    values = event.values
    match event.kind:
        case "sow" if values.get("cells"):
            cells = voice.say_n("{n} cell", "{n} cells", int(values["cells"]))
            text = voice.say_n(
                "{cells} of {n} seed",
                "{cells} of {n} seeds",
                int(values.get("seeds_per_cell") or 1),
                cells=cells,
            )
            if values.get("shelf"):
                text = voice.say("{what}, shelf {shelf}", what=text, shelf=values["shelf"])
            return "\n".join([text, *_from_and_into(event, voice)])
        case "pot_up" if values.get("pots"):
            return voice.say_n("{n} pot", "{n} pots", int(values["pots"]))
        case "plant_out" if values.get("plants"):
            text = voice.say_n("{n} plant", "{n} plants", int(values["plants"]))
            rest = voice.say("Look at that night's forecast first.")
            return f"{_place(event, text, voice)}\n{rest}"
        case "harden":
            return _place(event, voice.say("A little longer outside each day."), voice)
        case _:
            return ""


def _from_and_into(event: CalendarEvent, voice: Voice) -> list[str]:
    """Return the packet and the trays of a planned sowing, as far as they are known."""
    lines = []
    if event.values.get("seeds"):
        lines.append(voice.say_n("{n} seed", "{n} seeds", int(event.values["seeds"])))
    if event.values.get("lots"):
        lines.append(voice.say("From lot {lots}", lots=" / ".join(event.values["lots"])))
    if event.tray:
        lines.append(voice.say("Free now: {trays}", trays=event.tray))
    return lines


def _place(event: CalendarEvent, text: str, voice: Voice) -> str:
    if event.sowing and event.tray:
        return voice.say(
            "{sowing} in {tray}: {what}", sowing=event.sowing, tray=event.tray, what=text
        )
    if event.sowing:
        return voice.say("{sowing}: {what}", sowing=event.sowing, what=text)
    return text


WORDS: Words = {CalendarSaid: calendar}
