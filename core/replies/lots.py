"""Lots of seed, and how good they still are."""

from __future__ import annotations

from dataclasses import dataclass

from core.group.garden import LotOf
from core.replies.base import Choice, Reply
from core.trade.seed.lots import LotViability
from core.trade.seed.stock import Stock


@dataclass(frozen=True, slots=True, kw_only=True)
class LotJudged:
    """A lot with what is believed of it.

    Attributes:
        standard: least germination for its kind, 0..1, where there is one.
        stock: what is left of it; None where no amount was told.
    """

    lot: LotOf
    viability: LotViability
    standard: float | None = None
    stock: Stock | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LotSaid(Reply):
    """A lot added, changed or only looked at.

    Attributes:
        new, changed: it was just made, or changed; neither = only looked at.
        cautions: ids of core/data/cautions.toml.
    """

    judged: LotJudged
    new: bool
    changed: bool = False
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LotUsedUp(Reply):
    """A lot is gone; what was sown of it stays."""

    lot: LotOf


@dataclass(frozen=True, slots=True, kw_only=True)
class LotsListed(Reply):
    """The lots in use."""

    lots: tuple[LotJudged, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LotsFound(Choice):
    """Several lots of one crop; `values` of an option: lot, crop, variety, packed_for."""
