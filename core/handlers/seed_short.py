"""Which lots of seed do not last for a plan, and by when more is needed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from sqlalchemy.orm import Session

from core.folding import fold
from core.group.garden import LotOf
from core.handlers.lots import left_of
from core.records import snapshot
from core.replies.plans import PlanSaid, SeedShort, SowingPlanned


def with_seed_short(reply: PlanSaid, session: Session) -> PlanSaid:
    """Return a plan with the lots that are short for it."""
    lots = snapshot.lots(session, reply.group_id)
    if all(lot.seeds is None and lot.grams is None for lot in lots.values()):
        return reply
    sown = snapshot.sown_of_lots(session, reply.group_id)
    return replace(reply, seed_short=seed_short(reply.sowings, lots, sown))


def seed_short(
    planned: Sequence[SowingPlanned], lots: Mapping[str, LotOf], sown: Mapping[int, int]
) -> tuple[SeedShort, ...]:
    """Return what is short, in the order of the first sowings that lack seed.

    A sowing takes from the lots of its variety, without one from all of its crop; those of
    which the number of seeds cannot be told leave it open and nothing is said.
    """
    left: dict[str, int | None] = {}
    for code, lot in lots.items():
        stock = left_of(lot, sown.get(lot.id, 0))
        left[code] = None if stock is None else stock.seeds
    found: dict[tuple[str, str], SeedShort] = {}
    for one in sorted((s for s in planned if s.sown is None), key=lambda s: (s.sow_on, s.id)):
        codes = _lots_of(one, lots)
        held = [left[code] for code in codes]
        if not codes or any(seeds is None for seeds in held):
            continue
        missing = _take(left, codes, one.cells * one.seeds_per_cell)
        if not missing:
            continue
        key = (one.crop, fold(one.variety or ""))
        before = found.get(key)
        found[key] = SeedShort(
            crop=one.crop,
            variety=one.variety,
            lots=codes,
            missing=missing + (before.missing if before else 0),
            by=before.by if before else one.sow_on,
        )
    return tuple(found.values())


def _lots_of(one: SowingPlanned, lots: Mapping[str, LotOf]) -> tuple[str, ...]:
    """Return the lots that a planned sowing may take from, the one it was sized by first."""
    wanted = fold(one.variety or "")
    codes = [
        lot.code
        for lot in lots.values()
        if lot.crop == one.crop and (not wanted or fold(lot.variety or "") == wanted)
    ]
    return tuple(sorted(codes, key=lambda code: code != one.lot))


def _take(left: dict[str, int | None], codes: Sequence[str], need: int) -> int:
    """Take seeds from lots in turn; return how many are missing."""
    for code in codes:
        taken = min(need, left[code] or 0)
        left[code] = (left[code] or 0) - taken
        need -= taken
    return need
