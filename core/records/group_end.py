"""Delete a group: its records, its messages, and the accounts that belong to no other group."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import delete, or_, select, update
from sqlalchemy.orm import Session

from core.records import forgetting
from core.records import models as m

GONE = "gone"
_LEFT = ("chats", "groups", "outbox", "inbox", "presses", "dialogues", "members")
"""Tables that are seen to by name: they point at others, or at chats."""


def delete_group(session: Session, group_id: int) -> None:
    """Delete a group with everything in it.

    What its members were told in private keeps no word, and a person who belongs to no other
    group loses name and account as by /forgetme. The chat itself stays known, so that the farewell
    reaches it, and a new group may begin there.
    """
    people = set(
        session.scalars(
            select(m.Member.person_id).where(
                m.Member.group_id == group_id, m.Member.person_id.is_not(None)
            )
        )
    )
    chats = session.scalars(
        select(m.Chat).where(
            or_(m.Chat.group_id == group_id, m.Chat.private & m.Chat.person_id.in_(people))
        )
    ).all()
    _words(session, group_id, chats)
    for table in reversed(m.Base.metadata.sorted_tables):
        if table.name not in _LEFT and "group_id" in table.c:
            session.execute(delete(table).where(table.c.group_id == group_id))
    session.execute(delete(m.Member).where(m.Member.group_id == group_id))
    for chat in chats:
        if chat.group_id == group_id:
            chat.group_id, chat.title = None, None
    session.execute(
        update(m.Person).where(m.Person.private_group_id == group_id).values(private_group_id=None)
    )
    session.flush()
    session.execute(
        delete(m.Group).where(m.Group.id == group_id),
        execution_options={"synchronize_session": False},
    )
    elsewhere = set(session.scalars(select(m.Member.person_id).where(m.Member.left_at.is_(None))))
    for person in session.scalars(select(m.Person).where(m.Person.id.in_(people - elsewhere))):
        _forget(session, person)


def _words(session: Session, group_id: int, chats: Sequence[m.Chat]) -> None:
    """Delete what was said and waits to be said, buttons, and what could not be handled."""
    ids = [chat.id for chat in chats]
    session.execute(
        delete(m.Dialogue).where(or_(m.Dialogue.group_id == group_id, m.Dialogue.chat_id.in_(ids)))
    )
    session.execute(delete(m.Press).where(m.Press.chat_id.in_(ids)))
    said = select(m.Notice.id).where(m.Notice.group_id == group_id)
    of_chats = or_(m.Outbox.chat_id.in_(ids), m.Outbox.notice_id.in_(said))
    session.execute(delete(m.Outbox).where(of_chats, m.Outbox.state.notin_(("sending",))))
    session.execute(update(m.Outbox).where(of_chats).values(notice_id=None))
    for chat in chats:
        session.execute(
            delete(m.Inbox).where(
                m.Inbox.platform == chat.platform,
                m.Inbox.chat == chat.platform_chat,
                m.Inbox.state == "parked",
            )
        )


def _forget(session: Session, person: m.Person) -> None:
    """Empty the row of an account that belongs to no group any more; its private chat is left
    to core/records/forgetting.py."""
    forgetting.drop_parked(session, person.platform, person.platform_user)
    session.execute(
        update(m.Chat).where(m.Chat.person_id == person.id).values(title=None, person_id=None)
    )
    person.platform_user, person.name = f"{GONE}-{person.id}", GONE
    person.username = person.language = None
