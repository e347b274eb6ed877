"""Rehearse the coming weeks: what each member would get, before anybody is written to."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta

from sqlalchemy.orm import Session

from core.apart import apart
from core.due.day import GROUP
from core.due.rehearsal import Habit, Heard, rehearse
from core.errors import MemberUnknown, ValueAbsurd
from core.handlers.rights import coordinators_only
from core.records import models as m
from core.records import people
from core.records.notices import read_day
from core.replies.base import Reply
from core.replies.rehearsal import Days, RehearsalSaid
from core.requests import Rehearse
from core.scene import Scene

USUAL_WEEKS, MOST_WEEKS = 2, 26
BUSIEST = 3
"""Days named as the busiest; choice."""


def rehearsal(request: Rehearse, scene: Scene, session: Session) -> Reply:
    """Play the coming weeks on what is read now; nothing is sent or recorded.

    Raises CoordinatorsOnly, MemberUnknown, ValueAbsurd.
    """
    assert scene.group_id is not None
    coordinators_only(scene, session)
    weeks = request.weeks or USUAL_WEEKS
    if not 1 <= weeks <= MOST_WEEKS:
        raise ValueAbsurd(quantity="weeks", given=weeks, lo=1, hi=MOST_WEEKS, unit="")
    group = session.get_one(m.Group, scene.group_id)
    hour = scene.now.replace(minute=0, second=0, microsecond=0)  # the same when asked again
    day = replace(read_day(session, group, scene.now), now=hour)
    members = {member.id: member.name for member in day.garden.members.values()}
    habits = _habits(request, session, scene.group_id, members)
    last = day.today + timedelta(weeks=weeks) - timedelta(days=1)
    first = group.next_look_at if group.next_look_at and group.next_look_at >= hour else None
    played = apart(scene, rehearse, day, last, habits, first=first)
    every = Counter(heard.on for heard in played.heard)
    return RehearsalSaid(
        first=day.today,
        last=last,
        group=_days(played.heard, GROUP),
        own={name: _days(played.heard, member) for member, name in members.items()},
        busiest=tuple(
            sorted((pair for pair in every.items() if pair[1] > 1), key=lambda p: (-p[1], p[0]))[
                :BUSIEST
            ]
        ),
        open_days=played.open_days,
        habits={
            members[member]: habit.value
            for member, habit in habits.items()
            if habit is not Habit.ALWAYS
        },
    )


def _habits(
    request: Rehearse, session: Session, group_id: int, members: dict[int, str]
) -> dict[int, Habit]:
    told = dict(request.habits)
    others = Habit(told.pop("", Habit.ALWAYS))
    found = dict.fromkeys(members, others)
    for name, habit in told.items():
        member = people.member_named(session, group_id, name)
        if member is None:
            raise MemberUnknown(name=name, known=tuple(members.values()))
        found[member.id] = Habit(habit)
    return found


def _days(heard: Iterable[Heard], recipient: int) -> Days:
    """Return the days of one recipient's messages with their numbers."""
    count: Counter[date] = Counter(one.on for one in heard if one.recipient == recipient)
    return tuple(sorted(count.items()))
