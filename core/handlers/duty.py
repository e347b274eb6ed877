"""Who looks after what on which days, and who is away."""

from __future__ import annotations

from datetime import date, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from core.errors import MemberUnknown
from core.folding import fold
from core.group.cover import cover, duty_days
from core.group.garden import Garden
from core.handlers.aim import trays_meant
from core.handlers.rights import coordinators_only
from core.records import models as m
from core.records import people, snapshot
from core.replies.base import Reply
from core.replies.duty import AwayListed, AwaySaid, DutyChanged, RotaShown
from core.requests import NOWHERE, SetAway, SetDuty, Where
from core.scene import Scene
from core.set_up_errors import DatesReversed, DutyUnclear

ME = "me"
OPEN_END = timedelta(days=365)  # an absence without a last day lasts so long, or until ended


def members_meant(
    session: Session, scene: Scene, who: tuple[str, ...], *, set_by_others: bool = False
) -> list[m.Member]:
    """Return the members of some names, `me` the speaker.

    Raises MemberUnknown, and CoordinatorsOnly when somebody else's is to be set by one who is
    no coordinator.
    """
    assert scene.group_id is not None
    assert scene.member_id is not None
    found: list[m.Member] = []
    for name in who or (ME,):
        member = (
            session.get_one(m.Member, scene.member_id)
            if fold(name) == ME
            else people.member_named(session, scene.group_id, name)
        )
        if member is None:
            known = snapshot.members(session, scene.group_id)
            raise MemberUnknown(name=name, known=tuple(one.name for one in known.values()))
        if member not in found:
            found.append(member)
    if not set_by_others and any(member.id != scene.member_id for member in found):
        coordinators_only(scene, session)
    return found


def set_duty(request: SetDuty, scene: Scene, session: Session) -> Reply:
    """Give or take away duty, or show the rota.

    Raises MemberUnknown, CoordinatorsOnly, DutyUnclear, TrayUnknown, ShelfUnknown.
    """
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    if request == SetDuty():
        return _rota(garden, scene.today)
    found = members_meant(session, scene, request.who)
    names = tuple(member.name for member in found)
    trays = _trays(garden, request.where)
    if request.off:
        ended = [_take_off(session, scene, member, request, trays) for member in found]
        if not any(ended):
            raise DutyUnclear(who=names, reason="none")
    else:
        if not request.weekdays and not request.days:
            raise DutyUnclear(who=names, reason="days")
        for day in request.days:
            if day < scene.today:
                raise DatesReversed(first=day, last=day, past=True)
        for member in found:
            _give(session, scene, member, request, trays)
    session.flush()
    after = snapshot.garden(session, scene.group_id, scene.today)
    ids = {member.id for member in found}
    return DutyChanged(
        who=names,
        weekdays=request.weekdays,
        days=request.days,
        trays=trays,
        off=request.off,
        now=tuple(d for d in after.duties if d.member in ids and not _over(d.day, scene.today)),
        cover=cover(after, scene.today),
    )


def _over(day: date | None, today: date) -> bool:
    return day is not None and day < today


def _trays(garden: Garden, where: Where) -> tuple[str, ...]:
    if where == NOWHERE or where.everything:
        return ()
    return trays_meant(garden, where)


def _give(
    session: Session, scene: Scene, member: m.Member, request: SetDuty, trays: tuple[str, ...]
) -> None:
    """Add weekdays to the member's row for those trays; add single days not there yet."""
    rows = _rows(session, member)
    words = " ".join(trays)
    if request.weekdays:
        digits = "".join(str(day) for day in sorted(set(request.weekdays)))
        same = next((r for r in rows if r.on_day is None and r.trays == words), None)
        if same is not None:
            same.weekdays = "".join(sorted(set(same.weekdays) | set(digits)))
        else:
            session.add(_row(scene, member.id, weekdays=digits, trays=words))
    for day in dict.fromkeys(request.days):
        if not any(r.on_day == day and r.trays == words for r in rows):
            session.add(_row(scene, member.id, day=day, trays=words))


def _row(
    scene: Scene, member: int, *, weekdays: str = "", day: date | None = None, trays: str = ""
) -> m.Duty:
    assert scene.group_id is not None
    return m.Duty(
        group_id=scene.group_id,
        member_id=member,
        weekdays=weekdays,
        on_day=day,
        trays=trays,
        instead_of=False,
        ended_at=None,
    )


def _rows(session: Session, member: m.Member) -> list[m.Duty]:
    return list(
        session.scalars(
            select(m.Duty)
            .where(m.Duty.member_id == member.id, m.Duty.ended_at.is_(None))
            .order_by(m.Duty.id)
        )
    )


def _take_off(
    session: Session, scene: Scene, member: m.Member, request: SetDuty, trays: tuple[str, ...]
) -> bool:
    """End what is named of a member's duty, all of it when no day is; whether there was any.

    A single day off the weekly rota is a day's absence.
    """
    words = " ".join(trays)
    rows = [r for r in _rows(session, member) if not trays or r.trays == words]
    ended = False
    for row in rows:
        if row.on_day is not None:
            if row.on_day in request.days or not (request.days or request.weekdays):
                row.ended_at, ended = scene.now, True
        elif not request.days:
            kept = sorted(set(row.weekdays) - {str(day) for day in request.weekdays})
            if not request.weekdays or not kept:
                hit = not request.weekdays or any(
                    str(day) in row.weekdays for day in request.weekdays
                )
                row.ended_at = scene.now if hit else row.ended_at
                ended = ended or hit
            elif len(kept) < len(row.weekdays):
                row.weekdays, ended = "".join(kept), True
    for day in request.days:
        if any(r.on_day is None and str(day.weekday()) in r.weekdays for r in rows):
            session.add(_absence(scene, member.id, day, day))
            ended = True
    return ended


def _absence(scene: Scene, member: int, first: date, last: date) -> m.Absence:
    assert scene.group_id is not None
    return m.Absence(
        group_id=scene.group_id, member_id=member, first_on=first, last_on=last, ended_at=None
    )


def _rota(garden: Garden, today: date) -> RotaShown:
    coming: list[tuple[date, tuple[str, ...] | None]] = []
    for n in range(7):
        day = today + timedelta(days=n)
        names = tuple(
            garden.members[member].name
            for member in garden.on_duty(day)
            if member in garden.members
        )
        coming.append((day, None if garden.closed(day) else names))
    return RotaShown(
        weekly=tuple(d for d in garden.duties if d.day is None and d.member in garden.members),
        days=tuple(
            d
            for d in garden.duties
            if d.day is not None and d.day >= today and d.member in garden.members
        ),
        away=_away(garden, today),
        coming=tuple(coming),
        cover=cover(garden, today),
    )


def _away(garden: Garden, today: date) -> tuple[tuple[str, date, date], ...]:
    return tuple(
        (garden.members[a.member].name, a.first, a.last)
        for a in sorted(garden.absences, key=lambda a: (a.first, a.id))
        if a.last >= today and a.member in garden.members
    )


def set_away(request: SetAway, scene: Scene, session: Session) -> Reply:
    """Note or end an absence, or show who is away.

    Raises MemberUnknown, CoordinatorsOnly, DatesReversed.
    """
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    if request == SetAway():
        return AwayListed(away=_away(garden, scene.today))
    (member,) = members_meant(session, scene, (request.who,) if request.who else ())
    if request.off:
        _back(session, scene, member, request)
        after = snapshot.garden(session, scene.group_id, scene.today)
        return AwaySaid(
            name=member.name,
            first=request.first,
            last=request.last,
            off=True,
            cover=cover(after, scene.today),
        )
    first = request.first or scene.today
    end = min(first, date.max - OPEN_END) + OPEN_END
    last = request.last or end
    if last < first:
        raise DatesReversed(first=first, last=last)
    if last < scene.today:
        raise DatesReversed(first=first, last=last, past=True)
    days = duty_days(garden, member.id, max(first, scene.today), min(last, end))
    if not any(a.member == member.id and a.first <= first and last <= a.last
               for a in garden.absences):  # fmt: skip
        session.add(_absence(scene, member.id, first, last))
        session.flush()
    after = snapshot.garden(session, scene.group_id, scene.today)
    return AwaySaid(
        name=member.name,
        first=first,
        last=last,
        off=False,
        open_end=request.last is None,
        duties=days[:10],
        cover=cover(after, scene.today),
    )


def _back(session: Session, scene: Scene, member: m.Member, request: SetAway) -> None:
    """End the absences that are not over, or those that meet the days named."""
    first = request.first or scene.today
    last = request.last or request.first or date.max
    for row in session.scalars(
        select(m.Absence).where(
            m.Absence.member_id == member.id,
            m.Absence.ended_at.is_(None),
            m.Absence.last_on >= first,
            m.Absence.first_on <= last,
        )
    ):
        if row.first_on < scene.today:
            row.last_on = scene.today - timedelta(days=1)  # the days that were stay
        else:
            row.ended_at = scene.now
    session.flush()
