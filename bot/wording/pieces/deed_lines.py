"""One report of the records as a line: what, by whom, when."""

from __future__ import annotations

from bot.wording.pieces.levels import level_said
from bot.wording.pieces.loss_causes import cause_said
from bot.wording.voice import Voice
from core.replies.looked_up import Found
from core.report_kinds import ReportKind as K


def what_of(one: Found, voice: Voice) -> str:
    """Return what a line is about: a tray, a shelf, or a sowing with its crop and tray."""
    if one.crop is None:
        if one.tray is None and one.shelf is not None:
            return voice.say("Shelf {shelf}", shelf=one.shelf)
        return one.tray or voice.say("Here")
    crop = voice.crop(one.crop, one.variety)
    if one.sowing is None:
        return crop
    if one.tray is None:
        return f"{one.sowing} {crop}"
    return voice.say("{sowing} {crop} in {tray}", sowing=one.sowing, crop=crop, tray=one.tray)


def who_of(one: Found, voice: Voice) -> str:
    """Return who did it: a member, a helper by name, or somebody."""
    return one.by or voice.who(one.did)


def deed_line(one: Found, voice: Voice) -> str:
    """Return one report as a sentence."""
    what, who = what_of(one, voice), who_of(one, voice)
    day = voice.day(one.on) if one.on is not None else ""
    match one.kind:
        case K.SOW:
            return voice.say("{what}: sown by {who}, {day}.", what=what, who=who, day=day)
        case K.WATERED:
            return voice.say("{what}: watered by {who}, {day}.", what=what, who=who, day=day)
        case K.FED:
            return voice.say("{what}: fed by {who}, {day}.", what=what, who=who, day=day)
        case K.UP:
            return voice.say_n(
                "{what}: {n} up, counted by {who}, {day}.",
                "{what}: {n} up, counted by {who}, {day}.",
                one.n or 0, what=what, who=who, day=day,
            )  # fmt: skip
        case K.MOVED:
            return _moved(one, what, who, day, voice)
        case K.POTTED:
            return voice.say_n(
                "{what}: {n} potted up by {who}, {day}.",
                "{what}: {n} potted up by {who}, {day}.",
                one.n or 0, what=what, who=who, day=day,
            )  # fmt: skip
        case K.THINNED:
            return voice.say("{what}: thinned by {who}, {day}.", what=what, who=who, day=day)
        case K.PLANTED if one.to:
            return voice.say_n(
                "{what}: {n} went to {to}, told by {who}, {day}.",
                "{what}: {n} went to {to}, told by {who}, {day}.",
                one.n or 0, what=what, to=one.to, who=who, day=day,
            )  # fmt: skip
        case K.PLANTED:
            return voice.say_n(
                "{what}: {n} planted out by {who}, {day}.",
                "{what}: {n} planted out by {who}, {day}.",
                one.n or 0, what=what, who=who, day=day,
            )  # fmt: skip
        case K.LOST:
            return _lost(one, what, who, day, voice)
        case _:
            return _seen(one, what, who, day, voice)


def _moved(one: Found, what: str, who: str, day: str, voice: Voice) -> str:
    if one.to is None:
        return voice.say("{what}: moved by {who}, {day}.", what=what, who=who, day=day)
    if one.crop is None:
        return voice.say(
            "{what}: moved to shelf {shelf} by {who}, {day}.",
            what=what, shelf=one.to, who=who, day=day,
        )  # fmt: skip
    return voice.say(
        "{what}: moved to {tray} by {who}, {day}.", what=what, tray=one.to, who=who, day=day
    )


def _lost(one: Found, what: str, who: str, day: str, voice: Voice) -> str:
    why = voice.say(" ({cause})", cause=cause_said(one.why, voice)) if one.why else ""
    if one.n is None:
        return voice.say(
            "{what}: all lost{why}, told by {who}, {day}.", what=what, why=why, who=who, day=day
        )
    return voice.say_n(
        "{what}: {n} lost{why}, told by {who}, {day}.",
        "{what}: {n} lost{why}, told by {who}, {day}.",
        one.n, what=what, why=why, who=who, day=day,
    )  # fmt: skip


def _seen(one: Found, what: str, who: str, day: str, voice: Voice) -> str:
    match one.kind:
        case K.HARDEN:
            return voice.say(
                "{what}: hardening off begun by {who}, {day}.", what=what, who=who, day=day
            )
        case K.OUT:
            return voice.say("{what}: put outside by {who}, {day}.", what=what, who=who, day=day)
        case K.MOIST:
            level = level_said(voice, one.level or "")
            return voice.say(
                "{what}: felt by {who}, {day}: {level}.", what=what, who=who, day=day, level=level
            )
        case K.TEMP if one.temp_c is not None:
            temp = voice.temp_exact(one.temp_c)
            return voice.say(
                "{what}: {temp} read by {who}, {day}.", what=what, temp=temp, who=who, day=day
            )
        case K.NOTE if one.text:
            return voice.say(
                "{what}: “{text}” ({who}, {day}).", what=what, text=one.text, who=who, day=day
            )
        case _:
            return voice.say("{what}: light read by {who}, {day}.", what=what, who=who, day=day)


def often_line(one: Found, voice: Voice) -> str:
    """Return how often a thing was done, and the last time, as a sentence."""
    days = one.days or 0
    if days < 2:  # once: as any other
        return deed_line(one, voice)
    what, who = what_of(one, voice), who_of(one, voice)
    day = voice.day(one.on) if one.on is not None else ""
    match one.kind:
        case K.WATERED:
            how = voice.say_n("watered on {n} day", "watered on {n} days", days)
        case K.FED:
            how = voice.say_n("fed on {n} day", "fed on {n} days", days)
        case K.MOIST:
            how = voice.say_n("felt on {n} day", "felt on {n} days", days)
        case K.OUT:
            how = voice.say_n("outside on {n} day", "outside on {n} days", days)
        case _:
            how = voice.say_n("temperature read on {n} day", "temperature read on {n} days", days)
    return voice.say("{what}: {how}, last {day} by {who}.", what=what, how=how, day=day, who=who)


def absent_line(sought: str, one: Found, voice: Voice) -> str:
    """Return that nothing of a kind is on record of a tray or sowing."""
    what = what_of(one, voice)
    match sought:
        case "watered":
            return voice.say("{what}: no watering on record.", what=what)
        case "fed":
            return voice.say("{what}: no feed on record.", what=what)
        case "counted":
            return voice.say("{what}: no count on record.", what=what)
        case "moved":
            return voice.say("{what}: no move on record.", what=what)
        case "potted":
            return voice.say("{what}: no potting up on record.", what=what)
        case "thinned":
            return voice.say("{what}: no thinning on record.", what=what)
        case "planted":
            return voice.say("{what}: none planted out or given away on record.", what=what)
        case "hardened":
            return voice.say("{what}: no day outside on record.", what=what)
        case "measured":
            return voice.say("{what}: no reading on record.", what=what)
        case _:
            return voice.say("{what}: no note on record.", what=what)


def none_line(sought: str, voice: Voice) -> str:
    """Return that nothing of a kind is on record at all."""
    match sought:
        case "watered":
            return voice.say("No watering is on record.")
        case "fed":
            return voice.say("No feed is on record.")
        case "sown":
            return voice.say("No sowing is on record.")
        case "counted":
            return voice.say("No count is on record.")
        case "moved":
            return voice.say("No move is on record.")
        case "potted":
            return voice.say("No potting up is on record.")
        case "thinned":
            return voice.say("No thinning is on record.")
        case "planted":
            return voice.say("No planting out and nothing given away is on record.")
        case "hardened":
            return voice.say("No day outside is on record.")
        case "measured":
            return voice.say("No reading is on record.")
        case _:
            return voice.say("No note is on record.")
