"""The way of a season's seed: sown, came up, potted up, planted, given to homes; crop by crop."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from core.folding import fold
from core.group.garden import SowingOf
from core.group.growing import follow
from core.results.season_results import SEASON


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """Counts of one crop, or of all; plants, except `seeds`, `sowings` and `homes`.

    Attributes:
        crop: crop id; None for all together.
        counted: seeds of the sowings that somebody counted; `up` came of these.
        potted: seedlings potted up, each once.
        planted: set out by the group itself; given: handed out.
        homes: different names that plants were given to.
        left: plants still here.
    """

    crop: str | None
    sowings: int
    seeds: int
    counted: int
    up: int
    potted: int
    planted: int
    given: int
    homes: int
    lost: int
    left: int


def courses(every: Sequence[SowingOf], until: date) -> tuple[Course, ...]:
    """Return the course of each crop sown in the year up to `until`, the most seed first.

    Args:
        every: all sowings of the group with their live reports; `until` is included.

    Checked by: tests/core/results/test_course.py.
    """
    season = in_season(every, until)
    crops = dict.fromkeys(sowing.crop for sowing in season)
    found = [_course(crop, [s for s in season if s.crop == crop]) for crop in crops]
    return tuple(sorted(found, key=lambda c: (-c.seeds, c.crop or "")))


def whole_course(every: Sequence[SowingOf], until: date) -> Course | None:
    """Return the course of everything sown in the year up to `until`; None of nothing."""
    season = in_season(every, until)
    return _course(None, season) if season else None


def in_season(every: Iterable[SowingOf], until: date) -> list[SowingOf]:
    """Return the sowings of the year up to a date."""
    return [s for s in every if until - SEASON < s.sown_on <= until]


def _course(crop: str | None, season: Sequence[SowingOf]) -> Course:
    followed = [(sowing, follow(sowing)) for sowing in season]
    homes: set[str] = set()
    given = potted = 0
    for sowing, growing in followed:
        here = 0
        before = 0  # planted so far, for a report of all the rest
        for report in sowing.happenings:
            if report.kind != "planted":
                continue
            named = report.values.get("count")
            count = growing.planted - before if named is None else int(named)
            count = max(0, min(count, growing.planted - before))
            before += count
            if report.values.get("to"):
                homes.add(fold(str(report.values["to"])))
                here += count
        given += here
        potted += _potted(sowing, growing.up)
    planted = sum(growing.planted for _, growing in followed)
    return Course(
        crop=crop,
        sowings=len(season),
        seeds=sum(sowing.seeds for sowing in season),
        counted=sum(s.seeds for s, g in followed if g.counts or g.seeds_failed),
        up=sum(min(g.up, s.seeds) for s, g in followed),
        potted=potted,
        planted=planted - given,
        given=given,
        homes=len(homes),
        lost=sum(growing.lost for _, growing in followed),
        left=sum(growing.alive for _, growing in followed),
    )


def _potted(sowing: SowingOf, up: int) -> int:
    """Return how many seedlings were potted up: once each, however often they were moved on."""
    counts = [r.values.get("count") for r in sowing.happenings if r.kind == "potted"]
    if any(count is None for count in counts):
        return up
    return min(up, sum(int(count) for count in counts if count is not None))
