"""Is a lot shown to be under a minimum, at the sample size at hand?"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from scipy import special

from core.trade.statistics.intervals import Interval, binomial_at_least, clopper_pearson_interval

ALPHA = 0.05
"""Chance of calling a lot that just meets the minimum bad; convention."""

POWER = 0.80
"""Chance of noticing that a usual test aims at; convention."""


class Verdict(StrEnum):
    """What a count says of a minimum."""

    BELOW = "below"
    """Shown to be below: a lot at the minimum would seldom do so badly."""
    ABOVE = "above"
    """Shown to be above: a lot at the minimum would seldom do so well."""
    CANNOT_TELL = "cannot_tell"
    """Either side of the minimum fits the count."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StandardVerdict:
    """A count held against a minimum.

    Attributes:
        verdict: see `Verdict`.
        p_below: chance of this few or fewer at exactly the minimum; 0..1.
        p_above: chance of this many or more at exactly the minimum; 0..1.
        under: True when the plain share lies under the minimum, whatever it shows.
        interval: exact 95 % interval of the proportion; 0..1.
        shown_below_at: greatest count of these n that would show a bad lot; None when even
            0 of n would not.
        noticeable: proportion (0..1) a lot would have to fall to for these n to show it
            four times in five; None as above.
    """

    verdict: Verdict
    p_below: float
    p_above: float
    under: bool
    interval: Interval
    shown_below_at: int | None
    noticeable: float | None


def compare_with_standard(
    emerged: int, sown: int, minimum: float, *, alpha: float = ALPHA
) -> StandardVerdict:
    """Return whether a count is evidence that a lot misses a minimum.

    Exact one-sided binomial test at the minimum, both ways. 18 of 24 is no evidence
    against 75 %: a lot at just 75 % does that or worse 58 times in 100.

    Args:
        emerged: count, 0..sown; sown: count, >= 1.
        minimum: required proportion; 0 < minimum < 1.
        alpha: one-sided level; 0 < alpha < 0.5.
    Raises ValueError outside these ranges.
    Source: exact binomial test, textbook; minima such as 7 CFR 201.31 are set for lots, and
        the official test takes 400 seeds (7 CFR 201.54).
    Checked by: tests/reference/test_exact_tests.py (scipy.stats.binomtest).
    """
    if not 0 < minimum < 1 or not 0 < alpha < 0.5:
        raise ValueError(f"need 0 < minimum < 1 and 0 < alpha < 0.5, got {minimum}, {alpha}")
    interval = clopper_pearson_interval(emerged, sown)
    p_above = binomial_at_least(emerged, sown, minimum)
    p_below = _at_most(emerged, sown, minimum)
    critical = max(
        (k for k in range(sown + 1) if _at_most(k, sown, minimum) <= alpha), default=None
    )
    if p_below <= alpha:
        verdict = Verdict.BELOW
    elif p_above <= alpha:
        verdict = Verdict.ABOVE
    else:
        verdict = Verdict.CANNOT_TELL
    return StandardVerdict(
        verdict=verdict,
        p_below=p_below,
        p_above=p_above,
        under=emerged < minimum * sown,
        interval=interval,
        shown_below_at=critical,
        noticeable=None if critical is None else _noticeable(critical, sown, minimum),
    )


def _at_most(k: int, n: int, p: float) -> float:
    return 1.0 if k >= n else binomial_at_least(n - k, n, 1 - p)


def _noticeable(critical: int, n: int, minimum: float) -> float:
    """Return the proportion at which `critical` or fewer of n has the usual power.

    P(X <= c) = 1 - I_p(c + 1, n - c) = power, so p is a quantile of a beta distribution.
    """
    return min(minimum, float(special.betaincinv(critical + 1, n - critical, 1 - POWER)))
