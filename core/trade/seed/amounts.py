"""Seeds per cell, and cells and seeds for a number of plants at a stated assurance.

A cell carries one plant on: it is thinned to one seedling, which lives to planting out
with a survival chance of its own. Seeds are taken to be independent given the chance of
one seed; that chance is a figure, or a belief (Beta) when it rests on a small test.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from core.trade.statistics.intervals import Beta, beta_binomial_at_least, binomial_at_least
from core.trade.statistics.seed_chance import ASSURANCE as ASSURANCE
from core.trade.statistics.seed_chance import TOLERANCE as TOLERANCE
from core.trade.statistics.seed_chance import USUAL_SURVIVAL as USUAL_SURVIVAL
from core.trade.statistics.seed_chance import cell_occupied as cell_occupied
from core.trade.statistics.seed_chance import cells_needed as cells_needed
from core.trade.statistics.seed_chance import chance_of_plants as chance_of_plants
from core.trade.statistics.seed_chance import seeds_per_cell as seeds_per_cell

MAX_PER_CELL = 3
"""Most seeds a cell is given when the number is ours to choose: more is a clump to thin.
Common practice (two or three), from memory."""

RULE_SEEDS_PER_PLANT = 5
"""The customary five seeds for each plant wanted: common practice, no published source."""


class SizeReason(StrEnum):
    """Why a number of seeds per cell was chosen."""

    ASKED = "asked"
    """The caller named it."""
    CELL_ASSURED = "cell_assured"
    """Fewest seeds that fill a cell with the assurance wanted."""
    CAPPED = "capped"
    """Even the most seeds a cell is given do not assure it; more cells make up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SowingOption:
    """One number of seeds per cell, worked out.

    Attributes:
        seeds_per_cell: count, >= 1.
        cells: fewest cells with the assurance; count.
        seeds: seeds_per_cell * cells.
        cell_yields: chance that a cell gives a plant to set out; 0..1.
        to_thin: expected share of cells with two seedlings or more; 0..1.
        expected_plants: mean plants to set out from these cells.
        chance: of at least the number wanted; >= assurance (within `TOLERANCE`).
        chance_one_cell_less: the same with a cell less; < assurance.
    """

    seeds_per_cell: int
    cells: int
    seeds: int
    cell_yields: float
    to_thin: float
    expected_plants: float
    chance: float
    chance_one_cell_less: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FivePerPlant:
    """The customary five seeds for each plant wanted, held against the choice.

    Attributes:
        seeds: five times the plants wanted.
        chance_one_cell_each: chance when the five share one cell per plant; 0..1.
        chance_spread: chance when each seed has a cell of its own; 0..1.
        spare_seeds: seeds of the rule less seeds of the choice; negative when it sows fewer.
    """

    seeds: int
    chance_one_cell_each: float
    chance_spread: float
    spare_seeds: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SowingSize:
    """How much to sow for a number of plants, and what else was considered.

    Attributes:
        plants: plants wanted at planting out; count.
        assurance: chance asked for.
        emergence: mean chance of one seed used; 0..1.
        survival: chance used from seedling to planting out; 0..1.
        chosen: the option taken; reason: why that many seeds a cell.
        alternatives: every option worked out, by seeds per cell, the chosen one among them.
        rule: the customary five per plant.
    """

    plants: int
    assurance: float
    emergence: float
    survival: float
    chosen: SowingOption
    reason: SizeReason
    alternatives: tuple[SowingOption, ...]
    rule: FivePerPlant


def sowing_size(
    plants: int,
    emergence: float | Beta,
    *,
    assurance: float = ASSURANCE,
    survival: float = USUAL_SURVIVAL,
    per_cell: int | None = None,
    max_per_cell: int = MAX_PER_CELL,
) -> SowingSize:
    """Return how many cells and seeds to sow, with the alternatives and the reason.

    Seeds per cell are the fewest that fill a cell with the assurance at the mean chance, at
    most `max_per_cell`; cells then make up the assurance for the whole number, and a
    belief's uncertainty with it.

    Args:
        plants: wanted at planting out; count, >= 1.
        emergence: chance of one seed in this group's trays, 0 < g <= 1, or a belief.
        assurance: 0 < A < 1. survival: 0 < s <= 1.
        per_cell: seeds a cell when the caller decides; count, >= 1.
        max_per_cell: most seeds a cell otherwise; count, >= 1.
    Raises ValueError outside these ranges or when no size reaches the assurance.
    Checked by: tests/core/trade/seed/test_seeds.py, tests/reference/test_seed_sizes.py.
    """
    if max_per_cell < 1 or (per_cell is not None and per_cell < 1):
        raise ValueError("seeds per cell must be >= 1")
    mean = emergence.mean if isinstance(emergence, Beta) else emergence
    wanted = seeds_per_cell(mean, assurance)
    if per_cell is not None:
        chosen_count, reason = per_cell, SizeReason.ASKED
    elif wanted <= max_per_cell:
        chosen_count, reason = wanted, SizeReason.CELL_ASSURED
    else:
        chosen_count, reason = max_per_cell, SizeReason.CAPPED
    counts = sorted({*range(1, max(max_per_cell, chosen_count) + 1), chosen_count})
    options = {
        count: _option(plants, emergence, count, survival=survival, assurance=assurance)
        for count in counts
    }
    chosen = options[chosen_count]
    rule_seeds = RULE_SEEDS_PER_PLANT * plants
    return SowingSize(
        plants=plants,
        assurance=assurance,
        emergence=mean,
        survival=survival,
        chosen=chosen,
        reason=reason,
        alternatives=tuple(options.values()),
        rule=FivePerPlant(
            seeds=rule_seeds,
            chance_one_cell_each=chance_of_plants(
                plants, plants, emergence, per_cell=RULE_SEEDS_PER_PLANT, survival=survival
            ),
            chance_spread=chance_of_plants(plants, rule_seeds, emergence, survival=survival),
            spare_seeds=rule_seeds - chosen.seeds,
        ),
    )


def _option(
    plants: int, emergence: float | Beta, count: int, *, survival: float, assurance: float
) -> SowingOption:
    cells = cells_needed(plants, emergence, per_cell=count, survival=survival, assurance=assurance)
    yields = survival * cell_occupied(emergence, count)

    def chance(cells: int) -> float:
        return chance_of_plants(plants, cells, emergence, per_cell=count, survival=survival)

    return SowingOption(
        seeds_per_cell=count,
        cells=cells,
        seeds=count * cells,
        cell_yields=yields,
        to_thin=_two_or_more(emergence, count),
        expected_plants=cells * yields,
        chance=chance(cells),
        chance_one_cell_less=chance(cells - 1),
    )


def _two_or_more(emergence: float | Beta, count: int) -> float:
    if isinstance(emergence, Beta):
        return beta_binomial_at_least(2, count, emergence)
    return binomial_at_least(2, count, emergence)
