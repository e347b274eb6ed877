"""Share plants out among those who wished for some: equal first, then by wish.

The rule, as it is said to people: everybody gets the same, up to what they wished; what is left
goes to those who still wish for more, in proportion; what nobody wished for goes to the common
beds. Plants somebody took already count as part of their share.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from core.trade.statistics.intervals import binomial_at_least
from core.trade.statistics.seed_chance import ASSURANCE, TOLERANCE


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What one member or family would like of one crop.

    Attributes:
        key: who; unique within a sharing.
        wished: plants, >= 0. taken: plants had already, >= 0.
        order: whose wish came first, for ties; unique or the key decides.
    """

    key: str
    wished: int
    taken: int = 0
    order: int = 0

    def __post_init__(self) -> None:
        if self.wished < 0 or self.taken < 0:
            raise ValueError(f"plants must be >= 0: {self}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """What one is to get now, and would have in all: plants."""

    key: str
    now: int
    in_all: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Sharing:
    """Who gets what.

    Attributes:
        parts: one for each that wanted, in the order of their wishes.
        surplus: plants for the common beds.
    """

    parts: tuple[Part, ...]
    surplus: int


def share_out(available: int, wanted: Iterable[Wanted]) -> Sharing:
    """Return who gets how many of the plants that are there.

    Everybody's equal share is the pool (what is there and what the sharers took) divided by
    their number, rounded down, and never more than they wished. The rest goes by what is
    still wished, by largest remainders; equal remainders go to the earlier wish. Who took
    more than a share keeps it and shares no further.

    Args:
        available: plants to give away, >= 0.
        wanted: any order; keys unique.
    Raises ValueError for a negative number or a repeated key.
    Laws (tests/core/results/test_sharing.py): never more than there is, nor than wished; all wishes
    met when there is enough; who wished more never gets less in all; order does not matter.
    """
    every = sorted(wanted, key=lambda one: (one.order, one.key))
    if available < 0:
        raise ValueError(f"plants must be >= 0, got {available}")
    if len({one.key for one in every}) != len(every):
        raise ValueError("each may wish once")
    sharing = list(every)
    while True:
        pool = available + sum(one.taken for one in sharing)
        shares = _shares(pool, sharing)
        full = {one.key for one in sharing if one.taken >= shares[one.key]}
        over = {one.key for one in sharing if one.taken > shares[one.key]}
        if not over:
            break
        sharing = [one for one in sharing if one.key not in full]
    parts = tuple(
        Part(key=one.key, now=now, in_all=one.taken + now)
        for one in every
        for now in (max(0, shares.get(one.key, 0) - one.taken),)
    )
    return Sharing(parts=parts, surplus=available - sum(part.now for part in parts))


def _shares(pool: int, sharing: Sequence[Wanted]) -> dict[str, int]:
    """Return each one's share of a pool in all."""
    if not sharing:
        return {}
    equal = pool // len(sharing)
    shares = {one.key: min(one.wished, equal) for one in sharing}
    left = pool - sum(shares.values())
    open_ = {one.key: one.wished - shares[one.key] for one in sharing}
    wished = sum(open_.values())
    if left >= wished:
        return {one.key: one.wished for one in sharing}
    remainders: list[tuple[Fraction, int, str]] = []
    given = 0
    for place, one in enumerate(sharing):
        quota = Fraction(left * open_[one.key], wished)
        shares[one.key] += int(quota)
        given += int(quota)
        remainders.append((-(quota - int(quota)), place, one.key))
    for _, _, key in sorted(remainders)[: left - given]:
        shares[key] += 1
    return shares


def sure_to_live(alive: int, survival: float, assurance: float = ASSURANCE) -> int:
    """Return the most plants that will live with the assurance.

    Args:
        alive: plants standing, >= 0. survival: chance of one to live on, 0..1.
        assurance: 0..1.
    Source: binomial distribution.
    Checked by: tests/core/results/test_sharing.py (scipy.stats.binom).
    """
    low, high = 0, alive
    while low < high:
        middle = (low + high + 1) // 2
        if binomial_at_least(middle, alive, survival) >= assurance - TOLERANCE:
            low = middle
        else:
            high = middle - 1
    return low
