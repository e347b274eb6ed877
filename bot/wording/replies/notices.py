"""What is said unasked: what a good colleague would say at the shelf.

The first line is the shortest useful one; work is grouped by kind and shelf; everything fits one
screen, and what does not is counted, with the way to see it.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any, assert_never

from bot.message import Button, Mention, Message
from bot.wording.pieces.buttons import undo_row
from bot.wording.pieces.ticked import ticked
from bot.wording.pieces.work_lines import trays_of, work_lines
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import requests as r
from core.due.items import PERSONAL, Work
from core.due.kinds import Channel, NoticeKind
from core.replies.notices import NoticeSaid

MOST_LINES = 16
MOST_TEXT = 1200
MOST_BUTTONS = 3  # the likeliest of what the message asks for


def notice(said: NoticeSaid, voice: Voice) -> Message:
    kind = said.notice.kind
    match kind:
        case NoticeKind.ROUND:
            return _round(said, voice)
        case NoticeKind.NUDGE:
            return _nudge(said, voice)
        case NoticeKind.AGAIN:
            return _again(said, voice)
        case NoticeKind.STAND_IN:
            return _stand_in(said, voice)
        case NoticeKind.RISE:
            return _rise(said, voice)
        case NoticeKind.ALARM | NoticeKind.DUSK:
            return _cold(said, voice)
        case NoticeKind.REMINDER:
            return _reminder(said, voice)
        case NoticeKind.QUIET:
            return _quiet(said, voice)
        case _:
            assert_never(kind)


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


def _done_row(said: NoticeSaid, voice: Voice, *, beside: int = 0) -> tuple[Button, ...]:
    """Return what can be said to be done; with Undo and `beside` others, no more than three."""
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
    asked = [item for item in said.notice.items if item.kind is Work.ASKED]
    if len(asked) == 1:
        number = int(asked[0].values["id"])
        row.append(Button(voice.say("Done"), r.EndReminder(reminder=number, done=True)))
    return tuple(row[: MOST_BUTTONS - beside - (said.undo is not None)])


def _round(said: NoticeSaid, voice: Voice) -> Message:
    items = said.notice.items
    lines = []
    away = said.notice.values.get("away")
    if away:
        lines.append(
            voice.say(
                "I was away from {start} to {end}; what fell due then is in today's list.",
                start=voice.moment(datetime.fromisoformat(away["from"])),
                end=voice.moment(datetime.fromisoformat(away["to"])),
            )
            if away.get("due", items)
            else voice.say(
                "I was away from {start} to {end}; nothing is due today.",
                start=voice.moment(datetime.fromisoformat(away["from"])),
                end=voice.moment(datetime.fromisoformat(away["to"])),
            )
        )
    names = {member: voice.who(member) for member in said.notice.values.get("duty", ())}
    if items or said.ticks:
        day = voice.day(voice.today)
        if all(item.kind is Work.WELL for item in items):
            lines.append(voice.say("{day}, all done:", day=day))
        elif names:
            names_said = voice.listed(names.values())
            lines.append(voice.say("{day}. On duty: {names}.", day=day, names=names_said))
        elif any(item.kind in PERSONAL for item in items):
            lines.append(voice.say("{day}. Nobody is on duty: who can?", day=day))
        else:
            lines.append(voice.say("{day}, for everybody:", day=day))
    lines += work_lines(items, voice)
    below = ticked(said.ticks, voice) + _week(said.notice.values.get("week"), voice)
    lines = fitted(lines, voice, beside=sum(len(line) + 1 for line in below)) + below
    text = "\n".join(lines) or voice.say("Nothing is due today.")  # all of it fell away
    rows = [row for row in (_done_row(said, voice),) if row]
    return Message(
        text=text,
        rows=(*rows, *_undo_rows(said, voice)),
        mentions=_mentions(text, names, said.people),
    )


def _week(week: Mapping[str, Any] | None, voice: Voice) -> list[str]:
    """Friday's result: what came up, and thanks by name."""
    if not week:
        return []
    lines = []
    if week["came"]:
        crops = [crop for _, crop, _, _ in week["came"]]
        parts = [
            voice.say(
                "{crop} {up} of {seeds}",
                crop=voice.crop(crop) + (f" ({code})" if crops.count(crop) > 1 else ""),
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
    """Return where the members to be alerted are named, each at a place of its own.

    The names stand in the text in the order of `names`, after its first full stop.
    """
    found = []
    at = text.find(". ") + 1
    for member, name in names.items():
        start = text.find(name, at)
        if start < 0:
            continue
        at = start + len(name)
        if member in people:
            found.append(Mention(start=start, length=len(name), person=people[member]))
    return tuple(found)


def _nudge(said: NoticeSaid, voice: Voice) -> Message:
    head = voice.say("Your list for today:")
    if said.ticks and not said.notice.items:
        head = voice.say("Your list for today, all done:")
    return _own(said, voice, [head, *work_lines(said.notice.items, voice)])


def _own(said: NoticeSaid, voice: Voice, lines: list[str]) -> Message:
    """One person's list: what is left of it, what was done, and the buttons for the rest."""
    below = ticked(said.ticks, voice)
    lines = fitted(lines, voice, beside=sum(len(line) + 1 for line in below)) + below
    rows = []
    if said.notice.items:
        not_today = Button(voice.say("I can't today"), r.Swap(day=said.notice.on))
        rows.append((*_done_row(said, voice, beside=1), not_today))
    return Message(text="\n".join(lines), rows=(*rows, *_undo_rows(said, voice)))


def _undo_rows(said: NoticeSaid, voice: Voice) -> tuple[tuple[Button, ...], ...]:
    """The way back from a press of this message, while there is one."""
    return () if said.undo is None else (undo_row(voice, said.undo),)


def _risen(said: NoticeSaid, voice: Voice, text: str) -> Message:
    """What rose to somebody else: what is left of it, and what was done since."""
    lines = [text] if said.notice.items else []
    rows = [row for row in (_done_row(said, voice),) if row]
    lines += ticked(said.ticks, voice)
    return Message(
        text="\n".join(lines) or voice.say("Nothing is due today."),
        rows=(*rows, *_undo_rows(said, voice)),
    )


def _again(said: NoticeSaid, voice: Voice) -> Message:
    if said.ticks and not said.notice.items:
        return _nudge(said, voice)
    lines = [
        voice.say(
            "In case the day got busy, this still waits for you: {trays}.",
            trays=trays_of(said.notice.items, voice),
        )
    ]
    left = {item.tray for item in said.notice.items}
    waits = [
        date.fromisoformat(day)
        for tray, day in said.notice.values.get("waits", {}).items()
        if tray in left
    ]
    if waits:
        last = min(waits)
        lines.append(
            voice.say("The mix can wait until {day}.", day=voice.day(last))
            if last > voice.today
            else voice.say("The mix will not last until tomorrow.")
        )
    return _own(said, voice, lines)


def _stand_in(said: NoticeSaid, voice: Voice) -> Message:
    text = voice.say(
        "Nobody has looked at {trays} today, and the mix will not last until tomorrow. "
        "Can you look, or ask somebody?",
        trays=trays_of(said.notice.items, voice),
    )
    return _risen(said, voice, text)


def _rise(said: NoticeSaid, voice: Voice) -> Message:
    text = voice.say(
        "{trays}: the mix will not last until tomorrow, and nobody has looked yet. Who is near?",
        trays=trays_of(said.notice.items, voice),
    )
    return _risen(said, voice, text)


def _reminder(said: NoticeSaid, voice: Voice) -> Message:
    lines = work_lines(said.notice.items, voice)
    return Message(text="\n".join(lines), rows=(_done_row(said, voice),))


def _cold(said: NoticeSaid, voice: Voice) -> Message:
    lines = fitted(work_lines(said.notice.items, voice), voice) + ticked(said.ticks, voice)
    done = Button(voice.say("They are in"), r.Done(notice=said.id, part="in"))
    text = "\n".join(lines) or voice.say("Nothing is due today.")
    return Message(text=text, rows=((done,),) if said.notice.items else ())


def _quiet(said: NoticeSaid, voice: Voice) -> Message:
    since = date.fromisoformat(str(said.notice.values["since"]))
    return Message(
        text=voice.say(
            "I have heard nothing since {day}. I will keep quiet for a week unless you tell me "
            "how to go on.",
            day=voice.day(since),
        ),
        rows=(
            (Button(voice.say("Go on every day"), r.Done(notice=said.id, part="on")),),
            (Button(voice.say("Once a week"), r.SetSite(channel=Channel.WEEKLY)),),
            (Button(voice.say("Pause"), r.SetSite(channel=Channel.PAUSED)),),
        ),
        once=True,
    )


WORDS: Words = {NoticeSaid: notice}
