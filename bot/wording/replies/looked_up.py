"""What the group's records say to a question, in words: a line for each thing found."""

from __future__ import annotations

from datetime import date

from bot.message import Message
from bot.wording.pieces.deed_lines import absent_line, deed_line, none_line, often_line
from bot.wording.pieces.deed_lines import what_of as _what
from bot.wording.pieces.deed_lines import who_of as _who
from bot.wording.pieces.loss_causes import cause_said
from bot.wording.pieces.places_said import contents, stands, stock_of_shelf
from bot.wording.voice import Voice
from bot.wording.words import Words
from core.replies import looked_up as t
from core.trouble.looked_up import Sought


def looked_up(reply: t.LookedUpSaid, voice: Voice) -> Message:
    match reply.sought:
        case Sought.AGE | Sought.UP | Sought.LEFT | Sought.CAME:
            lines = [_line(reply.sought, one, voice) for one in reply.found]
        case Sought.POTTED_N | Sought.PLANTED_N:
            lines = [_line(reply.sought, one, voice) for one in reply.found] or [
                none_line("potted" if reply.sought == Sought.POTTED_N else "planted", voice)
            ]
        case Sought.LOST:
            lines = [_lost(one, voice) for one in reply.found] or [
                voice.say("No loss is on record among what grows here.")
            ]
        case Sought.DRY:
            lines = _dry(reply, voice)
        case Sought.DUTY:
            lines = _rota(reply, voice)
        case Sought.UNSOWN:
            lines = [_unsown(one, voice) for one in reply.found] or [
                voice.say("Nothing of an accepted plan is left to sow. Your plan: /plan")
            ]
        case Sought.PLANNED:
            lines = [_planned(one, voice) for one in reply.found]
        case Sought.WANTED:
            lines = [_wanted(one, voice) for one in reply.found] or [
                voice.say("No accepted plan says how many. Your plan: /plan")
            ]
        case Sought.CONTENTS:
            lines = contents(reply, voice)
        case Sought.WHERE:
            lines = [stands(one, voice) for one in reply.found]
        case Sought.SHELF:
            lines = stock_of_shelf(reply, voice)
        case Sought.DIFFERENT:
            lines = _different(reply, voice)
        case _:
            lines = _deeds(reply, voice)
    if reply.more:
        earlier = reply.sought == Sought.HISTORY
        more = voice.say_n("and {n} more", "and {n} more", reply.more)
        lines = [voice.say("{n} earlier left out.", n=reply.more), *lines] if earlier else [
            *lines, more,
        ]  # fmt: skip
    return Message(text="\n".join(lines))


def _deeds(reply: t.LookedUpSaid, voice: Voice) -> list[str]:
    """Return who did what and when; first that nothing was, of the days or the member asked."""
    history = reply.sought == Sought.HISTORY
    lines = [
        absent_line(reply.sought, one, voice)
        if one.on is None
        else often_line(one, voice)
        if history
        else deed_line(one, voice)
        for one in reply.found
    ]
    if reply.none_then:
        return [_none_then(reply, voice), *lines]
    return lines or [none_line(reply.sought, voice)]


def _none_then(reply: t.LookedUpSaid, voice: Voice) -> str:
    when = _span(reply, voice)
    if reply.whom and when:
        return voice.say("Nothing of that by {name} on record, {when}.", name=reply.whom, when=when)
    if reply.whom:
        return voice.say("Nothing of that by {name} on record.", name=reply.whom)
    if when:
        return voice.say("Nothing of that on record, {when}.", when=when)
    return voice.say("Nothing is on record of that.")


def _span(reply: t.LookedUpSaid, voice: Voice) -> str:
    if reply.since is None or reply.until is None:
        return ""
    if reply.since == reply.until:
        return voice.day(reply.since)
    return voice.say("{first} to {last}", first=voice.day(reply.since), last=voice.day(reply.until))


def _line(sought: str, one: t.Found, voice: Voice) -> str:
    what = _what(one, voice)
    day = voice.day(one.on) if one.on is not None else ""
    match sought:
        case Sought.UP if one.on is None:
            return voice.say("{what}: none counted yet, of {of} seeds.", what=what, of=one.of)
        case Sought.UP:
            share = voice.percent((one.n or 0) / one.of) if one.of else ""
            return voice.say(
                "{what}: {n} of {of} up ({share}), counted {day}.",
                what=what, n=one.n, of=one.of, share=share, day=day,
            )  # fmt: skip
        case Sought.CAME if one.on is None:
            return voice.say("{what}: nothing up on record yet.", what=what)
        case Sought.CAME:
            return voice.say("{what}: the first came up {day}.", what=what, day=day)
        case Sought.LEFT if one.n is None:
            return voice.say("{what}: none counted yet, of {of} seeds.", what=what, of=one.of)
        case Sought.LEFT:
            return voice.say_n(
                "{what}: {n} plant left, of {of} seeds.", "{what}: {n} plants left, of {of} seeds.",
                one.n or 0, what=what, of=one.of,
            )  # fmt: skip
        case Sought.POTTED_N if not one.n:
            return absent_line("potted", one, voice)
        case Sought.POTTED_N:
            return voice.say_n(
                "{what}: {n} potted up, the last {day}.", "{what}: {n} potted up, the last {day}.",
                one.n or 0, what=what, day=day,
            )  # fmt: skip
        case Sought.PLANTED_N if not one.n:
            return absent_line("planted", one, voice)
        case Sought.PLANTED_N:
            return voice.say_n(
                "{what}: {n} planted out or given away, the last {day}.",
                "{what}: {n} planted out or given away, the last {day}.",
                one.n or 0, what=what, day=day,
            )  # fmt: skip
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


def _rota(reply: t.LookedUpSaid, voice: Voice) -> list[str]:
    if not reply.mine:
        return [_duty(one, voice) for one in reply.rota]
    days = voice.listed([voice.day(day) for day, _, _ in reply.rota])
    when = _span(reply, voice)
    if reply.whom is not None:
        if reply.rota:
            return [voice.say("{name}, by the rota: {days}.", name=reply.whom, days=days)]
        return [voice.say("{name}: no turn by the rota then.", name=reply.whom)]
    if not reply.rota and when:
        return [voice.say("No turn of yours by the rota, {when}.", when=when)]
    if not reply.rota:
        return [voice.say("No turn of yours by the rota. The rota: /duty")]
    if when:
        return [voice.say("Your turn by the rota: {days}.", days=days)]
    return [voice.say("Your next turns: {days}.", days=days)]


def _duty(one: tuple[date, tuple[int, ...], bool], voice: Voice) -> str:
    on, people, closed = one
    day = voice.day(on)
    if closed:
        return voice.say("{day}: closed, nobody can get in.", day=day)
    if not people:
        return voice.say("{day}: nobody is on duty. The rota: /duty", day=day)
    names = voice.listed([voice.who(member) for member in people])
    if on < voice.today:
        return voice.say("{day}: {names} on duty, by the rota.", day=day, names=names)
    return voice.say("{day}: {names} on duty.", day=day, names=names)


def _wanted(one: t.Found, voice: Voice) -> str:
    assert one.crop is not None
    crop = voice.crop(one.crop, one.variety)
    return voice.say_n(
        "{crop}: {n} plant wanted, by the plan.", "{crop}: {n} plants wanted, by the plan.",
        one.n or 0, crop=crop,
    )  # fmt: skip


def _planned(one: t.Found, voice: Voice) -> str:
    assert one.crop is not None
    assert one.on is not None
    crop, day = voice.crop(one.crop, one.variety), voice.day(one.on)
    if one.place == "sown":
        said = voice.say("{crop}: is sown", crop=crop)
    elif one.on < voice.today:
        said = voice.say("{crop}: was to be sown {day}", crop=crop, day=day)
    else:
        said = voice.say("{crop}: to be sown {day}", crop=crop, day=day)
    if one.pot_on is not None:
        said = voice.say("{said}, potted up about {day}", said=said, day=voice.day(one.pot_on))
    if one.out_on is not None:
        said = voice.say("{said}, planted out about {day}", said=said, day=voice.day(one.out_on))
    return voice.say("{said}, by the plan.", said=said)


def _unsown(one: t.Found, voice: Voice) -> str:
    assert one.crop is not None
    assert one.on is not None
    crop, day = voice.crop(one.crop, one.variety), voice.day(one.on)
    if one.on < voice.today:
        return voice.say("{crop}: was to be sown {day}.", crop=crop, day=day)
    return voice.say("{crop}: to be sown {day}.", crop=crop, day=day)


def _different(reply: t.LookedUpSaid, voice: Voice) -> list[str]:
    if not reply.trays:
        return [_line(Sought.UP, one, voice) for one in reply.found]
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
        case "up":
            return voice.say("{n} up", n=int(value))
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
        case "up":
            return voice.say("nothing up yet")
        case "watered":
            return voice.say("not watered")
        case "fed":
            return voice.say("not fed")
        case _:
            return voice.say("not potted up")


WORDS: Words = {t.LookedUpSaid: looked_up}
