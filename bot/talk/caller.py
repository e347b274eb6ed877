"""Who speaks, where, and how they are spoken to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from bot.incoming import ADMIN, Event, Incoming
from bot.message import pressed
from bot.wording.voice import Voice
from core.records import models as m
from core.records import outbox, people, snapshot
from core.scene import Scene, Standing, local_date

JOINING = (
    Event.TEXT, Event.FILE, Event.ADDED, Event.JOINED, Event.EDITED, Event.UNHEARD, Event.PLACE,
    Event.OTHER,
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Caller:
    """The speaker and place of one update, as rows."""

    chat: m.Chat
    person: m.Person | None
    group: m.Group | None
    member: m.Member | None
    groups: Sequence[m.Group] = ()


def find_caller(
    session: Session,
    incoming: Incoming,
    now: datetime,
    standing: Standing = Standing.RECORDED,
) -> Caller:
    """Return who speaks and where; rows are made for what is new.

    Who speaks in a group is its member from then on; who only presses a button there is not.
    """
    known = people.known(session, incoming.platform, incoming.chat, incoming.user)
    chat = people.chat_of(
        session,
        incoming.platform,
        incoming.chat,
        private=incoming.private,
        title=incoming.title,
        row=known.chat,
    )
    if incoming.event is Event.REMOVED:
        chat.dead_since, chat.dead_because = now, "removed"
    elif chat.dead_since is not None:
        chat.dead_since = chat.dead_because = None  # it speaks: it lives
    person = known.person
    if incoming.user is not None and (incoming.private or incoming.event in JOINING):
        person = people.person_of(
            session,
            incoming.platform,
            incoming.user,
            name=incoming.name,
            username=incoming.username,
            now=now,
            row=known.person,
        )
    group, member = known.group, known.member
    groups = [group] if group else []
    if incoming.private:
        if person is not None and chat.person_id is None:
            chat.person_id = person.id
        member_of = people.memberships(session, person.id) if person else []
        groups = [group for group, _ in member_of]
        group, member = member_of[0] if len(member_of) == 1 else (None, None)
        about, said = person.private_group_id if person else None, False
        if incoming.event is Event.PRESS:
            carried, _ = pressed(incoming.text)
            about, said = (carried, True) if carried is not None else (about, False)
        if about is not None:
            chosen = (pair for pair in member_of if pair[0].id == about)
            group, member = next(chosen, (None, None) if said else (group, member))
    if group is not None and person is not None:
        if member is None and not incoming.private and incoming.event in JOINING:
            member = people.join(session, group.id, person, incoming.name, now)
        if member is not None:
            _note_rights(member, incoming, standing)
    return Caller(chat=chat, person=person, group=group, member=member, groups=groups)


def _note_rights(member: m.Member, incoming: Incoming, standing: Standing) -> None:
    """Keep what the messenger says of who runs the chat."""
    if incoming.event is Event.RIGHTS:
        member.runs_chat = incoming.text == ADMIN
    elif standing in (Standing.ADMIN, Standing.PLAIN):
        member.runs_chat = standing is Standing.ADMIN


def said_of(incoming: Incoming, caller: Caller) -> outbox.Said:
    """Return what the answers to an update hang on: in a group, the message and its topic."""
    if incoming.private:
        return outbox.Said()
    asker = caller.member.name if caller.member is not None else incoming.name
    message = incoming.message if incoming.event is not Event.PRESS else None
    return outbox.Said(message=message, thread=incoming.thread, asker=asker or None)


def scene_of(
    caller: Caller,
    incoming: Incoming,
    now: datetime,
    inbox_id: int | None,
    standing: Standing = Standing.RECORDED,
) -> Scene:
    """Return the occasion for the handlers."""
    member = caller.member
    appointed = member is not None and member.coordinator
    recorded = member is not None and member.runs_chat and standing is not Standing.UNKNOWN
    return Scene(
        now=now,
        group_id=caller.group.id if caller.group else None,
        member_id=caller.member.id if caller.member else None,
        person_id=caller.person.id if caller.person else None,
        chat_id=caller.chat.id,
        private=incoming.private,
        coordinator=appointed or recorded,
        appointed=appointed,
        standing=standing,
        zone=caller.group.zone if caller.group else "UTC",
        inbox_id=inbox_id,
        language=incoming.language,
    )


def voice_for(
    session: Session,
    group: m.Group | None,
    person: m.Person | None,
    now: datetime,
    *,
    private: bool,
    bot_name: str = "",
    language: str | None = None,
) -> Voice:
    """Return how to speak: the person's settings in private, the group's in the group."""
    own = person if private else None
    zone = group.zone if group else "UTC"
    members = snapshot.members(session, group.id) if group else {}
    return Voice(
        today=local_date(now, zone),
        language=(own and own.language) or (group and group.language) or language or "en",
        fahrenheit=_units(own.fahrenheit if own else None, group.fahrenheit if group else None),
        inches=_units(own.inches if own else None, group.inches if group else None),
        zone=zone,
        private=private,
        people={member.id: member.name for member in members.values()},
        bot_name=bot_name,
    )


def _units(own: bool | None, of_group: bool | None) -> bool:
    """Return a person's own choice, else the group's."""
    return bool(of_group) if own is None else own
