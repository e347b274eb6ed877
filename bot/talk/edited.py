"""An edited message: what it recorded, what it says now, and one button to change it.

Nothing is changed by the edit itself. What a message recorded is found by the button that would
take it back, in the answer that it got.
"""

from __future__ import annotations

from sqlalchemy import select
from sqlalchemy.orm import Session

from bot.grammar import GrammarContext
from bot.incoming import Incoming
from bot.message import Button, Message, pressed
from bot.reading import read
from bot.wording.pieces.read_back import proposal, read_back
from bot.wording.replies.reports.undone import act_name
from bot.wording.voice import Voice
from core.handlers.undo import line
from core.records import models as m
from core.records.acts import act_numbered
from core.requests import Instead, Nothing, Report, Undo
from core.scene import Scene

LOOKED_THROUGH = 300
"""Updates of the chat before the edit in which the message is looked for."""


def edited(
    session: Session, incoming: Incoming, scene: Scene, voice: Voice, context: GrammarContext
) -> Message | None:
    """Return what the edit would change; None where it is nothing that can be recorded."""
    if scene.group_id is None or scene.member_id is None:
        return None
    acts = [
        act
        for number in recorded_by(session, incoming)
        if (act := act_numbered(session, scene.group_id, number)) is not None
        and act.undone_at is None
    ]
    lines = read(incoming.text, context)
    new = [
        one for said in lines for one in (*said.proposed, said.request) if isinstance(one, Report)
    ]
    if not acts:
        return proposal(tuple(new), voice) if new else None
    was = "; ".join(act_name(line(session, scene, act), voice) for act in acts)
    leave = Button(voice.say("Leave it"), Nothing())
    if len(acts) == 1 and len(new) == 1:
        change = Button(voice.say("Change it"), Instead(report=f"R{acts[0].number}", what=new[0]))
        text = voice.say(
            "You changed your message. Recorded is: {was}. Now I read: {now}. Nothing is changed "
            "yet.",
            was=was,
            now=read_back(new[0], voice),
        )
        return Message(text=text, rows=((change, leave),))
    text = voice.say("You changed your message. Recorded is still: {was}.", was=was)
    back = tuple(
        Button(voice.say("Undo R{act}", act=act.number), Undo(report=f"R{act.number}"))
        for act in acts
    )
    return Message(text=text, rows=(back, (leave,)))


def recorded_by(session: Session, incoming: Incoming) -> list[int]:
    """Return the numbers of the acts that a message recorded, by the answer it got."""
    if incoming.message is None:
        return []
    rows = session.execute(
        select(m.Inbox.update_key, m.Inbox.body)
        .where(
            m.Inbox.platform == incoming.platform,
            m.Inbox.chat == incoming.chat,
            m.Inbox.state == "done",
        )
        .order_by(m.Inbox.id.desc())
        .limit(LOOKED_THROUGH)
    )
    keys = [row.update_key for row in rows if row.body.get("message") == incoming.message]
    found: list[int] = []
    for key in keys:
        answer = session.scalars(
            select(m.Outbox.body).where(m.Outbox.key == f"{incoming.platform}:{key}:0")
        ).first()
        for row in (answer or {}).get("buttons", ()):
            for _, payload in row:
                command = pressed(str(payload))[1]
                code = command.removeprefix("/undo R")
                if code != command and code.isdigit():
                    found.append(int(code))
    return found
