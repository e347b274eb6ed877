"""The round, the nudge, the rise: what a good colleague would say at the shelf.

The first line is the shortest useful one; work is grouped by kind and shelf; everything fits one
screen, and what does not is counted, with the way to see it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

from bot.message import Button, Mention, Message
from bot.wording.replies.reports.moved import exposure
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import requests as r
from core.due.items import Item, Work
from core.replies.notices import NoticeSaid

MOST_LINES = 16
MOST_TEXT = 1200
MOST_BUTTONS = 3  # the likeliest of what the message asks for


def notice(said: NoticeSaid, voice: Voice) -> Message:
    match said.notice.kind:
        case "round":
            return _round(said, voice)
        case "nudge":
            return _nudge(said, voice)
        case "rise":
            return _rise(said, voice)
        case _:
            return _alarm(said, voice)


def work_lines(items: tuple[Item, ...], voice: Voice) -> list[str]:
    """Return one line for each kind of work, with where."""
    lines: list[str] = []
    for work, words in _WORDS.items():
        found = [item for item in items if item.kind is work]
        if found:
            lines += words(found, voice)
    return lines


def _water(items: list[Item], voice: Voice) -> list[str]:
    """Trays by shelf: `Look at the mix: T1, T2 (shelf A); T5 (B).`"""
    by_shelf: dict[str | None, list[str]] = {}
    for item in items:
        by_shelf.setdefault(item.shelf, []).append(item.tray or "")
    parts = [
        voice.say("{trays} (shelf {shelf})", trays=_joined(trays), shelf=shelf)
        if shelf
        else _joined(trays)
        for shelf, trays in by_shelf.items()
    ]
    return [voice.say("Feel the mix, water if it is light: {trays}.", trays="; ".join(parts))]


def _joined(codes: list[str]) -> str:
    return ", ".join(codes)


def _name(item: Item, voice: Voice) -> str:
    return _names([item], voice)


def _overdue(items: list[Item], voice: Voice) -> list[str]:
    lines = []
    for item in items:
        temp = item.values.get("temp_c")
        if item.values.get("by") is None:
            lines.append(
                voice.say(
                    "{what}: cannot come up at {temp}. Read the mix and warm or cool it.",
                    what=_name(item, voice),
                    temp=voice.temp(float(temp or 0)),
                )
            )
        elif item.values.get("temp_logged"):
            lines.append(
                voice.say(
                    "{what}: nothing up {n} days after sowing; it should show by {day} "
                    "at {temp}, from your readings and what is usual. "
                    "Read the temperature again first, then /ask",
                    what=_name(item, voice),
                    n=item.values["days"],
                    day=voice.day(item.values["by"]),
                    temp=voice.temp(float(temp or 0)),
                )
            )
        else:
            lines.append(
                voice.say(
                    "{what}: nothing up {n} days after sowing; it should show by {day}. "
                    "Check the temperature of the mix first: /temp",
                    what=_name(item, voice),
                    n=item.values["days"],
                    day=voice.day(item.values["by"]),
                )
            )
    return lines


def _count(items: list[Item], voice: Voice) -> list[str]:
    what = _names(items, voice)
    return [voice.say("Should be showing: {what}. Count and tell me: /up", what=what)]


def _sow(items: list[Item], voice: Voice) -> list[str]:
    lines = []
    for item in items:
        crop = voice.crop(item.crop or "", item.variety)
        cells = item.values.get("cells")
        if cells:
            lines.append(
                voice.say_n(
                    "Sow this week: {crop}, {n} cell.",
                    "Sow this week: {crop}, {n} cells.",
                    int(cells),
                    crop=crop,
                )
            )
        else:
            lines.append(voice.say("Sow this week: {crop}.", crop=crop))
    return lines


def _thin(items: list[Item], voice: Voice) -> list[str]:
    what = _names(items, voice)
    return [voice.say("Thin to one a cell, snip, do not pull: {what}.", what=what)]


def _pot(items: list[Item], voice: Voice) -> list[str]:
    what = _names(items, voice)
    return [voice.say("Big enough to pot up: {what}. Hold them by a leaf.", what=what)]


def _feed(items: list[Item], voice: Voice) -> list[str]:
    where = {
        first: list(
            dict.fromkeys(
                item.tray or item.sowing or ""
                for item in items
                if bool(item.values.get("first")) is first
            )
        )
        for first in (True, False)
    }
    again = where[False]
    first = [code for code in where[True] if code not in again]  # one tray, one strength
    lines = []
    if first:
        trays = _joined(first)
        lines.append(voice.say("First feed, half strength, on moist mix: {trays}.", trays=trays))
    if again:
        lines.append(voice.say("Feed, on moist mix: {trays}.", trays=_joined(again)))
    return lines


def _alike(items: list[Item], *names: str) -> list[list[Item]]:
    """Group items whose named values are the same: they share a line."""
    groups: dict[tuple[str, ...], list[Item]] = {}
    for item in items:
        groups.setdefault(tuple(str(item.values.get(n)) for n in names), []).append(item)
    return list(groups.values())


def _names(items: list[Item], voice: Voice) -> str:
    """Return sowings by tray: `S3 pepper, S4 eggplant (T2); S9 tomato (T4)`."""
    by_tray: dict[str | None, list[str]] = {}
    for item in items:
        name = f"{item.sowing} {voice.crop(item.crop or '')}"
        by_tray.setdefault(item.tray, []).append(name)
    return "; ".join(
        voice.say("{what} ({tray})", what=", ".join(names), tray=tray) if tray else ", ".join(names)
        for tray, names in by_tray.items()
    )


def _harden(items: list[Item], voice: Voice) -> list[str]:
    lines = []
    for alike in _alike(items, "held", "hours", "exposure", "limit_c", "of", "plant_out"):
        v = alike[0].values
        what = _names(alike, voice)
        limit = voice.temp(float(v["limit_c"]))
        if v.get("held"):
            lines.append(
                voice.say(
                    "Start hardening off as soon as it stays above {limit}: {what}.",
                    what=what,
                    limit=limit,
                )
            )
        else:
            lines.append(
                voice.say(
                    "Start hardening off {what}: {hours} h, {where}; not below {limit}. "
                    "{of} days, then out about {day}.",
                    what=what,
                    hours=voice.number(float(v["hours"])),
                    where=exposure(voice, str(v["exposure"])),
                    limit=limit,
                    of=v["of"],
                    day=voice.day(v["plant_out"]),
                )
            )
    return lines


def _out(items: list[Item], voice: Voice) -> list[str]:
    lines = []
    for alike in _alike(items, "held", "number", "of", "hours", "exposure", "limit_c"):
        v = alike[0].values
        what = _names(alike, voice)
        limit = voice.temp(float(v["limit_c"]))
        if v.get("held"):
            lines.append(
                voice.say(
                    "Keep in today, too cold (limit {limit}): {what}.", what=what, limit=limit
                )
            )
        else:
            lines.append(
                voice.say(
                    "Out {what}: day {n} of {of}, {hours} h, {where}; in below {limit}.",
                    what=what,
                    n=v["number"],
                    of=v["of"],
                    hours=voice.number(float(v["hours"])),
                    where=exposure(voice, str(v["exposure"])),
                    limit=limit,
                )
            )
    return lines


def _plant(items: list[Item], voice: Voice) -> list[str]:
    parts = [
        voice.say_n(
            "{what}, {n} plant",
            "{what}, {n} plants",
            int(item.values.get("count") or 0),
            what=_name(item, voice),
        )
        for item in items
    ]
    return [
        voice.say(
            "Ready to plant out: {plants}. Look at tonight's forecast first.",
            plants="; ".join(parts),
        )
    ]


def _light(items: list[Item], voice: Voice) -> list[str]:
    return [
        voice.say(
            "Shelf {shelf}: lamp only {hours} h a day; seedlings want about {wanted} h.",
            shelf=item.shelf,
            hours=voice.number(float(item.values["hours"])),
            wanted=voice.number(float(item.values["wanted"])),
        )
        for item in items
    ]


def _break(items: list[Item], voice: Voice) -> list[str]:
    lines = []
    for item in items:
        dates = {"first": voice.day(item.values["first"]), "last": voice.day(item.values["last"])}
        dry = item.values.get("dry") or ()
        if dry:
            lines.append(
                voice.say(
                    "Closed {first} to {last}: {trays} may not last. What to do: /break",
                    **dates,
                    trays=_joined(list(dry)),
                )
            )
        else:
            lines.append(voice.say("Closed {first} to {last}. What to do before: /break", **dates))
    return lines


def _frost(items: list[Item], voice: Voice) -> list[str]:
    what = _names(items, voice)
    low = voice.temp(float(items[0].values["low_c"]))
    return [voice.say("{low} expected tonight: bring in {what}.", low=low, what=what)]


def _uncovered(items: list[Item], voice: Voice) -> list[str]:
    return [
        voice.say(
            "In a week nobody is down from {first} to {last}: {trays} will likely want water by "
            "{dry}. Who could: /duty",
            first=voice.day(item.values["first"]),
            last=voice.day(item.values["last"]),
            trays=_joined(list(item.values["trays"])),
            dry=voice.day(item.values["dry_on"]),
        )
        for item in items
    ]


_WORDS: dict[Work, Callable[[list[Item], Voice], list[str]]] = {
    Work.FROST: _frost,
    Work.WATER: _water,
    Work.OUT: _out,
    Work.OVERDUE: _overdue,
    Work.COUNT: _count,
    Work.BREAK: _break,
    Work.UNCOVERED: _uncovered,
    Work.SOW: _sow,
    Work.THIN: _thin,
    Work.POT_UP: _pot,
    Work.FEED: _feed,
    Work.HARDEN: _harden,
    Work.PLANT: _plant,
    Work.LIGHT: _light,
}


def fitted(lines: list[str], voice: Voice, *, beside: int = 0) -> list[str]:
    """Return the lines that fit one screen, with a line that counts the rest.

    `beside`: characters that others need on the same screen.
    """
    room = MOST_TEXT - 60 - beside
    kept: list[str] = []
    for line in lines:
        if len(kept) == MOST_LINES or sum(len(k) + 1 for k in kept) + len(line) > room:
            left = len(lines) - len(kept)
            kept.append(voice.say_n("And {n} more: /due", "And {n} more: /due", left))
            break
        kept.append(line)
    return kept


def _done_row(said: NoticeSaid, voice: Voice) -> tuple[Button, ...]:
    kinds = {item.kind for item in said.notice.items}
    row: list[Button] = []
    if Work.WATER in kinds:
        row.append(Button(voice.say("Watered"), r.Done(notice=said.id, part="water")))
    if any(
        item.kind in (Work.OUT, Work.HARDEN) and not item.values.get("held")
        for item in said.notice.items
    ):
        row.append(Button(voice.say("They are out"), r.Done(notice=said.id, part="out")))
    if Work.FEED in kinds:
        row.append(Button(voice.say("Fed"), r.Done(notice=said.id, part="fed")))
    if Work.THIN in kinds:
        row.append(Button(voice.say("Thinned"), r.Done(notice=said.id, part="thin")))
    return tuple(row[:MOST_BUTTONS])


def _round(said: NoticeSaid, voice: Voice) -> Message:
    lines = []
    away = said.notice.values.get("away")
    if away:
        lines.append(
            voice.say(
                "I was away from {start} to {end}; what fell due then is in today's list.",
                start=voice.moment(datetime.fromisoformat(away["from"])),
                end=voice.moment(datetime.fromisoformat(away["to"])),
            )
            if said.notice.items
            else voice.say(
                "I was away from {start} to {end}; nothing is due today.",
                start=voice.moment(datetime.fromisoformat(away["from"])),
                end=voice.moment(datetime.fromisoformat(away["to"])),
            )
        )
    names = {member: voice.who(member) for member in said.notice.values.get("duty", ())}
    if said.notice.items:
        day = voice.day(voice.today)
        lines.append(
            voice.say("{day}. On duty: {names}.", day=day, names=voice.listed(names.values()))
            if names
            else voice.say("{day}. Nobody is down for today: who can?", day=day)
        )
    lines += work_lines(said.notice.items, voice)
    week = _week(said.notice.values.get("week"), voice)
    lines = fitted(lines, voice, beside=sum(len(line) + 1 for line in week)) + week
    text = "\n".join(lines)
    row = _done_row(said, voice)
    return Message(
        text=text, rows=(row,) if row else (), mentions=_mentions(text, names, said.people)
    )


def _week(week: Mapping[str, Any] | None, voice: Voice) -> list[str]:
    """Friday's result: what came up, and thanks by name."""
    if not week:
        return []
    lines = []
    if week["came"]:
        parts = [
            voice.say(
                "{sowing} {crop} {up} of {seeds}",
                sowing=code,
                crop=voice.crop(crop),
                up=up,
                seeds=seeds,
            )
            for code, crop, up, seeds in week["came"][:6]
        ]
        lines.append(voice.say("Up so far this week: {what}.", what=", ".join(parts)))
    if week["helped"]:
        names = [voice.who(member) for member in week["helped"] if member in voice.people][:8]
        if names:
            lines.append(voice.say("Thank you, {names}.", names=voice.listed(names)))
    return lines


def _mentions(text: str, names: dict[int, str], people: Mapping[int, int]) -> tuple[Mention, ...]:
    """Return where the members to be alerted are named."""
    found = []
    for member, person in people.items():
        start = text.find(names.get(member, "\0"))
        if start >= 0:
            found.append(Mention(start=start, length=len(names[member]), person=person))
    return tuple(found)


def _nudge(said: NoticeSaid, voice: Voice) -> Message:
    lines = [voice.say("Your turn today:"), *work_lines(said.notice.items, voice)]
    row = (*_done_row(said, voice), Button(voice.say("I can't today"), r.Swap(day=said.notice.on)))
    return Message(text="\n".join(fitted(lines, voice)), rows=(row,))


def _rise(said: NoticeSaid, voice: Voice) -> Message:
    asked = [voice.who(member) for member in said.notice.values.get("asked", ())]
    first = voice.say("No word yet from {names}. Can somebody?", names=voice.listed(asked))
    lines = [first, *work_lines(said.notice.items, voice)]
    row = _done_row(said, voice)
    return Message(text="\n".join(fitted(lines, voice)), rows=(row,) if row else ())


def _alarm(said: NoticeSaid, voice: Voice) -> Message:
    return Message(text="\n".join(fitted(work_lines(said.notice.items, voice), voice)))


WORDS: Words = {NoticeSaid: notice}
