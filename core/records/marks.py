"""Single remembered values, such as when the messenger was last heard."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy.orm import Session

from core.records import models as m


def get(session: Session, name: str) -> m.Mark | None:
    """Return a mark, or None."""
    return session.get(m.Mark, name)


def put(session: Session, name: str, value: str, at: datetime) -> None:
    """Remember a value under a name."""
    row = session.get(m.Mark, name)
    if row is None:
        session.add(m.Mark(name=name, value=value, at=at))
    else:
        row.value, row.at = value, at
