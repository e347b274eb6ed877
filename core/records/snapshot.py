"""Read one group into a `Garden`: a fixed number of queries, whatever the size of the database."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from core.cells import Cell
from core.garden import (
    AbsenceOf,
    ClosureOf,
    DutyOf,
    Garden,
    Happening,
    LotOf,
    MemberOf,
    ShelfOf,
    Site,
    SowingOf,
    TrayOf,
)
from core.records import models as m

RECENT_DAYS = 90  # how far back tray, shelf and site reports are read
LOOK_BACK = timedelta(days=RECENT_DAYS)


def site_of(group: m.Group) -> Site:
    """Return a group's row as a plain value."""
    return Site(
        group_id=group.id,
        name=group.name,
        zone=group.zone,
        language=group.language,
        fahrenheit=group.fahrenheit,
        inches=group.inches,
        round_at=group.round_at,
        quiet_from=group.quiet_from,
        quiet_to=group.quiet_to,
        latitude=group.latitude,
        longitude=group.longitude,
        place=group.place,
        demo=group.demo,
        frost=group.frost,
        created_on=group.created_at.date(),
    )


def garden(session: Session, group_id: int, today: date) -> Garden:
    """Return a group's records; raise LookupError for a group that is none."""
    group = session.get(m.Group, group_id)
    if group is None:
        raise LookupError(group_id)
    shelves = session.scalars(select(m.Shelf).where(m.Shelf.group_id == group_id)).all()
    trays = session.scalars(
        select(m.Tray).where(m.Tray.group_id == group_id, m.Tray.retired_on.is_(None))
    ).all()
    shelf_codes = {shelf.id: shelf.code for shelf in shelves}
    tray_codes = {tray.id: tray.code for tray in trays}
    sowings = open_sowings(session, group_id, tray_codes)
    plan = accepted_plan(session, group_id)
    reports = session.scalars(
        select(m.Report)
        .where(
            m.Report.group_id == group_id,
            m.Report.kind.in_(("watered", "moist", "temp", "light", "note", "fed")),
            m.Report.on_day >= today - LOOK_BACK,
            m.Report.sowing_id.is_(None),
            ~m.Report.undone,
        )
        .order_by(m.Report.on_day, m.Report.id)
    ).all()
    tray_reports: dict[str, list[Happening]] = defaultdict(list)
    shelf_reports: dict[str, list[Happening]] = defaultdict(list)
    site_reports: list[Happening] = []
    for row in reports:
        value = happening(row)
        if row.tray_id is not None:
            if row.tray_id in tray_codes:
                tray_reports[tray_codes[row.tray_id]].append(value)
        elif row.shelf_id is not None:
            shelf_reports[shelf_codes[row.shelf_id]].append(value)
        else:
            site_reports.append(value)
    return Garden(
        site=site_of(group),
        shelves={row.code: _shelf(row) for row in shelves},
        trays={
            row.code: TrayOf(
                id=row.id,
                code=row.code,
                rows=row.rows,
                cols=row.cols,
                cell_ml=row.cell_ml,
                shelf=shelf_codes.get(row.shelf_id) if row.shelf_id else None,
            )
            for row in sorted(trays, key=lambda tray: natural(tray.code))
        },
        lots=lots(session, group_id),
        members=members(session, group_id),
        sowings=sowings,
        tray_reports={code: tuple(rows) for code, rows in tray_reports.items()},
        shelf_reports={code: tuple(rows) for code, rows in shelf_reports.items()},
        site_reports=tuple(site_reports),
        duties=_duties(session, group_id),
        absences=tuple(
            AbsenceOf(id=row.id, member=row.member_id, first=row.first_on, last=row.last_on)
            for row in session.scalars(
                select(m.Absence).where(
                    m.Absence.group_id == group_id,
                    m.Absence.ended_at.is_(None),
                    m.Absence.last_on >= today - LOOK_BACK,
                )
            )
        ),
        closures=closures(session, group_id),
        plan=plan,
        sown_items=sown_items(session, group_id, plan),
        speeds=speeds(session, group_id),
    )


def natural(code: str) -> tuple[str, int, str]:
    """Sort key that puts T2 before T10."""
    letters = code.rstrip("0123456789")
    digits = code[len(letters) :]
    return letters, int(digits or 0), code


def happening(row: m.Report) -> Happening:
    """Return a report's row as a plain value."""
    return Happening(
        id=row.id,
        act=row.act_id,
        kind=row.kind,
        on=row.on_day,
        at=row.at,
        values=row.values,
        sowing=row.sowing_id,
        tray=row.tray_id,
        shelf=row.shelf_id,
    )


def sowing_values(
    row: m.Sowing, tray: str, lot: str | None, happenings: Iterable[Happening], did: int | None
) -> SowingOf:
    """Return a sowing's row with its reports as a plain value."""
    return SowingOf(
        id=row.id,
        number=row.number,
        crop=row.crop,
        tray=tray,
        cells=tuple(Cell.of(label) for label in row.cells.split()),
        sown_on=row.sown_on,
        seeds_per_cell=row.seeds_per_cell,
        act=row.act_id,
        variety=row.variety,
        lot=lot,
        depth_mm=row.depth_mm,
        did=did,
        closed_on=row.closed_on,
        plan_item=row.plan_item,
        happenings=tuple(happenings),
    )


def open_sowings(
    session: Session, group_id: int, tray_codes: dict[int, str]
) -> tuple[SowingOf, ...]:
    """Return the sowings that are not finished, oldest first, with their live reports."""
    return read_sowings(
        session, tray_codes, m.Sowing.group_id == group_id, m.Sowing.closed_on.is_(None)
    )


def all_sowings(session: Session, group_id: int) -> tuple[SowingOf, ...]:
    """Return every sowing of a group that was not undone, finished ones too."""
    trays = select(m.Tray.id, m.Tray.code).where(m.Tray.group_id == group_id)
    codes = dict(session.execute(trays).all())
    return read_sowings(session, codes, m.Sowing.group_id == group_id)


def read_sowings(
    session: Session, tray_codes: dict[int, str], *which: object
) -> tuple[SowingOf, ...]:
    """Return the sowings that fit, oldest first, with their live reports: two queries."""
    rows = session.execute(
        select(m.Sowing, m.Lot.code, m.Act.did_id)
        .outerjoin(m.Lot, m.Lot.id == m.Sowing.lot_id)
        .join(m.Act, m.Act.id == m.Sowing.act_id)
        .where(*which, ~m.Sowing.void)  # type: ignore[arg-type]
        .order_by(m.Sowing.sown_on, m.Sowing.number)
    ).all()
    found: dict[int, list[Happening]] = {row[0].id: [] for row in rows}
    if found:
        for report in session.scalars(
            select(m.Report)
            .join(m.Sowing, m.Sowing.id == m.Report.sowing_id)
            .where(*which, ~m.Sowing.void, ~m.Report.undone)  # type: ignore[arg-type]
            .order_by(m.Report.on_day, m.Report.id)
        ):
            if report.sowing_id in found:
                found[report.sowing_id].append(happening(report))
    return tuple(
        sowing_values(sowing, tray_codes.get(sowing.tray_id, "?"), lot, found[sowing.id], did)
        for sowing, lot, did in rows
    )


def lots(session: Session, group_id: int) -> dict[str, LotOf]:
    """Return the lots still in use, by code."""
    rows = session.scalars(
        select(m.Lot).where(m.Lot.group_id == group_id, m.Lot.used_up_on.is_(None))
    ).all()
    return {
        row.code: LotOf(
            id=row.id,
            code=row.code,
            crop=row.crop,
            variety=row.variety,
            packed_for=row.packed_for,
            tested_up=row.tested_up,
            tested_of=row.tested_of,
            tested_on=row.tested_on,
            label_percent=row.label_percent,
            treated=row.treated,
        )
        for row in sorted(rows, key=lambda lot: natural(lot.code))
    }


def members(session: Session, group_id: int) -> dict[int, MemberOf]:
    """Return the members who have not left, by id, oldest first."""
    private = (
        select(m.Chat.id)
        .where(m.Chat.person_id == m.Member.person_id, m.Chat.private, m.Chat.dead_since.is_(None))
        .exists()
    )
    rows = session.execute(
        select(m.Member, private, m.Person.reminders, m.Person.quiet_from, m.Person.quiet_to)
        .outerjoin(m.Person, m.Person.id == m.Member.person_id)
        .where(m.Member.group_id == group_id, m.Member.left_at.is_(None))
        .order_by(m.Member.id)
    )
    return {
        row.id: MemberOf(
            id=row.id,
            name=row.name,
            person=row.person_id,
            coordinator=row.coordinator,
            private=bool(open_ and reminders is not False),
            quiet=(quiet_from, quiet_to) if quiet_from and quiet_to else None,
        )
        for row, open_, reminders, quiet_from, quiet_to in rows
    }


def closures(session: Session, group_id: int) -> tuple[ClosureOf, ...]:
    """Return the closures that stand."""
    rows = session.scalars(
        select(m.Closure)
        .where(m.Closure.group_id == group_id, m.Closure.ended_at.is_(None))
        .order_by(m.Closure.first_on, m.Closure.weekday)
    )
    return tuple(
        ClosureOf(
            id=row.id,
            first=row.first_on,
            last=row.last_on,
            weekday=row.weekday,
            label=row.label,
        )
        for row in rows
    )


def speeds(session: Session, group_id: int) -> dict[str, tuple[tuple[float, int], ...]]:
    """Return how fast sowings came up against the table, by crop, the last few hundred."""
    found: dict[str, list[tuple[float, int]]] = defaultdict(list)
    rows = session.execute(
        select(m.Sowing.crop, m.Sowing.speed_ratio, m.Sowing.speed_seeds)
        .where(m.Sowing.group_id == group_id, m.Sowing.speed_ratio.is_not(None), ~m.Sowing.void)
        .order_by(m.Sowing.number.desc())
        .limit(300)
    )
    for crop, ratio, seeds in rows:
        if ratio is not None:
            found[crop].append((ratio, seeds or 1))
    return {crop: tuple(pairs) for crop, pairs in found.items()}


def sown_items(session: Session, group_id: int, plan: m.Json | None) -> frozenset[str]:
    """Return which sowings of a plan were sown, finished ones too."""
    if plan is None:
        return frozenset()
    rows = session.scalars(
        select(m.Sowing.plan_item).where(
            m.Sowing.group_id == group_id, m.Sowing.plan_item.is_not(None), ~m.Sowing.void
        )
    )
    return frozenset(row for row in rows if row) | frozenset(plan.get("sown", ()))


def accepted_plan(session: Session, group_id: int) -> m.Json | None:
    """Return the body of the plan in force."""
    row = session.scalars(
        select(m.Plan)
        .where(
            m.Plan.group_id == group_id,
            m.Plan.accepted_at.is_not(None),
            m.Plan.dropped_at.is_(None),
        )
        .order_by(m.Plan.id.desc())
        .limit(1)
    ).first()
    return None if row is None else {**row.body, "id": row.id}


def _shelf(row: m.Shelf) -> ShelfOf:
    return ShelfOf(
        id=row.id,
        code=row.code,
        lamp=row.lamp,
        tubes=row.tubes,
        height_mm=row.height_mm,
        on_at=row.on_at,
        off_at=row.off_at,
        places=row.places,
        heat_mat=row.heat_mat,
        timer=row.timer,
        usual_temp_c=row.usual_temp_c,
    )


def _duties(session: Session, group_id: int) -> tuple[DutyOf, ...]:
    rows = session.scalars(
        select(m.Duty)
        .where(m.Duty.group_id == group_id, m.Duty.ended_at.is_(None))
        .order_by(m.Duty.id)
    )
    return tuple(
        DutyOf(
            id=row.id,
            member=row.member_id,
            weekdays=tuple(int(digit) for digit in row.weekdays),
            day=row.on_day,
            trays=tuple(row.trays.split()),
            instead_of=row.instead_of,
        )
        for row in rows
    )
