"""Let reminders rest, and go on: of the group, of trays, to a member."""

from __future__ import annotations

from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from core.due.kinds import Channel
from core.group.pauses import FOR_GOOD, rests
from core.handlers.duty import members_meant
from core.handlers.rights import coordinators_only
from core.handlers.start import look_again
from core.records import models as m
from core.records import snapshot
from core.replies.base import Reply
from core.replies.pauses import PauseSaid
from core.requests import SetPause, Where
from core.scene import Scene
from core.set_up_errors import DatesReversed


def set_pause(request: SetPause, scene: Scene, session: Session) -> Reply:
    """Let reminders rest until a day, or end a pause.

    A tray is everybody's; oneself too; the group and other members are the coordinator's.
    Raises TrayUnknown, MemberUnknown, CoordinatorsOnly, DatesReversed.
    """
    until = None if request.off else request.until or FOR_GOOD
    if until is not None and until <= scene.today:
        raise DatesReversed(first=until, last=until, past=True)
    if request.trays:
        return _trays(request, until, scene, session)
    if request.who is not None:
        return _member(request, until, scene, session)
    coordinators_only(scene, session)
    group = session.get_one(m.Group, scene.group_id)
    rested = rests(group.paused_until, scene.today) or group.channel == Channel.PAUSED
    if request.off and group.channel == Channel.PAUSED:
        group.channel = Channel.BOTH
    group.paused_until = until
    look_again(group, scene)
    return PauseSaid(until=request.until, off=request.off, rested=rested)


def _trays(request: SetPause, until: date | None, scene: Scene, session: Session) -> Reply:
    from core.handlers.aim import trays_meant

    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    codes = trays_meant(garden, Where(trays=request.trays))
    rested = any(rests(garden.trays[code].paused_until, scene.today) for code in codes)
    ids = [garden.trays[code].id for code in codes]
    for row in session.scalars(select(m.Tray).where(m.Tray.id.in_(ids))):
        row.paused_until = until
    return PauseSaid(trays=codes, until=request.until, off=request.off, rested=rested)


def _member(request: SetPause, until: date | None, scene: Scene, session: Session) -> Reply:
    (member,) = members_meant(session, scene, (request.who or "",))
    rested = rests(member.paused_until, scene.today)
    member.paused_until = until
    return PauseSaid(
        who=member.name,
        own=member.id == scene.member_id,
        until=request.until,
        off=request.off,
        rested=rested,
    )
