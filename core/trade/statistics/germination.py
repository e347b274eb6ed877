"""Germination statistics of one sowing from dated counts.

Days are counted from sowing (day 0). N_i seeds are new on day T_i, N = sum N_i of N_t
sown, k the number of looks. A measure that the counts do not define is None.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from core.trade.statistics.germination_counts import GerminationCounts as GerminationCounts
from core.trade.statistics.intervals import (
    Interval,
    clopper_pearson_interval,
    jeffreys_interval,
    wilson_interval,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FinalGermination:
    """Share up at the end, with three intervals (see core.intervals).

    Attributes:
        emerged, sown: counts.
        percent: 100 N / N_t, 0..100.
        wilson, jeffreys, exact: 95 % intervals of the proportion, 0..1.
    """

    emerged: int
    sown: int
    percent: float
    wilson: Interval
    jeffreys: Interval
    exact: Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class GerminationStatistics:
    """The usual measures of one sowing; None where the counts do not define one.

    Attributes (days after sowing unless said):
        final: share up at the end.
        first_day, last_day, peak_day: first, last and fullest look with news.
        peak_percent: of the seeds sown, new on the peak day; 0..100.
        mean_days: MGT, sum N_i T_i / N.
        variance_days2: sum N_i (T_i - MGT)^2 / (N - 1), days squared.
        se_days: sqrt(variance / N).
        cv: sqrt(variance) / MGT, dimensionless.
        mean_rate: 1 / MGT, per day; mean_rate_variance, mean_rate_se its spread.
        velocity: Kotowski's coefficient, 100 N / sum N_i T_i, percent per day.
        t50_coolbear, t50_farooq: day by which half of those that came up were up.
        rate_index: Maguire's, sum N_i / T_i, seeds per day.
        rate_index_percent: the same of N_i in percent of the sown, percent per day.
        corrected_rate_index: rate_index_percent / final percent, per day.
        accumulated_rate: sum n_i / T_i, seeds per day.
        timson: sum of the running percentages over all looks.
        timson_labouriau: timson over the sum of the partial percentages, dimensionless.
        timson_khan_ungar: timson over the length of the test, percent per day.
        george: sum N_i (k - i), i the number of the look counted from 0.
        emergence_index_shmueli: the same with i counted from 1.
        emergence_index_bilbro: N / MGT, seeds per day.
        emergence_index_fakorede: MGT over the final proportion, days.
        germination_index: sum (T_k - T_i) N_i / N_t; modified: over N.
        uniformity: N / sum N_i (MGT - T_i)^2, per day squared.
        uncertainty_bits: entropy of the shares N_i / N, bits.
        synchrony: Z, sum C(N_i, 2) / C(N, 2), 0..1.
        mean_daily_percent: final percent over the length of the test, percent per day.
        weighted_percent: 100 sum (k - i + 1) N_i / (k N_t), 0..100.
        peak_value: Czabator's, greatest running percent over its day.
        germination_value: peak_value * mean_daily_percent.
        germination_value_djavanshir: greatest, from the first look with news on, of the mean
            running percent per day so far times G / 10, G the running percent.
    """

    final: FinalGermination
    first_day: float | None
    last_day: float | None
    peak_day: float | None
    peak_percent: float | None
    mean_days: float | None
    variance_days2: float | None
    se_days: float | None
    cv: float | None
    mean_rate: float | None
    mean_rate_variance: float | None
    mean_rate_se: float | None
    velocity: float | None
    t50_coolbear: float | None
    t50_farooq: float | None
    rate_index: float | None
    rate_index_percent: float | None
    corrected_rate_index: float | None
    accumulated_rate: float | None
    timson: float | None
    timson_labouriau: float | None
    timson_khan_ungar: float | None
    george: float | None
    emergence_index_shmueli: float | None
    emergence_index_bilbro: float | None
    emergence_index_fakorede: float | None
    germination_index: float | None
    germination_index_modified: float | None
    uniformity: float | None
    uncertainty_bits: float | None
    synchrony: float | None
    mean_daily_percent: float | None
    weighted_percent: float | None
    peak_value: float | None
    germination_value: float | None
    germination_value_djavanshir: float | None


def final_germination(emerged: int, sown: int) -> FinalGermination:
    """Return the final share with Wilson, Jeffreys and exact 95 % intervals.

    Args:
        emerged: count, 0..sown; sown: count, >= 1.
    Raises ValueError outside these ranges.
    """
    return FinalGermination(
        emerged=emerged,
        sown=sown,
        percent=100 * emerged / sown,
        wilson=wilson_interval(emerged, sown),
        jeffreys=jeffreys_interval(emerged, sown),
        exact=clopper_pearson_interval(emerged, sown),
    )


def time_to_half(counts: GerminationCounts, *, half: float) -> float | None:
    """Return the day on which the running total reaches `half` seeds.

    Straight lines run from one look to the next. Convention on ties: a look whose total
    is `half` exactly is the answer itself (the first such look). The widely used rule
    asks for totals strictly under and over `half` and so steps over that look; the two
    differ only there.

    Args:
        counts: at least one look.
        half: seeds, > 0; (N + 1) / 2 after Coolbear, N / 2 after Farooq.
    Returns days after sowing; None when the first look already has more than half (the
    day then lies before it, unseen) or the total never gets there.
    Source: Coolbear, Francis and Grierson 1984 (COOL84); Farooq and others 2005 (FAR05);
        formulas read through GM.
    Checked by: tests/reference/test_germination_indices.py.
    """
    day_before, up_before = 0.0, 0
    for place, (day, up) in enumerate(zip(counts.days, counts.total, strict=True)):
        if up == half:
            return day
        if up > half:
            if place == 0:
                return None
            return day_before + (half - up_before) * (day - day_before) / (up - up_before)
        day_before, up_before = day, up
    return None


def germination_statistics(counts: GerminationCounts) -> GerminationStatistics:
    """Return the usual measures; see `GerminationStatistics` for units and formulas.

    With nothing up only the final share is defined; with one seed up, spread and
    synchrony are not.

    Args:
        counts: looks of one sowing; may hold none.
    Source: formulas as gathered by GM: Maguire 1962, Kotowski 1926, Ranal and Santana
        2006, Timson 1965, Czabator 1962, Djavanshir and Pourbeik 1976 and others.
    Checked by: tests/reference/test_germination_indices.py (15 published samples, two
        worked examples).
    """
    n, sown, k = counts.emerged, counts.sown, len(counts.days)
    final = final_germination(n, sown)
    seen = [(t, c) for t, c in zip(counts.days, counts.new, strict=True) if c]
    if not seen:
        return GerminationStatistics(final=final, **dict.fromkeys(_MEASURES))
    length = counts.days[-1]
    mean = sum(c * t for t, c in seen) / n
    squares = sum(c * (t - mean) ** 2 for t, c in seen)
    variance = squares / (n - 1) if n > 1 else None
    rate = 1 / mean
    rate_variance = None if variance is None else rate**4 * variance
    rate_index = sum(c / t for t, c in seen)
    shares = [c / n for _, c in seen]
    percents = [100 * up / sown for up in counts.total]
    timson = sum(percents)
    places = list(enumerate(counts.new, start=1))
    peak_day, peak_count = max(seen, key=lambda item: item[1])
    gained = sum((length - t) * c for t, c in seen)
    speeds = [p / t for p, t in zip(percents, counts.days, strict=True) if p > 0]
    peak_value = max(speeds)
    return GerminationStatistics(
        final=final,
        first_day=seen[0][0],
        last_day=seen[-1][0],
        peak_day=peak_day,
        peak_percent=100 * peak_count / sown,
        mean_days=mean,
        variance_days2=variance,
        se_days=None if variance is None else math.sqrt(variance / n),
        cv=None if variance is None else math.sqrt(variance) / mean,
        mean_rate=rate,
        mean_rate_variance=rate_variance,
        mean_rate_se=None if rate_variance is None else math.sqrt(rate_variance / n),
        velocity=100 * rate,
        t50_coolbear=time_to_half(counts, half=(n + 1) / 2),
        t50_farooq=time_to_half(counts, half=n / 2),
        rate_index=rate_index,
        rate_index_percent=100 * rate_index / sown,
        corrected_rate_index=rate_index / n,
        accumulated_rate=sum(u / t for u, t in zip(counts.total, counts.days, strict=True)),
        timson=timson,
        timson_labouriau=timson / final.percent,
        timson_khan_ungar=timson / length,
        george=float(sum(c * (k - i + 1) for i, c in places)),
        emergence_index_shmueli=float(sum(c * (k - i) for i, c in places)),
        emergence_index_bilbro=n / mean,
        emergence_index_fakorede=mean / (n / sown),
        germination_index=gained / sown,
        germination_index_modified=gained / n,
        uniformity=n / squares if squares > 0 else None,
        uncertainty_bits=sum(-share * math.log2(share) for share in shares),
        synchrony=sum(math.comb(c, 2) for _, c in seen) / math.comb(n, 2) if n > 1 else None,
        mean_daily_percent=final.percent / length,
        weighted_percent=100 * sum((k - i + 1) * c for i, c in places) / (k * sown),
        peak_value=peak_value,
        germination_value=peak_value * final.percent / length,
        germination_value_djavanshir=max(
            sum(speeds[: i + 1]) / (i + 1) * percents[len(percents) - len(speeds) + i] / 10
            for i in range(len(speeds))
        ),
    )


_MEASURES = tuple(name for name in GerminationStatistics.__dataclass_fields__ if name != "final")
