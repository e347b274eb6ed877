"""Emergence curves, the season's results, two ways compared."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from sqlalchemy.orm import Session

from core.errors import NoSuchSowing
from core.group.garden import Garden, SowingOf
from core.group.growing import follow
from core.group.sowing_counts import counts_of, emergence_over
from core.records import snapshot
from core.replies.base import Choice, Option, Reply
from core.replies.results import Compared, CurveLine, CurveSaid, ResultsSaid, SideSaid
from core.requests import Compare, Curve, Results, Where
from core.results.season_results import season_results
from core.results.trial import (
    WORTH_SHOWING,
    CropsDiffer,
    NobodyCounted,
    SidesOverlap,
    seeds_to_show,
    sowings_named,
)
from core.scene import Scene
from core.shown.windows import said_window
from core.trade.statistics.compare import compare_sowings
from core.trade.statistics.germination import germination_statistics
from core.trade.statistics.germination_counts import GerminationCounts
from core.trade.statistics.intervals import wilson_interval

MOST_CURVES = 6  # lines of one picture
MOST_OPTIONS = 8


def curve(request: Curve, scene: Scene, session: Session) -> Reply:
    """Return the emergence of a sowing, or of the last sowings of what was named.

    Raises SowingUnknown, TrayUnknown, ShelfUnknown, LotUnknown, NoSuchSowing.
    """
    assert scene.group_id is not None
    garden, every = _records(scene, session)
    if not every:
        raise NoSuchSowing()
    found = sowings_named(garden, every, request.where)
    if request.where.empty and len(found) > 1:
        return _which(found)
    shown = found[-MOST_CURVES:]
    return CurveSaid(
        group=scene.group_id,
        lines=tuple(curve_line(garden, sowing, scene.today) for sowing in shown),
        more=len(found) - len(shown),
    )


def _which(found: Sequence[SowingOf]) -> Choice:
    """Ask which sowing: the newest first."""
    newest = list(reversed(found))
    return Choice(
        question="sowing",
        options=tuple(
            Option(
                kind="sowing",
                request=Curve(where=Where(sowing=sowing.code)),
                values={
                    "sowing": sowing.code,
                    "crop": sowing.crop,
                    "variety": sowing.variety,
                    "tray": sowing.tray,
                    "sown_on": sowing.sown_on,
                },
            )
            for sowing in newest[:MOST_OPTIONS]
        ),
        values={"more": max(0, len(newest) - MOST_OPTIONS)},
    )


def curve_line(garden: Garden, sowing: SowingOf, today: date) -> CurveLine:
    """Return one sowing's emergence in figures."""
    growing = follow(sowing)
    counts = counts_of(sowing)
    over = emergence_over(garden, sowing, growing, today)
    known = germination_statistics(counts) if counts is not None else None
    up = counts.emerged if counts is not None else 0
    return CurveLine(
        sowing=sowing.code,
        crop=sowing.crop,
        variety=sowing.variety,
        lot=sowing.lot,
        tray=sowing.tray,
        sown_on=sowing.sown_on,
        seeds=sowing.seeds,
        up=up,
        looks=len(counts.days) if counts is not None else 0,
        interval=wilson_interval(up, sowing.seeds),
        first_day=known.first_day if known else None,
        half_day=known.t50_coolbear if known else None,
        mean_days=known.mean_days if known else None,
        last_day=known.last_day if known else None,
        looked_on_day=counts.days[-1] if counts is not None else None,
        over=over,
        window=None if over else said_window(garden, sowing, today),
    )


def results(request: Results, scene: Scene, session: Session) -> Reply:
    """Return what came of the sowings of the last year."""
    assert scene.group_id is not None
    garden, every = _records(scene, session)
    return ResultsSaid(
        group=scene.group_id,
        results=season_results(garden, every, scene.today),
        as_file=request.as_file,
    )


def compare(request: Compare, scene: Scene, session: Session) -> Reply:
    """Hold two sets of sowings of one crop against each other.

    Raises CropsDiffer, SidesOverlap, NobodyCounted, and what `sowings_named` raises.
    """
    garden, every = _records(scene, session)
    sides = [sowings_named(garden, every, where) for where in (request.left, request.right)]
    crops = [tuple(dict.fromkeys(s.crop for s in side)) for side in sides]
    common = [crop for crop in crops[0] if crop in crops[1]]
    if not common:
        raise CropsDiffer(left=crops[0], right=crops[1])
    if len(common) > 1:
        return _which_crop(request, common)
    crop = common[0]
    left, right = ([s for s in side if s.crop == crop] for side in sides)
    both = [s.code for s in left if s in right]
    if both:
        raise SidesOverlap(sowings=tuple(both))
    counted = [_counted(left), _counted(right)]
    comparison = compare_sowings([c for _, c in counted[0]], [c for _, c in counted[1]])
    overall = sum(comparison.emerged) / sum(comparison.sown)
    return Compared(
        crop=crop,
        left=_side(request.left, left, counted[0]),
        right=_side(request.right, right, counted[1]),
        comparison=comparison,
        worth=WORTH_SHOWING,
        seeds_needed=seeds_to_show(overall),
        coming=tuple(
            s.code for s in (*left, *right) if not emergence_over(garden, s, follow(s), scene.today)
        ),
    )


def _counted(side: Sequence[SowingOf]) -> list[tuple[SowingOf, GerminationCounts]]:
    found = [(s, counts) for s in side if (counts := counts_of(s)) is not None]
    if not found:
        raise NobodyCounted(sowings=tuple(s.code for s in side))
    return found


def _side(
    named: Where, side: Sequence[SowingOf], counted: Sequence[tuple[SowingOf, GerminationCounts]]
) -> SideSaid:
    codes = [sowing.code for sowing, _ in counted]
    return SideSaid(
        named=named,
        sowings=tuple(codes),
        not_counted=tuple(s.code for s in side if s.code not in codes),
    )


def _which_crop(request: Compare, crops: Sequence[str]) -> Choice:
    return Choice(
        question="crop",
        options=tuple(
            Option(
                kind="crop",
                request=Compare(
                    left=replace(request.left, crop=crop), right=replace(request.right, crop=crop)
                ),
                values={"crop": crop},
            )
            for crop in crops[:MOST_OPTIONS]
        ),
    )


def _records(scene: Scene, session: Session) -> tuple[Garden, tuple[SowingOf, ...]]:
    assert scene.group_id is not None
    return (
        snapshot.garden(session, scene.group_id, scene.today),
        snapshot.all_sowings(session, scene.group_id),
    )
