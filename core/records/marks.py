"""Single remembered values, such as when the messenger was last heard."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy.orm import Session

from core.records import models as m
from core.records.inbox import ignoring


def get(session: Session, name: str) -> m.Mark | None:
    """Return a mark, or None."""
    return session.get(m.Mark, name)


def put(session: Session, name: str, value: str, at: datetime) -> None:
    """Remember a value under a name; others may be about to do so for the first time as well."""
    session.execute(ignoring(session, m.Mark), {"name": name, "value": value, "at": at})
    row = session.get_one(m.Mark, name)
    row.value, row.at = value, at
