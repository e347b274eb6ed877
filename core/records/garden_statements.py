"""What is asked of the database to read a group: each statement is made once.

`group` is the group's id in all of them; `since` a local date.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import Select, and_, bindparam, func, or_, select

from core.records import models as m
from core.records.prepared import table
from core.report_kinds import OF_PLACES, ReportKind

_GROUP: Any = bindparam("group")
_SHELF = table(m.Shelf).c
_TRAY = table(m.Tray).c
_LOT = table(m.Lot).c
_ACT = table(m.Act).c
_SOWING = table(m.Sowing).c
_REPORT = table(m.Report).c
_MEMBER = table(m.Member).c
_PERSON = table(m.Person).c
_CHAT = table(m.Chat).c
_DUTY = table(m.Duty).c
_ABSENCE = table(m.Absence).c
_CLOSURE = table(m.Closure).c
_PLAN = table(m.Plan).c
_REMINDER = table(m.Reminder).c

SHELVES = select(table(m.Shelf)).where(_SHELF.group_id == _GROUP).order_by(_SHELF.id)
TRAYS = (
    select(table(m.Tray))
    .where(_TRAY.group_id == _GROUP, _TRAY.retired_on.is_(None))
    .order_by(_TRAY.id)
)
_HAPPENING = (
    _REPORT.id, _REPORT.act_id, _REPORT.kind, _REPORT.on_day, _REPORT.at,
    _REPORT["values"], _REPORT.sowing_id, _REPORT.tray_id, _REPORT.shelf_id,
)  # fmt: skip
"""What `rows.happening` makes a value of, in its order."""

RECENT = (
    select(*_HAPPENING)
    .where(
        _REPORT.group_id == _GROUP,
        _REPORT.kind.in_(OF_PLACES),
        _REPORT.on_day >= bindparam("since"),
        _REPORT.sowing_id.is_(None),
        ~_REPORT.undone,
    )
    .order_by(_REPORT.on_day, _REPORT.id)
)
ABSENCES = (
    select(table(m.Absence))
    .where(
        _ABSENCE.group_id == _GROUP,
        _ABSENCE.ended_at.is_(None),
        _ABSENCE.last_on >= bindparam("since"),
    )
    .order_by(_ABSENCE.id)
)
REMINDERS = (
    select(table(m.Reminder))
    .where(_REMINDER.group_id == _GROUP, _REMINDER.on_day >= bindparam("since"))
    .order_by(_REMINDER.id)
)
LOTS = (
    select(table(m.Lot)).where(_LOT.group_id == _GROUP, _LOT.used_up_on.is_(None)).order_by(_LOT.id)
)
SOWN_OF_LOTS = (  # cells are labels with blanks between them
    select(
        _SOWING.lot_id.label("lot_id"),
        func.sum(
            (func.length(_SOWING.cells) - func.length(func.replace(_SOWING.cells, " ", "")) + 1)
            * _SOWING.seeds_per_cell
        ).label("seeds"),
    )
    .where(_SOWING.group_id == _GROUP, _SOWING.lot_id.is_not(None), ~_SOWING.void)
    .group_by(_SOWING.lot_id)
)
MEMBERS = (
    select(
        _MEMBER.id,
        _MEMBER.name,
        _MEMBER.person_id,
        _MEMBER.paused_until,
        or_(_MEMBER.coordinator, _MEMBER.runs_chat).label("coordinator"),
        select(_CHAT.id)
        .where(_CHAT.person_id == _MEMBER.person_id, _CHAT.private, _CHAT.dead_since.is_(None))
        .exists()
        .label("open"),
        _PERSON.reminders,
        _PERSON.quiet_from,
        _PERSON.quiet_to,
        _PERSON.remind_at,
        _PERSON.thanks,
    )
    .select_from(table(m.Member).outerjoin(table(m.Person), _PERSON.id == _MEMBER.person_id))
    .where(_MEMBER.group_id == _GROUP, _MEMBER.left_at.is_(None))
    .order_by(_MEMBER.id)
)
CLOSURES = (
    select(table(m.Closure))
    .where(_CLOSURE.group_id == _GROUP, _CLOSURE.ended_at.is_(None))
    .order_by(_CLOSURE.first_on.is_(None), _CLOSURE.first_on, _CLOSURE.weekday)  # on any engine
)
SPEEDS = (
    select(_SOWING.crop, _SOWING.speed_ratio, _SOWING.speed_seeds)
    .where(_SOWING.group_id == _GROUP, _SOWING.speed_ratio.is_not(None), ~_SOWING.void)
    .order_by(_SOWING.number.desc())
    .limit(300)
)
SOWN = select(_SOWING.plan_item).where(  # what was lost whole is to be sown again
    _SOWING.group_id == _GROUP,
    _SOWING.plan_item.is_not(None),
    ~_SOWING.void,
    or_(
        _SOWING.closed_on.is_(None),
        select(_REPORT.id)
        .where(
            _REPORT.sowing_id == _SOWING.id,
            _REPORT.kind == ReportKind.PLANTED,
            ~_REPORT.undone,
        )
        .exists(),
    ),
)
IN_FORCE = (
    select(_PLAN.id, _PLAN.body)
    .where(_PLAN.group_id == _GROUP, _PLAN.accepted_at.is_not(None), _PLAN.dropped_at.is_(None))
    .order_by(_PLAN.id.desc())
    .limit(1)
)
DUTIES = (
    select(table(m.Duty))
    .where(_DUTY.group_id == _GROUP, _DUTY.ended_at.is_(None))
    .order_by(_DUTY.id)
)


def sowings_where(*which: Any) -> tuple[Select[Any], Select[Any]]:
    """Return the statements of the sowings that fit, and of their live reports."""
    sowings = (
        select(table(m.Sowing), _LOT.code.label("lot"), _ACT.did_id.label("did"))
        .select_from(
            table(m.Sowing)
            .outerjoin(table(m.Lot), _LOT.id == _SOWING.lot_id)
            .join(table(m.Act), _ACT.id == _SOWING.act_id)
        )
        .where(*which, ~_SOWING.void)
        .order_by(_SOWING.sown_on, _SOWING.number)
    )
    reports = (
        select(*_HAPPENING)
        .select_from(table(m.Report).join(table(m.Sowing), _SOWING.id == _REPORT.sowing_id))
        .where(*which, ~_SOWING.void, ~_REPORT.undone)
        .order_by(_REPORT.on_day, _REPORT.id)
    )
    return sowings, reports


OPEN = sowings_where(and_(_SOWING.group_id == _GROUP, _SOWING.closed_on.is_(None)))
LATELY_CLOSED = sowings_where(
    and_(_SOWING.group_id == _GROUP, _SOWING.closed_on >= bindparam("since"))
)
