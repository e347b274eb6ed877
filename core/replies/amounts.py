"""How much to sow for a number of plants."""

from __future__ import annotations

from dataclasses import dataclass

from core.replies.base import Reply
from core.replies.lots import LotJudged
from core.trade.seed.amounts import SowingSize
from core.trade.seed.lots import LotAdvice
from core.trade.statistics.intervals import Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class GerminationTaken:
    """The chance of one seed that a size rests on.

    Attributes:
        mean: 0..1; interval: 95 % of the belief; 0..1.
        judged: the lot, when one is named or the group has one of the crop.
        other_lots: lots of the crop not taken; count.
        first: what seed usually shows, 0..1, from which the belief began.
        of_kind: whether that is of its kind, which has a standard.
        record: (seedlings, seeds, sowings) of the group's own finished sowings; None without.
    """

    mean: float
    interval: Interval
    judged: LotJudged | None
    other_lots: int
    first: float
    of_kind: bool
    record: tuple[int, int, int] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TraysFilled:
    """How many trays of one size the cells fill."""

    cells: int
    trays: int


@dataclass(frozen=True, slots=True, kw_only=True)
class AmountSaid(Reply):
    """How much to sow, and why.

    Attributes:
        size: None when no number of seeds gives that assurance.
        survival_of: (planted, of) behind the survival; None for the rule of thumb.
        filled: usual tray sizes, the group's own first.
        free: (tray, free cells) of trays here with room for all the cells.
        free_in_all: free cells of all trays.
        has_trays: the group has a tray.
    """

    crop: str
    variety: str | None = None
    plants: int
    assurance: float
    germination: GerminationTaken
    size: SowingSize | None
    survival: float
    survival_of: tuple[int, int] | None
    filled: tuple[TraysFilled, ...] = ()
    free: tuple[tuple[str, int], ...] = ()
    free_in_all: int = 0
    has_trays: bool = False
    advice: LotAdvice | None = None
