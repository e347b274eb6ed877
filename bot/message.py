"""One message on its way to a chat: words, buttons, mentions, and what is to be drawn.

Plain data, so that it can lie in the outbox: pictures and files are named by what they show and
drawn when they are sent.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from bot.grammar import render
from core.requests import Request, Undo


@dataclass(frozen=True, slots=True)
class Button:
    """A label in words and the request that a press stands for."""

    label: str
    request: Request

    @property
    def command(self) -> str:
        """The command a member could have typed instead."""
        return render(self.request)


@dataclass(frozen=True, slots=True, kw_only=True)
class Attachment:
    """A picture or file to draw when sent.

    Attributes:
        what: which drawing, a name of bot/pictures or bot/papers (`tray`, `curve`, `labels` ...).
        values: what it needs, plain JSON values.
        name: file name.
        picture: shown as a picture, not as a file.
    """

    what: str
    name: str
    values: Mapping[str, Any] = field(default_factory=dict)
    picture: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Mention:
    """The words from `start`, `length` characters long, name a person to be alerted."""

    start: int
    length: int
    person: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Message:
    """What one reply or notice says.

    Attributes:
        alone: where it answers a press it is shown to the presser alone: `TOAST` for a moment,
            `ALERT` until they close it.
        once: its buttons go when one of them has been pressed.
        hint: it asks for words and has no button; what an empty field of an app shows.
        fold: lines that a messenger may fold away: what a figure rests on, and who says so.
        mark: an emoji set on what was said, in place of these words where the messenger can.
    """

    text: str
    rows: tuple[tuple[Button, ...], ...] = ()
    attachments: tuple[Attachment, ...] = ()
    mentions: tuple[Mention, ...] = ()
    alone: str = ""
    once: bool = False
    mark: str = ""
    fold: tuple[str, ...] = ()
    hint: str = ""

    def body(self, about: int | None = None) -> dict[str, Any]:
        """Return the message as JSON values for the outbox.

        `about`: the group that its buttons act on, where the chat does not tell: in private.
        """
        body: dict[str, Any] = {"text": self.text}
        if self.rows:
            body["buttons"] = [
                [[b.label, carried(b.command, about)] for b in row] for row in self.rows
            ]
        if self.attachments:
            body["attachments"] = [
                {"what": a.what, "name": a.name, "values": dict(a.values), "picture": a.picture}
                for a in self.attachments
            ]
        if self.mentions:
            body["mentions"] = [[m.start, m.length, m.person] for m in self.mentions]
        if self.once and self.rows:
            body["once"] = True
        if self.mark:
            body["mark"] = self.mark
        if self.hint and not self.rows:
            body["hint"] = self.hint[:MOST_HINT]
        folded = [[at, len(line)] for line in self.fold if (at := _line_at(self.text, line)) >= 0]
        if folded:
            body["folded"] = folded
        return body


def _line_at(text: str, line: str) -> int:
    """Return where a whole line begins in a text; -1 where it is not in it."""
    at = f"\n{text}\n".find(f"\n{line}\n")
    return at if line else -1


TOAST, ALERT = "toast", "alert"
DONE_MARK = "👍"
"""One of the few marks that a bot may set."""
MOST_HINT = 64
"""Characters of an empty field's hint; published of ForceReply."""
MOST_ALONE = 200
"""Characters that a messenger shows to one person beside a chat."""


KEPT_MARK = "#"  # of what a button carries that stands for a command kept in the records
_ABOUT = re.compile(r"~(\d{1,18}) ")


def carried(command: str, about: int | None) -> str:
    """Return what a button carries: a command, and the group it is about where that is said."""
    return command if about is None else f"~{about} {command}"


def pressed(payload: str) -> tuple[int | None, str]:
    """Return the group, if one is said, and the command that a button carries."""
    found = _ABOUT.match(payload)
    return (int(found[1]), payload[found.end() :]) if found else (None, payload)


def joined(messages: list[Message], undo_all: str = "") -> Message:
    """Return several answers as one message: texts below each other, buttons in order.

    Reports of one message are taken back together by a first button labelled `undo_all`.
    """
    if len(messages) == 1:
        return messages[0]
    text = ""
    mentions: list[Mention] = []
    for message in messages:
        message = _said_once(message, text)
        if text:
            text += "\n"
        mentions += [
            Mention(start=m.start + len(text), length=m.length, person=m.person)
            for m in message.mentions
        ]
        text += message.text
    return Message(
        text=text,
        rows=_told_apart(
            tuple(row for message in messages for row in message.rows)[:MOST_ROWS], undo_all
        ),
        attachments=tuple(a for message in messages for a in message.attachments),
        mentions=tuple(mentions),
        fold=tuple(line for message in messages for line in message.fold),
        hint=messages[-1].hint,
        mark=messages[0].mark if all(message.mark for message in messages) else "",
    )


CAUTION = "⚠"


def _said_once(message: Message, before: str) -> Message:
    """Leave out the cautions that were said above in the same message."""
    said = set(before.split("\n"))
    lines = message.text.split("\n")
    kept = [line for line in lines if not (line.startswith(CAUTION) and line in said)]
    if len(kept) == len(lines) or message.mentions:
        return message
    return replace(message, text="\n".join(kept))


MOST_ROWS = 8


def told_of(message: Message, group: str) -> Message:
    """Return a message that begins with the group it is about, for a member of several."""
    lead = f"{group}: "
    moved = (replace(one, start=one.start + len(lead)) for one in message.mentions)
    return replace(message, text=lead + message.text, mentions=tuple(moved))


def _told_apart(
    rows: tuple[tuple[Button, ...], ...], undo_all: str
) -> tuple[tuple[Button, ...], ...]:
    """Name the report on each of several buttons that would all read "Undo"."""
    undo = [b for row in rows for b in row if isinstance(b.request, Undo) and b.request.report]
    if len(undo) < 2:
        return rows
    codes = [b.request.report for b in undo if isinstance(b.request, Undo) and b.request.report]
    whole = Button(undo_all, Undo(report=codes[0], also=tuple(codes[1:])))
    first = ((whole,),) if undo_all else ()
    named = tuple(
        tuple(
            replace(b, label=f"{b.label} {b.request.report}")
            if isinstance(b.request, Undo) and b.request.report and b.request.report not in b.label
            else b
            for b in row
        )
        for row in rows
    )
    return (*first, *named)[:MOST_ROWS]
