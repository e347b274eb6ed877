"""What a press leaves behind: words for the presser alone, and buttons whose work is done."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy.orm import Session

from bot.incoming import Incoming
from bot.message import ALERT, MOST_ALONE, TOAST, Message, pressed
from core.records import outbox

UNDO = "/undo"
WAITED_FOR = timedelta(minutes=1)
"""So long a word that only the presser would see is of use; choice."""
_REPORT = re.compile(r"\bR\d+\b")


def alone(incoming: Incoming, message: Message) -> dict[str, Any]:
    """Return what makes an answer to a press be shown to the presser alone; else nothing.

    A mistake in private stays a message: nobody else reads it there, and it can be read again.
    """
    if incoming.press is None or not message.alone or message.rows or message.attachments:
        return {}
    if len(message.text) > MOST_ALONE or (incoming.private and message.alone == ALERT):
        return {}
    return {"alone": [message.alone, incoming.press, incoming.name]}


def of_no_use_from(message: Message, now: datetime) -> datetime | None:
    """Return the instant from which nobody waits for an answer to a press any more, if any."""
    return now + WAITED_FOR if message.alone == TOAST else None


def take_buttons(session: Session, incoming: Incoming, chat_id: int, now: datetime) -> None:
    """Take the buttons off a message whose question was answered or whose reports are undone."""
    if incoming.message is None:
        return
    bodies = outbox.bodies_of(session, chat_id, incoming.message)
    if len(bodies) != 1 or not _spent(bodies[0], pressed(incoming.text)[1]):
        return
    key = f"{incoming.platform}:{incoming.key}:spent"
    outbox.put(session, key, chat_id, {"text": "", "spent": incoming.message}, now, silent=True)


def _spent(body: dict[str, Any], command: str) -> bool:
    """Whether a message has no button left to press once one of them was pressed."""
    if body.get("once"):
        return True
    every = [pressed(payload)[1] for row in body.get("buttons", ()) for _, payload in row]
    if not every or not all(one.startswith(UNDO) for one in (*every, command)):
        return False
    return set(_REPORT.findall(" ".join(every))) <= set(_REPORT.findall(command))
