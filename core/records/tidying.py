"""What is kept no longer than it is needed; see core/records/kept.toml for what and why."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import delete, or_, select
from sqlalchemy.orm import Session

from core.records import models as m
from core.records.payloads import KEPT

QUESTION_KEPT = timedelta(days=1)  # a question waits twelve hours for its answer
FILE_KEPT = timedelta(days=30)
REMINDED = timedelta(days=9)  # eight days after its day, wherever on earth that is
MOST = 1000


def tidy(session: Session, now: datetime) -> int:
    """Delete buttons, questions and files' names that have had their time; return how many."""
    old: list[tuple[type[m.Base], Any, Any]] = [
        (m.Press, m.Press.key, m.Press.made_at < now - KEPT),
        (
            m.Dialogue,
            m.Dialogue.id,
            or_(m.Dialogue.ended_at.is_not(None), m.Dialogue.asked_at < now - QUESTION_KEPT),
        ),
        (m.Reminder, m.Reminder.id, m.Reminder.on_day < (now - REMINDED).date()),
        (m.SentFile, m.SentFile.id, m.SentFile.made_at < now - FILE_KEPT),
    ]
    gone = 0
    for model, key, where in old:
        some = select(key).where(where).limit(MOST)
        gone += session.execute(delete(model).where(key.in_(some))).rowcount  # type: ignore[attr-defined]
    return gone
