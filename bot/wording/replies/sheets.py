"""Sheets for the wall and tags: the message, and the words on the paper."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from bot.message import Attachment, Button, Message
from bot.wording.pieces.cautions import caution_lines
from bot.wording.replies.labels import LINKED
from bot.wording.replies.looks import spoken
from bot.wording.replies.shares import care
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import requests as r
from core.group.expected import Job
from core.group.to_sow import ToSow
from core.replies import sheets as k

KINDS = ("week", "sowing", "rota", "season")


def sheet(reply: k.SheetReady, voice: Voice) -> Message:
    """Say what the sheet holds, with buttons to the other sheets and the other paper."""
    if reply.kind == "sowing" and not reply.count:
        return Message(
            text=voice.say(
                "Nothing is planned for sowing until {day}. Make a plan: /plan 24 tomato",
                day=voice.day(reply.last),
            ),
            rows=(_others(reply.kind, voice),),
        )
    letter = reply.paper == "letter"
    paper = voice.say("US letter") if letter else voice.say("A4")
    said = voice.say("{sheet} On {paper}, to hang up.", sheet=_holds(reply, voice), paper=paper)
    other = r.Sheet(kind=reply.kind, letter_paper=not letter)
    button = Button(voice.say("On A4") if letter else voice.say("On US letter paper"), other)
    return Message(
        text=said,
        rows=(_others(reply.kind, voice), (button,)),
        attachments=(
            Attachment(
                what="sheet",
                name=f"sheet-{reply.kind}.pdf",
                values=_values(
                    reply.group_id, reply.platforms, voice, kind=reply.kind, paper=reply.paper
                ),
                picture=False,
            ),
        ),
    )


def _holds(reply: k.SheetReady, voice: Voice) -> str:
    last = voice.day(reply.last)
    match reply.kind:
        case "sowing":
            return voice.say_n(
                "Sowing sheet: {n} sowing until {last}.",
                "Sowing sheet: {n} sowings until {last}.",
                reply.count,
                last=last,
            )
        case "rota":
            return voice.say_n(
                "Rota until {last}: somebody comes on {n} day.",
                "Rota until {last}: somebody comes on {n} days.",
                reply.count,
                last=last,
            )
        case "season":
            return voice.say("The season, all its pages.")
        case _:
            return voice.say_n(
                "Who does what until {last}: {n} day with work, boxes to tick.",
                "Who does what until {last}: {n} days with work, boxes to tick.",
                reply.count,
                last=last,
            )


def _others(kind: str, voice: Voice) -> tuple[Button, ...]:
    names = {
        "week": voice.say("Fortnight"),
        "sowing": voice.say("Sowing"),
        "rota": voice.say("Rota"),
    }
    return tuple(Button(name, r.Sheet(kind=one)) for one, name in names.items() if one != kind)


def tags(reply: k.TagsReady, voice: Voice) -> Message:
    """Say how many tags there are and for whom."""
    if reply.homes:
        homes = voice.say_n("{n} home", "{n} homes", reply.homes)
        said = voice.say_n(
            "{n} tag with its care card, for {homes} that wished, in their language.",
            "{n} tags with their care cards, for {homes} that wished, in their language.",
            reply.tags,
            homes=homes,
        )
    else:
        said = voice.say_n(
            "{n} tag with its care card; nobody has wished yet (/wish 4 tomato).",
            "{n} tags with their care cards, one a variety; nobody has wished yet "
            "(/wish 4 tomato).",
            reply.tags,
        )
    letter = reply.paper == "letter"
    other = r.Tags(crop=reply.crop, letter_paper=not letter)
    return Message(
        text="\n".join([said, voice.say("Stiff paper, cut along the lines.")]),
        rows=((Button(voice.say("On A4") if letter else voice.say("On US letter paper"), other),),),
        attachments=(
            Attachment(
                what="tags",
                name="tags.pdf",
                values=_values(
                    reply.group_id, reply.platforms, voice, crop=reply.crop, paper=reply.paper
                ),
                picture=False,
            ),
        ),
    )


def _values(
    group_id: int, platforms: tuple[str, ...], voice: Voice, **more: object
) -> dict[str, Any]:
    values: dict[str, Any] = {"group_id": group_id, **more, **spoken(voice)}
    if LINKED in platforms and voice.bot_name:
        values["bot_name"] = voice.bot_name
    return values


# --- on the paper -------------------------------------------------------------------------


def week_title(first: date, last: date, voice: Voice) -> str:
    return voice.say(
        "What is to do, {first} to {last}", first=voice.month_day(first), last=voice.month_day(last)
    )


def job(one: Job, voice: Voice) -> str:
    """Return one piece of work as it stands beside its box."""
    crop = voice.crop(one.crop, one.variety) if one.crop else ""
    where = " ".join(part for part in (one.sowing, *one.trays) if part)
    what = voice.say("{crop}, {where}", crop=crop, where=where) if where else crop
    match one.kind:
        case "sow":
            if one.cells:
                cells = voice.say_n("{n} cell", "{n} cells", one.cells)
                return voice.say("Sow {crop}, {cells}", crop=crop, cells=cells)
            return voice.say("Sow {crop}", crop=crop)
        case "pot_up":
            return voice.say("Pot up {crop}", crop=what)
        case "harden" if one.first_day:
            return voice.say("Begin to harden off {crop}", crop=what)
        case "harden":
            return voice.say("A little longer outside: {crop}", crop=what)
        case "plant_out":
            return voice.say("Plant out {crop}; look at the night's forecast", crop=what)
        case "count":
            return voice.say("Count what is up: {crop}", crop=what)
        case _ if one.trays:
            return voice.say("Feel the mix, water what is dry: {trays}", trays=" ".join(one.trays))
        case _:
            return voice.say("Feel the mix, water what is dry")


def closed(label: str | None, voice: Voice) -> str:
    return voice.say("Closed: {label}", label=label) if label else voice.say("Closed")


def nobody(voice: Voice) -> str:
    return voice.say("nobody yet")


def rota_title(first: date, last: date, voice: Voice) -> str:
    return voice.say(
        "Who comes, {first} to {last}", first=voice.month_day(first), last=voice.month_day(last)
    )


def sowing_title(count: int, last: date, voice: Voice) -> str:
    return voice.say_n(
        "To sow until {last}: {n} packet", "To sow until {last}: {n} packets", count,
        last=voice.day(last),
    )  # fmt: skip


def sowing_heads(voice: Voice) -> list[str]:
    return [voice.say("packet"), voice.say("into"), voice.say("how"), voice.say("sown on, by")]


def packet(one: ToSow, voice: Voice) -> str:
    """Return the crop and the packets it may come from."""
    crop = voice.crop(one.crop, one.variety)
    if one.lots:
        return voice.say("{lots} {crop}", lots=" / ".join(one.lots), crop=crop)
    return crop


def into(one: ToSow, voice: Voice) -> str:
    """Return the free cells to fill, or a line to write a tray on."""
    if one.trays:
        return "; ".join(f"{tray} {cells}" for tray, cells in one.trays)
    return voice.say("tray ______")


def how(one: ToSow, voice: Voice) -> str:
    """Return how many and how deep."""
    parts = []
    if one.cells and one.seeds_per_cell and one.seeds:
        parts.append(
            voice.say_n(
                "{cells} cells of {n} seed: {seeds}",
                "{cells} cells of {n} seeds: {seeds}",
                one.seeds_per_cell,
                cells=one.cells,
                seeds=one.seeds,
            )
        )
    if one.light == "light" or (one.depth_mm is not None and one.depth_mm[1] == 0):
        parts.append(voice.say("on top, not covered"))
    elif one.depth_mm is not None:
        parts.append(voice.say("{depth} deep", depth=voice.lengths(*one.depth_mm)))
    if one.light == "dark":
        parts.append(voice.say("keep dark"))
    return "; ".join(parts)


def tag_lines(tag: k.Tag, voice: Voice) -> Sequence[str]:
    """Return a care card line by line; cautions first: what has no room is at the end."""
    return [
        *caution_lines(voice, tag.cautions),
        *(_sentence(part) for part in care(tag.care, voice).rstrip(".").split(";")),
        voice.say("Keep the mix moist, not wet; bright light."),
        voice.say("A little longer outside each day for a week before planting out."),
    ]


def _sentence(part: str) -> str:
    said = part.strip()
    return f"{said[:1].upper()}{said[1:]}."


def tag_for(tag: k.Tag, voice: Voice) -> str:
    """Return whose it is and how many."""
    if tag.name and tag.plants:
        return voice.say_n("{name}: {n} plant", "{name}: {n} plants", tag.plants, name=tag.name)
    return voice.say("For: ______________")


WORDS: Words = {k.SheetReady: sheet, k.TagsReady: tags}
