"""Where what is said unasked goes, and how whoever hears it is spoken to."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy.orm import Session

from bot.message import Message, told_of
from bot.talk.caller import voice_for
from bot.wording.voice import Voice
from core.records import models as m
from core.records import people


@dataclass(frozen=True, slots=True, kw_only=True)
class Addressed:
    """The chat a notice goes to, and whose own chat that is, if anybody's."""

    chat: m.Chat
    person: m.Person | None
    group: m.Group

    @property
    def private(self) -> bool:
        """Whether one person alone reads there."""
        return self.person is not None

    def voice(self, session: Session, now: datetime, bot_name: str) -> Voice:
        """Return how to speak there."""
        return voice_for(
            session, self.group, self.person, now, private=self.private, bot_name=bot_name
        )

    def body(self, session: Session, message: Message) -> dict[str, Any]:
        """Return a message as it goes into the outbox; of several groups, it names its own."""
        if self.person is not None and len(people.groups_of(session, self.person.id)) > 1:
            message = told_of(message, self.group.name)
        return message.body(self.group.id if self.private else None)


def addressed(session: Session, group: m.Group, recipient: int) -> Addressed | None:
    """Return where a notice goes: in private where that is open, else to the group."""
    member = session.get(m.Member, recipient) if recipient else None
    if member is not None and member.person_id is not None:
        own = people.private_chats(session, [member.person_id]).get(member.person_id)
        person = session.get(m.Person, member.person_id)
        if own is not None and person is not None:
            return Addressed(chat=own, person=person, group=group)
    chat = people.group_chat(session, group.id)
    return None if chat is None else Addressed(chat=chat, person=None, group=group)
