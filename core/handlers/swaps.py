"""A duty day offered to the others, and taken: once, and by somebody else."""

from __future__ import annotations

from datetime import date, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from core.due.day import GROUP
from core.group.cover import duty_days
from core.group.garden import DutyOf, Garden
from core.records import models as m
from core.records import snapshot
from core.replies.base import Option, Reply
from core.replies.duty import SwapDays, SwapOffered, SwapTaken
from core.requests import Swap
from core.scene import Scene
from core.set_up_errors import AwayThen, NotOnDuty, SwapGone

KIND = "swap"
AHEAD = timedelta(days=28)


def swap(request: Swap, scene: Scene, session: Session) -> Reply:
    """Offer one of one's duty days, or take an offered one.

    Raises NotOnDuty, SwapGone, AwayThen.
    """
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    if request.take is not None:
        return _take(request.take, garden, scene, session)
    return _offer(request.day, garden, scene, session)


def _offer(day: date | None, garden: Garden, scene: Scene, session: Session) -> Reply:
    assert scene.member_id is not None
    assert scene.group_id is not None
    days = duty_days(garden, scene.member_id, scene.today, scene.today + AHEAD)
    if day is None and days:
        return SwapDays(
            question="swap_day",
            options=tuple(
                Option(kind="swap_day", request=Swap(day=one), values={"day": one})
                for one in days[:6]
            ),
        )
    if day is None or day not in days:
        raise NotOnDuty(day=day, days=days[:6])
    trays = _trays_of(garden, scene.member_id, day)
    row = session.scalars(
        select(m.Notice).where(
            m.Notice.group_id == scene.group_id,
            m.Notice.recipient == GROUP,
            m.Notice.kind == KIND,
            m.Notice.subject == f"member {scene.member_id}",
            m.Notice.on_day == day,
        )
    ).one_or_none()
    if row is None:
        row = m.Notice(
            group_id=scene.group_id,
            recipient=GROUP,
            kind=KIND,
            subject=f"member {scene.member_id}",
            on_day=day,
            made_at=scene.now,
            body={},
            answered_at=None,
            answered_by_id=None,
        )
        session.add(row)
    row.body = {"member": scene.member_id, "day": day.isoformat(), "trays": list(trays)}
    row.answered_at = row.answered_by_id = None  # taken back since, as the day is one's own again
    session.flush()
    said = SwapOffered(
        offer=row.id, name=garden.members[scene.member_id].name, day=day, trays=trays
    )
    if not scene.private:
        return said
    return SwapOffered(
        offer=row.id, name=said.name, day=day, trays=trays, private=True, for_group=said
    )


def _trays_of(garden: Garden, member: int, day: date) -> tuple[str, ...]:
    """Return the trays a member looks after on a day; () = all."""
    mine = [d for d in _standing(garden, day) if d.member == member]
    if any(not d.trays for d in mine):
        return ()
    return tuple(dict.fromkeys(tray for d in mine for tray in d.trays))


def _standing(garden: Garden, day: date) -> list[DutyOf]:
    """Return the duties that hold on a day, absences aside."""
    fits = [
        d for d in garden.duties if d.day == day or (d.day is None and day.weekday() in d.weekdays)
    ]
    if any(d.instead_of for d in fits):
        fits = [d for d in fits if d.day is not None]
    return fits


def _take(offer: int, garden: Garden, scene: Scene, session: Session) -> Reply:
    assert scene.member_id is not None
    row = session.get(m.Notice, offer)
    if row is None or row.group_id != scene.group_id or row.kind != KIND:
        raise SwapGone(reason="unknown")
    member, day = int(row.body["member"]), date.fromisoformat(row.body["day"])
    if row.answered_at is not None:
        taker = garden.members.get(row.answered_by_id or 0)
        raise SwapGone(reason="taken", by=taker.name if taker else None, day=day)
    if day < scene.today:
        raise SwapGone(reason="past", day=day)
    if member == scene.member_id:
        raise SwapGone(reason="own", day=day)
    if member not in garden.members or member not in garden.on_duty(day):
        raise SwapGone(reason="unknown")
    if garden.away(scene.member_id, day):
        raise AwayThen(name=garden.members[scene.member_id].name, day=day)
    trays = tuple(row.body["trays"])
    _settle_day(garden, day, member, scene, trays, session)
    row.answered_at, row.answered_by_id = scene.now, scene.member_id
    session.flush()
    said = SwapTaken(
        name=garden.members[member].name,
        by=garden.members[scene.member_id].name,
        day=day,
        trays=trays,
    )
    if not scene.private:
        return said
    return SwapTaken(name=said.name, by=said.by, day=day, trays=trays, for_group=said)


def _settle_day(
    garden: Garden,
    day: date,
    member: int,
    scene: Scene,
    trays: tuple[str, ...],
    session: Session,
) -> None:
    """Write that one day's rota out: the others' as it stands, and the taker for the member."""
    kept = [d for d in _standing(garden, day) if d.member != member]
    for row in session.scalars(
        select(m.Duty).where(
            m.Duty.group_id == garden.site.group_id,
            m.Duty.on_day == day,
            m.Duty.ended_at.is_(None),
        )
    ):
        row.ended_at = scene.now
    assert scene.member_id is not None
    wanted = [(d.member, d.trays) for d in kept] + [(scene.member_id, trays)]
    for who, theirs in dict.fromkeys(wanted):
        session.add(
            m.Duty(
                group_id=garden.site.group_id,
                member_id=who,
                weekdays="",
                on_day=day,
                trays=" ".join(theirs),
                instead_of=True,
                ended_at=None,
            )
        )
