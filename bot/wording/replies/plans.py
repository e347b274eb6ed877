"""The season plan in words: when to sow what, how full the shelves get, what does not fit."""

from __future__ import annotations

from collections.abc import Callable

from bot.message import Attachment, Button, Message
from bot.wording.drawn.season import season_pages
from bot.wording.pieces.plan_lines import (
    basis_lines,
    direct_line,
    seed_short_line,
    short_line,
    sowing_line,
    space_lines,
)
from bot.wording.pieces.short_season import short_season_line
from bot.wording.replies.looks import spoken
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import requests as r
from core.replies import plans as p
from core.replies.base import Option

MOST_SOWINGS = 60  # one message, with short lines
LEAST_SOWINGS = 4  # lines of a plan that are shown however long the rest is
MOST_TEXT = 1200  # characters of one screen; a plan that is longer is told in short lines
MOST_WEEKS = 6


def plan(reply: p.PlanSaid, voice: Voice) -> Message:
    """The plan line by line, on one screen where it can be."""
    text = _told(reply, voice, sowing_line, MOST_SOWINGS)
    shown = min(len(reply.sowings), MOST_SOWINGS)
    while len(text) > MOST_TEXT and shown >= LEAST_SOWINGS:
        text = _told(reply, voice, short_line, shown)
        shown -= 1
    return Message(text=text, rows=_rows(reply, voice), attachments=_pictures(reply, voice))


def _told(
    reply: p.PlanSaid, voice: Voice, line: Callable[[p.SowingPlanned, Voice], str], most: int
) -> str:
    lines = [_head(reply, voice)]
    lines += [line(sowing, voice) for sowing in reply.sowings[:most]]
    if len(reply.sowings) > most:
        lines.append(
            voice.say_n(
                "And {n} more sowing.",
                "And {n} more sowings.",
                len(reply.sowings) - most,
            )
        )
    lines += [direct_line(direct, voice) for direct in reply.direct]
    lines += [
        voice.say(
            "{crop}: too late this season, the last date was {day}.",
            crop=voice.crop(crop, variety),
            day=voice.day(day),
        )
        for crop, variety, day in reply.late
    ]
    lines += [
        short_season_line(one["crop"], one["variety"], one["days"], voice)
        for one in reply.notes.get("short_season") or ()
    ]
    lines += [seed_short_line(one, voice) for one in reply.seed_short]
    lines += space_lines(reply, voice)
    lines += basis_lines(reply, voice)
    return "\n".join(lines)


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
    lines += [direct_line(direct, voice) for direct in reply.direct]
    if not reply.planned:
        lines.append(voice.say("No plan stands. To make one: /plan 24 tomato, 12 pepper"))
    pages = season_pages(len(reply.lines) + len(reply.direct) + len(reply.finished))
    pictures = tuple(
        Attachment(
            what="season",
            name=f"season-{page}.png" if pages > 1 else "season.png",
            values={
                "group_id": reply.group_id,
                **spoken(voice),
                **({"page": page} if page > 1 else {}),
            },
        )
        for page in range(1, pages + 1)
    )
    return Message(text="\n".join(lines), attachments=pictures)


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


WORDS: Words = {
    p.PlanSaid: plan,
    p.PlanDoesNotFit: short,
    p.PlanNoWindow: no_window,
    p.PlanDropped: dropped,
    p.SeasonSaid: season,
}
