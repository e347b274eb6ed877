"""First words: founding a group, meeting members, the first minute, help."""

from __future__ import annotations

from sqlalchemy.orm import Session

from core.errors import WhichGroup
from core.folding import fold
from core.handlers import first_minute as fm
from core.handlers.rights import ask_first, coordinators_only
from core.languages import LANGUAGES
from core.records import models as m
from core.records import people, snapshot
from core.records.acts import lock_group
from core.replies.base import Reply
from core.replies.start import (
    Followed,
    FrostExplained,
    HelpShown,
    Introduced,
    SetUpPaused,
    StrangerMet,
    Welcomed,
)
from core.requests import Help, ShowTray, Start
from core.scene import Scene, Standing

TRAY_LINK = "tray-"

# words of the buttons of the first minute, after `/start`
SET_UP = "setup"
LATER = "later"
SKIP = "skip-"
FROST_UNKNOWN = "frost-unknown"


def start(request: Start, scene: Scene, session: Session) -> Reply:
    """Meet whoever speaks: found the group, go on with its set-up, or say what can be done.

    Raises CoordinatorsOnly for a set-up button pressed by another, WhichGroup for a tray's link
    opened by a member of several groups, and TrayUnknown.
    """
    payload = fold(request.payload or "")
    if not scene.private and scene.group_id is None:
        return _found(scene, session)
    if scene.group_id is not None and scene.member_id is not None:
        if payload.startswith(TRAY_LINK):
            return _tray(payload, scene, session)
        if payload in (SET_UP, LATER, FROST_UNKNOWN) or payload.startswith(SKIP):
            return _set_up(payload, scene, session)
        group = session.get_one(m.Group, scene.group_id)
        if scene.coordinator and fm.guided(group):
            return fm.ask_next(session, scene, group)
    return _welcome(payload, scene, session)


def _found(scene: Scene, session: Session) -> Reply:
    ask_first(scene, session)
    chat = session.get_one(m.Chat, scene.chat_id, with_for_update=True)
    group = people.found_group(session, chat.title or "Seedlings", scene.now)
    chat.group_id = group.id
    person = session.get(m.Person, scene.person_id) if scene.person_id else None
    if scene.language in LANGUAGES:
        group.language = scene.language
    if person is not None:
        group.language = person.language or group.language
        admin = scene.standing is Standing.ADMIN  # as long as the messenger says so
        founder = people.join(
            session, group.id, person, person.name, scene.now, coordinator=not admin
        )
        founder.runs_chat = admin
    look_again(group, scene)
    return Introduced(name=group.name, coordinator=person is not None)


def look_again(group: m.Group, scene: Scene) -> None:
    """Say when the group's day is next looked at: after founding, and when its hours change."""
    from core.due.hours import next_look

    group.next_look_at = next_look(snapshot.site_of(group), scene.now)


def _tray(payload: str, scene: Scene, session: Session) -> Reply:
    from core.handlers.looks import tray

    return tray(ShowTray(tray=payload.removeprefix(TRAY_LINK).upper()), scene, session)


def _set_up(payload: str, scene: Scene, session: Session) -> Reply:
    assert scene.group_id is not None
    coordinators_only(scene, session)
    group = lock_group(session, scene.group_id)
    if payload == LATER:
        return SetUpPaused(left=fm.pause(session, scene, group))
    if payload == SET_UP:
        fm.guide(group, True, again=not fm.unanswered(session, group))
        return fm.ask_next(session, scene, group)
    fm.guide(group, True)
    if payload == FROST_UNKNOWN:
        fm.mark(group, "open", "frost")
        return Followed(
            reply=FrostExplained(),
            following=fm.ask_next(session, scene, group),
            language=group.language,
            fahrenheit=group.fahrenheit,
            inches=group.inches,
        )
    step = payload.removeprefix(SKIP)
    if step in fm.STEPS and step in fm.unanswered(session, group):
        fm.mark(group, "skipped", step)
    return fm.ask_next(session, scene, group)


def _welcome(payload: str, scene: Scene, session: Session) -> Reply:
    groups = people.groups_of(session, scene.person_id) if scene.person_id is not None else []
    if not scene.private and scene.group_id is not None:
        groups = [session.get_one(m.Group, scene.group_id)]
    if not groups:
        return StrangerMet()
    if payload.startswith(TRAY_LINK) and scene.group_id is None:
        raise WhichGroup(groups=tuple((group.id, group.name) for group in groups))
    if scene.group_id is None:
        return Welcomed(groups=tuple(g.name for g in groups), due=None, private=scene.private)
    from core.due.open_work import due_items

    garden = snapshot.garden(session, scene.group_id, scene.today)
    items = due_items(garden, scene.today)
    mine = [
        item
        for item in items
        if item.tray and scene.member_id in garden.on_duty(scene.today, item.tray)
    ]
    group = session.get_one(m.Group, scene.group_id)
    return Welcomed(
        groups=tuple(g.name for g in groups),
        due=len(items),
        mine=len(mine),
        private=scene.private,
        to_set_up=fm.unanswered(session, group, passed=True) if scene.coordinator else (),
    )


def help_(request: Help, scene: Scene, session: Session) -> Reply:
    """Show all commands, or how to say one."""
    return HelpShown(topic=request.topic, coordinator=scene.coordinator, private=scene.private)
