"""Questions that wait for typed words: the answer is read as the rest of a command.

An open dialogue holds the words to put before the answer, such as `/site place `, and behind it,
so that the one grammar reads everything.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from bot.grammar.find_command import find_command
from core.records import models as m

PATIENCE = timedelta(hours=12)


def completed(
    session: Session, chat: m.Chat, person: m.Person | None, text: str, now: datetime
) -> str:
    """Return the text, with an open question's words around it when it answers that.

    Words that begin with a slash, and words that are a command by themselves, are a new command;
    the question stays open.
    """
    if text.lstrip().startswith("/") or person is None or "\n" in text.strip():
        return text
    row = session.scalars(
        select(m.Dialogue)
        .where(
            m.Dialogue.chat_id == chat.id,
            m.Dialogue.person_id == person.id,
            m.Dialogue.ended_at.is_(None),
        )
        .order_by(m.Dialogue.id.desc())
        .limit(1)
    ).first()
    if row is None or now - row.asked_at > PATIENCE or "prefix" not in row.state:
        return text
    if row.kind == "first_minute" and _command(text):
        return text
    suffix = row.state.get("suffix", "")
    return f"{row.state['prefix']}{text.replace(suffix, '') if suffix else text}{suffix}"


def _command(text: str) -> bool:
    """Whether words are a command by themselves, without any slip read into them."""
    found = find_command(text)
    return found is not None and not found.echoes
