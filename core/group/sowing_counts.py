"""What the counts of a sowing amount to: dated looks, and whether emergence is over."""

from __future__ import annotations

import math
from collections.abc import Iterable
from datetime import date, timedelta

from core.group import outlook
from core.group.garden import Garden, SowingOf
from core.group.growing import Growing, Stage, follow
from core.trade.emergence.site import SEED_LOG_SD
from core.trade.statistics.germination_counts import GerminationCounts

_Z95 = 1.645  # standard normal quantile

LONG_AFTER = timedelta(days=30)
"""A sowing without any forecast is taken to have shown what it will after so long; from
memory."""


def counts_of(sowing: SowingOf) -> GerminationCounts | None:
    """Return a sowing's looks, or None when nobody counted.

    A look on the day of sowing says nothing and is left out. Where a count entered later for an
    earlier day stands above the next one, the higher total holds from then on. A sowing given up
    before anything showed counts as a look at none on that day.
    Checked by: tests/core/group/test_sowing_counts.py.
    """
    growing = follow(sowing)
    looks = [
        (on, min(up, sowing.seeds)) for on, up in sorted(growing.counts) if on > sowing.sown_on
    ]
    if growing.seeds_failed:
        given_up = max(report.on for report in sowing.happenings if report.kind == "lost")
        looks.append((max(given_up, sowing.sown_on + timedelta(days=1)), 0))
    if not looks:
        return None
    totals, most = [], 0
    for on, up in sorted(looks):
        most = max(most, up)
        totals.append((on, most))
    return GerminationCounts.from_totals(sown=sowing.seeds, sown_on=sowing.sown_on, totals=totals)


def emergence_over(garden: Garden, sowing: SowingOf, growing: Growing, today: date) -> bool:
    """Whether no more seedlings are looked for.

    So it is once a sowing is closed, thinned or potted up, has every seed up, was counted when by
    its own pace nearly all that come are up, or has passed the 90 % point of its window.
    """
    if sowing.closed_on is not None or growing.stage not in (Stage.SOWN, Stage.UP):
        return True
    if growing.thinned_on is not None or growing.up >= sowing.seeds:
        return True
    if growing.up and growing.counts[-1][0] >= _own_end(sowing, growing):
        return True
    ends = outlook.emergence(garden, sowing, today).p90_on or sowing.sown_on + LONG_AFTER
    return today > ends


def _own_end(sowing: SowingOf, growing: Growing) -> date:
    """Return the day by which 95 % of the seeds that come are up, by when half of these were."""
    half_on = next(on for on, up in growing.counts if up >= growing.up / 2)
    days = max(1, (half_on - sowing.sown_on).days)
    return sowing.sown_on + timedelta(days=int(days * math.exp(_Z95 * SEED_LOG_SD)))


def record_of(sowings: Iterable[SowingOf]) -> tuple[int, int, int]:
    """Return (seedlings, seeds, sowings) of those whose emergence is over by what was done.

    Only sowings that somebody counted and that were thinned, potted up, planted or closed. One
    given up before anything showed is left out: cold or mice take a whole tray, and that says
    little of its seed.
    """
    up = seeds = number = 0
    for sowing in sowings:
        growing = follow(sowing)
        done = sowing.closed_on is not None or growing.stage in (
            Stage.THINNED, Stage.POTTED, Stage.HARDENING, Stage.FINISHED,
        )  # fmt: skip
        if not done or growing.seeds_failed or not growing.counts:
            continue
        up += min(growing.up, sowing.seeds)
        seeds += sowing.seeds
        number += 1
    return up, seeds, number


def survival_record(sowings: Iterable[SowingOf]) -> tuple[int, int]:
    """Return (planted, planted and lost) of the finished sowings that came up."""
    planted = lost = 0
    for sowing in sowings:
        growing = follow(sowing)
        if growing.stage is Stage.FINISHED and not growing.seeds_failed:
            planted += growing.planted
            lost += growing.lost
    return planted, planted + lost
