"""What a platform holds for us or has no room for: files sent before, long button commands."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from core.records import models as m
from core.records.inbox import ignoring


def press_number(session: Session, command: str, now: datetime) -> int:
    """Return the number under which a button's command is kept."""
    session.execute(ignoring(session, m.Press).values(command=command, made_at=now))
    return session.scalars(select(m.Press.id).where(m.Press.command == command)).one()


def pressed_command(session: Session, number: int) -> str | None:
    """Return the command kept under a number."""
    return session.scalars(select(m.Press.command).where(m.Press.id == number)).one_or_none()


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
