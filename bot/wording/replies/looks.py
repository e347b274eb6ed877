"""What is due, the trays, one tray, the shelves, in words."""

from __future__ import annotations

from bot.message import Attachment, Button, Message
from bot.wording.pieces.work_lines import work_lines
from bot.wording.replies.notices import fitted
from bot.wording.replies.reports.read import light_lines
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import requests as r
from core.due.items import Work
from core.group.frames import COLD_FRAME
from core.replies import looks as k


def due(reply: k.DueSaid, voice: Voice) -> Message:
    rows: tuple[tuple[Button, ...], ...] = ()
    if reply.closed:
        lines = [voice.say("Closed today: nobody can get in.")]
    elif not reply.items:
        lines = [voice.say("Nothing is due today.")]
        if "trays" in reply.missing:
            lines.append(voice.say("Add your first tray: /tray T1 72"))
        elif "sowings" in reply.missing:
            lines.append(voice.say("Tell me what you sow: /sow tomato T1 A1-A6"))
        elif reply.next_on is not None:
            lines.append(voice.say("Next: {day}.", day=voice.day(reply.next_on)))
        if "frost" in reply.missing:
            lines.append(voice.say("For planting dates I need your last frost: /frost 28 April"))
        lines += _resting(reply, voice)
        return Message(text="\n".join(lines))
    else:
        lines = []
    duty = [voice.who(member) for member in reply.duty]
    if duty and not reply.mine:
        lines.append(voice.say("On duty today: {names}.", names=voice.listed(duty)))
    lines += work_lines(reply.items, voice)
    water = [item.tray for item in reply.items if item.kind is Work.WATER and item.tray]
    if water:
        watered = r.Watered(where=r.Where(trays=tuple(water)))
        rows = ((Button(voice.say("Watered"), watered),),)
    below = _resting(reply, voice)
    lines = fitted(lines, voice, beside=sum(len(line) + 1 for line in below)) + below
    return Message(text="\n".join(lines), rows=rows)


def _resting(reply: k.DueSaid, voice: Voice) -> list[str]:
    """Say of what nobody is reminded at present."""
    if reply.rests:
        return [voice.say("Reminders are paused: /resume")]
    if reply.resting:
        return [
            voice.say(
                "Reminders of {trays} are paused: /resume {tray}",
                trays=voice.listed(reply.resting),
                tray=reply.resting[0],
            )
        ]
    return []


def stage(line: k.SowingLine, voice: Voice) -> str:
    """Return where a sowing stands in a few words."""
    match line.stage:
        case "sown" if line.window and line.window.p10 and line.window.p90:
            return voice.say(
                "sown, up {first}–{last}",
                **voice.span(line.window.p10, line.window.p90),
            )
        case "sown":
            return voice.say("sown, nothing up")
        case "up" if line.alive < line.up:
            return voice.say("{alive} left of {up} up", alive=line.alive, up=line.up)
        case "up":
            return voice.say("{up} of {seeds} up", up=line.up, seeds=line.seeds)
        case "thinned":
            return voice.say("{alive} thinned", alive=line.alive)
        case "potted":
            return voice.say("{alive} potted up", alive=line.alive)
        case "hardening":
            return voice.say("{alive} hardening off", alive=line.alive)
        case _:
            return voice.say("finished")


def _sowing(line: k.SowingLine, voice: Voice) -> str:
    return voice.say(
        "{sowing} {crop}, {stage}",
        sowing=line.sowing,
        crop=voice.crop(line.crop, line.variety),
        stage=stage(line, voice),
    )


def _place(shelf: str | None, voice: Voice) -> str:
    if shelf == COLD_FRAME:
        return voice.say("Cold frame")
    return voice.say("Shelf {shelf}", shelf=shelf) if shelf else voice.say("On no shelf")


def _free(cells: int, voice: Voice) -> str:
    return voice.say_n("{n} cell free", "{n} cells free", cells) if cells else voice.say("full")


def trays(reply: k.TraysSaid, voice: Voice) -> Message:
    lines = []
    shelf: str | None = ""
    for line in sorted(reply.trays, key=lambda t: t.shelf or "~"):
        if line.shelf != shelf:
            shelf = line.shelf
            lines.append(_place(shelf, voice))
        what = "; ".join(_sowing(s, voice) for s in line.sowings)
        free = _free(line.free, voice)
        if what:
            lines.append(voice.say("{tray}: {what}; {free}", tray=line.tray, what=what, free=free))
        else:
            lines.append(voice.say("{tray}: empty, {free}", tray=line.tray, free=free))
    for loose in reply.loose:
        lines.append(voice.say("In pots: {what}", what=_sowing(loose, voice)))
    shown = lines[:40]
    if len(lines) > len(shown):
        shown.append(voice.say("And more. One tray: /tray T1"))
    look = Button(voice.say("Look at one"), r.Lead(act="tray"))
    add = Button(voice.say("Add trays"), r.Lead(act="tray", part="new"))
    return Message(text="\n".join(shown), rows=((look, add),))


def tray(reply: k.TraySaid, voice: Voice) -> Message:
    line = reply.line
    free = _free(line.free, voice)
    size = voice.say("{rows} × {cols} cells", rows=line.rows, cols=line.cols)
    values = {"tray": line.tray, "size": size, "free": free}
    if line.shelf == COLD_FRAME:
        head = voice.say("{tray} in the cold frame, {size}, {free}.", **values)
    elif line.shelf:
        head = voice.say("{tray} on shelf {shelf}, {size}, {free}.", shelf=line.shelf, **values)
    else:
        head = voice.say("{tray}, {size}, {free}.", **values)
    lines = [head]
    for sowing in line.sowings:
        lines.append(voice.say("{cells}: {what}", cells=sowing.cells, what=_sowing(sowing, voice)))
        if sowing.plant_out is not None:
            lines[-1] = voice.say(
                "{line}, out about {day}", line=lines[-1], day=voice.day(sowing.plant_out)
            )
    if reply.watered_on is not None:
        lines.append(voice.say("Last watered {day}.", day=voice.day(reply.watered_on)))
    if reply.lasts is not None:
        low, usual, high = reply.lasts
        numbers = {
            "usual": voice.number(usual),
            "low": voice.number(low),
            "high": voice.number(high),
        }
        lines.append(
            voice.say_n(
                "Lasts about {usual} days ({low}–{high}), from {n} look at its mix.",
                "Lasts about {usual} days ({low}–{high}), from {n} looks at its mix.",
                reply.lasts_reports,
                **numbers,
            )
            if reply.lasts_reports
            else voice.say(
                "Lasts about {usual} days ({low}–{high}): a rule of thumb until you tell me, "
                "/moist {tray} dry",
                tray=line.tray,
                **numbers,
            )
        )
    if line.check_on is not None:
        day = max(line.check_on, voice.today)
        lines.append(
            voice.say("Look today.")
            if day == voice.today
            else voice.say("Look again {day}.", day=voice.day(day))
        )
    if reply.mix_temp_c is not None and reply.mix_temp_on is not None:
        lines.append(
            voice.say(
                "Mix at {temp}, {day}.",
                temp=voice.temp_exact(reply.mix_temp_c),
                day=voice.day(reply.mix_temp_on),
            )
        )
    for day_, text in reply.notes:
        lines.append(voice.say("Note {day}: {text}", day=voice.day(day_), text=text))
    lines += work_lines(tuple(i for i in reply.items if i.kind is not Work.WATER), voice)
    where = r.Where(trays=(line.tray,))
    row = (
        Button(voice.say("Watered"), r.Watered(where=where)),
        Button(voice.say("Dry"), r.Moist(where=where, level=r.Moisture.DRY)),
        Button(voice.say("Wet"), r.Moist(where=where, level=r.Moisture.WET)),
    )
    picture = Attachment(
        what="tray",
        name=f"tray-{line.tray}.png",
        values={"group_id": reply.group_id, "tray": line.tray, **spoken(voice)},
    )
    return Message(
        text="\n".join(fitted(lines, voice)),
        rows=(row,) if line.sowings else (),
        attachments=(picture,),
    )


def spoken(voice: Voice) -> dict[str, object]:
    """Return how a drawing is to speak, as JSON values."""
    return {
        "language": voice.language,
        "fahrenheit": voice.fahrenheit,
        "inches": voice.inches,
        "on": voice.today.isoformat(),
    }


def shelf(reply: k.ShelfSaid, voice: Voice) -> Message:
    lines = light_lines(reply.light, voice)
    if reply.temps:
        day, temp = reply.temps[-1]
        values = [t for _, t in reply.temps]
        lines.append(
            voice.say(
                "Last read {temp}, {day}; lately {low} to {high}.",
                temp=voice.temp_exact(temp),
                day=voice.day(day),
                low=voice.temp(min(values)),
                high=voice.temp(max(values)),
            )
        )
    elif reply.usual_temp_c is not None:
        lines.append(
            voice.say(
                "Usually {temp}; nobody has read it lately.", temp=voice.temp(reply.usual_temp_c)
            )
        )
    else:
        lines.append(voice.say("No temperature read yet: /temp {shelf} 20C", shelf=reply.shelf))
    attachments: tuple[Attachment, ...] = ()
    if reply.log:
        attachments = (
            Attachment(
                what="log",
                name=f"shelf-{reply.shelf}.png",
                values={"group_id": reply.group_id, "shelf": reply.shelf, **spoken(voice)},
            ),
        )
    return Message(text="\n".join(lines), attachments=attachments)


def space(reply: k.SpaceSaid, voice: Voice) -> Message:
    if not reply.shelves:
        return Message(text=voice.say("No shelf yet. Add one: /shelf A led 4 places"))
    lines = []
    for code, used, places in reply.shelves:
        if places is None:
            lines.append(
                voice.say_n(
                    "Shelf {shelf}: {n} tray.", "Shelf {shelf}: {n} trays.", used, shelf=code
                )
            )
        else:
            lines.append(
                voice.say(
                    "Shelf {shelf}: {used} of {places} places taken.",
                    shelf=code,
                    used=used,
                    places=places,
                )
            )
    if reply.unplaced:
        lines.append(voice.say("On no shelf: {trays}.", trays=voice.listed(reply.unplaced)))
    attachments: tuple[Attachment, ...] = ()
    if reply.planned:
        attachments = (
            Attachment(
                what="space",
                name="shelf-space.png",
                values={"group_id": reply.group_id, **spoken(voice)},
            ),
        )
    return Message(text="\n".join(lines), attachments=attachments)


WORDS: Words = {
    k.DueSaid: due,
    k.TraysSaid: trays,
    k.TraySaid: tray,
    k.ShelfSaid: shelf,
    k.SpaceSaid: space,
}
