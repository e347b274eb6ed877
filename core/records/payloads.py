"""What a platform holds for us or has no room for: files sent before, long button commands."""

from __future__ import annotations

import secrets
from datetime import datetime, timedelta

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from core.records import models as m
from core.records.inbox import ignoring

KEY_BYTES = 16
LONGEST_KEY = 32
KEPT = timedelta(days=8)  # how long a button works


def press_key(session: Session, chat_id: int, command: str, now: datetime) -> str:
    """Return the key under which a button's command is kept for one chat."""
    row = session.scalars(
        select(m.Press).where(m.Press.chat_id == chat_id, m.Press.command == command).limit(1)
    ).first()
    if row is None:
        row = m.Press(
            key=secrets.token_urlsafe(KEY_BYTES), chat_id=chat_id, command=command, made_at=now
        )
        session.add(row)
    row.made_at = now
    session.flush()
    return row.key


def pressed_command(session: Session, chat_id: int, key: str, now: datetime) -> str | None:
    """Return the command kept for a chat under a key, unless it is too old."""
    return session.scalars(
        select(m.Press.command).where(
            m.Press.key == key, m.Press.chat_id == chat_id, m.Press.made_at > now - KEPT
        )
    ).one_or_none()


def file_ref(session: Session, platform: str, digest: str) -> str | None:
    """Return the platform's own name of a file it was sent before."""
    return session.scalars(
        select(m.SentFile.file_ref).where(
            m.SentFile.platform == platform, m.SentFile.digest == digest
        )
    ).one_or_none()


def keep_file(session: Session, platform: str, digest: str, ref: str, now: datetime) -> None:
    """Remember the platform's name of a file."""
    session.execute(
        ignoring(session, m.SentFile).values(
            platform=platform, digest=digest, file_ref=ref, made_at=now
        )
    )


def drop_file(session: Session, platform: str, digest: str) -> None:
    """Forget a name the platform no longer knows."""
    session.execute(
        delete(m.SentFile).where(m.SentFile.platform == platform, m.SentFile.digest == digest)
    )
