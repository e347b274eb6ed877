"""The last of a forgotten account: its private chat's id, once the farewell is out."""

from __future__ import annotations

from sqlalchemy import delete, exists, select
from sqlalchemy.orm import Session

from core.records import models as m

FORGOTTEN = "forgotten"


def sweep(session: Session) -> int:
    """Take the platform's id out of private chats that belong to nobody; return how many.

    A chat waits until no message to it is due and no update from it is unhandled. Its messages
    and updates go too. A chat that speaks again gets a person again and is left alone.
    """
    chats = session.scalars(
        select(m.Chat).where(
            m.Chat.private,
            m.Chat.person_id.is_(None),
            ~m.Chat.platform_chat.startswith(FORGOTTEN),
            ~exists().where(m.Outbox.chat_id == m.Chat.id, m.Outbox.state.in_(("due", "sending"))),
            ~exists().where(
                m.Inbox.platform == m.Chat.platform,
                m.Inbox.chat == m.Chat.platform_chat,
                m.Inbox.state == "new",
            ),
        )
    ).all()
    for chat in chats:
        session.execute(
            delete(m.Inbox).where(
                m.Inbox.platform == chat.platform, m.Inbox.chat == chat.platform_chat
            )
        )
        session.execute(delete(m.Outbox).where(m.Outbox.chat_id == chat.id))
        chat.platform_chat = f"{FORGOTTEN}-{chat.id}"
        chat.title = None
    session.flush()
    return len(chats)
