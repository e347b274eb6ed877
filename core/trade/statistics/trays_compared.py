"""Shares of two sides whose seeds stand in trays: the tray, not the seed, is what was treated.

Seeds of one tray share its mix, place and waterer, so trays differ by more than seeds do. With
two trays or more a side that spread is measured; with fewer it can only be assumed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy import stats

from core.trade.statistics.intervals import LEVEL, Interval

ASSUMED_CORRELATION = 0.1
"""Correlation of seeds within a tray taken where no spread between trays can be measured: the
high end, so that a tray is not taken for a way. From memory; plates of one treatment gave 0.016
(aod orob2, Crowder 1978)."""

Trays = Sequence[tuple[int, int]]
"""(up, sown) of each tray."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BetweenTrays:
    """Two shares compared with the tray as the unit.

    Attributes:
        p_value: two-sided, 0..1.
        interval: 95 % interval of the first share less the second, -1..1.
        inflation: how much wider than for independent seeds the variance is, >= 1.
        measured: the spread between trays was measured, not assumed.
        uneven: trays of one side differ among themselves by more than chance (5 %).
    """

    p_value: float
    interval: Interval
    inflation: float
    measured: bool
    uneven: bool


def compare_trays(first: Trays, second: Trays) -> BetweenTrays:
    """Compare two shares by a quasi-binomial score test with the tray as the unit.

    The variance of a share is the binomial one times the Pearson dispersion within sides, never
    less than once; the statistic has Student's t with trays - 2 degrees of freedom. With one
    tray on a side the variance is multiplied by 1 + (seeds - 1) x `ASSUMED_CORRELATION`.
    Args: (up, sown) of each tray, sown >= 1, at least one tray a side.
    Source: McCullagh and Nelder 1989, Generalized linear models, section 4.5 (from memory).
    Checked by: tests/reference/test_trays_compared.py.
    """
    sides = (first, second)
    up = [sum(u for u, _ in side) for side in sides]
    sown = [sum(n for _, n in side) for side in sides]
    shares = [u / n for u, n in zip(up, sown, strict=True)]
    pooled = sum(up) / sum(sown)
    freedom = len(first) + len(second) - 2
    measured = min(len(first), len(second)) >= 2
    spread = _spread(first, shares[0]) + _spread(second, shares[1])
    if measured:
        inflation = max(1.0, spread / freedom)
        law = stats.t(freedom)
    else:
        inflation = 1 + (_seeds_a_tray((*first, *second)) - 1) * ASSUMED_CORRELATION
        law = stats.norm()
    difference = shares[0] - shares[1]
    variance = inflation * pooled * (1 - pooled) * (1 / sown[0] + 1 / sown[1])
    p_value = 1.0 if variance == 0 else float(2 * law.sf(abs(difference) / math.sqrt(variance)))
    apart = inflation * sum(
        max(p * (1 - p), 1 / (4 * n)) / n for p, n in zip(shares, sown, strict=True)
    )
    reach = float(law.ppf((1 + LEVEL) / 2)) * math.sqrt(apart)
    return BetweenTrays(
        p_value=min(1.0, p_value),
        interval=Interval(low=max(-1.0, difference - reach), high=min(1.0, difference + reach)),
        inflation=inflation,
        measured=measured,
        uneven=freedom > 0 and float(stats.chi2.sf(spread, freedom)) <= 1 - LEVEL,
    )


def _spread(trays: Trays, share: float) -> float:
    """Return Pearson's chi-squared of a side's trays about its share."""
    if not 0 < share < 1:
        return 0.0
    return sum(n * (u / n - share) ** 2 / (share * (1 - share)) for u, n in trays)


def _seeds_a_tray(trays: Trays) -> float:
    """Return the seeds a tray, large trays counting for more."""
    return sum(n * n for _, n in trays) / sum(n for _, n in trays)
