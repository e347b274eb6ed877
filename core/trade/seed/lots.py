"""How good a lot of seed still is: label or standard, age, and a test at home.

The answer is a belief (Beta) about the chance of one seed, and advice by code.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from scipy import special

from core.trade.seed.amounts import ASSURANCE, MAX_PER_CELL, seeds_per_cell
from core.trade.statistics.intervals import Beta, Interval

LABEL_WEIGHT = 20.0
"""A tested figure on the packet counts as this many seeds: the official test takes 400,
but of other seed, kept otherwise. From memory."""

STANDARD_WEIGHT = 10.0
"""What is expected of a kind's seed counts as this many seeds. From memory."""

DEFAULT_GERMINATION = 0.50
"""For kinds without a federal minimum several state rules ask 50 % (NH-2203, CO-1203-6)."""

SOUND_SHARE = 0.5
"""Seed as it is sold lies about so far of the way from the least its kind must show to all. For
19 kinds this meets the averages of year-old seed that HTT-SHELF prints with a mean error of one
point (tests/reference/test_expected_germination.py)."""

USUAL_STORAGE_YEARS = 3.0
"""Storage life of a kind without a published one. From memory."""

AGED_SHARE = 2 / 3
"""Germination left at the end of the storage life, as a share of the first. The published
lists of storage life (ISU-STORE) do not say what is left; two thirds is from memory."""

DISCARD_BELOW = 0.30
"""A lot whose chance probably lies below this is not worth the trays. From memory."""

DISCARD_SURE = 0.80
"""How sure of that one must be before seed is thrown away. From memory."""

TEST_SEEDS = 10
"""Seeds of a usual test on a wet towel: common practice."""


class GerminationBasis(StrEnum):
    """Where the first figure came from."""

    LABEL = "label"
    STANDARD = "standard"
    DEFAULT = "default"


class LotAdvice(StrEnum):
    """What to do with a lot."""

    SOW_NORMAL = "sow_normal"
    SOW_THICKER = "sow_thicker"
    TEST_FIRST = "test_first"
    DISCARD = "discard"


@dataclass(frozen=True, slots=True, kw_only=True)
class HomeTest:
    """Seeds put on a wet towel.

    Attributes:
        sprouted: count, 0..seeds; seeds: count, >= 1.
        years_ago: years before now, >= 0.
    """

    sprouted: int
    seeds: int
    years_ago: float = 0.0

    def __post_init__(self) -> None:
        if self.seeds < 1 or not 0 <= self.sprouted <= self.seeds or not self.years_ago >= 0:
            raise ValueError(f"not a germination test: {self}")


@dataclass(frozen=True, slots=True, kw_only=True)
class LotViability:
    """What is believed of a lot, and what to do.

    Attributes:
        belief: about the chance of one seed in good conditions; mean 0..1.
        interval: 95 % interval of that chance; 0..1.
        basis: where the first figure came from.
        first: the first figure, 0..1.
        untested: mean belief from age alone, before any home test; 0..1.
        age_years: years since the seed was packed; None when not known.
        storage_years: storage life used, years; storage_assumed: True when not published.
        past_storage: True when older than that.
        tested_seeds: seeds tested at home in all; count.
        advice: what to do.
        seeds_per_cell: to fill a cell with the usual assurance at the mean belief, at most
            `MAX_PER_CELL` unless good seed needs more; count, >= 1.
        usual_seeds_per_cell: the same for seed as good as the first figure; count, >= 1.
        test_seeds: seeds to test when that is the advice, else None; count.
    """

    belief: Beta
    interval: Interval
    basis: GerminationBasis
    first: float
    untested: float
    age_years: float | None
    storage_years: float
    storage_assumed: bool
    past_storage: bool
    tested_seeds: int
    advice: LotAdvice
    seeds_per_cell: int
    usual_seeds_per_cell: int
    test_seeds: int | None


def aged_germination(
    now: float,
    years: float,
    *,
    first: float,
    storage_years: float,
    half_life_years: float | None = None,
) -> float:
    """Return the germination left after `years` more in ordinary store.

    The probit of germination falls in a straight line with time, at the slope that leaves
    `AGED_SHARE` (two thirds) of `first` after the storage life. So good seed keeps well for a
    while and then fails fast, as seed does.

    Args:
        now: proportion today; 0 < now < 1.
        years: >= 0.
        first: proportion when packed, which sets the slope; 0 < first < 1.
        storage_years: > 0.
        half_life_years: years in ordinary store after which half of it is left, > 0, from
            storage studies; takes the place of the storage life where known.
    Returns a proportion, 0..now. Raises ValueError outside these ranges.
    Source: shape after the seed viability equation, Ellis and Roberts 1980, Ann. Bot. 45:
        13-30 (from memory); its scale from storage lists as stated at `AGED_SHARE`.
    Checked by: tests/core/trade/seed/test_lots.py.
    """
    if not (0 < now < 1 and 0 < first < 1 and years >= 0 and storage_years > 0):
        raise ValueError(f"cannot age {now} by {years} years (first {first}, {storage_years})")
    share, over = (AGED_SHARE, storage_years)
    if half_life_years is not None:
        share, over = 0.5, half_life_years
    drop = special.ndtri(first) - special.ndtri(share * first)
    return min(now, float(special.ndtr(special.ndtri(now) - drop * years / over)))


def lot_viability(
    *,
    label: float | None,
    standard: float | None,
    age_years: float | None,
    storage_years: float | None,
    half_life_years: float | None = None,
    tests: tuple[HomeTest, ...] = (),
) -> LotViability:
    """Return what to believe of a lot and what to do with it.

    Prior: the label's figure at weight 20 seeds, else what is usual above the standard, or
    above 50 % (`sound_seed`), at weight 10, moved down by age (see `aged_germination`). The
    weight also falls with age, as 1 / (1 + age / storage life), since the store is not known
    (from memory). Each test adds its seeds, and what is known then ages on to today in the same
    way. A lot of unknown age counts as fresh until tested, but testing is advised.

    Advice: discard when the belief puts at least 80 % on less than 30 %, and the lot was
    tested; test first when untested and older than its storage life, or of unknown age;
    sow thicker when a cell needs more seeds than usual; else sow as usual. A tested lot
    that would need more than the most seeds a cell is given is sown thicker up to that;
    more cells make up the rest (`core.trade.seed.amounts`).

    Args:
        label: tested germination on the packet, 0 < label <= 1; None without one.
        standard: minimum for the kind, 0 < standard < 1; None without one.
        age_years: years since packed, >= 0; None when not known.
        storage_years: published storage life, > 0; None without one.
        half_life_years: the kind's half-life in ordinary store; None where no study is known.
        tests: home tests, any order.
    Raises ValueError outside these ranges.
    Source: Beta-binomial updating, textbook; weights and rules from memory as stated.
    Checked by: tests/core/trade/seed/test_lots.py, tests/reference/test_intervals.py (posteriors).
    """
    first, weight, basis = _first_figure(label, standard)
    if age_years is not None and not age_years >= 0:
        raise ValueError(f"age must be >= 0, got {age_years}")
    life = USUAL_STORAGE_YEARS if storage_years is None else storage_years
    age = 0.0 if age_years is None else age_years

    def age_on(belief: Beta, years: float) -> Beta:
        if years == 0:
            return belief
        mean = aged_germination(
            belief.mean, years, first=first, storage_years=life, half_life_years=half_life_years
        )
        return Beta.around(max(mean, 1e-6), belief.weight / (1 + years / life))

    packed = Beta.around(first, weight)
    belief, then = packed, age
    for test in sorted(tests, key=lambda t: -t.years_ago):
        when = min(test.years_ago, age)
        belief = age_on(belief, then - when).after(test.sprouted, test.seeds)
        then = when
    belief = age_on(belief, then)
    tested = sum(test.seeds for test in tests)
    usual = seeds_per_cell(first, ASSURANCE)
    needed = seeds_per_cell(belief.mean, ASSURANCE)
    past = age_years is not None and age_years > life
    advice = _advice(
        belief, tested=tested > 0, unsure=past or age_years is None, thicker=needed > usual
    )
    return LotViability(
        belief=belief,
        interval=belief.interval(),
        basis=basis,
        first=first,
        untested=age_on(packed, age).mean,
        age_years=age_years,
        storage_years=life,
        storage_assumed=storage_years is None,
        past_storage=past,
        tested_seeds=tested,
        advice=advice,
        seeds_per_cell=max(usual, min(needed, MAX_PER_CELL)),
        usual_seeds_per_cell=usual,
        test_seeds=TEST_SEEDS if advice is LotAdvice.TEST_FIRST else None,
    )


def _first_figure(
    label: float | None, standard: float | None
) -> tuple[float, float, GerminationBasis]:
    for figure in (label, standard):
        if figure is not None and not 0 < figure <= 1:
            raise ValueError(f"germination must lie in 0..1, got {figure}")
    if label is not None:
        return min(label, 0.99), LABEL_WEIGHT, GerminationBasis.LABEL
    if standard is not None:
        return sound_seed(standard), STANDARD_WEIGHT, GerminationBasis.STANDARD
    return sound_seed(DEFAULT_GERMINATION), STANDARD_WEIGHT, GerminationBasis.DEFAULT


def sound_seed(least: float) -> float:
    """Return what seed of a kind shows as it is sold, by the least it must show; both 0..1.

    The least is the test of a seller's lot, not what a good packet does.
    Source: `SOUND_SHARE`. Checked by: tests/reference/test_expected_germination.py.
    """
    return min(0.99, least + SOUND_SHARE * (1 - least))


def _advice(belief: Beta, *, tested: bool, unsure: bool, thicker: bool) -> LotAdvice:
    if tested and belief.chance_below(DISCARD_BELOW) >= DISCARD_SURE:
        return LotAdvice.DISCARD
    if not tested and unsure:
        return LotAdvice.TEST_FIRST
    return LotAdvice.SOW_THICKER if thicker else LotAdvice.SOW_NORMAL
