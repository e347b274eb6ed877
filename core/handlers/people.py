"""Members of the group, one's own settings, export, and being forgotten."""

from __future__ import annotations

from sqlalchemy import delete, func, or_, select, update
from sqlalchemy.orm import Session

from core.errors import MemberUnknown, NameTaken, NotMember, WhoAreYou
from core.folding import name_of
from core.handlers.name_cautions import name_cautions
from core.handlers.rights import coordinates
from core.languages import LANGUAGES
from core.records import forgetting, people, snapshot
from core.records import models as m
from core.replies.base import Reply
from core.replies.people import (
    Exported,
    ExportInPrivate,
    ForgetAsked,
    Forgotten,
    MemberRemoved,
    MemberSaid,
    MembersListed,
    MeSaid,
)
from core.requests import Export, ForgetMe, Me, SetMember
from core.scene import Scene
from core.set_up_errors import LanguageUnknown, LastCoordinator

FORMER = "former member"


def set_member(request: SetMember, scene: Scene, session: Session) -> Reply:
    """List members, or add, rename, promote or remove one.

    Raises MemberUnknown, NameTaken, LastCoordinator.
    """
    assert scene.group_id is not None
    if request.name is None:
        return MembersListed(members=tuple(snapshot.members(session, scene.group_id).values()))
    member = people.member_named(session, scene.group_id, request.name)
    if request.added and member is None:
        return _added(request.name, scene.group_id, scene, session)
    if member is None:
        known = snapshot.members(session, scene.group_id)
        raise MemberUnknown(name=request.name, known=tuple(one.name for one in known.values()))
    leaving = request.removed or request.coordinator is False
    if leaving and member.coordinates and _coordinators(session, scene.group_id) == 1:
        raise LastCoordinator(name=member.name)
    if request.removed:
        return MemberRemoved(name=member.name, duties=leave(session, scene, member))
    changed: list[str] = []
    was = member.name
    if request.new_name is not None:
        _rename(session, member, request.new_name)
        changed.append("name")
    if request.coordinator is not None:
        member.coordinator = request.coordinator
        changed.append("coordinator")
    session.flush()
    return MemberSaid(
        member=snapshot.members(session, scene.group_id)[member.id],
        changed=tuple(changed),
        was=was if was != member.name else None,
        cautions=name_cautions(
            session, scene.group_id, member.name if was != member.name else None
        ),
    )


def _added(name: str, group_id: int, scene: Scene, session: Session) -> Reply:
    """Put somebody on the list who has not spoken here; at their first word they are known."""
    row = people.join(session, group_id, None, name, scene.now)
    return MemberSaid(
        member=snapshot.members(session, group_id)[row.id], changed=("added",), was=None,
        cautions=name_cautions(session, group_id, row.name),
    )  # fmt: skip


def _coordinators(session: Session, group_id: int) -> int:
    return (
        session.scalar(
            select(func.count()).where(
                m.Member.group_id == group_id, m.Member.coordinates, m.Member.left_at.is_(None)
            )
        )
        or 0
    )


def _rename(session: Session, member: m.Member, wanted: str) -> None:
    name = name_of(wanted)
    other = people.member_named(session, member.group_id, name)
    if not name or (other is not None and other.id != member.id):
        raise NameTaken(kind="member", name=name)
    if member.name != name:
        member.former_names = [*member.former_names, member.name]
    member.name = name


def leave(session: Session, scene: Scene, member: m.Member) -> int:
    """End a membership with its duties, absences and wishes; return how many duties ended."""
    member.left_at = scene.now
    member.coordinator = member.runs_chat = False
    duties = session.scalars(
        select(m.Duty).where(m.Duty.member_id == member.id, m.Duty.ended_at.is_(None))
    ).all()
    for duty in duties:
        duty.ended_at = scene.now
    session.execute(delete(m.Reminder).where(m.Reminder.member_id == member.id))
    for model in (m.Absence, m.Wish):
        session.execute(
            update(model)
            .where(model.member_id == member.id, model.ended_at.is_(None))
            .values(ended_at=scene.now)
        )
    if member.person_id is not None:
        session.execute(
            update(m.Person)
            .where(m.Person.id == member.person_id, m.Person.private_group_id == member.group_id)
            .values(private_group_id=None)
        )
    session.flush()
    return len(duties)


def me(request: Me, scene: Scene, session: Session) -> Reply:
    """Change or show one's own settings.

    Raises WhoAreYou, LanguageUnknown, NameTaken, NotMember.
    """
    person = session.get(m.Person, scene.person_id) if scene.person_id is not None else None
    if person is None:
        raise WhoAreYou()
    groups = people.groups_of(session, person.id)
    changed = _set_me(session, request, person, groups)
    session.flush()
    about = person.private_group_id
    if about is None and len(groups) == 1:
        about = groups[0].id
    named = []
    for group in groups:
        member = people.membership(session, group.id, person.id)
        named.append((group.id, group.name, member.name if member else person.name))
    return MeSaid(
        name=person.name,
        language=person.language,
        fahrenheit=person.fahrenheit,
        inches=person.inches,
        reminders=person.reminders,
        quiet_from=person.quiet_from,
        quiet_to=person.quiet_to,
        remind_at=person.remind_at,
        thanks=person.thanks,
        groups=tuple(named),
        about=about,
        changed=changed,
        cautions=name_cautions(session, scene.group_id, person.name if "name" in changed else None),
    )


def _set_me(
    session: Session, request: Me, person: m.Person, groups: list[m.Group]
) -> tuple[str, ...]:
    changed: list[str] = []
    if request.language is not None and request.language not in LANGUAGES:
        raise LanguageUnknown(language=request.language, known=LANGUAGES)
    if request.group is not None:
        if request.group not in {group.id for group in groups}:
            raise NotMember()
        person.private_group_id = request.group
        changed.append("group")
    if request.name is not None:
        for group in groups:
            member = people.membership(session, group.id, person.id)
            if member is not None:
                _rename(session, member, request.name)
        person.name = name_of(request.name) or person.name
        changed.append("name")
    for part, name in (
        ("language", "language"),
        ("fahrenheit", "units"),
        ("inches", "units"),
        ("reminders", "reminders"),
        ("quiet_from", "quiet"),
        ("quiet_to", "quiet"),
        ("remind_at", "hour"),
        ("thanks", "thanks"),
    ):
        value = getattr(request, part)
        if value is not None:
            setattr(person, part, value)
            if name not in changed:
                changed.append(name)
    return tuple(changed)


def forget_me(request: ForgetMe, scene: Scene, session: Session) -> Reply:
    """Take the speaker's name and account out of the records; asks first.

    Reports stay, without a name, so that the group's counts hold. Raises WhoAreYou,
    LastCoordinator where others would be left without a coordinator.
    """
    person = session.get(m.Person, scene.person_id) if scene.person_id is not None else None
    if person is None:
        raise WhoAreYou()
    members = list(session.scalars(select(m.Member).where(m.Member.person_id == person.id)))
    ids = [member.id for member in members]
    reports = (
        session.scalar(select(func.count()).where(or_(m.Act.by_id.in_(ids), m.Act.did_id.in_(ids))))
        or 0
    )
    if not request.sure:
        groups = people.groups_of(session, person.id)
        return ForgetAsked(groups=tuple(group.name for group in groups), reports=reports)
    for member in members:
        if member.left_at is None and member.coordinates:
            others = snapshot.members(session, member.group_id)
            if len(others) > 1 and _coordinators(session, member.group_id) == 1:
                raise LastCoordinator(name=member.name)
    for member in members:
        leave(session, scene, member)
        for name in (member.name, *member.former_names):
            forgetting.erase(session, member.group_id, name, FORMER)
        member.former_names = []
        member.name = people.free_name(session, member.group_id, FORMER)
        member.person_id = None
    _wipe(session, person)
    return Forgotten(reports=reports)


def _wipe(session: Session, person: m.Person) -> None:
    """Empty the account's row and its private chats; row ids stay for their keys.

    The platform's id of a private chat goes with the last message to it:
    core/records/forgetting.py.
    """
    session.execute(delete(m.Dialogue).where(m.Dialogue.person_id == person.id))
    own = select(m.Chat.id).where(m.Chat.person_id == person.id, m.Chat.private)
    session.execute(delete(m.Press).where(m.Press.chat_id.in_(own)))
    forgetting.drop_parked(session, person.platform, person.platform_user)
    session.execute(
        update(m.Chat)
        .where(m.Chat.person_id == person.id, m.Chat.private)
        .values(title=None, person_id=None)
    )
    person.platform_user = f"forgotten-{person.id}"
    person.name = FORMER
    person.username = None
    person.language = None
    person.fahrenheit = None
    person.inches = None
    person.reminders = False
    person.thanks = False
    person.remind_at = None
    person.quiet_from = None
    person.quiet_to = None
    person.private_group_id = None
    session.flush()


def export(request: Export, scene: Scene, session: Session) -> Reply:
    """Say what the files will hold: the group's for a coordinator, one's own for a member."""
    assert scene.group_id is not None
    from core.records.export import counts

    if not scene.private:
        return ExportInPrivate()
    own = not coordinates(scene, session)
    member_id = scene.member_id if own else None
    sowings, reports = counts(session, scene.group_id, member_id)
    group = session.get_one(m.Group, scene.group_id)
    return Exported(
        group_id=group.id,
        group=group.name,
        member_id=member_id,
        own=own,
        sowings=sowings,
        reports=reports,
    )


__all__ = ["leave"]
