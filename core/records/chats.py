"""Where a group talks."""

from __future__ import annotations

from sqlalchemy import select
from sqlalchemy.orm import Session

from core.records import models as m


def platforms_of(session: Session, group_id: int) -> tuple[str, ...]:
    """Return the messengers a group talks on, so that a code can lead back there."""
    return tuple(
        session.scalars(
            select(m.Chat.platform)
            .where(m.Chat.group_id == group_id)
            .distinct()
            .order_by(m.Chat.platform)
        )
    )


def wishes_with_language(
    session: Session, group_id: int, after: object
) -> list[tuple[m.Wish, str, str | None]]:
    """Return (wish, member's name, their language) of the wishes that stand, first ones first.

    Wishes of members who have left are left out; a language of None is the group's.
    """
    rows = session.execute(
        select(m.Wish, m.Member.name, m.Person.language)
        .join(m.Member, m.Member.id == m.Wish.member_id)
        .outerjoin(m.Person, m.Person.id == m.Member.person_id)
        .where(
            m.Wish.group_id == group_id,
            m.Wish.ended_at.is_(None),
            m.Wish.made_at > after,
            m.Member.left_at.is_(None),
        )
        .order_by(m.Wish.made_at, m.Wish.id)
    )
    return [(wish, name, language) for wish, name, language in rows]
