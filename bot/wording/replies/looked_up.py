"""What the group's records say to a question, in words: a line for each thing found."""

from __future__ import annotations

from datetime import date

from bot.message import Message
from bot.wording.pieces.loss_causes import cause_said
from bot.wording.voice import Voice
from core.replies import trouble as t


def looked_up(reply: t.LookedUpSaid, voice: Voice) -> Message:
    match reply.sought:
        case "watered" | "fed" | "sown" | "age" | "up":
            lines = [_line(reply.sought, one, voice) for one in reply.found]
        case "lost":
            lines = [_lost(one, voice) for one in reply.found] or [
                voice.say("No loss is on record among what grows here.")
            ]
        case "dry":
            lines = _dry(reply, voice)
        case "duty":
            lines = [_duty(reply, voice)]
        case "unsown":
            lines = [_unsown(one, voice) for one in reply.found] or [
                voice.say("Nothing of an accepted plan is left to sow. Your plan: /plan")
            ]
        case _:
            lines = _different(reply, voice)
    if reply.more:
        lines.append(voice.say_n("and {n} more", "and {n} more", reply.more))
    return Message(text="\n".join(lines))


def _what(one: t.Found, voice: Voice) -> str:
    if one.crop is None:
        return one.tray or ""
    crop = voice.crop(one.crop, one.variety)
    if one.tray is None:
        return f"{one.sowing} {crop}"
    return voice.say("{sowing} {crop} in {tray}", sowing=one.sowing, crop=crop, tray=one.tray)


def _who(one: t.Found, voice: Voice) -> str:
    return one.by or voice.who(one.did)


def _line(sought: str, one: t.Found, voice: Voice) -> str:
    what = _what(one, voice)
    day = voice.day(one.on) if one.on is not None else ""
    match sought:
        case "watered" if one.on is None:
            return voice.say("{what}: no watering on record.", what=what)
        case "watered":
            who = _who(one, voice)
            return voice.say("{what}: watered by {who}, {day}.", what=what, who=who, day=day)
        case "fed" if one.on is None:
            return voice.say("{what}: no feed on record.", what=what)
        case "fed":
            who = _who(one, voice)
            return voice.say("{what}: fed by {who}, {day}.", what=what, who=who, day=day)
        case "sown":
            who = _who(one, voice)
            return voice.say("{what}: sown by {who}, {day}.", what=what, who=who, day=day)
        case "up" if one.on is None:
            return voice.say("{what}: none counted yet, of {of} seeds.", what=what, of=one.of)
        case "up":
            return voice.say(
                "{what}: {n} of {of} up, counted {day}.", what=what, n=one.n, of=one.of, day=day
            )
        case _:
            return _age(one, what, voice)


def _age(one: t.Found, what: str, voice: Voice) -> str:
    assert one.days is not None
    said = voice.say_n(
        "{what}: {n} day since it was sown", "{what}: {n} days since it was sown", one.days,
        what=what,
    )  # fmt: skip
    if one.days_up is None:
        return voice.say("{said}, nothing up on record.", said=said)
    return voice.say_n(
        "{said}, {n} day since the first came up.", "{said}, {n} days since the first came up.",
        one.days_up, said=said,
    )  # fmt: skip


def _lost(one: t.Found, voice: Voice) -> str:
    assert one.on is not None
    what, day = _what(one, voice), voice.day(one.on)
    why = voice.say(" ({cause})", cause=cause_said(one.why, voice)) if one.why else ""
    if one.n is None:
        return voice.say("{what}: all lost, {day}{why}.", what=what, day=day, why=why)
    return voice.say_n(
        "{what}: {n} plant lost, {day}{why}.", "{what}: {n} plants lost, the last {day}{why}.",
        one.n, what=what, day=day, why=why,
    )  # fmt: skip


def _dry(reply: t.LookedUpSaid, voice: Voice) -> list[str]:
    lines = []
    for one in reply.found:
        day = voice.day(one.on or voice.today)
        who = _who(one, voice)
        lines.append(voice.say("{tray}: dry, {who} said {day}.", tray=one.tray, who=who, day=day))
    if reply.due:
        trays = voice.listed(reply.due)
        lines.append(voice.say("Due for a look by my reckoning: {trays}.", trays=trays))
    return lines or [voice.say("Nobody has called a tray dry, and none is due for a look.")]


def _duty(reply: t.LookedUpSaid, voice: Voice) -> str:
    day = voice.day(reply.on or voice.today)
    if reply.closed:
        return voice.say("{day}: closed, nobody can get in.", day=day)
    if not reply.people:
        return voice.say("{day}: nobody is on duty. The rota: /duty", day=day)
    names = voice.listed([voice.who(member) for member in reply.people])
    return voice.say("{day}: {names} on duty.", day=day, names=names)


def _unsown(one: t.Found, voice: Voice) -> str:
    assert one.crop is not None
    assert one.on is not None
    crop, day = voice.crop(one.crop, one.variety), voice.day(one.on)
    if one.on < voice.today:
        return voice.say("{crop}: was to be sown {day}.", crop=crop, day=day)
    return voice.say("{crop}: to be sown {day}.", crop=crop, day=day)


def _different(reply: t.LookedUpSaid, voice: Voice) -> list[str]:
    left, right = reply.trays
    if not reply.differs:
        return [
            voice.say(
                "By the records {left} and {right} were treated alike.", left=left, right=right
            )
        ]
    return [
        voice.say("{tray}: {facts}.", tray=tray, facts=", ".join(facts))
        for tray, facts in (
            (left, [_fact(d.what, d.left, voice) for d in reply.differs]),
            (right, [_fact(d.what, d.right, voice) for d in reply.differs]),
        )
    ]


def _fact(what: str, value: str | float | date | None, voice: Voice) -> str:
    if isinstance(value, date):
        day = voice.day(value)
        if what == "potted":
            return voice.say("potted up {day}", day=day)
        return voice.say("sown {day}", day=day)
    if isinstance(value, str):
        if what == "shelf":
            return voice.say("on shelf {shelf}", shelf=value)
        if what == "lot":
            return voice.say("lot {lot}", lot=value)
        return voice.crop(value)
    if not value:
        return _absent(what, voice)
    match what:
        case "depth_mm":
            return voice.say("{depth} deep", depth=voice.length(value))
        case "temp_c":
            return voice.say("mix read at {temp} on average", temp=voice.temp_exact(value))
        case "seeds_per_cell":
            return voice.say_n("{n} seed a cell", "{n} seeds a cell", int(value))
        case "watered":
            return voice.say_n("watered on {n} day", "watered on {n} days", int(value))
        case _:
            return voice.say_n("fed on {n} day", "fed on {n} days", int(value))


def _absent(what: str, voice: Voice) -> str:
    match what:
        case "shelf":
            return voice.say("on no shelf")
        case "crop" | "sown_on" | "seeds_per_cell":
            return voice.say("empty")
        case "lot":
            return voice.say("no lot noted")
        case "depth_mm":
            return voice.say("no depth noted")
        case "temp_c":
            return voice.say("no temperature read")
        case "watered":
            return voice.say("not watered")
        case "fed":
            return voice.say("not fed")
        case _:
            return voice.say("not potted up")
