"""Two ways of sowing one crop held against each other: share up, and speed.

Codes and figures only. The unit is the sowing in its tray, not the seed: seeds of one tray
share its mix, place and waterer, so one tray a side cannot tell the way from the tray.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray
from scipy import special

from core.trade.statistics.germination import GerminationCounts
from core.trade.statistics.intervals import LEVEL, Interval, normal_quantile, wilson_interval
from core.trade.statistics.survival import LogRank, Watched, log_rank
from core.trade.statistics.trays_compared import BetweenTrays, compare_trays
from core.trade.statistics.trays_speed import Side, tray_log_rank

ALPHA = 0.05
"""Two-sided level of both tests; convention."""

POWER = 0.80
"""Power at which the noticeable difference is stated; convention."""

WIDE = 0.40
"""A difference known only to within this much (width of its 95 % interval, in
proportion) is too vague to act on. From memory."""

LEAST_SEEDLINGS = 10
"""Fewer seedlings a side than this make the speed test rough: the chi-squared
approximation wants several expected events. From memory."""


class FinalResult(StrEnum):
    """Which side came up more."""

    FIRST_MORE = "first_more"
    SECOND_MORE = "second_more"
    NOT_SHOWN = "not_shown"


class SpeedResult(StrEnum):
    """Which side came up sooner."""

    FIRST_SOONER = "first_sooner"
    SECOND_SOONER = "second_sooner"
    NOT_SHOWN = "not_shown"
    UNKNOWN = "unknown"


class Caution(StrEnum):
    """Why the result must be taken with care."""

    CANNOT_SHOW = "cannot_show"
    """No outcome of so few seeds could show a difference."""
    WIDE_INTERVAL = "wide_interval"
    """The difference is known too vaguely, and none is shown."""
    FEW_SEEDLINGS = "few_seedlings"
    """Too few came up to say much of speed."""
    ONE_SOWING_EACH = "one_sowing_each"
    """A side has one sowing only: the tray may be the cause, not the way."""
    TRAYS_DIFFER = "trays_differ"
    """Trays of one side differ among themselves by more than chance."""
    STILL_COMING = "still_coming"
    """A side was last looked at before the other had its last news; more may be up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Two sets of sowings compared; `first` less `second` throughout.

    Attributes:
        emerged, sown: counts of (first, second).
        share: proportions up, 0..1, of (first, second).
        difference: first share less second, -1..1.
        interval: 95 % interval of the difference, -1..1.
        p_final: quasi-binomial score test with trays as units, two-sided, and
            never below Fisher's exact test on the seeds; 0..1.
        final: what that shows at 5 %.
        median_days: day by which half of those up were up, of (first, second); None unseen.
        speed_test: log-rank among the seeds that came up; None when undefined.
        all_seeds_test: log-rank with those that never came as censored, which answers a
            low share and slowness together; None when undefined.
        speed: what `speed_test` shows at 5 %.
        noticeable: least difference in share these numbers would show four times in
            five, from the overall share; 0..1, None when none could.
        cautions: why to take care.
    """

    emerged: tuple[int, int]
    sown: tuple[int, int]
    share: tuple[float, float]
    difference: float
    interval: Interval
    p_final: float
    final: FinalResult
    median_days: tuple[float | None, float | None]
    speed_test: LogRank | None
    all_seeds_test: LogRank | None
    speed: SpeedResult
    noticeable: float | None
    cautions: frozenset[Caution]
    trays: BetweenTrays

    @property
    def too_small(self) -> bool:
        """Whether the numbers are too small to tell; the cautions say why."""
        return bool(self.cautions & {Caution.CANNOT_SHOW, Caution.WIDE_INTERVAL})


def compare_sowings(
    first: Sequence[GerminationCounts], second: Sequence[GerminationCounts]
) -> Comparison:
    """Compare two sets of sowings of one crop.

    Args:
        first, second: sowings of either way; at least one each.
    Raises ValueError when a side has no sowing.
    Source: `core.trade.statistics.trays_compared` and `trays_speed`; with one tray on a side the
        log-rank's chi-squared is divided by the inflation of the shares.
    Checked by: tests/reference/test_trays_compared.py, tests/core/trade/statistics/test_compare.py.
    """
    if not first or not second:
        raise ValueError("each side needs a sowing")
    up = (sum(s.emerged for s in first), sum(s.emerged for s in second))
    sown = (sum(s.sown for s in first), sum(s.sown for s in second))
    share = (up[0] / sown[0], up[1] / sown[1])
    trays = compare_trays(*([(s.emerged, s.sown) for s in side] for side in (first, second)))
    exact = fisher_exact(up[0], sown[0], up[1], sown[1])  # few seeds show little in any trays
    p_final, interval = max(exact, trays.p_value), trays.interval
    everyone = [[s.watched() for s in side] for side in (first, second)]
    came = [[[seed for seed in tray if seed.up] for tray in side] for side in everyone]
    speed_test = _speed(came[0], came[1], trays.inflation) if all(up) else None
    return Comparison(
        emerged=up,
        sown=sown,
        share=share,
        difference=share[0] - share[1],
        interval=interval,
        p_final=p_final,
        final=_final_result(p_final, share),
        median_days=(_median(_flat(came[0])), _median(_flat(came[1]))),
        speed_test=speed_test,
        all_seeds_test=_speed(everyone[0], everyone[1], trays.inflation),
        speed=_speed_result(speed_test),
        noticeable=noticeable_difference(sown[0], sown[1], sum(up) / sum(sown)),
        cautions=_cautions(first, second, up, sown, trays, p_final),
        trays=trays,
    )


def _speed(first: Side, second: Side, inflation: float) -> LogRank | None:
    """Return the log-rank test by trays; with one tray on a side, that of seeds, widened."""
    if min(len(first), len(second)) >= 2:
        return tray_log_rank(first, second)
    return _widened(log_rank(_flat(first), _flat(second)), inflation)


def _flat(side: Side) -> list[Watched]:
    return [seed for tray in side for seed in tray]


def _widened(test: LogRank | None, inflation: float) -> LogRank | None:
    """Return a log-rank test for seeds that stand together in trays."""
    if test is None or inflation <= 1:
        return test
    statistic = test.statistic / inflation
    return replace(test, statistic=statistic, p_value=float(special.chdtrc(1, statistic)))


def fisher_exact(up_1: int, sown_1: int, up_2: int, sown_2: int) -> float:
    """Return the two-sided p-value of Fisher's exact test on two shares.

    The chances of all tables no likelier than the one seen are summed (with a relative
    slack of 1e-7 for ties).

    Args:
        up_1, up_2: counts, 0..sown; sown_1, sown_2: counts, >= 1.
    Returns a probability. Raises ValueError outside these ranges.
    Source: Fisher 1935, hypergeometric distribution, textbook.
    Checked by: tests/reference/test_exact_tests.py (scipy.stats.fisher_exact).
    """
    _check(up_1, sown_1, up_2, sown_2)
    up = up_1 + up_2
    low, high = max(0, up - sown_2), min(up, sown_1)
    k = np.arange(low, high + 1, dtype=np.float64)
    logs = _log_choose(sown_1, k) + _log_choose(sown_2, up - k)
    chances = np.exp(logs - logs.max())
    seen = chances[up_1 - low]
    return float(min(1.0, chances[chances <= seen * (1 + 1e-7)].sum() / chances.sum()))


def difference_interval(
    up_1: int, sown_1: int, up_2: int, sown_2: int, *, level: float = LEVEL
) -> Interval:
    """Return the hybrid score interval of share 1 less share 2, no continuity correction.

    Args as `fisher_exact`; level: 0 < level < 1.
    Returns differences: -1 <= low <= difference <= high <= 1.
    Source: Newcombe 1998, Stat. Med. 17: 873-890, method 10.
    Checked by: tests/reference/test_exact_tests.py (published cases, from memory).
    """
    _check(up_1, sown_1, up_2, sown_2)
    one = wilson_interval(up_1, sown_1, level=level)
    two = wilson_interval(up_2, sown_2, level=level)
    p, q = up_1 / sown_1, up_2 / sown_2
    return Interval(
        low=max(-1.0, p - q - math.hypot(p - one.low, two.high - q)),
        high=min(1.0, p - q + math.hypot(one.high - p, q - two.low)),
    )


def noticeable_difference(sown_1: int, sown_2: int, share: float) -> float | None:
    """Return the least difference from `share` that would be shown four times in five.

    On the arcsine scale 2 asin sqrt(p) a share has variance 1 / n; the seeds a side are
    reduced by 2 / difference, since the exact test is stricter than the normal one. The
    two shares are laid evenly about `share`, or against 0 or 1 where there is no room.

    Args:
        sown_1, sown_2: seeds a side; counts, >= 1. share: 0..1.
    Returns a difference in proportion, 0..1; None when even the whole range would not do.
    Source: Cohen 1988, effect size h; correction of Casagrande, Pike and Smith 1978, to
        first order (both from memory).
    Checked by: tests/reference/test_exact_tests.py (exact power by enumeration).
    """
    seeds = 2 * sown_1 * sown_2 / (sown_1 + sown_2)
    quantiles = normal_quantile(1 - ALPHA) + float(special.ndtri(POWER))
    middle = 2 * math.asin(math.sqrt(share))

    def difference(reach: float) -> float:
        low = min(max(middle - reach / 2, 0.0), math.pi - reach)
        return math.sin((low + reach) / 2) ** 2 - math.sin(low / 2) ** 2

    def shown(reach: float) -> bool:
        left = seeds - 2 / difference(reach)
        return left > 0 and reach >= quantiles * math.sqrt(2 / left)

    if not shown(math.pi):
        return None
    low, high = 1e-6, math.pi
    for _ in range(50):
        between = (low + high) / 2
        low, high = (low, between) if shown(between) else (between, high)
    return difference(high)


def _cautions(
    first: Sequence[GerminationCounts],
    second: Sequence[GerminationCounts],
    up: tuple[int, int],
    sown: tuple[int, int],
    trays: BetweenTrays,
    p_final: float,
) -> frozenset[Caution]:
    found = {Caution.TRAYS_DIFFER} if trays.uneven else set()
    if fisher_exact(sown[0], sown[0], 0, sown[1]) > ALPHA:
        found.add(Caution.CANNOT_SHOW)
    if p_final > ALPHA and trays.interval.width > WIDE:
        found.add(Caution.WIDE_INTERVAL)
    if min(up) < LEAST_SEEDLINGS:
        found.add(Caution.FEW_SEEDLINGS)
    if min(len(first), len(second)) == 1:
        found.add(Caution.ONE_SOWING_EACH)
    if _left_early(first, second) or _left_early(second, first):
        found.add(Caution.STILL_COMING)
    return frozenset(found)


def _left_early(side: Sequence[GerminationCounts], other: Sequence[GerminationCounts]) -> bool:
    """Whether a sowing with seeds missing was last looked at before the other's last news."""
    news = [day for s in other for day, new in zip(s.days, s.new, strict=True) if new]
    looks = [max(s.days, default=0.0) for s in side if s.emerged < s.sown]
    return bool(news and looks) and min(looks) < max(news)


def _final_result(p_final: float, share: tuple[float, float]) -> FinalResult:
    if p_final > ALPHA:
        return FinalResult.NOT_SHOWN
    return FinalResult.FIRST_MORE if share[0] > share[1] else FinalResult.SECOND_MORE


def _speed_result(test: LogRank | None) -> SpeedResult:
    if test is None:
        return SpeedResult.UNKNOWN
    if test.p_value > ALPHA:
        return SpeedResult.NOT_SHOWN
    sooner = test.observed_first > test.expected_first
    return SpeedResult.FIRST_SOONER if sooner else SpeedResult.SECOND_SOONER


def _median(seeds: Sequence[Watched]) -> float | None:
    """Return the day by which half of these seeds, all up, were seen; None of none."""
    days = sorted(seed.day for seed in seeds for _ in range(seed.seeds))
    return days[(len(days) - 1) // 2] if days else None


def _log_choose(n: int, k: NDArray[np.float64]) -> NDArray[np.float64]:
    logs = special.gammaln(n + 1) - special.gammaln(k + 1) - special.gammaln(n - k + 1)
    return np.asarray(logs, dtype=np.float64)


def _check(up_1: int, sown_1: int, up_2: int, sown_2: int) -> None:
    if sown_1 < 1 or sown_2 < 1 or not 0 <= up_1 <= sown_1 or not 0 <= up_2 <= sown_2:
        raise ValueError(f"not counts: {up_1} of {sown_1} and {up_2} of {sown_2}")
