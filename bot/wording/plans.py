"""The season plan in words: when to sow what, how full the shelves get, what does not fit."""

from __future__ import annotations

from bot.message import Attachment, Button, Message
from bot.wording.looks import spoken
from bot.wording.voice import Voice
from core import requests as r
from core.replies import plans as p
from core.replies.base import Option

MOST_SOWINGS = 40
MOST_WEEKS = 6


def plan(reply: p.PlanSaid, voice: Voice) -> Message:
    lines = [_head(reply, voice)]
    lines += [_sowing(sowing, voice) for sowing in reply.sowings[:MOST_SOWINGS]]
    if len(reply.sowings) > MOST_SOWINGS:
        lines.append(
            voice.say_n(
                "And {n} more sowing; all of them: /calendar",
                "And {n} more sowings; all of them: /calendar",
                len(reply.sowings) - MOST_SOWINGS,
            )
        )
    lines += [_direct(direct, voice) for direct in reply.direct]
    lines += [
        voice.say(
            "{crop}: too late this season, the last date was {day}.",
            crop=voice.crop(crop, variety),
            day=voice.day(day),
        )
        for crop, variety, day in reply.late
    ]
    lines += _space(reply, voice)
    lines += _basis(reply, voice)
    return Message(
        text="\n".join(lines),
        rows=_rows(reply, voice),
        attachments=_pictures(reply, voice),
    )


def _head(reply: p.PlanSaid, voice: Voice) -> str:
    n = sum(1 for sowing in reply.sowings if sowing.sown is None)
    sown = len(reply.sowings) - n
    match reply.state:
        case "accepted":
            first = min((s.sow_on for s in reply.sowings if s.sown is None), default=None)
            if first is None:
                return voice.say("Plan {id} accepted. Nothing is left to sow.", id=reply.plan)
            return voice.say_n(
                "Plan {id} accepted: {n} sowing, the first {day}. I say each in its week.",
                "Plan {id} accepted: {n} sowings, the first {day}. I say each in its week.",
                n,
                id=reply.plan,
                day=voice.day(first),
            )
        case "stands":
            return voice.say_n(
                "Plan {id}: {n} sowing to come, {sown} sown.",
                "Plan {id}: {n} sowings to come, {sown} sown.",
                n,
                id=reply.plan,
                sown=sown,
            )
        case _ if not reply.sowings:
            return voice.say("Nothing of that is sown indoors.")
        case _ if not reply.notes.get("space_known"):
            return voice.say_n(
                "Proposed: {n} sowing. No shelf is set up, so I cannot say whether it fits.",
                "Proposed: {n} sowings. No shelf is set up, so I cannot say whether they fit.",
                n,
            )
        case _:
            return voice.say_n("It fits: {n} sowing.", "It fits: {n} sowings.", n)


def _sowing(sowing: p.SowingPlanned, voice: Voice) -> str:
    crop = voice.crop(sowing.crop, sowing.variety)
    if sowing.sown is not None:
        return voice.say(
            "{crop}: sown ({sowing}), out about {out}.",
            crop=crop,
            sowing=sowing.sown,
            out=voice.day(sowing.plant_out),
        )
    parts = [
        voice.say(
            "{day}: {crop}, {cells}, {trays}",
            day=voice.day(sowing.sow_on),
            crop=crop,
            cells=_cells(sowing, voice),
            trays=_trays(sowing.trays, sowing.shelf, voice),
        )
    ]
    if sowing.pot_on is not None:
        parts.append(
            voice.say(
                "pot up {day} ({trays})",
                day=voice.day(sowing.pot_on),
                trays=_trays(sowing.pot_trays, None, voice),
            )
        )
    if sowing.frost_chance is None:
        parts.append(voice.say("out {day}", day=voice.day(sowing.plant_out)))
    else:
        parts.append(
            voice.say(
                "out {day}, {chance} chance of frost from then on",
                day=voice.day(sowing.plant_out),
                chance=voice.percent(sowing.frost_chance),
            )
        )
    line = "; ".join(parts) + "."
    why = _moved(sowing, voice)
    return f"{line} {why}" if why else line


def _cells(sowing: p.SowingPlanned, voice: Voice) -> str:
    cells = voice.say_n("{n} cell", "{n} cells", sowing.cells)
    return voice.say_n(
        "{cells} of {n} seed", "{cells} of {n} seeds", sowing.seeds_per_cell, cells=cells
    )


def _trays(trays: float, shelf: str | None, voice: Voice) -> str:
    """Trays to a quarter, never nought."""
    quarters = max(0.25, round(trays * 4) / 4)
    number = voice.number(quarters, 2)
    if shelf:
        return (
            voice.say("1 tray on shelf {shelf}", shelf=shelf)
            if quarters == 1
            else voice.say("{number} trays on shelf {shelf}", number=number, shelf=shelf)
        )
    return voice.say("1 tray") if quarters == 1 else voice.say("{number} trays", number=number)


def _moved(sowing: p.SowingPlanned, voice: Voice) -> str:
    """Say by how much and why a sowing is off its usual date."""
    if sowing.behind_days > 6:
        return voice.say(
            "Its usual date has passed {n} days ago; still in time.", n=sowing.behind_days
        )
    weeks = abs(sowing.moved_weeks)
    if not weeks:
        return ""
    later = sowing.moved_weeks > 0
    match sowing.why, later:
        case "closed", True:
            return voice.say_n(
                "{n} week later than usual: you are closed.",
                "{n} weeks later than usual: you are closed.",
                weeks,
            )
        case "closed", _:
            return voice.say_n(
                "{n} week sooner than usual: you are closed.",
                "{n} weeks sooner than usual: you are closed.",
                weeks,
            )
        case "frost", True:
            return voice.say_n(
                "{n} week later than usual, for the frost.",
                "{n} weeks later than usual, for the frost.",
                weeks,
            )
        case "frost", _:
            return voice.say_n(
                "{n} week sooner than usual, by the whole weeks of the plan.",
                "{n} weeks sooner than usual, by the whole weeks of the plan.",
                weeks,
            )
        case _, True:
            return voice.say_n(
                "{n} week later than usual, for the space.",
                "{n} weeks later than usual, for the space.",
                weeks,
            )
        case _:
            return voice.say_n(
                "{n} week sooner than usual, for the space.",
                "{n} weeks sooner than usual, for the space.",
                weeks,
            )


def _direct(direct: p.DirectPlanned, voice: Voice) -> str:
    crop = voice.crop(direct.crop, direct.variety)
    dates = {
        "crop": crop,
        "day": voice.day(direct.sow_on),
        "first": voice.day(direct.earliest),
        "last": voice.day(direct.latest),
    }
    if direct.frost_chance is None:
        return voice.say("{crop}: sow outdoors about {day} ({first} to {last}), no tray.", **dates)
    return voice.say(
        "{crop}: sow outdoors about {day} ({first} to {last}), no tray; {chance} chance of frost "
        "once it is up.",
        **dates,
        chance=voice.percent(direct.frost_chance),
    )


def _space(reply: p.PlanSaid, voice: Voice) -> list[str]:
    lines = []
    if reply.fullest:
        weeks = [
            voice.say("{day} ({used} of {places})", day=voice.day(monday), used=used, places=places)
            for monday, used, places in reply.fullest
        ]
        lines.append(
            voice.say(
                "Fullest weeks, in tray places: {weeks}; what stands there now is counted.",
                weeks=voice.listed(weeks),
            )
        )
    guessed = reply.notes.get("guessed_shelves") or ()
    if guessed and reply.state == "proposed":
        lines.append(
            voice.say(
                "Nobody told me the places of {shelves}; I took the trays there now. "
                "To set them: /shelf {first} 4 places",
                shelves=voice.listed(voice.say("shelf {shelf}", shelf=shelf) for shelf in guessed),
                first=guessed[0],
            )
        )
    if not reply.notes.get("space_known", True) and reply.state == "proposed":
        lines.append(voice.say("To check the space: /shelf A led 4 places"))
    return lines


def _basis(reply: p.PlanSaid, voice: Voice) -> list[str]:
    if reply.state != "proposed":
        return []
    frost = {
        "record": voice.say("your site's record of frosts"),
        "levels": voice.say("the frost dates you gave"),
        "typical_date": voice.say("your usual last frost, its spread a rule of thumb"),
    }.get(str(reply.notes.get("frost")), voice.say("your last frost"))
    lots = sorted({s.lot for s in reply.sowings if s.lot and s.sown is None})
    sure = voice.percent(float(reply.notes.get("assurance") or 0.9))
    lines = []
    if reply.sowings:
        lines.append(
            voice.say(
                "Dates by {frost}. Cells give the number each time with {sure} chance, by {lots} "
                "and else by the usual germination; a loss of one in ten is a rule of thumb.",
                frost=frost,
                sure=sure,
                lots=voice.listed(lots),
            )
            if lots
            else voice.say(
                "Dates by {frost}. Cells give the number each time with {sure} chance, by the "
                "usual germination; a loss of one in ten is a rule of thumb.",
                frost=frost,
                sure=sure,
            )
        )
    else:
        lines.append(voice.say("Dates by {frost}.", frost=frost))
    gap = float(reply.notes.get("gap") or 0)
    if gap >= 0.999:
        lines.append(voice.say("This plan fits; whether a better one exists I had no time to see."))
    elif gap > 0:
        lines.append(
            voice.say(
                "This plan fits; a better one, by {gap} at most, may exist.",
                gap=voice.percent(gap),
            )
        )
    moves = int(reply.notes.get("moves") or 0)
    if moves:
        lines.append(
            voice.say_n(
                "{n} tray changes its shelf on the way.",
                "{n} trays change their shelf on the way.",
                moves,
            )
        )
    if reply.replaces:
        lines.append(
            voice.say("Accepting it replaces the plan that stands; what is sown stays counted.")
        )
    if not reply.may_accept:
        lines.append(voice.say("A coordinator can accept it."))
    return lines


def _rows(reply: p.PlanSaid, voice: Voice) -> tuple[tuple[Button, ...], ...]:
    drop = Button(voice.say("Drop"), r.MakePlan(accept=reply.plan, drop=True))
    if reply.state == "proposed":
        if not reply.may_accept:
            return ((drop,),)
        accept = Button(voice.say("Accept this plan"), r.MakePlan(accept=reply.plan))
        return ((accept, drop),)
    calendar = Button(voice.say("As a calendar"), r.Calendar())
    picture = Button(voice.say("The season"), r.Season())
    row = (calendar, picture)
    return (row, (drop,)) if reply.may_accept else (row,)


def _pictures(reply: p.PlanSaid, voice: Voice) -> tuple[Attachment, ...]:
    if not reply.fullest:
        return ()
    return (
        Attachment(
            what="space",
            name="shelf-space.png",
            values={"group_id": reply.group_id, "plan": reply.plan, **spoken(voice)},
        ),
    )


def short(reply: p.PlanDoesNotFit, voice: Voice) -> Message:
    crop = voice.crop(reply.crop, reply.variety)
    if reply.exact:
        head = voice.say_n(
            "It does not fit: {n} place short. Look at the {crop} first.",
            "It does not fit: {n} places short. Look at the {crop} first.",
            reply.places,
            crop=crop,
        )
    else:
        head = voice.say_n(
            "I found no way to fit it: about {n} place short, perhaps less, I had no time to try "
            "everything. Look at the {crop} first.",
            "I found no way to fit it: about {n} places short, perhaps less, I had no time to try "
            "everything. Look at the {crop} first.",
            reply.places,
            crop=crop,
        )
    weeks = [
        voice.say_n("{day} ({n} place)", "{day} ({n} places)", places, day=voice.day(monday))
        for monday, places in reply.weeks[:MOST_WEEKS]
    ]
    lines = [head, voice.say("Short in the weeks of {weeks}.", weeks=voice.listed(weeks))]
    more = len(reply.weeks) - MOST_WEEKS
    if more > 0:
        lines.append(voice.say_n("And {n} week more.", "And {n} weeks more.", more))
    if reply.guessed_shelves:
        lines.append(
            voice.say(
                "Nobody told me the places of shelf {shelf}: /shelf {shelf} 4 places",
                shelf=reply.guessed_shelves[0],
            )
        )
    for kind, crop_id, weeks_later in reply.also:
        name = voice.crop(crop_id)
        lines.append(
            voice.say("It would also fit with no potting up of the {crop}.", crop=name)
            if kind == "no_pot_up"
            else voice.say_n(
                "It would also fit if the {crop} were potted up {n} week later.",
                "It would also fit if the {crop} were potted up {n} weeks later.",
                weeks_later,
                crop=name,
            )
        )
    return Message(
        text="\n".join(lines), rows=tuple((_way(option, voice),) for option in reply.ways)
    )


def _way(option: Option, voice: Voice) -> Button:
    values = option.values
    match option.kind:
        case "fewer_plants":
            crop = voice.crop(str(values["crop"]), values.get("variety"))
            n = int(values["plants"])
            label = voice.say_n("Only {n} {crop}", "Only {n} {crop}", n, crop=crop)
        case "fewer_of_all":
            label = voice.say(
                "{percent} of everything", percent=voice.percent(values["percent"] / 100)
            )
        case "more_places":
            label = voice.say_n(
                "Shelf {shelf}: {n} place more",
                "Shelf {shelf}: {n} places more",
                int(values["more"]),
                shelf=values["shelf"],
            )
        case "fewer_sowings":
            crop = voice.crop(str(values["crop"]), values.get("variety"))
            label = voice.say_n(
                "{crop} in {n} sowing", "{crop} in {n} sowings", int(values["sowings"]), crop=crop
            )
        case _:
            crop = voice.crop(str(values["crop"]), values.get("variety"))
            label = voice.say("Without the {crop}", crop=crop)
    return Button(label, option.request)


def no_window(reply: p.PlanNoWindow, voice: Voice) -> Message:
    crop = voice.crop(reply.item.crop, reply.item.variety)
    first, last = (voice.day(day) for day in reply.sow)
    match reply.fault:
        case "closed":
            text = voice.say(
                "{crop}: no week is left. It is sown {first} to {last}, and in each of those weeks "
                "you are closed when it is sown, comes up or goes out.",
                crop=crop,
                first=first,
                last=last,
            )
        case "spacing":
            text = voice.say(
                "{crop}: sowing {n} finds no week two weeks after the one before it.",
                crop=crop,
                n=reply.sowing,
            )
        case _:
            text = voice.say(
                "{crop}: sown {first} to {last} it would be too old before the frost is over.",
                crop=crop,
                first=first,
                last=last,
            )
    return Message(text=text, rows=tuple((_way(option, voice),) for option in reply.ways))


def dropped(reply: p.PlanDropped, voice: Voice) -> Message:
    if reply.stood:
        return Message(
            text=voice.say(
                "Plan {id} dropped: no more sowing reminders. What is sown stays.", id=reply.plan
            )
        )
    return Message(text=voice.say("Dropped. Nothing was planned."))


def season(reply: p.SeasonSaid, voice: Voice) -> Message:
    lines = [voice.say("The season so far and to come:")]
    lines += [_season_line(line, voice) for line in reply.lines[:MOST_SOWINGS]]
    more = len(reply.lines) - MOST_SOWINGS
    if more > 0:
        lines.append(voice.say_n("And {n} more.", "And {n} more.", more))
    lines += [_direct(direct, voice) for direct in reply.direct]
    if not reply.planned:
        lines.append(voice.say("No plan stands. To make one: /plan 24 tomato, 12 pepper"))
    picture = Attachment(
        what="season", name="season.png", values={"group_id": reply.group_id, **spoken(voice)}
    )
    return Message(text="\n".join(lines), attachments=(picture,))


def _season_line(line: p.SeasonLine, voice: Voice) -> str:
    sown = line.sowing is not None
    day = voice.day(line.sow_on)
    parts = [voice.say("sown {day}", day=day) if sown else voice.say("sow {day}", day=day)]
    if line.pot_on is not None:
        day = voice.day(line.pot_on)
        done = sown and line.pot_on <= voice.today
        parts.append(
            voice.say("potted up {day}", day=day) if done else voice.say("pot up {day}", day=day)
        )
    if line.harden_from is not None:
        parts.append(voice.say("harden from {day}", day=voice.day(line.harden_from)))
    if line.plant_out is not None:
        parts.append(voice.say("out {day}", day=voice.day(line.plant_out)))
    crop = voice.crop(line.crop, line.variety)
    if line.sowing is not None:
        return voice.say(
            "{sowing} {crop}: {dates}.", sowing=line.sowing, crop=crop, dates=", ".join(parts)
        )
    return voice.say("{crop}: {dates}.", crop=crop, dates=", ".join(parts))


WORDS = {
    p.PlanSaid: plan,
    p.PlanDoesNotFit: short,
    p.PlanNoWindow: no_window,
    p.PlanDropped: dropped,
    p.SeasonSaid: season,
}
