"""Are the windows and intervals as sure as they say? Run with --bench.

Simulated sowings follow the model's own assumptions (spreads as stated in
core.emergence_site), so this proves the arithmetic, the learning and the dates, not that
real trays behave so. Figures are printed.
"""

from __future__ import annotations

import math
from datetime import date, timedelta

import numpy as np
import pytest
from scipy import stats

from core.trade.emergence.forecast import AHEAD_TEMP_SD_C, DayTemp, forecast_emergence
from core.trade.emergence.site import (
    PRIOR_SOWINGS,
    SEED_LOG_SD,
    SOWING_LOG_SD,
    PastSowing,
    SiteFactor,
    site_factor,
)
from core.trade.statistics.intervals import (
    Beta,
    clopper_pearson_interval,
    jeffreys_interval,
    wilson_interval,
)
from tests.reference.emergence_days import DAYS, points

pytestmark = pytest.mark.bench

SOWN_ON = date(2031, 3, 1)
SOWINGS = 10_000
SITE_LOG_SD = SOWING_LOG_SD / math.sqrt(PRIOR_SOWINGS)
CURVES = {crop: points(crop) for crop in DAYS}
LONG_DAYS = 120


def season(rng, curve):
    """A shelf's usual temperature and a run of daily ones, within the tested range."""
    low, high = curve.tested_c
    usual = rng.uniform(max(low, 12.0), min(high, 28.0))
    usual = min(max(usual, low), high)
    drift = np.empty(LONG_DAYS)
    drift[0] = rng.normal(0, 1)
    for i in range(1, LONG_DAYS):
        drift[i] = 0.6 * drift[i - 1] + rng.normal(0, 0.8)
    return usual, np.clip(usual + drift, low, high)


def emergence_day(curve, temps, needed):
    """Days to a thermal time, walked apart from the forecast's own code."""
    total = np.cumsum([curve.rate_at(t).per_day for t in temps])
    day = int(np.searchsorted(total, needed))
    if day >= len(total):
        return math.inf
    before = total[day - 1] if day else 0.0
    return day + (needed - before) / (total[day] - before)


def learned(rng, site_log):
    """A site's factor from 0 to 6 finished sowings, each the median of its seedlings."""
    past = []
    for _ in range(rng.integers(0, 7)):
        seedlings = int(rng.integers(3, 40))
        own = site_log + rng.normal(0, SOWING_LOG_SD)
        seeds = np.exp(own + rng.normal(0, SEED_LOG_SD, seedlings))
        past.append(PastSowing(ratio=float(np.median(seeds)), emerged=seedlings))
    return site_factor(past)


def share_inside(rng, *, known_temperatures, learn=True):
    inside, inside_dates, widths = 0, 0, []
    for _ in range(SOWINGS):
        crop = list(DAYS)[rng.integers(len(DAYS))]
        curve = CURVES[crop]
        usual, temps = season(rng, curve)
        site_log = rng.normal(0, SITE_LOG_SD)
        site = learned(rng, site_log) if learn else SiteFactor()
        needed = math.exp(site_log + rng.normal(0, SOWING_LOG_SD) + rng.normal(0, SEED_LOG_SD))
        if known_temperatures:
            readings = [
                DayTemp(on=SOWN_ON + timedelta(days=i), temp_c=float(t))
                for i, t in enumerate(temps)
            ]
            today = SOWN_ON + timedelta(days=LONG_DAYS)
        else:
            # The shelf's usual temperature is off by the stated spread and nothing else.
            readings, today = [], SOWN_ON
            temps = np.full(LONG_DAYS * 4, usual + rng.normal(0, AHEAD_TEMP_SD_C))
        came = emergence_day(curve, temps, needed)
        window = forecast_emergence(
            points=curve,
            catalogue=None,
            sown_on=SOWN_ON,
            today=today,
            readings=readings,
            usual_temp_c=float(usual),
            site=site,
        )
        low = math.inf if window.p10_days is None else window.p10_days
        high = math.inf if window.p90_days is None else window.p90_days
        inside += low <= came <= high
        widths.append(high / low)
        if window.p10_on and window.p90_on and math.isfinite(came):
            seen_on = SOWN_ON + timedelta(days=round(came))
            inside_dates += window.p10_on <= seen_on <= window.p90_on
    return inside / SOWINGS, inside_dates / SOWINGS, float(np.median(widths))


@pytest.mark.parametrize(
    ("name", "known", "learn"),
    [
        ("temperatures logged, site learned", True, True),
        ("temperatures logged, new site", True, False),
        ("on the day of sowing, usual temperature only", False, True),
    ],
)
def test_the_80_percent_window_holds_78_to_82_percent_of_emergences(name, known, learn):
    rng = np.random.default_rng(20310301)
    inside, by_date, width = share_inside(rng, known_temperatures=known, learn=learn)
    print(
        f"\n{name}: {100 * inside:.2f} % of {SOWINGS} inside (as dates {100 * by_date:.2f} %), "
        f"median width x{width:.2f}"
    )
    assert 0.78 <= inside <= 0.82
    assert 0.78 <= by_date <= 0.82


def test_the_learned_site_factor_is_unbiased_and_as_sure_as_it_says():
    rng = np.random.default_rng(5)
    errors, shown = [], []
    for _ in range(SOWINGS):
        site_log = rng.normal(0, SITE_LOG_SD)
        site = learned(rng, site_log)
        errors.append(site.log_factor - site_log)
        shown.append(site.log_sd)
    ratio = float(np.sqrt(np.mean(np.square(errors)) / np.mean(np.square(shown))))
    print(f"\nsite factor: mean log error {np.mean(errors):+.4f}, rms error / stated {ratio:.3f}")
    assert abs(float(np.mean(errors))) < 0.005
    assert ratio == pytest.approx(1, abs=0.05)


CHANCES = np.linspace(0.02, 0.98, 193)


def coverage(method, n):
    """Exact coverage over the grid of chances, by enumeration."""
    limits = [method(k, n) for k in range(n + 1)]
    low, high = (np.array([getattr(i, end) for i in limits]) for end in ("low", "high"))
    pmf = stats.binom.pmf(np.arange(n + 1)[:, None], n, CHANCES[None, :])
    inside = (low[:, None] <= CHANCES) & (high[:, None] >= CHANCES)
    return (pmf * inside).sum(axis=0)


@pytest.mark.parametrize("n", [10, 20, 24, 50, 72, 100, 400])
def test_the_intervals_cover_as_they_state(n):
    """Clopper-Pearson never under 95 %; Wilson and Jeffreys about 95 % on the average."""
    exact, wilson, jeffreys = (
        coverage(m, n) for m in (clopper_pearson_interval, wilson_interval, jeffreys_interval)
    )
    print(
        f"\nn {n}: exact mean {exact.mean():.4f} least {exact.min():.4f}; "
        f"Wilson mean {wilson.mean():.4f} least {wilson.min():.4f}; "
        f"Jeffreys mean {jeffreys.mean():.4f} least {jeffreys.min():.4f}"
    )
    assert exact.min() >= 0.95
    assert wilson.mean() == pytest.approx(0.95, abs=0.01)
    assert jeffreys.mean() == pytest.approx(0.95, abs=0.01)
    assert wilson.min() > 0.83
    assert jeffreys.min() > 0.83


@pytest.mark.parametrize(("a", "b"), [(7.5, 2.5), (15, 5), (2, 2)])
def test_a_belief_s_interval_covers_as_stated_when_lots_are_drawn_from_it(a, b):
    rng = np.random.default_rng(11)
    prior, inside = Beta(a=a, b=b), 0
    for _ in range(SOWINGS):
        chance, n = rng.beta(a, b), int(rng.integers(5, 40))
        interval = prior.after(int(rng.binomial(n, chance)), n).interval()
        inside += interval.low <= chance <= interval.high
    print(f"\nprior {a}, {b}: {100 * inside / SOWINGS:.2f} % inside")
    assert inside / SOWINGS == pytest.approx(0.95, abs=0.01)
