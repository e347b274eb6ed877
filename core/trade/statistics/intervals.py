"""Proportions with their uncertainty: binomial intervals, Beta beliefs, predictions.

Distribution functions come from `scipy.special`, which imports fast; nothing here reads
a clock or a record.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

LEVEL = 0.95
"""Confidence of an interval when none is asked for; convention."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """A closed range of proportions, dimensionless: low <= high.

    Proportions lie in 0..1, differences of proportions in -1..1.
    """

    low: float
    high: float

    @property
    def width(self) -> float:
        """high - low, >= 0."""
        return self.high - self.low


def normal_quantile(level: float = LEVEL) -> float:
    """Return the two-sided standard normal quantile, 1.959964 at 0.95.

    Args:
        level: confidence; 0 < level < 1.
    Raises ValueError outside that range.
    Source: definition of the normal distribution.
    Checked by: tests/reference/test_intervals.py.
    """
    _check_level(level)
    return float(special.ndtri(0.5 + level / 2))


def wilson_interval(successes: int, n: int, *, level: float = LEVEL) -> Interval:
    """Return the Wilson score interval for a proportion.

    Args:
        successes: seeds that came up; count, 0 <= successes <= n.
        n: seeds sown; count, n >= 1.
        level: confidence; 0 < level < 1.
    Returns proportions: 0 <= low <= successes / n <= high <= 1.
    Raises ValueError outside these ranges.
    Source: Wilson 1927, J. Am. Stat. Assoc. 22(158): 209-212.
    Checked by: tests/reference/test_intervals.py (Newcombe 1998 and scipy.stats).
    """
    _check_counts(successes, n)
    z2 = normal_quantile(level) ** 2
    share = successes / n
    centre = (share + z2 / (2 * n)) / (1 + z2 / n)
    half = math.sqrt(z2 * (share * (1 - share) / n + z2 / (4 * n * n))) / (1 + z2 / n)
    low = 0.0 if successes == 0 else min(max(0.0, centre - half), share)
    high = 1.0 if successes == n else max(min(1.0, centre + half), share)
    return Interval(low=low, high=high)


def clopper_pearson_interval(successes: int, n: int, *, level: float = LEVEL) -> Interval:
    """Return the exact (Clopper-Pearson) interval; it covers at least `level`.

    Args, ranges, returns and errors as `wilson_interval`.
    Source: Clopper and Pearson 1934, Biometrika 26: 404-413.
    Checked by: tests/reference/test_intervals.py (Newcombe 1998 and scipy.stats.binomtest).
    """
    _check_counts(successes, n)
    _check_level(level)
    tail = (1 - level) / 2
    k = successes
    low = 0.0 if k == 0 else float(special.betaincinv(k, n - k + 1, tail))
    high = 1.0 if k == n else float(special.betaincinv(k + 1, n - k, 1 - tail))
    return Interval(low=low, high=high)


def jeffreys_interval(successes: int, n: int, *, level: float = LEVEL) -> Interval:
    """Return the equal-tailed interval of Beta(k + 1/2, n - k + 1/2), the Jeffreys prior.

    At 0 of n the low end is set to 0, at n of n the high end to 1; the other end keeps
    its one tail.

    Args, ranges, returns and errors as `wilson_interval`.
    Source: Brown, Cai and DasGupta 2001, Statistical Science 16(2): 101-133.
    Checked by: tests/reference/test_intervals.py (scipy.stats.beta).
    """
    _check_counts(successes, n)
    interval = Beta(a=successes + 0.5, b=n - successes + 0.5).interval(level=level)
    return Interval(
        low=0.0 if successes == 0 else interval.low,
        high=1.0 if successes == n else interval.high,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Beta:
    """A belief about a proportion: the Beta(a, b) distribution.

    Attributes:
        a, b: weight for and against, in seeds; > 0. a + b is the weight of the belief.
    Raises ValueError when a or b is not positive and finite.
    """

    a: float
    b: float

    def __post_init__(self) -> None:
        if not (0 < self.a < math.inf and 0 < self.b < math.inf):
            raise ValueError(f"Beta needs positive finite weights, got {self.a}, {self.b}")

    @classmethod
    def around(cls, mean: float, weight: float) -> Beta:
        """Return the belief with this mean (0..1, exclusive) and weight in seeds (> 0)."""
        return cls(a=mean * weight, b=(1 - mean) * weight)

    @property
    def mean(self) -> float:
        """Expected proportion, 0..1."""
        return self.a / (self.a + self.b)

    @property
    def weight(self) -> float:
        """How many seeds the belief is worth, > 0."""
        return self.a + self.b

    def after(self, successes: int, n: int) -> Beta:
        """Return the belief after `successes` of `n` (n >= 0); ValueError outside 0..n."""
        if not 0 <= successes <= n:
            raise ValueError(f"{successes} of {n} is not a count")
        return Beta(a=self.a + successes, b=self.b + n - successes)

    def quantile(self, chance: float) -> float:
        """Return the proportion that has `chance` (0..1) below it."""
        return float(special.betaincinv(self.a, self.b, chance))

    def interval(self, *, level: float = LEVEL) -> Interval:
        """Return the equal-tailed interval holding `level` of the belief."""
        _check_level(level)
        tail = (1 - level) / 2
        return Interval(low=self.quantile(tail), high=self.quantile(1 - tail))

    def chance_below(self, proportion: float) -> float:
        """Return the belief that the proportion lies under this one; 0..1."""
        return float(special.betainc(self.a, self.b, min(max(proportion, 0.0), 1.0)))


def binomial_at_least(need: int, n: int, p: float) -> float:
    """Return P(X >= need) for X ~ Binomial(n, p).

    Args:
        need: successes wanted; any integer (<= 0 is certain, > n impossible).
        n: trials; count, >= 0.
        p: chance of one success; 0 <= p <= 1.
    Returns a probability. Raises ValueError outside these ranges.
    Source: P(X >= k) = I_p(k, n - k + 1), the regularised incomplete beta function.
    Checked by: tests/reference/test_seed_sizes.py (scipy.stats.binom).
    """
    if n < 0 or not 0 <= p <= 1:
        raise ValueError(f"binomial needs n >= 0 and 0 <= p <= 1, got {n}, {p}")
    if need <= 0:
        return 1.0
    if need > n:
        return 0.0
    return float(special.betainc(need, n - need + 1, p))


def beta_binomial_pmf(n: int, belief: Beta) -> NDArray[np.float64]:
    """Return P(X = 0..n) for n seeds whose chance is only believed; shape (n + 1,).

    Args:
        n: seeds; count, >= 0.
        belief: the Beta belief about the chance of one seed.
    Raises ValueError for n < 0.
    Source: beta-binomial distribution, C(n,k) B(k+a, n-k+b) / B(a, b).
    Checked by: tests/reference/test_seed_sizes.py (scipy.stats.betabinom).
    """
    if n < 0:
        raise ValueError(f"n must be >= 0, got {n}")
    k = np.arange(n + 1, dtype=np.float64)
    logs = (
        special.gammaln(n + 1)
        - special.gammaln(k + 1)
        - special.gammaln(n - k + 1)
        + special.betaln(k + belief.a, n - k + belief.b)
        - special.betaln(belief.a, belief.b)
    )
    return np.asarray(np.exp(logs), dtype=np.float64)


def beta_binomial_at_least(need: int, n: int, belief: Beta) -> float:
    """Return P(X >= need) of n seeds under a belief; 0..1.

    Args as `beta_binomial_pmf`; `need` any integer. Checked as `beta_binomial_pmf`.
    """
    if need <= 0:
        return 1.0
    if need > n:
        return 0.0
    return float(min(1.0, beta_binomial_pmf(n, belief)[need:].sum()))


def _check_counts(successes: int, n: int) -> None:
    if n < 1 or not 0 <= successes <= n:
        raise ValueError(f"need 0 <= successes <= n and n >= 1, got {successes} of {n}")


def _check_level(level: float) -> None:
    if not 0 < level < 1:
        raise ValueError(f"level must lie between 0 and 1, got {level}")
