"""The fitted curve of frost dates: a broken line on the normal scale, and its sampling error."""

from __future__ import annotations

import math

from scipy import special

from core.trade.statistics.intervals import LEVEL, Interval, normal_quantile

_TINY = 1e-12


def along(knots: tuple[tuple[float, float], ...], x: float) -> float:
    """Return the height at `x` of the broken line through `knots`, its end pieces extended.

    Args:
        knots: two or more points, rising in both coordinates.
    """
    at = 1
    while at < len(knots) - 1 and x > knots[at][0]:
        at += 1
    (x0, y0), (x1, y1) = knots[at - 1], knots[at]
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)


def fitted_error(
    *, z: float, fitted: float, n_frosts: int, n_seasons: int, spread_known: bool
) -> Interval:
    """Return the 95 % sampling error of share x tail of a fitted normal curve.

    First-order variance, taken on the normal-score scale, where with a share of 1 it is that of
    (day - mean) / sd: 1/n + z^2 / (2 (n - 1)). The share's variance is that of its Jeffreys
    posterior, so that a share of 1 from few seasons is not taken as certain.

    Args:
        z: normal score of the day.
        fitted: the chance itself.
        n_frosts: seasons with frost, >= 1, and >= 2 unless `spread_known`.
        n_seasons: seasons in all, >= n_frosts.
        spread_known: the standard deviation is not taken from these seasons.

    Checked by: tests/core/trade/frost/test_frost.py (coverage on simulated records).
    """
    share = n_frosts / n_seasons
    smoothed = (n_frosts + 0.5) / (n_seasons + 1)
    share_var = smoothed * (1 - smoothed) / (n_seasons + 2)
    z_var = 1 / n_frosts + (0.0 if spread_known else z * z / (2 * (n_frosts - 1)))
    chance = min(max(fitted, _TINY), 1 - _TINY)
    score = float(special.ndtri(chance))
    sd = math.sqrt((fitted / share) ** 2 * share_var + (share * _density(z)) ** 2 * z_var)
    half = normal_quantile(LEVEL) * sd / _density(score)
    return Interval(
        low=min(fitted, float(special.ndtr(score - half))),
        high=max(fitted, float(special.ndtr(score + half))),
    )


def _density(z: float) -> float:
    return math.exp(-z * z / 2) / math.sqrt(2 * math.pi)
