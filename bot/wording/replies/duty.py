"""Duty, absences, closures and swaps: what stands, what it leaves open, who could fill it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from bot.message import Button, Message
from bot.wording.pieces.buttons import Row
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import requests as q
from core.group.cover import Cover
from core.group.garden import ClosureOf, DutyOf
from core.replies import duty as r

MOST_LINES = 12


def cover_lines(voice: Voice, cover: Cover) -> list[str]:
    """Return what nobody covers in the coming fortnight, a line each."""
    lines: list[str] = []
    for gap in cover.gaps[:4]:
        trays = voice.listed(gap.trays) if len(gap.trays) <= 6 else _some(voice, gap.trays)
        days = span(voice, gap.first, gap.last)
        dry = voice.day(gap.dry_on)
        if gap.likely:
            lines.append(
                voice.say(
                    "Nobody is in {days}: {trays} will likely want water by {dry}.",
                    days=days,
                    trays=trays,
                    dry=dry,
                )
            )
        else:
            lines.append(
                voice.say(
                    "Nobody is in {days}: {trays} may want water by {dry}.",
                    days=days,
                    trays=trays,
                    dry=dry,
                )
            )
    if lines and cover.closed:
        lines.append(voice.say("It is closed then. What each tray needs to last: /break"))
    if cover.offers:
        lines.append(
            voice.say("Who could look in (fewest duty days first; press to give the day):")
        )
    return lines


def _some(voice: Voice, trays: tuple[str, ...]) -> str:
    rest = len(trays) - 5
    return voice.say_n(
        "{trays} and {n} more tray", "{trays} and {n} more trays", rest, trays=", ".join(trays[:5])
    )


def cover_rows(voice: Voice, cover: Cover) -> tuple[Row, ...]:
    """Return a button for each offer."""
    return tuple(
        (
            Button(
                voice.say("{name} on {day}", name=offer.name, day=voice.day(offer.day)),
                q.SetDuty(who=(offer.name,), days=(offer.day,)),
            ),
        )
        for offer in cover.offers
    )


def span(voice: Voice, first: date, last: date) -> str:
    """Return one day, or from a day to another."""
    if first == last:
        return voice.say("on {day}", day=voice.day(first))
    return voice.say("from {first} to {last}", **voice.span(first, last))


def with_cover(text: list[str], cover: Cover, voice: Voice, *rows: Row) -> Message:
    """Return a message with what it leaves open and the offers as buttons, then other rows."""
    return Message(
        text="\n".join([*text, *cover_lines(voice, cover)]),
        rows=(*cover_rows(voice, cover), *rows),
    )


def weekdays_text(voice: Voice, weekdays: Iterable[int]) -> str:
    """Return weekdays as a list of short names."""
    return voice.listed(voice.weekday(day) for day in weekdays)


def duty_text(voice: Voice, duty: DutyOf) -> str:
    """Return when and what one row of the rota is about."""
    when = voice.day(duty.day) if duty.day else weekdays_text(voice, duty.weekdays)
    if not duty.trays:
        return voice.say("{days}, all trays", days=when)
    return voice.say("{days}, {trays}", days=when, trays=", ".join(duty.trays))


def duty_changed(reply: r.DutyChanged, voice: Voice) -> Message:
    """What each of them has now."""
    lines: list[str] = []
    ids = list(dict.fromkeys(duty.member for duty in reply.now))
    for member in ids:
        duties = [duty_text(voice, d) for d in reply.now if d.member == member]
        lines.append(
            voice.say("{name} looks after: {duties}.", name=voice.who(member),
                      duties="; ".join(duties))
        )  # fmt: skip
    if reply.off:
        days = [voice.day(day) for day in reply.days]
        days += [voice.weekday(day) for day in reply.weekdays]
        names = voice.listed(reply.who)
        said = (
            voice.say("{names}: off duty on {days}.", names=names, days=voice.listed(days))
            if days
            else voice.say("{names}: off duty.", names=names)
        )
        lines.insert(0, said)
    elif not lines:
        lines.append(voice.say("Noted."))
    return with_cover(lines, reply.cover, voice)


def rota_shown(reply: r.RotaShown, voice: Voice) -> Message:
    """The coming week, then the rules behind it."""
    if not reply.weekly and not reply.days:
        return with_cover(
            [
                voice.say("Nobody is on duty: reminders go to the whole group."),
                voice.say("Set it up: /duty Ana mon wed, /duty me sat, /duty Bo fri T1-T4"),
            ],
            reply.cover,
            voice,
            (Button(voice.say("Add somebody"), q.Lead(act="duty")),),
        )
    lines = [voice.say("Duty in the coming week:")]
    for day, names in reply.coming:
        who = voice.say("closed") if names is None else voice.listed(names)
        lines.append(voice.say("{day}: {who}", day=voice.day(day), who=who or voice.say("nobody")))
    lines.append(voice.say("Every week:"))
    for duty in reply.weekly[:MOST_LINES]:
        lines.append(
            voice.say("{name}: {duty}", name=voice.who(duty.member), duty=duty_text(voice, duty))
        )
    lines += _away_lines(voice, reply.away)
    lines.append(voice.say("To change: /duty Ana mon off, /away 3 Apr - 10 Apr, /swap thursday"))
    add = (Button(voice.say("Add somebody"), q.Lead(act="duty")),)
    return with_cover(lines, reply.cover, voice, add)


def _away_lines(voice: Voice, away: tuple[tuple[str, date, date], ...]) -> list[str]:
    return [
        voice.say("{name} is away {days}.", name=name, days=span(voice, first, last))
        for name, first, last in away[:MOST_LINES]
    ]


def away_said(reply: r.AwaySaid, voice: Voice) -> Message:
    """An absence noted or ended, and what it leaves open."""
    if reply.off:
        return with_cover(
            [voice.say("{name} is back. Duty days count again.", name=reply.name)],
            reply.cover,
            voice,
        )
    assert reply.first is not None
    assert reply.last is not None
    if reply.open_end:
        lines = [
            voice.say(
                "{name} is away from {day} until you say /away off.",
                name=reply.name,
                day=voice.day(reply.first),
            )
        ]
    else:
        lines = [
            voice.say(
                "{name} is away {days}.",
                name=reply.name,
                days=span(voice, reply.first, reply.last),
            )
        ]
    if reply.duties:
        lines.append(
            voice.say(
                "That takes in duty days: {days}. Offer one to the others: /swap",
                days=voice.listed(voice.day(day) for day in reply.duties),
            )
        )
    lines.append(voice.say("To take it back: /away off"))
    return with_cover(lines, reply.cover, voice)


def away_listed(reply: r.AwayListed, voice: Voice) -> Message:
    """Who is away."""
    if not reply.away:
        return Message(text=voice.say("Nobody is away. To say so: /away 3 Apr - 10 Apr"))
    return Message(text="\n".join(_away_lines(voice, reply.away)))


def closed_said(reply: r.ClosedSaid, voice: Voice) -> Message:
    """A closure noted or lifted, and what it leaves open."""
    days = []
    if reply.first is not None and reply.last is not None:
        days.append(span(voice, reply.first, reply.last))
    if reply.weekdays:
        days.append(voice.say("every {days}", days=weekdays_text(voice, reply.weekdays)))
    when = voice.listed(days)
    if reply.off:
        lines = [voice.say("Open again {days}.", days=when)]
    elif reply.label:
        lines = [
            voice.say("Closed {days}: {label}. No reminders then.", days=when, label=reply.label)
        ]
    else:
        lines = [voice.say("Closed {days}. No reminders then.", days=when)]
    if not reply.off and reply.first is not None:
        lines.append(voice.say("What each tray needs to last: /break"))
    return with_cover(lines, reply.cover, voice)


def closed_listed(reply: r.ClosedListed, voice: Voice) -> Message:
    """What is closed, and how to change it."""
    if not reply.closures:
        return Message(
            text=voice.say(
                "Nothing is closed. To say so: /closed 21 Dec - 3 Jan winter break, "
                "/closed sat sun, or send the school's calendar file (.ics)."
            )
        )
    lines = [voice.say("Closed:")]
    lines += [closure_text(voice, closure) for closure in reply.closures[:MOST_LINES]]
    more = len(reply.closures) - MOST_LINES
    if more > 0:
        lines.append(voice.say_n("and {n} more", "and {n} more", more))
    lines.append(voice.say("To lift one: /closed off 24 Dec"))
    return Message(text="\n".join(lines))


def closure_text(voice: Voice, closure: ClosureOf) -> str:
    """Return when, and what it is called."""
    if closure.weekday is not None:
        when = voice.say("every {days}", days=voice.weekday(closure.weekday))
    else:
        assert closure.first is not None
        when = span(voice, closure.first, closure.last or closure.first)
    if closure.label:
        return voice.say("{days}: {label}", days=when, label=closure.label)
    return when


def closures_imported(reply: r.ClosuresImported, voice: Voice) -> Message:
    """What was read, what was left out, and how to mend it."""
    counts = [
        voice.say_n("{n} closure added", "{n} closures added", reply.added),
    ]
    if reply.changed:
        counts.append(voice.say_n("{n} changed", "{n} changed", reply.changed))
    if reply.same:
        counts.append(voice.say_n("{n} known already", "{n} known already", reply.same))
    if reply.ended:
        counts.append(voice.say_n("{n} taken out", "{n} taken out", reply.ended))
    lines = [voice.say("{name}: {counts}.", name=reply.name, counts=", ".join(counts))]
    for first, last, label in reply.spans[:6]:
        lines.append(
            closure_text(voice, ClosureOf(id=0, first=first, last=last, label=label or None))
        )
    if len(reply.spans) > 6:
        lines.append(
            voice.say_n("and {n} more: /closed", "and {n} more: /closed", len(reply.spans) - 6)
        )
    if reply.left_out:
        lines.append(
            voice.say(
                "Left out, as nobody is kept out by them: {labels}.",
                labels=voice.listed(label for label, _ in reply.left_out[:5]),
            )
        )
    lines.append(voice.say("Wrong? /closed off 24 Dec lifts a day; sent again, the file updates."))
    return with_cover(lines, reply.cover, voice)


def swap_offered(reply: r.SwapOffered, voice: Voice) -> Message:
    """The offer, with the button that takes it; in private only that it went out."""
    day = voice.day(reply.day)
    if reply.private:
        return Message(text=voice.say("Your duty on {day} is offered to the group.", day=day))
    text = voice.say("{name} offers the duty on {day}", name=reply.name, day=day)
    if reply.trays:
        text = voice.say(
            "{name} offers the duty on {day}, {trays}",
            name=reply.name,
            day=day,
            trays=", ".join(reply.trays),
        )
    ask = voice.say("Who takes it? It stays with {name} until then.", name=reply.name)
    return Message(
        text=f"{text}.\n{ask}",
        rows=((Button(voice.say("I take {day}", day=day), q.Swap(take=reply.offer)),),),
    )


def swap_taken(reply: r.SwapTaken, voice: Voice) -> Message:
    """Who has the day now."""
    return Message(
        text=voice.say(
            "{by} takes {day} for {name}. Thank you!",
            by=reply.by,
            day=voice.day(reply.day),
            name=reply.name,
        )
    )


def swap_days(reply: r.SwapDays, voice: Voice) -> Message:
    """Which day to offer."""
    return Message(
        text=voice.say("Which of your days do you offer?"),
        rows=tuple(
            (Button(voice.day(option.values["day"]), option.request),) for option in reply.options
        ),
    )


WORDS: Words = {
    r.DutyChanged: duty_changed,
    r.RotaShown: rota_shown,
    r.AwaySaid: away_said,
    r.AwayListed: away_listed,
    r.ClosedSaid: closed_said,
    r.ClosedListed: closed_listed,
    r.ClosuresImported: closures_imported,
    r.SwapOffered: swap_offered,
    r.SwapTaken: swap_taken,
    r.SwapDays: swap_days,
}
