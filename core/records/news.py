"""Tell other processes that the outbox has something new, where the database can: PostgreSQL.

The word is spoken when the transaction commits. Whoever misses it finds the row at its next look.
"""

from __future__ import annotations

from sqlalchemy import text
from sqlalchemy.orm import Session

CHANNEL = "traywarden_outbox"
_NOTIFY = text(f"NOTIFY {CHANNEL}")


def announce(session: Session) -> None:
    """Say that a message was put into the outbox."""
    if session.get_bind().dialect.name == "postgresql":
        session.execute(_NOTIFY)
