"""Time to emergence when not every seed came up, and trays are looked at now and then.

A seed that has not come up when the last count is made is right-censored; a seed that
came up between two looks is interval-censored. Days are counted from sowing.
"""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from scipy import special

from core.trade.statistics.intervals import LEVEL, Interval, normal_quantile

_TOLERANCE = 1e-10
_MAX_ROUNDS = 20_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """Seeds known only to have come up after one look and by another.

    Attributes:
        after_day: last look without them; days after sowing, >= 0.
        by_day: first look with them, > after_day; `math.inf` when never seen
            (right-censored at `after_day`). Equal ends mean the day itself is known.
        seeds: how many; count, >= 0.
    Raises ValueError outside these ranges.
    """

    after_day: float
    by_day: float
    seeds: int = 1

    def __post_init__(self) -> None:
        if self.seeds < 0 or not 0 <= self.after_day <= self.by_day:
            raise ValueError(f"not a span of days: {self}")
        if math.isinf(self.after_day):
            raise ValueError("a span must begin on a day")


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """Share of all seeds (0..1) that came up after `after_day` and by `by_day`."""

    after_day: float
    by_day: float
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class EmergenceCurve:
    """The share of seeds up by each day, from censored looks.

    Attributes:
        steps: in order of days, not overlapping; shares sum with `never` to 1.
        never: share not up by the end, 0..1 (they may yet come, or not).
        seeds: seeds behind the curve; count.
    """

    steps: tuple[Step, ...]
    never: float
    seeds: int

    def share_up_by(self, day: float) -> Interval:
        """Return the least and greatest share up by `day` that the looks allow; 0..1."""
        low = sum(step.share for step in self.steps if step.by_day <= day)
        high = sum(
            step.share
            for step in self.steps
            if step.after_day < day or (step.after_day == step.by_day <= day)
        )
        return Interval(low=min(1.0, low), high=min(1.0, max(low, high)))

    def days_to_share(self, share: float) -> tuple[float, float] | None:
        """Return the look before and the look at which `share` (0..1) of all were up.

        None when the curve never gets there.
        """
        total = 0.0
        for step in self.steps:
            total += step.share
            if total >= share - 1e-9:
                return step.after_day, step.by_day
        return None


def turnbull_curve(spans: Sequence[Span]) -> EmergenceCurve:
    """Return the non-parametric maximum-likelihood emergence curve.

    Spans may overlap (several people look on different days); when they do not, the answer is
    the plain share per span. Otherwise the self-consistency steps of Turnbull run until
    no share moves by more than 1e-10.

    Args:
        spans: at least one seed in all.
    Raises ValueError when there are no seeds.
    Source: Turnbull 1976, J. R. Stat. Soc. B 38: 290-295; innermost intervals after
        Peto 1973, Appl. Stat. 22: 86-91 (both from memory).
    Checked by: tests/reference/test_survival.py (lifelines on a published germination set).
    """
    used = [span for span in spans if span.seeds > 0]
    total = sum(span.seeds for span in used)
    if total == 0:
        raise ValueError("no seeds to draw a curve from")
    cells = _innermost(used)
    members = [
        [i for i, (low, high) in enumerate(cells) if _holds(span, low, high)] for span in used
    ]
    shares = [1 / len(cells)] * len(cells)
    for _ in range(_MAX_ROUNDS):
        nxt = [0.0] * len(cells)
        for span, inside in zip(used, members, strict=True):
            mass = sum(shares[i] for i in inside)
            for i in inside:
                nxt[i] += span.seeds * shares[i] / mass
        nxt = [value / total for value in nxt]
        moved = max(abs(a - b) for a, b in zip(shares, nxt, strict=True))
        shares = nxt
        if moved < _TOLERANCE:
            break
    steps = tuple(
        Step(after_day=low, by_day=high, share=share)
        for (low, high), share in zip(cells, shares, strict=True)
        if not math.isinf(high) and share > _TOLERANCE
    )
    never = 1.0 - sum(step.share for step in steps)
    return EmergenceCurve(steps=steps, never=max(0.0, never), seeds=total)


def _holds(span: Span, low: float, high: float) -> bool:
    """Whether a cell lies in a span: a single day on an open left end does not."""
    if low == high and span.after_day < span.by_day:
        return span.after_day < low <= span.by_day
    return span.after_day <= low and high <= span.by_day


def _innermost(spans: Sequence[Span]) -> list[tuple[float, float]]:
    """Return the intervals that can hold mass: a left end followed at once by a right end.

    An exact day counts as the point itself; a left end at a day is open, so it sorts
    after every right end at that day, and an exact point's left end just before it.
    """
    ends: set[tuple[float, int, float]] = set()
    for span in spans:
        exact = span.after_day == span.by_day
        ends.add((span.after_day, 0 if exact else 2, span.after_day))
        ends.add((span.by_day, 1, span.by_day))
    ordered = sorted(ends)
    return [
        (left[2], right[2])
        for left, right in itertools.pairwise(ordered)
        if left[1] != 1 and right[1] == 1
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """One seed, watched: the day it came up, or the last day it was looked for.

    Attributes:
        day: days after sowing, > 0.
        up: True when it came up on `day`; False when still missing then (censored).
        seeds: how many seeds share this; count, >= 0.
    Raises ValueError outside these ranges.
    """

    day: float
    up: bool
    seeds: int = 1

    def __post_init__(self) -> None:
        if not 0 < self.day < math.inf or self.seeds < 0:
            raise ValueError(f"not a watched seed: {self}")


@dataclass(frozen=True, slots=True, kw_only=True)
class SurvivalPoint:
    """Kaplan-Meier at one day of emergence.

    Attributes:
        day: days after sowing.
        at_risk: seeds not yet up and still watched just before; count.
        up: seeds that came up on the day; count.
        share_up: 1 - S(day), 0..1.
        interval: 95 % log-log (exponential Greenwood) interval of share_up, 0..1;
            None once all are up, where the formula is undefined.
    """

    day: float
    at_risk: int
    up: int
    share_up: float
    interval: Interval | None


def kaplan_meier(seeds: Sequence[Watched], *, level: float = LEVEL) -> tuple[SurvivalPoint, ...]:
    """Return the product-limit curve of emergence, one point per day with emergence.

    Args:
        seeds: watched seeds; may be empty (empty answer).
        level: confidence of the intervals; 0 < level < 1.
    Source: Kaplan and Meier 1958, J. Am. Stat. Assoc. 53: 457-481; interval by the
        log(-log S) transform, Kalbfleisch and Prentice 1980 (both from memory).
    Checked by: tests/reference/test_survival.py (lifelines).
    """
    z = normal_quantile(level)
    up = _up_by_day(seeds)
    at_risk_all = [(seed.day, seed.seeds) for seed in seeds]
    surviving = 1.0
    greenwood = 0.0
    points = []
    for day in sorted(up):
        at_risk = sum(count for when, count in at_risk_all if when >= day)
        came = up[day]
        surviving *= 1 - came / at_risk
        interval = None
        if came < at_risk:
            greenwood += came / (at_risk * (at_risk - came))
            spread = z * math.sqrt(greenwood) / math.log(surviving)
            low = 1 - surviving ** math.exp(spread)
            high = 1 - surviving ** math.exp(-spread)
            interval = Interval(low=min(low, high), high=max(low, high))
        points.append(
            SurvivalPoint(
                day=day, at_risk=at_risk, up=came, share_up=1 - surviving, interval=interval
            )
        )
    return tuple(points)


@dataclass(frozen=True, slots=True, kw_only=True)
class LogRank:
    """Outcome of the log-rank test.

    Attributes:
        statistic: chi-squared on 1 degree of freedom, >= 0.
        p_value: 0..1.
        observed_first: emergences in the first set; count.
        expected_first: emergences expected there if both were alike; > observed means slower.
    """

    statistic: float
    p_value: float
    observed_first: int
    expected_first: float


def log_rank(first: Sequence[Watched], second: Sequence[Watched]) -> LogRank | None:
    """Return the two-sample log-rank test of the speed of emergence.

    Seeds that never came up stay in as censored, so a low final share also shows.

    Args:
        first, second: watched seeds of the two sets.
    Returns None when the variance is zero (no emergence, or one set empty).
    Source: Mantel 1966, Cancer Chemother. Rep. 50: 163-170; hypergeometric variance
        (from memory).
    Checked by: tests/reference/test_survival.py (lifelines.statistics.logrank_test).
    """
    up_first, up_second = _up_by_day(first), _up_by_day(second)
    observed, expected, variance = 0, 0.0, 0.0
    for day in sorted(set(up_first) | set(up_second)):
        n_first = sum(seed.seeds for seed in first if seed.day >= day)
        n_second = sum(seed.seeds for seed in second if seed.day >= day)
        n, up = n_first + n_second, up_first[day] + up_second[day]
        observed += up_first[day]
        expected += up * n_first / n
        if n > 1:
            variance += up * n_first * n_second * (n - up) / (n * n * (n - 1))
    if variance <= 0:
        return None
    statistic = (observed - expected) ** 2 / variance
    return LogRank(
        statistic=statistic,
        p_value=float(special.chdtrc(1, statistic)),
        observed_first=observed,
        expected_first=expected,
    )


def _up_by_day(seeds: Sequence[Watched]) -> Counter[float]:
    up: Counter[float] = Counter()
    for seed in seeds:
        if seed.up and seed.seeds:
            up[seed.day] += seed.seeds
    return up
