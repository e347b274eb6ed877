"""What came of a group's sowings: germination by lot, place and method, speed, losses."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TypeVar

from core.folding import fold
from core.group.garden import Garden, SowingOf
from core.group.growing import follow
from core.group.sowing_counts import counts_of, emergence_over
from core.trade.crops.standards import Authority, standard
from core.trade.crops.table import crop_by_id
from core.trade.statistics.germination import germination_statistics
from core.trade.statistics.germination_counts import GerminationCounts
from core.trade.statistics.germination_standard import compare_with_standard
from core.trade.statistics.intervals import Interval, wilson_interval

SEASON = timedelta(days=365)
"""Results are of the sowings of the last year."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """Seedlings of seeds: counts, share 0..1 and its 95 % Wilson interval."""

    up: int
    seeds: int
    sowings: int
    interval: Interval

    @property
    def share(self) -> float:
        return self.up / self.seeds


@dataclass(frozen=True, slots=True, kw_only=True)
class LotResult:
    """Germination of one lot, or of a crop's seed without one.

    Attributes:
        least: legal or customary least germination, 0..1; None without one.
        authority: whose that is: `federal` or `state`.
        verdict: `below`, `above` or `cannot_tell` (core.germination_standard).
    """

    lot: str | None
    crop: str
    variety: str | None
    tally: Tally
    least: float | None
    authority: str | None
    verdict: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceResult:
    """Germination of one crop at one place or by one method.

    Attributes:
        kind: `shelf`, `tray`, `mat`, `per_cell` or `variety`.
        place: code of the shelf or tray; None = on no shelf. For `mat`: `yes` or `no`; for
            `per_cell`: seeds sown in each cell; for `variety`: its name.
    """

    crop: str
    kind: str
    place: str | None
    tally: Tally


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeedResult:
    """How fast a crop came up, days after sowing, by the looks: means over its sowings,
    weighted by seedlings.

    Attributes:
        mean_days: mean time to emergence; half_days: T50 after Coolbear, None where every
            sowing was half up when first looked at.
    """

    crop: str
    sowings: int
    mean_days: float
    half_days: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LossResult:
    """Losses from one cause: plants, and sowings given up before anything showed."""

    cause: str | None
    plants: int
    sowings: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonResults:
    """Everything that came of a season.

    Attributes:
        since: date of the oldest sowing counted in; None when there is none.
        total: of all sowings judged; None when there is none.
        coming: sowings still expected to show more, left out; not_counted: sowings over
            that nobody counted, left out.
        places: shelves of every crop, or its trays where it stood on one shelf only.
        methods: with or without a heat mat, and seeds a cell where a crop was sown in two ways.
        varieties: of the crops sown in a named variety.
        cut_short: sowings lost before all that would come could have; left out.
        planted, lost: plants.
    """

    since: date | None
    total: Tally | None
    coming: int
    not_counted: int
    lots: tuple[LotResult, ...] = ()
    places: tuple[PlaceResult, ...] = ()
    methods: tuple[PlaceResult, ...] = ()
    varieties: tuple[PlaceResult, ...] = ()
    speeds: tuple[SpeedResult, ...] = ()
    losses: tuple[LossResult, ...] = ()
    cut_short: int = 0
    planted: int = 0
    lost: int = 0


Counted = tuple[SowingOf, GerminationCounts]
K = TypeVar("K")


def season_results(garden: Garden, every: Sequence[SowingOf], today: date) -> SeasonResults:
    """Return what came of the sowings of the last year.

    Shelf and heat mat are those of the tray now. Checked by: tests/core/handlers/test_results.py.
    """
    season = [s for s in every if s.sown_on > today - SEASON]
    judged: list[Counted] = []
    coming = not_counted = planted = lost = cut_short = 0
    for sowing in season:
        growing = follow(sowing)
        planted += growing.planted
        lost += growing.lost
        counts = counts_of(sowing)
        if not emergence_over(garden, sowing, growing, today):
            coming += 1
        elif _cut_short(garden, sowing, counts):
            cut_short += 1
        elif counts is None:
            not_counted += 1
        else:
            judged.append((sowing, counts))
    return SeasonResults(
        since=season[0].sown_on if season else None,
        total=tally(judged),
        coming=coming,
        not_counted=not_counted,
        lots=_lots(judged),
        places=_places(garden, judged),
        methods=(*_methods(garden, judged), *_per_cell(judged)),
        varieties=_varieties(judged),
        cut_short=cut_short,
        speeds=_speeds(judged),
        losses=losses(season),
        planted=planted,
        lost=lost,
    )


def _cut_short(garden: Garden, sowing: SowingOf, counts: GerminationCounts | None) -> bool:
    """Whether what had come up was all lost before the others could have shown.

    A count cut off by damping off or mice tells of those, not of the seed.
    """
    if counts is None or not counts.emerged:
        return False
    last = max((r.on for r in sowing.happenings if r.kind == "lost"), default=None)
    if last is None or sowing.closed_on is None or follow(sowing).planted:
        return False
    opened = replace(
        sowing,
        closed_on=None,
        happenings=tuple(r for r in sowing.happenings if r.on <= last and r.kind != "lost"),
    )
    return not emergence_over(garden, opened, follow(opened), last)


def tally(judged: Sequence[Counted]) -> Tally | None:
    """Return the seedlings of the seeds of some sowings, None of none."""
    if not judged:
        return None
    up = sum(counts.emerged for _, counts in judged)
    seeds = sum(counts.sown for _, counts in judged)
    return Tally(up=up, seeds=seeds, sowings=len(judged), interval=wilson_interval(up, seeds))


def least_of(crop_id: str) -> tuple[float | None, Authority | None]:
    """Return a crop's least germination, 0..1, and whose rule that is."""
    crop = crop_by_id(crop_id)
    if crop.standard is None:
        return None, None
    row = standard(crop.standard)
    return row.min_percent / 100, row.authority


def _grouped(judged: Iterable[Counted], key: Callable[[SowingOf], K]) -> dict[K, list[Counted]]:
    groups: dict[K, list[Counted]] = defaultdict(list)
    for pair in judged:
        groups[key(pair[0])].append(pair)
    return groups


def _sure(judged: Sequence[Counted]) -> Tally:
    found = tally(judged)
    assert found is not None
    return found


def _lots(judged: Sequence[Counted]) -> tuple[LotResult, ...]:
    results = []
    for (crop, lot), group in _grouped(judged, lambda s: (s.crop, s.lot)).items():
        counted = _sure(group)
        least, authority = least_of(crop)
        verdict = None
        if least is not None and 0 < least < 1:
            verdict = compare_with_standard(counted.up, counted.seeds, least).verdict.value
        varieties = {sowing.variety for sowing, _ in group}
        results.append(
            LotResult(
                lot=lot,
                crop=crop,
                variety=varieties.pop() if len(varieties) == 1 else None,
                tally=counted,
                least=least,
                authority=authority.value if authority else None,
                verdict=verdict,
            )
        )
    return tuple(sorted(results, key=lambda r: (-r.tally.seeds, r.crop, r.lot or "")))


def _places(garden: Garden, judged: Sequence[Counted]) -> tuple[PlaceResult, ...]:
    results: list[PlaceResult] = []
    for crop, group in _grouped(judged, lambda s: s.crop).items():
        shelves = _grouped(group, lambda s: _shelf(garden, s))
        trays = _grouped(group, lambda s: s.tray)
        by_tray = len(shelves) < 2 and len(trays) > 1
        for place, those in (trays if by_tray else shelves).items():
            results.append(
                PlaceResult(
                    crop=crop, kind="tray" if by_tray else "shelf", place=place, tally=_sure(those)
                )
            )
    return tuple(results)


def _shelf(garden: Garden, sowing: SowingOf) -> str | None:
    tray = garden.trays.get(sowing.tray)
    return tray.shelf if tray else None


def _methods(garden: Garden, judged: Sequence[Counted]) -> Iterable[PlaceResult]:
    def mat(sowing: SowingOf) -> str | None:
        shelf = garden.shelves.get(_shelf(garden, sowing) or "")
        if shelf is None or shelf.heat_mat is None:
            return None
        return "yes" if shelf.heat_mat else "no"

    for crop, group in _grouped(judged, lambda s: s.crop).items():
        for place, those in sorted(_grouped(group, mat).items(), key=lambda i: i[0] or ""):
            if place is not None:
                yield PlaceResult(crop=crop, kind="mat", place=place, tally=_sure(those))


def _per_cell(judged: Sequence[Counted]) -> Iterable[PlaceResult]:
    for crop, group in _grouped(judged, lambda s: s.crop).items():
        ways = _grouped(group, lambda s: s.seeds_per_cell)
        if len(ways) > 1:
            for number, those in sorted(ways.items()):
                yield PlaceResult(crop=crop, kind="per_cell", place=str(number), tally=_sure(those))


def _varieties(judged: Sequence[Counted]) -> tuple[PlaceResult, ...]:
    found = []
    for (crop, variety), those in _grouped(judged, lambda s: (s.crop, s.variety)).items():
        if variety:
            found.append(PlaceResult(crop=crop, kind="variety", place=variety, tally=_sure(those)))
    return tuple(sorted(found, key=lambda r: (r.crop, -r.tally.share, r.place or "")))


def _speeds(judged: Sequence[Counted]) -> tuple[SpeedResult, ...]:
    results = []
    for crop, group in _grouped(judged, lambda s: s.crop).items():
        known = [(counts.emerged, germination_statistics(counts)) for _, counts in group]
        means = [(n, s.mean_days) for n, s in known if s.mean_days is not None]
        halves = [(n, s.t50_coolbear) for n, s in known if s.t50_coolbear is not None]
        if not means:
            continue
        results.append(
            SpeedResult(
                crop=crop,
                sowings=len(means),
                mean_days=_weighted(means),
                half_days=_weighted(halves) if halves else None,
            )
        )
    return tuple(results)


def _weighted(pairs: Sequence[tuple[int, float]]) -> float:
    return sum(n * value for n, value in pairs) / sum(n for n, _ in pairs)


def losses(sowings: Iterable[SowingOf]) -> tuple[LossResult, ...]:
    """Return the losses by cause, the greatest first."""
    plants: dict[str | None, int] = defaultdict(int)
    whole: dict[str | None, int] = defaultdict(int)
    named: dict[str | None, str | None] = {}
    for sowing in sowings:
        growing = follow(sowing)
        left = growing.lost
        for report in sowing.happenings:
            if report.kind != "lost":
                continue
            said = report.values.get("cause")
            key = fold(str(said)) if said else None
            named.setdefault(key, said)
            everything = report.values.get("all") or report.values.get("count") is None
            if everything and growing.seeds_failed:
                whole[key] += 1
            count = left if everything else min(left, int(report.values["count"]))
            plants[key] += count
            left -= count
    found = [
        LossResult(cause=named[key], plants=plants[key], sowings=whole[key])
        for key in named
        if plants[key] or whole[key]
    ]
    return tuple(sorted(found, key=lambda r: (-r.plants, -r.sowings, r.cause or "~")))
