"""Speed of emergence compared with the tray as the unit: a log-rank test by clusters.

Seeds of one tray come up together, for its warmth and water, so that seeds taken as independent
call slow trays a slow way.
"""

from __future__ import annotations

import statistics
from collections import Counter
from collections.abc import Sequence

from scipy import stats

from core.trade.statistics.survival import LogRank, Watched, log_rank

Side = Sequence[Sequence[Watched]]
"""The watched seeds of each tray of one way."""


def tray_log_rank(first: Side, second: Side) -> LogRank | None:
    """Return the log-rank test of two ways with trays as clusters.

    The numerator is the log-rank's, observed less expected in the first way: the sum over trays of
    their seeds' score residuals. Its variance is that of these sums among the trays of a side,
    added up over both, and never less than that of independent seeds; its root is held to
    Student's t with trays - 2 degrees of freedom.
    `statistic` is the square of that t.
    Args: at least two trays a side.
    Returns None where nothing came up.
    Raises ValueError with fewer trays.
    Source: Lin and Wei 1989, J. Am. Stat. Assoc. 84: 1074-1078; Lee, Wei and Amato 1992 for
        clusters (both from memory); the spread within sides and the t are own choices, checked by
        simulation.
    Checked by: tests/reference/test_trays_speed.py (lifelines; false "faster" at most 5 %).
    """
    if min(len(first), len(second)) < 2:
        raise ValueError("a spread between trays takes two a side")
    up: Counter[float] = Counter()
    for seed in (seed for tray in (*first, *second) for seed in tray):
        if seed.up and seed.seeds:
            up[seed.day] += seed.seeds
    days = sorted(up)
    share_first, hazard = [], []
    for day in days:
        n_first = _at_risk(first, day)
        n = n_first + _at_risk(second, day)
        share_first.append(n_first / n)
        hazard.append(up[day] / n)
    scores = [
        [sum(_score(seed, own, days, share_first, hazard) for seed in tray) for tray in side]
        for own, side in ((1.0, first), (0.0, second))
    ]
    trays = len(first) + len(second)
    numerator = sum(map(sum, scores))
    variance = sum(len(side) * statistics.variance(side) for side in scores)
    plain = log_rank(
        [seed for tray in first for seed in tray], [seed for tray in second for seed in tray]
    )
    if plain is None:
        return None
    statistic = plain.statistic
    if variance > 0:
        statistic = min(statistic, numerator**2 / variance)
    observed = sum(seed.seeds for tray in first for seed in tray if seed.up)
    return LogRank(
        statistic=statistic,
        p_value=float(2 * stats.t(trays - 2).sf(statistic**0.5)),
        observed_first=observed,
        expected_first=observed - numerator,
    )


def _at_risk(side: Side, day: float) -> int:
    return sum(seed.seeds for tray in side for seed in tray if seed.day >= day)


def _score(
    seed: Watched,
    own: float,
    days: Sequence[float],
    share_first: Sequence[float],
    hazard: Sequence[float],
) -> float:
    """Return what seeds seen alike add to the numerator: those up less those expected to be."""
    found = 0.0
    for day, share, rate in zip(days, share_first, hazard, strict=True):
        if day > seed.day:
            break
        found -= (own - share) * rate
        if seed.up and day == seed.day:
            found += own - share
    return found * seed.seeds
