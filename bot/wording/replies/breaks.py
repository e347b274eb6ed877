"""Before and after a closure, in words."""

from __future__ import annotations

from bot.message import Button, Message
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import requests as r
from core.group.breaks import (
    RESERVOIR_MM,
    BreakPlan,
    Check,
    Emerging,
    Lasts,
    Measure,
    TrayBreak,
    TrayCheck,
)
from core.replies import breaks as b

MOST_TRAYS = 20


def ahead(reply: b.BreakAhead, voice: Voice) -> Message:
    plan = reply.plan
    stretch = plan.stretch
    dates = voice.span(stretch.first, stretch.last)
    n = len(plan.dry)
    if not plan.trays:
        head = voice.say("Closed {first} to {last}; no tray holds anything.", **dates)
    elif n:
        head = voice.say_n(
            "Closed {first} to {last}: {n} tray may not last.",
            "Closed {first} to {last}: {n} trays may not last.",
            n,
            **dates,
        )
    else:
        head = voice.say("Closed {first} to {last}: every tray should last.", **dates)
    lines = [head]
    if plan.trays:
        lines.append(_water(plan, voice, begun=reply.begun))
    lines += [_tray(tray, voice) for tray in plan.trays[:MOST_TRAYS]]
    more = len(plan.trays) - MOST_TRAYS
    if more > 0:
        lines.append(voice.say_n("And {n} tray more.", "And {n} trays more.", more))
    lines += [_emerging(each, voice) for each in plan.emerging]
    lines += _shelves(plan, voice)
    lines += _people(plan, voice)
    if plan.trays:
        lines.append(_basis(plan, voice))
    row = (
        Button(voice.say("Who comes"), r.SetDuty()),
        Button(voice.say("Check list for after"), r.Break(after=True)),
    )
    return Message(text="\n".join(lines), rows=(row,))


def _water(plan: BreakPlan, voice: Voice, *, begun: bool) -> str:
    if begun:
        return voice.say(
            "It has begun: whoever can get in waters from below. Back {day}.",
            day=voice.day(plan.back_on),
        )
    names = voice.listed(voice.who(member) for member in plan.before)
    day = voice.day(plan.water_on)
    if names:
        return voice.say(
            "Last thing {day}: water everything from below until the top darkens ({names}).",
            day=day,
            names=names,
        )
    return voice.say(
        "Last thing {day}: water everything from below until the top darkens. Nobody is down for "
        "that day: who can?",
        day=day,
    )


def _tray(tray: TrayBreak, voice: Voice) -> str:
    what = voice.listed(voice.crop(crop) for crop in tray.crops)
    figures = {
        "tray": tray.tray,
        "crops": what,
        "low": voice.number(tray.low_days),
        "usual": voice.number(tray.usual_days),
        "gap": tray.gap_days,
    }
    match tray.lasts:
        case Lasts.YES:
            head = voice.say(
                "{tray} {crops}: lasts ({low} days at least, {gap} wanted).", **figures
            )
        case Lasts.PERHAPS:
            head = voice.say(
                "{tray} {crops}: may just last ({low}–{usual} of {gap} days).", **figures
            )
        case _:
            head = voice.say("{tray} {crops}: dries out ({low}–{usual} of {gap} days).", **figures)
    return " ".join([head, *(_measure(measure, voice) for measure in tray.measures)])


def _measure(measure: Measure, voice: Voice) -> str:
    low, high = (voice.length(mm) for mm in RESERVOIR_MM)
    match measure:
        case Measure.RESERVOIR:
            return voice.say("Leave {low} to {high} of water under it.", low=low, high=high)
        case Measure.CAPILLARY:
            return voice.say("On a capillary mat that hangs into water; try it two days before.")
        case Measure.MAT_OFF:
            return voice.say("Heat mat off.")
        case Measure.COVER_OFF:
            return voice.say("Cover off.")
        case Measure.TAKE_HOME:
            return voice.say("Best taken home by somebody.")
        case _:
            return voice.say("Bring it in; hardening starts again with few hours.")


def _emerging(each: Emerging, voice: Voice) -> str:
    crop = voice.crop(each.crop, each.variety)
    dates = voice.span(each.first, each.last)
    if each.sowing is not None:
        return voice.say(
            "{sowing} {crop} comes up {first} to {last}: somebody must see it, or take "
            "{tray} home.",
            sowing=each.sowing,
            crop=crop,
            tray=each.tray,
            **dates,
        )
    assert each.sow_on is not None
    assert each.sow_from is not None
    values = {
        "crop": crop,
        "day": voice.day(each.sow_on),
        "later": voice.day(each.sow_from),
        **dates,
    }
    if each.fine:
        return voice.say(
            "Planned {crop} of {day} would come up {first} to {last}, fine seed: sow it from "
            "{later} on instead.",
            **values,
        )
    return voice.say(
        "Planned {crop} of {day} would come up {first} to {last}: better sown from {later} on.",
        **values,
    )


def _shelves(plan: BreakPlan, voice: Voice) -> list[str]:
    lines = []
    if plan.trays:
        lines.append(
            voice.say(
                "Lamps stay on their timer, 12 to 14 h; no dark bag over plants. A few degrees "
                "cooler slows drying (rule of thumb)."
            )
        )
    if plan.lamps_by_hand:
        shelves = voice.listed(
            voice.say("shelf {shelf}", shelf=shelf) for shelf in plan.lamps_by_hand
        )
        lines.append(voice.say("No timer that I know of: {shelves}.", shelves=shelves))
    if plan.trays:
        lines.append(
            voice.say(
                "Keep water well away from plugs; whether mats and lamps may run unattended is "
                "for the building to say."
            )
        )
    return lines


def _people(plan: BreakPlan, voice: Voice) -> list[str]:
    lines = []
    if plan.visits:
        days = [
            voice.say(
                "{day} ({names})",
                day=voice.day(day),
                names=voice.listed(voice.who(member) for member in members),
            )
            for day, members in plan.visits
        ]
        lines.append(
            voice.say(
                "Coming in between: {days}. Ask about key and alarm.", days=voice.listed(days)
            )
        )
    elif plan.dry:
        lines.append(
            voice.say(
                "Nobody has said they come in between. Whoever has a key: /duty me {day}",
                day=(plan.stretch.first).isoformat(),
            )
        )
    if plan.away:
        lines.append(
            voice.say("Away: {names}.", names=voice.listed(voice.who(one) for one in plan.away))
        )
    if plan.after:
        lines.append(
            voice.say(
                "First back, {day}: {names}. Then: /break after",
                day=voice.day(plan.back_on),
                names=voice.listed(voice.who(member) for member in plan.after),
            )
        )
    else:
        lines.append(
            voice.say(
                "Nobody is down for the first day back, {day}. Then: /break after",
                day=voice.day(plan.back_on),
            )
        )
    return lines


def _basis(plan: BreakPlan, voice: Voice) -> str:
    learned = [tray.tray for tray in plan.trays if tray.reports]
    if learned:
        return voice.say(
            "How long they last: learned from looks at {trays}, for the rest a rule of thumb. The "
            "measures are growers' practice, not tests.",
            trays=voice.listed(learned),
        )
    return voice.say(
        "How long they last is a rule of thumb until you tell me, /moist T1 dry. The measures are "
        "growers' practice, not tests."
    )


def over(reply: b.BreakOver, voice: Voice) -> Message:
    if not reply.checks:
        return Message(text=voice.say("No tray holds anything, so there is nothing to check."))
    if reply.stretch is None:
        head = voice.say("No closure of late. To check all the same:")
    else:
        head = voice.say(
            "After {first} to {last}, tray by tray:",
            **voice.span(reply.stretch.first, reply.stretch.last),
        )
    lines = [head]
    lines += [_check_line(check, voice) for check in reply.checks[:MOST_TRAYS]]
    more = len(reply.checks) - MOST_TRAYS
    if more > 0:
        lines.append(voice.say_n("And {n} tray more.", "And {n} trays more.", more))
    used = {check for tray in reply.checks for check in tray.checks}
    lines += [_explained(check, voice) for check in Check if check in used]
    if reply.mats:
        shelves = voice.listed(voice.say("shelf {shelf}", shelf=shelf) for shelf in reply.mats)
        lines.append(
            voice.say("Heat mat on again where seed is still to come: {shelves}.", shelves=shelves)
        )
    lines.append(voice.say("Tell me what you find: /moist T1 dry, /up 5 T1, /lost 3 T1, /ask"))
    trays = tuple(check.tray for check in reply.checks)
    row = (
        Button(voice.say("All watered"), r.Watered(where=r.Where(trays=trays), from_below=True)),
        Button(voice.say("What is due"), r.Due()),
    )
    return Message(text="\n".join(lines), rows=(row,))


def _check_line(check: TrayCheck, voice: Voice) -> str:
    crops = voice.listed(voice.crop(crop) for crop in check.crops)
    what = voice.listed(_short(one, voice) for one in check.checks)
    return voice.say("{tray} {crops}: {what}.", tray=check.tray, crops=crops, what=what)


def _short(check: Check, voice: Voice) -> str:
    match check:
        case Check.POUR_OFF:
            return voice.say("standing water")
        case Check.FEEL:
            return voice.say("mix")
        case Check.COUNT:
            return voice.say("count")
        case Check.STRETCHED:
            return voice.say("length")
        case Check.MOULD:
            return voice.say("mould")
        case _:
            return voice.say("hardening")


def _explained(check: Check, voice: Voice) -> str:
    match check:
        case Check.POUR_OFF:
            return voice.say("Standing water: pour it off, roots want air.")
        case Check.FEEL:
            return voice.say(
                "Mix: light or pale, water from below a little at a time; dry mix sheds water."
            )
        case Check.COUNT:
            return voice.say("Count: what has come up since, /up")
        case Check.STRETCHED:
            return voice.say("Length: long and pale, lamp closer, then /light")
        case Check.MOULD:
            return voice.say("Mould: fallen or furry seedlings out, whole cells, then air.")
        case _:
            return voice.say("Hardening: start again with few hours.")


def none(_: b.NoBreakAhead, voice: Voice) -> Message:
    return Message(
        text=voice.say(
            "No closure of three days or more is set. To set one: /closed 24 Dec - 3 Jan"
        )
    )


WORDS: Words = {b.BreakAhead: ahead, b.BreakOver: over, b.NoBreakAhead: none}
