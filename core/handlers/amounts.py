"""How many seeds and cells give a number of plants, and which trays hold them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date

from sqlalchemy.orm import Session

from core.errors import LotUnknown, ValueAbsurd
from core.folding import fold
from core.group.garden import Garden, LotOf, SowingOf
from core.group.sowing_counts import record_of, survival_record
from core.group.standing import free_cells
from core.handlers.lots import judged
from core.records import snapshot
from core.replies.amounts import AmountSaid, GerminationTaken, TraysFilled
from core.replies.base import Reply
from core.replies.lots import LotJudged
from core.requests import HowMany
from core.scene import Scene
from core.trade.crops.standards import standard
from core.trade.crops.table import crop_by_id
from core.trade.crops.trays import kinds_with
from core.trade.seed.amounts import ASSURANCE, USUAL_SURVIVAL, SowingSize, sowing_size
from core.trade.seed.lots import LotAdvice, lot_viability
from core.trade.statistics.intervals import Beta

MOST_PLANTS = 5000
MOST_PER_CELL = 50

RECORD_WEIGHT = 100.0
"""A group's own sowings weigh at most so many seeds: those of one tray share its luck, so a
thousand seeds do not tell the next sowing to three in a hundred. From memory."""

SURVIVAL_WEIGHT = 20.0
"""The usual survival weighs as much as so many plants of the group's own record. From memory."""

USUAL_SIZES = (18, 36, 72)  # cells of usual trays, where the group has none


def how_many(request: HowMany, scene: Scene, session: Session) -> Reply:
    """Return how much to sow and why; raise LotUnknown, ValueAbsurd."""
    assert scene.group_id is not None
    _within("plants", request.plants, 1, MOST_PLANTS)
    if request.seeds_per_cell is not None:
        _within("seeds", request.seeds_per_cell, 1, MOST_PER_CELL)
    garden = snapshot.garden(session, scene.group_id, scene.today)
    every = snapshot.all_sowings(session, scene.group_id)
    lot = request.lot or lot_of_variety(garden, request.crop, request.variety)
    taken, belief, advice = germination(garden, every, request.crop, lot, scene.today)
    survival, survival_of = survival_here(every, request.crop)
    assurance = request.assurance or ASSURANCE
    size = _size(request, belief, assurance, survival)
    free = [(tray.code, len(free_cells(garden, tray))) for tray in garden.trays.values()]
    cells = size.chosen.cells if size else 0
    return AmountSaid(
        crop=request.crop,
        variety=request.variety,
        plants=request.plants,
        assurance=assurance,
        germination=taken,
        size=size,
        survival=survival,
        survival_of=survival_of,
        filled=_filled(garden, cells),
        free=tuple((code, n) for code, n in free if n >= cells),
        free_in_all=sum(n for _, n in free),
        has_trays=bool(free),
        advice=advice,
    )


def lot_of_variety(garden: Garden, crop: str, variety: str | None) -> str | None:
    """Return the code of the first lot in use of a variety; None without one."""
    wanted = fold(variety or "")
    lots = (lot for lot in garden.lots.values() if lot.crop == crop)
    return next((lot.code for lot in lots if wanted and fold(lot.variety or "") == wanted), None)


def _within(quantity: str, given: int, lo: int, hi: int) -> None:
    if not lo <= given <= hi:
        raise ValueAbsurd(quantity=quantity, given=given, lo=lo, hi=hi, unit="")


def _size(request: HowMany, belief: Beta, assurance: float, survival: float) -> SowingSize | None:
    """Return the size; None when even the most cells reckoned with do not give the assurance."""
    try:
        return sowing_size(
            request.plants,
            belief,
            assurance=assurance,
            survival=survival,
            per_cell=request.seeds_per_cell,
        )
    except ValueError:
        return None  # every argument was checked, so it is the seed


def germination(
    garden: Garden, every: Sequence[SowingOf], crop_id: str, lot_code: str | None, today: date
) -> tuple[GerminationTaken, Beta, LotAdvice | None]:
    """Return what is believed of one seed of a crop here.

    The lot named; else the best of the group's lots of the crop; else what seed of
    the kind usually shows. Then the group's own finished sowings of that lot (without a lot,
    of the crop) are added. Raises LotUnknown for a lot that is none, or of another crop.
    """
    crop = crop_by_id(crop_id)
    of_crop = [lot for lot in garden.lots.values() if lot.crop == crop_id]
    chosen = _lot(garden, of_crop, crop_id, lot_code, today)
    least = standard(crop.standard).min_percent / 100 if crop.standard else None
    if chosen is not None:
        view = chosen.viability
        sowings = [s for s in every if s.lot == chosen.lot.code]
    else:
        view = lot_viability(
            label=None, standard=least, age_years=None, storage_years=crop.storage_years
        )
        sowings = [s for s in every if s.crop == crop_id]
    up, seeds, number = record_of(sowings)
    belief = _after(view.belief, up, seeds)
    taken = GerminationTaken(
        mean=belief.mean,
        interval=belief.interval(),
        judged=chosen,
        other_lots=len(of_crop) - (1 if chosen is not None else 0),
        first=view.first,
        of_kind=crop.standard is not None,
        record=(up, seeds, number) if number else None,
    )
    return taken, belief, view.advice if chosen is not None else None


def _lot(
    garden: Garden, of_crop: list[LotOf], crop_id: str, code: str | None, today: date
) -> LotJudged | None:
    if code is not None:
        lot = garden.lots.get(code.upper())
        if lot is None or lot.crop != crop_id:
            raise LotUnknown(lot=code.upper(), known=tuple(one.code for one in of_crop))
        return judged(lot, today)
    views = [judged(lot, today) for lot in of_crop]
    worth = [view for view in views if view.viability.advice is not LotAdvice.DISCARD] or views
    return max(worth, key=lambda view: view.viability.belief.mean, default=None)


def _after(belief: Beta, up: int, seeds: int) -> Beta:
    """Return the belief after a record that weighs at most `RECORD_WEIGHT` seeds."""
    if not seeds:
        return belief
    scale = min(1.0, RECORD_WEIGHT / seeds)
    return Beta(a=belief.a + up * scale, b=belief.b + (seeds - up) * scale)


def survival_here(
    every: Sequence[SowingOf], crop_id: str | None = None
) -> tuple[float, tuple[int, int] | None]:
    """Return the chance of a seedling to live to planting out, 0..1, and what it rests on.

    The usual nine in ten, drawn towards what the group planted of the crop's finished sowings
    (planted, of planted and lost); None where nothing was finished.
    """
    planted, of = survival_record(s for s in every if crop_id is None or s.crop == crop_id)
    if not of:
        return USUAL_SURVIVAL, None
    return Beta.around(USUAL_SURVIVAL, SURVIVAL_WEIGHT).after(planted, of).mean, (planted, of)


def _filled(garden: Garden, cells: int) -> tuple[TraysFilled, ...]:
    """Return the trays that some cells fill: of the sizes here, else of usual sizes."""
    if not cells:
        return ()
    own = sorted({tray.cells for tray in garden.trays.values()})
    sizes = own or [size for size in USUAL_SIZES if kinds_with(size)]
    best = sorted(sizes, key=lambda size: (math.ceil(cells / size) * size - cells, -size))
    return tuple(TraysFilled(cells=size, trays=math.ceil(cells / size)) for size in best[:2])
