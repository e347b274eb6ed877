"""Lots of seed: add, change, list, use up; and what is believed of each."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from core.errors import LotUnknown, ValueAbsurd
from core.group.garden import LotOf
from core.records import models as m
from core.records import snapshot
from core.replies.base import Option, Reply
from core.replies.lots import LotJudged, LotSaid, LotsFound, LotsListed, LotUsedUp
from core.requests import SetLot
from core.scene import Scene
from core.set_up_errors import LotCropMissing
from core.trade.cautions import Trigger, cautions_for
from core.trade.crops.standards import standard
from core.trade.crops.table import crop_by_id
from core.trade.seed.lots import HomeTest, LotViability, lot_viability
from core.trade.seed.stock import Stock, kept_amount, stock_of

DAYS_A_YEAR = 365.25
OLDEST_LOT = 30  # years; older is taken for a slip
MOST_SEEDS, MOST_GRAMS = 1_000_000, 10_000
MATURITY_DAYS = 15, 400
"""Beyond these a figure is taken for a slip. Own choice."""
ALL_ABSENT = SetLot()


def viability(lot: LotOf, today: date) -> LotViability:
    """Return what is believed of a lot on a day.

    Seed packed for a year counts as fresh on its first of January. Checked by:
    tests/core/handlers/test_lots.py.
    """
    crop = crop_by_id(lot.crop)
    tests: tuple[HomeTest, ...] = ()
    if lot.tested_of and lot.tested_up is not None:
        ago = (today - (lot.tested_on or today)).days / DAYS_A_YEAR
        tests = (HomeTest(sprouted=lot.tested_up, seeds=lot.tested_of, years_ago=max(0.0, ago)),)
    age = None
    if lot.packed_for is not None:
        age = max(0.0, (today - date(lot.packed_for, 1, 1)).days / DAYS_A_YEAR)
    return lot_viability(
        label=lot.label_percent / 100 if lot.label_percent else None,
        standard=least(lot),
        age_years=age,
        storage_years=crop.storage_years,
        half_life_years=crop.seed_half_life_years,
        tests=tests,
    )


def least(lot: LotOf) -> float | None:
    """Return the least germination that seed of this kind must show, 0..1."""
    crop = crop_by_id(lot.crop)
    return None if crop.standard is None else standard(crop.standard).min_percent / 100


def judged(lot: LotOf, today: date, sown: int = 0) -> LotJudged:
    """Return a lot with what is believed of it, and left of it after `sown` seeds."""
    return LotJudged(
        lot=lot,
        viability=viability(lot, today),
        standard=least(lot),
        stock=left_of(lot, sown),
    )


def left_of(lot: LotOf, sown: int) -> Stock | None:
    """Return what is left of a lot of which so many seeds were sown in all."""
    return stock_of(crop_by_id(lot.crop), seeds=lot.seeds, grams=lot.grams, sown=sown)


def set_lot(request: SetLot, scene: Scene, session: Session) -> Reply:
    """Add or change a lot, mark it used up, or list them.

    Raises LotUnknown, LotCropMissing, ValueAbsurd.
    """
    assert scene.group_id is not None
    lots = snapshot.lots(session, scene.group_id)
    if request == ALL_ABSENT:
        taken = snapshot.sown_of_lots(session, scene.group_id)
        return LotsListed(
            lots=tuple(judged(lot, scene.today, taken.get(lot.id, 0)) for lot in lots.values())
        )
    code = request.code.upper() if request.code else None
    if request.used_up and code is None:
        found = [lot for lot in lots.values() if lot.crop == request.crop]
        if len(found) != 1:
            return _which(request, lots, found)
        code = found[0].code
    row = session.scalars(
        select(m.Lot).where(m.Lot.group_id == scene.group_id, m.Lot.code == code)
    ).one_or_none()
    if row is None and request.crop is None:
        if code is None:
            raise LotCropMissing()
        raise LotUnknown(lot=code, known=tuple(lots))
    _check(request, scene.today)
    new = row is None
    if row is None:
        row = _new(session, scene.group_id, code, request)
    elif request.crop is not None and row.crop != request.crop:
        raise LotUnknown(lot=row.code, known=tuple(lots))
    if request.used_up:
        row.used_up_on = scene.today
        row.seeds = row.grams = None
        session.flush()
        return LotUsedUp(lot=lots.get(row.code) or _value(row))
    session.flush()
    sown = snapshot.sown_of_lots(session, scene.group_id).get(row.id, 0)
    _write(row, request, scene.today, sown)
    session.flush()
    lot = _value(row)
    treated = [c.id for c in cautions_for(Trigger.LOT_TREATED)] if request.treated else []
    return LotSaid(
        judged=judged(lot, scene.today, sown),
        new=new,
        changed=request != SetLot(code=request.code),
        cautions=tuple(treated),
    )


def _which(request: SetLot, lots: dict[str, LotOf], found: list[LotOf]) -> LotsFound:
    return LotsFound(
        question="lot",
        options=tuple(
            Option(
                kind="lot",
                request=replace(request, code=lot.code, crop=None, variety=None),
                values={
                    "lot": lot.code,
                    "crop": lot.crop,
                    "variety": lot.variety,
                    "packed_for": lot.packed_for,
                },
            )
            for lot in (found or lots.values())
        )[:8],
        values={"any": bool(lots)},
    )


def _check(request: SetLot, today: date) -> None:
    if request.packed_for is not None and not (
        today.year - OLDEST_LOT <= request.packed_for <= today.year + 2
    ):
        raise ValueAbsurd(
            quantity="packed_for",
            given=request.packed_for,
            lo=today.year - OLDEST_LOT,
            hi=today.year + 2,
            unit="year",
        )
    for quantity, given, lo, hi in (
        ("seeds", request.seeds, 0, MOST_SEEDS),
        ("grams", request.grams, 0, MOST_GRAMS),
        ("days", request.maturity_days, *MATURITY_DAYS),
    ):
        if given is not None and not lo <= given <= hi:
            raise ValueAbsurd(quantity=quantity, given=given, lo=lo, hi=hi, unit="")


def _new(session: Session, group_id: int, code: str | None, request: SetLot) -> m.Lot:
    group = session.get_one(m.Group, group_id)
    if code is None:
        taken = set(session.scalars(select(m.Lot.code).where(m.Lot.group_id == group_id)))
        while f"L{group.next_lot}" in taken:
            group.next_lot += 1
        code = f"L{group.next_lot}"
        group.next_lot += 1
    row = m.Lot(
        group_id=group_id,
        code=code,
        crop=request.crop or "",
        variety=None,
        packed_for=None,
        tested_up=None,
        tested_of=None,
        tested_on=None,
        label_percent=None,
        treated=None,
        used_up_on=None,
    )
    session.add(row)
    return row


def _write(row: m.Lot, request: SetLot, today: date, sown: int) -> None:
    for part in ("variety", "packed_for", "label_percent", "treated", "maturity_days"):
        value = getattr(request, part)
        if value is not None:
            setattr(row, part, value)
    if request.tested_of:
        row.tested_up, row.tested_of, row.tested_on = (
            request.tested_up or 0,
            request.tested_of,
            today,
        )
    if request.seeds is not None or request.grams is not None:
        row.seeds, row.grams = kept_amount(
            crop_by_id(row.crop), seeds=request.seeds, grams=request.grams, sown=sown
        )
    row.used_up_on = None


def _value(row: m.Lot) -> LotOf:
    return LotOf(
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
        seeds=row.seeds,
        grams=row.grams,
        maturity_days=row.maturity_days,
    )
