"""The coming weeks as they were rehearsed: a line for each person, then the days that stand out."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from bot.message import Button, Message
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import requests as q
from core.replies import rehearsal as r

DAYS_NAMED = timedelta(days=15)
"""Longer than this the messages of each week are counted, and no days named."""

MOST_NAMES = 12
MOST_DAYS = 7
LONGER = 8


def rehearsal_said(reply: r.RehearsalSaid, voice: Voice) -> Message:
    """Who gets what on which day, the busiest days, and the days nobody covers."""
    lines = [
        voice.say("Played to {day}. Nothing was sent or recorded.", day=voice.day(reply.last)),
        _assumed(reply, voice),
    ]
    by_day = reply.last - reply.first <= DAYS_NAMED
    if not by_day:
        lines.append(voice.say("Messages, then how many in each week:"))
    lines.append(_line(voice.say("The group"), reply.group, reply, voice))
    some = {name: days for name, days in reply.own.items() if days}
    lines += [_line(name, days, reply, voice) for name, days in list(some.items())[:MOST_NAMES]]
    if len(some) > MOST_NAMES:
        left = len(some) - MOST_NAMES
        lines.append(voice.say_n("And {n} more person.", "And {n} more people.", left))
    none = [name for name, days in reply.own.items() if not days]
    if none:
        lines.append(voice.say("Nothing in private: {names}.", names=_few(none, voice)))
    if reply.busiest:
        busy = [
            voice.say("{day} ({n})", day=voice.day(day), n=count) for day, count in reply.busiest
        ]
        lines.append(voice.say("Most messages: {days}.", days=voice.listed(busy)))
    if reply.open_days:
        lines.append(
            voice.say("There is work and nobody is on duty: {days}.", days=_few_days(reply, voice))
        )
    lines.append(voice.say("To change this: /duty, /closed, /site reminders, /pause"))
    longer = Button(voice.say("Play 8 weeks"), q.Rehearse(weeks=LONGER))
    return Message(text="\n".join(lines), rows=((longer,),) if by_day else ())


def _assumed(reply: r.RehearsalSaid, voice: Voice) -> str:
    """Say how people answered, and what is not played."""
    said = {
        "sometimes": [n for n, habit in reply.habits.items() if habit == "sometimes"],
        "never": [n for n, habit in reply.habits.items() if habit == "never"],
    }
    parts = []
    if said["sometimes"]:
        names = _few(said["sometimes"], voice)
        parts.append(voice.say("every other time from {names}", names=names))
    if said["never"]:
        parts.append(voice.say("none from {names}", names=_few(said["never"], voice)))
    how = "; ".join(parts) if parts else voice.say("from everybody")
    return voice.say(
        "Assumed answers: {how}. The plan is sown and all of it comes up; nothing is potted up.",
        how=how,
    )


def _few(names: list[str], voice: Voice) -> str:
    return voice.listed(names if len(names) <= MOST_NAMES else [*names[:MOST_NAMES], "…"])


def _few_days(reply: r.RehearsalSaid, voice: Voice) -> str:
    days = [voice.day(day) for day in reply.open_days[:MOST_DAYS]]
    left = len(reply.open_days) - len(days)
    return voice.listed([*days, voice.say_n("{n} more", "{n} more", left)] if left else days)


def _line(name: str, days: r.Days, reply: r.RehearsalSaid, voice: Voice) -> str:
    count = sum(number for _, number in days)
    if reply.last - reply.first > DAYS_NAMED:
        weeks = " ".join(str(number) for number in _weeks(days, reply))
        return voice.say("{name}: {n} ({weeks})", name=name, n=count, weeks=weeks)
    if not days:
        return voice.say("{name}: nothing", name=name)
    said = [
        voice.day(day) if number == 1 else f"{voice.day(day)} ×{number}" for day, number in days
    ]
    return voice.say("{name}: {n} ({days})", name=name, n=count, days=", ".join(said))


def _weeks(days: r.Days, reply: r.RehearsalSaid) -> Iterable[int]:
    """Yield the messages of each week from the first day on."""
    first: date = reply.first
    while first <= reply.last:
        end = first + timedelta(weeks=1)
        yield sum(number for day, number in days if first <= day < end)
        first = end


WORDS: Words = {r.RehearsalSaid: rehearsal_said}
