"""Chats, accounts, groups and memberships: who is who, and where."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time

from sqlalchemy import and_, bindparam, or_, select, update
from sqlalchemy.orm import Session

from core.folding import fold, name_of
from core.records import models as m

ROUND_AT = time(7, 30)
QUIET_FROM, QUIET_TO = time(21, 0), time(7, 0)

# asked with every update, and therefore made once
_CHAT = select(m.Chat).where(
    m.Chat.platform == bindparam("platform"), m.Chat.platform_chat == bindparam("chat")
)
_PERSON = select(m.Person).where(
    m.Person.platform == bindparam("platform"), m.Person.platform_user == bindparam("user")
)
_MEMBERSHIP = select(m.Member).where(
    m.Member.group_id == bindparam("group"),
    m.Member.person_id == bindparam("person"),
    m.Member.left_at.is_(None),
)
_HERE = (
    select(m.Chat, m.Person, m.Group, m.Member)
    .select_from(m.Chat)
    .outerjoin(
        m.Person,
        and_(m.Person.platform == m.Chat.platform, m.Person.platform_user == bindparam("user")),
    )
    .outerjoin(m.Group, m.Group.id == m.Chat.group_id)
    .outerjoin(
        m.Member,
        and_(
            m.Member.group_id == m.Group.id,
            m.Member.person_id == m.Person.id,
            m.Member.left_at.is_(None),
        ),
    )
    .where(m.Chat.platform == bindparam("platform"), m.Chat.platform_chat == bindparam("chat"))
)
_GROUPS = (
    select(m.Group, m.Member)
    .join(m.Member, m.Member.group_id == m.Group.id)
    .where(
        m.Member.person_id == bindparam("person"),
        m.Member.left_at.is_(None),
        m.Group.closed_at.is_(None),
    )
    .order_by(m.Group.id)
)


@dataclass(frozen=True, slots=True)
class Known:
    """What is on record of a speaker and the place, each None where there is nothing.

    `group` and `member` are those of the chat itself, as it is in a group.
    """

    chat: m.Chat | None = None
    person: m.Person | None = None
    group: m.Group | None = None
    member: m.Member | None = None


def known(session: Session, platform: str, platform_chat: str, user: str | None) -> Known:
    """Return what is on record of a speaker and the place, in one statement."""
    found = session.execute(
        _HERE, {"platform": platform, "chat": platform_chat, "user": user}
    ).one_or_none()
    return Known() if found is None else Known(*found)


def chat_of(
    session: Session,
    platform: str,
    platform_chat: str,
    *,
    private: bool,
    title: str | None = None,
    row: m.Chat | None = None,
) -> m.Chat:
    """Return the row of a chat, made when it is new; `row` when it has been read."""
    if row is None:
        row = session.scalars(_CHAT, {"platform": platform, "chat": platform_chat}).one_or_none()
    if row is None:
        row = m.Chat(
            platform=platform,
            platform_chat=platform_chat,
            private=private,
            title=title,
            thread=None,
            group_id=None,
            person_id=None,
            dead_since=None,
            dead_because=None,
            paused_until=None,
        )
        session.add(row)
        session.flush()
    elif title and row.title != title:
        row.title = title
    return row


def person_of(
    session: Session,
    platform: str,
    user: str,
    *,
    name: str,
    username: str | None,
    now: datetime,
    row: m.Person | None = None,
) -> m.Person:
    """Return the row of an account, made when it is new; `row` when it has been read.

    The username follows the messenger.
    """
    if row is None:
        row = session.scalars(_PERSON, {"platform": platform, "user": user}).one_or_none()
    if row is None:
        row = m.Person(
            platform=platform,
            platform_user=user,
            name=name,
            username=username,
            language=None,
            fahrenheit=None,
            inches=None,
            reminders=True,
            quiet_from=None,
            quiet_to=None,
            private_group_id=None,
            created_at=now,
        )
        session.add(row)
        session.flush()
    elif row.username != username:
        row.username = username
    return row


def found_group(session: Session, name: str, now: datetime, *, demo: bool = False) -> m.Group:
    """Make a group with the usual settings."""
    row = m.Group(
        name=name,
        zone="UTC",
        place=None,
        latitude=None,
        longitude=None,
        language="en",
        fahrenheit=False,
        inches=False,
        round_at=ROUND_AT,
        quiet_from=QUIET_FROM,
        quiet_to=QUIET_TO,
        demo=demo,
        frost=None,
        set_up={},
        next_sowing=1,
        next_act=1,
        next_lot=1,
        created_at=now,
        next_look_at=None,
        looked_at=None,
        closed_at=None,
    )
    session.add(row)
    session.flush()
    return row


def membership(session: Session, group_id: int, person_id: int) -> m.Member | None:
    """Return a person's live membership of a group."""
    return session.scalars(_MEMBERSHIP, {"group": group_id, "person": person_id}).one_or_none()


def join(
    session: Session,
    group_id: int,
    person: m.Person | None,
    name: str,
    now: datetime,
    *,
    coordinator: bool = False,
) -> m.Member:
    """Make a person a member under a name nobody else bears there; one who left comes back.

    Whom a coordinator put on the list under this name is taken to be this person.
    """
    if person is not None:
        row = session.scalars(
            select(m.Member).where(m.Member.group_id == group_id, m.Member.person_id == person.id)
        ).one_or_none()
        if row is not None:
            row.left_at = None
            row.coordinator = row.coordinator or coordinator
            return row
        listed = _listed(session, group_id, name)
        if listed is not None:
            listed.person_id = person.id
            session.flush()
            return listed
    row = m.Member(
        group_id=group_id,
        person_id=None if person is None else person.id,
        name=free_name(session, group_id, name),
        coordinator=coordinator,
        joined_at=now,
        left_at=None,
    )
    session.add(row)
    session.flush()
    return row


def _listed(session: Session, group_id: int, name: str) -> m.Member | None:
    """Return the member without an account who bears a name."""
    rows = session.scalars(
        select(m.Member).where(
            m.Member.group_id == group_id, m.Member.person_id.is_(None), m.Member.left_at.is_(None)
        )
    )
    wanted = fold(name_of(name))
    return next((row for row in rows if fold(row.name) == wanted), None)


def free_name(session: Session, group_id: int, wanted: str) -> str:
    """Return `wanted`, or with a number behind it when somebody in the group bears it."""
    wanted = name_of(wanted) or "member"
    taken = {
        fold(name)
        for name in session.scalars(select(m.Member.name).where(m.Member.group_id == group_id))
    }
    name, number = wanted, 2
    while fold(name) in taken:
        name, number = f"{wanted} {number}", number + 1
    return name


def groups_of(session: Session, person_id: int) -> list[m.Group]:
    """Return the groups a person belongs to, oldest first."""
    return [group for group, _ in memberships(session, person_id)]


def memberships(session: Session, person_id: int) -> list[tuple[m.Group, m.Member]]:
    """Return the groups a person belongs to with the membership, oldest first."""
    return [(row.Group, row.Member) for row in session.execute(_GROUPS, {"person": person_id})]


def group_chat(session: Session, group_id: int) -> m.Chat | None:
    """Return the chat that a group's rounds go to."""
    return session.scalars(
        select(m.Chat)
        .where(m.Chat.group_id == group_id, ~m.Chat.private)
        .order_by(m.Chat.id.desc())
        .limit(1)
    ).first()


def appointed(session: Session, platform: str) -> set[tuple[str, str]]:
    """Return the platform's ids (chat, person) of coordinators who do not run their chat."""
    found = session.execute(
        select(m.Chat.platform_chat, m.Person.platform_user)
        .join(m.Member, m.Member.group_id == m.Chat.group_id)
        .join(m.Person, m.Person.id == m.Member.person_id)
        .where(
            m.Chat.platform == platform,
            m.Chat.private.is_(False),
            m.Chat.dead_since.is_(None),
            m.Member.coordinator.is_(True),
            m.Member.runs_chat.is_(False),
            m.Member.left_at.is_(None),
        )
    )
    return {(row.platform_chat, row.platform_user) for row in found}


def private_chats(session: Session, people: list[int]) -> dict[int, m.Chat]:
    """Return the open private chats of some people, by person id."""
    rows = session.scalars(
        select(m.Chat).where(
            m.Chat.person_id.in_(people), m.Chat.private, m.Chat.dead_since.is_(None)
        )
    )
    return {row.person_id: row for row in rows if row.person_id is not None}


def member_named(session: Session, group_id: int, name: str) -> m.Member | None:
    """Return the live member of a name or @username, case aside."""
    wanted = fold(name_of(name.lstrip("@")))
    rows = session.execute(
        select(m.Member, m.Person.username)
        .outerjoin(m.Person, m.Person.id == m.Member.person_id)
        .where(m.Member.group_id == group_id, m.Member.left_at.is_(None))
    )
    for member, username in rows:
        if fold(name_of(member.name)) == wanted or fold(username or "") == wanted:
            return member
    return None


def rename_chat(session: Session, platform: str, old: str, new: str) -> None:
    """A group chat moved to a new id: rewrite it everywhere in this transaction."""
    if old == new:
        return
    row = session.scalars(
        select(m.Chat).where(m.Chat.platform == platform, m.Chat.platform_chat == old)
    ).one_or_none()
    if row is None:
        return
    other = session.scalars(
        select(m.Chat).where(m.Chat.platform == platform, m.Chat.platform_chat == new)
    ).one_or_none()
    if other is not None:  # the new id was heard first
        session.execute(update(m.Outbox).where(m.Outbox.chat_id == other.id).values(chat_id=row.id))
        session.execute(
            update(m.Dialogue).where(m.Dialogue.chat_id == other.id).values(chat_id=row.id)
        )
        session.flush()
        session.delete(other)
        session.flush()
    row.platform_chat = new
    row.dead_since = None
    row.dead_because = None
    for waiting in session.scalars(
        select(m.Inbox).where(
            m.Inbox.platform == platform,
            m.Inbox.chat == old,
            or_(m.Inbox.state == "new", m.Inbox.state == "parked"),
        )
    ):
        waiting.chat = new
    session.flush()
