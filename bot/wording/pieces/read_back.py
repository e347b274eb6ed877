"""What was read of a message, told back in words before anything is written."""

from __future__ import annotations

from datetime import timedelta

from bot.message import Button, Message
from bot.wording.pieces.lamps import light_parts
from bot.wording.pieces.loss_causes import cause_said
from bot.wording.voice import Voice
from core import requests as r


def proposal(requests: tuple[r.Request, ...], voice: Voice) -> Message:
    """Return the question whether what was read is meant, with its two buttons."""
    (first, *_) = requests
    if isinstance(first, r.SetReminder):
        return _reminder(first, voice)
    if isinstance(first, r.SetMember):
        leaves = voice.say("Shall {name} be taken off the list of members?", name=first.name)
        yes = Button(voice.say("Yes"), first)
        return Message(text=leaves, rows=((yes, Button(voice.say("No"), r.Nothing())),))
    rows = []
    for request in requests:
        rows.append((Button(voice.say("Record"), request), Button(voice.say("No"), r.Nothing())))
    read = "; ".join(read_back(request, voice) for request in requests)
    text = voice.say("I read: {read}. Nothing is recorded yet. Right?", read=read)
    return Message(text=text, rows=tuple(rows))


def _reminder(request: r.SetReminder, voice: Voice) -> Message:
    """Offer to remind of what somebody asks of others."""
    day = voice.today + timedelta(days=1) if request.on is None else request.on
    values = {"day": voice.day(day), "text": request.text}
    text = (
        voice.say(
            "Nothing is recorded: that is still to be done. "
            "Shall I remind whoever is on duty on {day}: {text}?",
            **values,
        )
        if request.who is None
        else voice.say(
            "Nothing is recorded: that is still to be done. "
            "Shall I remind {name} on {day}: {text}?",
            name=request.who,
            **values,
        )
    )
    yes = Button(voice.say("Remind"), request)
    return Message(text=text, rows=((yes, Button(voice.say("No"), r.Nothing())),))


def read_back(request: r.Request, voice: Voice) -> str:
    """Return a request in a few words, every part of it."""
    if not isinstance(request, r.Report):
        return Button("", request).command
    parts = [_deed(request, voice), _where(request.where, voice)]
    if isinstance(request, r.Potted) and request.into_tray:
        cells = request.into_cells.text if request.into_cells else ""
        parts.append(voice.say("into {tray}", tray=f"{request.into_tray} {cells}".strip()))
    if isinstance(request, r.Planted) and request.to_whom:
        parts.append(voice.say("to {name}", name=request.to_whom))
    if isinstance(request, r.Lost) and request.cause:
        parts.append(f"({cause_said(request.cause, voice)})")
    if request.on is not None:
        parts.append(voice.day(request.on))
    if request.for_whom:
        parts.append(voice.say("by {name}", name=request.for_whom))
    return ", ".join(part for part in parts if part)


def _where(where: r.Where, voice: Voice) -> str:
    named = [
        voice.listed(where.trays) if where.trays else "",
        where.cells.text if where.cells else "",
        voice.crop(where.crop) if where.crop else "",
        where.sowing or "",
        where.lot or "",
        voice.say("shelf {shelf}", shelf=where.shelf) if where.shelf else "",
        voice.say("all trays") if where.everything else "",
    ]
    return " ".join(one for one in named if one)


def _count(n: int | None, voice: Voice) -> str:
    return voice.say("all") if n is None else voice.number(n, 0)


def _deed(request: r.Report, voice: Voice) -> str:
    match request:
        case r.Sow():
            return _sow(request, voice)
        case r.Up() if request.all_up:
            return voice.say("all up")
        case r.Up() if request.more:
            return voice.say("{n} more up", n=request.count)
        case r.Up():
            return voice.say("{n} up", n=request.count)
        case r.Watered() if request.from_below:
            return voice.say("watered from below")
        case r.Watered():
            return voice.say("watered")
        case r.Moist():
            return {
                r.Moisture.DRY: voice.say("the mix is dry"),
                r.Moisture.RIGHT: voice.say("the mix is right"),
                r.Moisture.WET: voice.say("the mix is wet"),
            }[request.level]
        case r.Temp():
            return _temp(request, voice)
        case r.Light():
            return voice.listed(light_parts(request, voice))
        case r.Thinned():
            return voice.say("thinned to {n} a cell", n=request.per_cell)
        case r.Potted():
            return voice.say("{n} potted up", n=_count(request.count, voice))
        case r.Fed():
            return voice.say("fed")
        case r.Out() if request.overnight:
            return voice.say("stood outside overnight")
        case r.Out() if request.hours is not None:
            return voice.say("stood outside for {n} h", n=voice.number(request.hours, 1))
        case r.Out():
            return voice.say("stood outside")
        case r.Note():
            return voice.say("a note, “{text}”", text=request.text)
        case r.Planted():
            return voice.say("{n} planted out or handed out", n=_count(request.count, voice))
        case r.Lost():
            return voice.say("{n} lost", n=_count(request.count, voice))
    return Button("", request).command


def _temp(request: r.Temp, voice: Voice) -> str:
    degrees = voice.temp_exact(request.temp_c)
    match request.kind:
        case r.TempKind.AIR:
            return voice.say("air at {degrees}", degrees=degrees)
        case r.TempKind.OUTSIDE:
            return voice.say("{degrees} outside", degrees=degrees)
        case r.TempKind.LOW:
            return voice.say("last night down to {degrees}", degrees=degrees)
        case r.TempKind.FORECAST:
            return voice.say("down to {degrees} expected", degrees=degrees)
        case _:
            return voice.say("mix at {degrees}", degrees=degrees)


def _sow(request: r.Sow, voice: Voice) -> str:
    crop = voice.crop(request.crop, request.variety) if request.crop else request.lot or ""
    said = voice.say("{crop} sown", crop=crop)
    if request.cell_count:
        said += ", " + voice.say_n("{n} cell", "{n} cells", request.cell_count)
    if request.seeds_per_cell:
        said += ", " + voice.say_n("{n} seed a cell", "{n} seeds a cell", request.seeds_per_cell)
    if request.depth_mm is not None:
        said += ", " + voice.say("{depth} deep", depth=voice.length(request.depth_mm))
    return said
