"""Days nobody can get in: said, lifted, or read from a calendar file."""

from __future__ import annotations

from datetime import date, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from core.apart import apart
from core.group.cover import cover
from core.records import models as m
from core.records import snapshot
from core.replies.base import Reply
from core.replies.duty import ClosedListed, ClosedSaid, ClosuresImported
from core.requests import SetClosed
from core.scene import Scene
from core.set_up_errors import CalendarUnreadable, DatesReversed, DutyUnclear
from core.trade.closure_file import Closing, ClosureFile, TooMuch, read_closures

LONGEST_LABEL = 80
DAY = timedelta(days=1)


def set_closed(request: SetClosed, scene: Scene, session: Session) -> Reply:
    """Note or lift closures, read a calendar file, or show what stands.

    Raises DatesReversed, CalendarUnreadable, DutyUnclear.
    """
    assert scene.group_id is not None
    if request.file_text is not None:
        return _import(request, scene, session)
    if request == SetClosed(off=request.off):
        standing = snapshot.closures(session, scene.group_id)
        return ClosedListed(
            closures=tuple(
                closure
                for closure in standing
                if closure.weekday is not None or _last(closure.first, closure.last) >= scene.today
            )
        )
    first, last = request.first, request.last or request.first
    if first is not None and last is not None:
        if last < first:
            raise DatesReversed(first=first, last=last)
        if last < scene.today and not request.off:
            raise DatesReversed(first=first, last=last, past=True)
    if request.off:
        if not _lift(session, scene, first, last, request.weekdays):
            raise DutyUnclear(who=(), reason="no_closure")
    else:
        _close(session, scene, request, first, last)
    session.flush()
    after = snapshot.garden(session, scene.group_id, scene.today)
    return ClosedSaid(
        first=first,
        last=last,
        weekdays=request.weekdays,
        label=_label(request.label),
        off=request.off,
        cover=cover(after, scene.today),
    )


def _last(first: date | None, last: date | None) -> date:
    return last or first or date.max


def _label(text: str | None) -> str | None:
    return " ".join((text or "").split())[:LONGEST_LABEL] or None


def _rows(session: Session, scene: Scene) -> list[m.Closure]:
    return list(
        session.scalars(
            select(m.Closure).where(
                m.Closure.group_id == scene.group_id, m.Closure.ended_at.is_(None)
            )
        )
    )


def _row(
    scene: Scene,
    *,
    first: date | None = None,
    last: date | None = None,
    weekday: int | None = None,
    label: str | None = None,
    uid: str | None = None,
) -> m.Closure:
    assert scene.group_id is not None
    return m.Closure(
        group_id=scene.group_id,
        first_on=first,
        last_on=last,
        weekday=weekday,
        label=label,
        uid=uid,
        ended_at=None,
    )


def _close(
    session: Session, scene: Scene, request: SetClosed, first: date | None, last: date | None
) -> None:
    """Add what is not closed in the same words already."""
    rows = _rows(session, scene)
    label = _label(request.label)
    if first is not None and not any(
        r.first_on == first and _last(r.first_on, r.last_on) == last for r in rows
    ):
        session.add(_row(scene, first=first, last=last, label=label))
    for weekday in dict.fromkeys(request.weekdays):
        if not any(r.weekday == weekday for r in rows):
            session.add(_row(scene, weekday=weekday, label=label))


def _lift(
    session: Session,
    scene: Scene,
    first: date | None,
    last: date | None,
    weekdays: tuple[int, ...],
) -> bool:
    """End weekdays, and cut days out of what is closed; whether anything was."""
    lifted = False
    for row in _rows(session, scene):
        if row.weekday is not None:
            if row.weekday in weekdays:
                row.ended_at, lifted = scene.now, True
            continue
        if first is None or last is None or row.first_on is None:
            continue
        begins, ends = row.first_on, _last(row.first_on, row.last_on)
        if ends < first or begins > last:
            continue
        lifted, row.ended_at = True, scene.now
        if begins < first:
            session.add(_row(scene, first=begins, last=first - DAY, label=row.label))
        if ends > last:
            session.add(_row(scene, first=last + DAY, last=ends, label=row.label))
    return lifted


def _import(request: SetClosed, scene: Scene, session: Session) -> Reply:
    """Write the events of a calendar: known ones are brought up to date by their UID."""
    assert scene.group_id is not None
    assert request.file_text is not None
    name = request.file_name or "calendar.ics"
    read = apart(scene, _read, request.file_text, name, scene.today, scene.zone)
    if not read.closings and not read.cancelled and not read.left_out:
        raise CalendarUnreadable(name=name, reason="past" if read.events else "empty")
    known: dict[str, m.Closure] = {}
    for row in session.scalars(
        select(m.Closure)
        .where(m.Closure.group_id == scene.group_id, m.Closure.uid.is_not(None))
        .order_by(m.Closure.id)
    ):
        known[str(row.uid)] = row
    counts = {"added": 0, "changed": 0, "same": 0, "ended": 0}
    for closing in read.closings:
        counts[_bring(session, scene, known.get(closing.key), closing)] += 1
    keys = {closing.key for closing in read.closings}
    for key, row in known.items():
        gone = key.partition("#")[0] in read.uids and key not in keys
        if gone and row.ended_at is None and _last(row.first_on, row.last_on) >= scene.today:
            row.ended_at, row.first_on, row.last_on = scene.now, None, None
            counts["ended"] += 1
    session.flush()
    after = snapshot.garden(session, scene.group_id, scene.today)
    return ClosuresImported(
        name=name,
        **counts,
        spans=tuple((c.first, c.last, c.label) for c in read.closings),
        left_out=read.left_out,
        cover=cover(after, scene.today),
    )


def _read(text: str, name: str, today: date, zone: str) -> ClosureFile:
    try:
        return read_closures(text, today, zone=zone)
    except TooMuch:
        raise CalendarUnreadable(name=name, reason="size") from None
    except (ValueError, TypeError, KeyError, IndexError, AttributeError, OverflowError):
        raise CalendarUnreadable(name=name, reason="format") from None  # whatever it holds


def _bring(session: Session, scene: Scene, row: m.Closure | None, closing: Closing) -> str:
    if row is None:
        session.add(
            _row(
                scene,
                first=closing.first,
                last=closing.last,
                label=_label(closing.label),
                uid=closing.key,
            )
        )
        return "added"
    new = (closing.first, closing.last, _label(closing.label))
    if (row.first_on, row.last_on, row.label) == new:
        return "same"  # also one lifted by hand: the file says nothing new of it
    row.first_on, row.last_on, row.label = new
    row.ended_at = None
    return "changed"


__all__ = ["set_closed"]
