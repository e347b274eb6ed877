"""The season plan: worked out, shown, accepted, dropped; the season in lines."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from sqlalchemy import func, select, update
from sqlalchemy.orm import Session

from core.apart import apart
from core.errors import NoPlan, TookTooLong, ValueAbsurd
from core.group import outlook
from core.group.garden import Garden, SowingOf
from core.group.growing import Stage, follow
from core.handlers.amounts import germination, lot_of_variety, survival_here
from core.handlers.plan_changes import items_wanted
from core.handlers.plan_reply import direct_of, plan_said, sowing_planned, sown_items
from core.handlers.plan_ways import no_window, short
from core.handlers.rights import coordinators_only
from core.handlers.seed_short import with_seed_short
from core.plan.body import plan_body
from core.plan.question import Believe, SeedTaken, plan_question
from core.plan.season_plan import SeasonPlan, plan_season
from core.plan.solver import SolverGaveUp
from core.plan.ways_out import NoWindow, PlanShort
from core.plan.wishes import PlanInstance
from core.plan_errors import PlanUnsettled
from core.records import models as m
from core.records import snapshot
from core.replies.base import Reply
from core.replies.plans import (
    PlanDropped,
    PlanSaid,
    SeasonLine,
    SeasonSaid,
)
from core.requests import MakePlan, PlanItem, Season
from core.scene import Scene
from core.trade.crops.table import crop_by_id

MOST_PLANTS = 5000
MOST_ITEMS = 60
THIS_SEASON = timedelta(days=300)
"""A finished sowing older than this belongs to last season; common practice."""


def make_plan(request: MakePlan, scene: Scene, session: Session) -> Reply:
    """Work out, show, accept or drop a plan.

    Raises NoFrostYet, NoPlan, CoordinatorsOnly, ValueAbsurd, PlanTooLate, PlanUnsettled,
    SeedTooPoor, CropTimesMissing, PlantOutDateNeeded.
    """
    reply = _answered(request, scene, session)
    return with_seed_short(reply, session) if isinstance(reply, PlanSaid) else reply


def _answered(request: MakePlan, scene: Scene, session: Session) -> Reply:
    if request.drop:
        return _drop(request, scene, session)
    if request.accept is not None:
        return _accept(request.accept, scene, session)
    if not request.items and not request.change and not request.without:
        return _show(scene, session)
    row = _standing(session, scene) or _not_stale(_proposed_last(session, scene), scene, session)
    items = items_wanted(request, row.body if row else None, scene.today)
    if not items:  # its last line was left out
        return _drop(MakePlan(accept=row.id if row else None, drop=True), scene, session)
    return _propose(MakePlan(items=items), scene, session)


def _propose(request: MakePlan, scene: Scene, session: Session) -> Reply:
    assert scene.group_id is not None
    for given, quantity, most in (
        (max(item.plants for item in request.items), "plants", MOST_PLANTS),
        (len(request.items), "crops", MOST_ITEMS),
    ):
        if not 1 <= given <= most:
            raise ValueAbsurd(quantity=quantity, given=given, lo=1, hi=most, unit="")
    garden = snapshot.garden(session, scene.group_id, scene.today)
    every = snapshot.all_sowings(session, scene.group_id)
    question = plan_question(
        garden,
        request.items,
        scene.today,
        believe=believer(garden, every, scene.today),
        sown=frozenset(sown_items(every)),
    )
    try:
        found = apart(scene, _solved, question.instance)
    except TookTooLong:
        raise PlanUnsettled(crops=len(question.crops)) from None
    match found:
        case PlanShort():
            return short(request, question, found)
        case NoWindow():
            return no_window(request, question, found)
        case SeasonPlan():
            row = m.Plan(
                group_id=scene.group_id,
                made_at=scene.now,
                accepted_at=None,
                dropped_at=None,
                body={},
            )
            session.add(row)
            session.flush()
            row.body = plan_body(row.id, garden, request.items, question, found)
            session.flush()
            return plan_said(row, "proposed", scene, every, replaces=garden.plan is not None)


def _solved(instance: PlanInstance) -> SeasonPlan | PlanShort | NoWindow:
    try:
        return plan_season(instance)
    except SolverGaveUp:
        raise TookTooLong() from None


def believer(garden: Garden, every: Sequence[SowingOf], today: date) -> Believe:
    """Return what is believed of the seed of a wish: as for one crop's amounts.

    The lot of the variety named, where there is one; else the group's best of the crop.
    """

    def believe(item: PlanItem) -> SeedTaken:
        lot = lot_of_variety(garden, item.crop, item.variety)
        taken, belief, _ = germination(garden, every, item.crop, lot, today)
        survival, lived = survival_here(every, item.crop)
        return SeedTaken(
            belief=belief,
            survival=survival,
            lot=taken.judged.lot.code if taken.judged else None,
            own_up=taken.record is not None,
            own_losses=lived is not None,
        )

    return believe


def _show(scene: Scene, session: Session) -> Reply:
    """Show the plan in force, else the one proposed last; raise NoPlan."""
    every = snapshot.all_sowings(session, scene.group_id or 0)
    row = _standing(session, scene)
    if row is not None:
        return plan_said(row, "stands", scene, every, replaces=False)
    row = _proposed_last(session, scene)
    if row is None:
        raise NoPlan()
    return plan_said(row, "proposed", scene, every, replaces=False)


def _not_stale(row: m.Plan | None, scene: Scene, session: Session) -> m.Plan | None:
    """Return a proposal unless a plan in force was dropped after it was made."""
    dropped = session.scalar(
        select(func.max(m.Plan.dropped_at)).where(
            m.Plan.group_id == scene.group_id, m.Plan.accepted_at.is_not(None)
        )
    )
    return None if row is None or (dropped is not None and dropped >= row.made_at) else row


def _proposed_last(session: Session, scene: Scene) -> m.Plan | None:
    return session.scalars(
        select(m.Plan)
        .where(m.Plan.group_id == scene.group_id, m.Plan.dropped_at.is_(None))
        .order_by(m.Plan.id.desc())
        .limit(1)
    ).first()


def _accept(plan_id: int, scene: Scene, session: Session) -> Reply:
    """Put a proposed plan in force in the place of an earlier one."""
    coordinators_only(scene, session)
    row = _plan(plan_id, scene, session)
    every = snapshot.all_sowings(session, scene.group_id or 0)
    earlier = _standing(session, scene)
    if earlier is not None and earlier.id == row.id:
        return plan_said(row, "stands", scene, every, replaces=False)
    session.execute(
        update(m.Plan)
        .where(
            m.Plan.group_id == scene.group_id,
            m.Plan.accepted_at.is_not(None),
            m.Plan.dropped_at.is_(None),
        )
        .values(dropped_at=scene.now)
    )
    row.accepted_at = scene.now
    session.flush()
    return plan_said(row, "accepted", scene, every, replaces=earlier is not None)


def _drop(request: MakePlan, scene: Scene, session: Session) -> Reply:
    """Drop the plan named, else the one in force; a proposal may be dropped by any member."""
    if request.accept is not None:
        row = _plan(request.accept, scene, session)
    else:
        standing = _standing(session, scene)
        if standing is None:
            raise NoPlan()
        row = standing
    if row.accepted_at is not None:
        coordinators_only(scene, session)
    row.dropped_at = scene.now
    session.flush()
    return PlanDropped(plan=row.id, stood=row.accepted_at is not None)


def _plan(plan_id: int, scene: Scene, session: Session) -> m.Plan:
    row = session.scalars(
        select(m.Plan).where(
            m.Plan.id == plan_id,
            m.Plan.group_id == scene.group_id,
            m.Plan.dropped_at.is_(None),
        )
    ).one_or_none()
    if row is None:
        raise NoPlan()
    return row


def _standing(session: Session, scene: Scene) -> m.Plan | None:
    return session.scalars(
        select(m.Plan)
        .where(
            m.Plan.group_id == scene.group_id,
            m.Plan.accepted_at.is_not(None),
            m.Plan.dropped_at.is_(None),
        )
        .order_by(m.Plan.id.desc())
        .limit(1)
    ).first()


def season(_: Season, scene: Scene, session: Session) -> Reply:
    """Return the season in lines: what grows now, and what the plan has still to sow."""
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    every = snapshot.all_sowings(session, scene.group_id)
    sown = sown_items(every)
    lines = [line for sowing in garden.sowings if (line := _under_way(garden, sowing, scene.today))]
    body = garden.plan or {}
    for entry in body.get("sowings", ()):
        planned = sowing_planned(entry, sown)
        if planned.sown is None:
            lines.append(
                SeasonLine(
                    crop=planned.crop,
                    variety=planned.variety,
                    sowing=None,
                    sow_on=planned.sow_on,
                    pot_on=planned.pot_on,
                    harden_from=planned.harden_from,
                    plant_out=planned.plant_out,
                )
            )
    direct = direct_of(body)
    if not lines and not direct:
        raise NoPlan()
    return SeasonSaid(
        group_id=scene.group_id,
        lines=tuple(sorted(lines, key=lambda line: (line.sow_on, line.crop))),
        direct=direct,
        planned=garden.plan is not None,
        finished=tuple(
            line for sowing in every if (line := _finished(sowing, scene.today)) is not None
        ),
    )


def _finished(sowing: SowingOf, today: date) -> SeasonLine | None:
    """Return a sowing of this season that is over; None while it lives or when long past."""
    growing = follow(sowing)
    if growing.stage is not Stage.FINISHED or today - sowing.sown_on > THIS_SEASON:
        return None
    ended = max((r.on for r in sowing.happenings if r.kind in ("planted", "lost")), default=None)
    return SeasonLine(
        crop=sowing.crop,
        variety=sowing.variety,
        sowing=sowing.code,
        sow_on=sowing.sown_on,
        pot_on=growing.potted_on,
        harden_from=growing.outings[0][0] if growing.outings else None,
        plant_out=growing.planted_on,
        lost_on=None if growing.planted_on else ended,
    )


def _under_way(garden: Garden, sowing: SowingOf, today: date) -> SeasonLine | None:
    growing = follow(sowing)
    if growing.stage is Stage.FINISHED:
        return None
    out_on = outlook.out_about(garden, sowing, growing, today)
    harden = None
    if growing.outings:
        harden = growing.outings[0][0]
    elif out_on is not None:
        days = outlook.harden_days(garden, crop_by_id(sowing.crop))
        harden = out_on - timedelta(days=days)
    return SeasonLine(
        crop=sowing.crop,
        variety=sowing.variety,
        sowing=sowing.code,
        sow_on=sowing.sown_on,
        pot_on=growing.potted_on,
        harden_from=harden,
        plant_out=out_on,
    )
