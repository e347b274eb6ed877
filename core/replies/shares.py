"""Wishes, and who gets what."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.replies.base import Reply
from core.requests import Planted, Wish


@dataclass(frozen=True, slots=True, kw_only=True)
class WishSaid(Reply):
    """A wish noted, changed, or withdrawn (`plants` 0).

    Attributes:
        variety: the one wished; None = any.
        before: plants wished before; None when it is new.
        for_name: whose wish it is, when not the speaker's.
        back: the request that puts the wish back as it was.
        alive, expected: plants standing, and of those sure enough to live; counts.
        wished: plants wished for in all.
    """

    crop: str
    variety: str | None = None
    plants: int
    before: int | None
    for_name: str | None
    back: Wish
    alive: int
    expected: int
    wished: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WishLine:
    """Plants of a crop that somebody would like."""

    name: str
    crop: str
    plants: int
    variety: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WishesSaid(Reply):
    """The wishes that stand: everybody's to a coordinator, else the speaker's own."""

    lines: tuple[WishLine, ...]
    everybody: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CareCard:
    """What to know when taking a plant home.

    Attributes:
        plant_out: date; None when it cannot be told (`no_frost` when frost dates lack).
        spacing_mm: least and greatest distance between plants; None when not known;
            spacing_checked: False where no published source gives it.
        night_c: lowest safe night for plants just set out; night_by_class: by its hardiness
            class, not its own.
    """

    plant_out: date | None
    no_frost: bool
    spacing_mm: tuple[float, float] | None
    spacing_checked: bool
    night_c: float
    night_by_class: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PartSaid:
    """One member's or family's part: plants wished, had already, and to come.

    `hand_out` records that they took it.
    """

    name: str
    wished: int
    taken: int
    now: int
    hand_out: Planted | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CropShared:
    """One crop shared out.

    Attributes:
        alive: plants standing; expected: of those sure enough to live, which are shared.
        survival: chance of one, 0..1; survival_of: (planted, of) behind it, None for the rule
            of thumb. assurance: 0..1.
        parts: to a coordinator everybody's, else the speaker's own.
        wished: plants in all; sharers: how many wish.
        others: (name, plants) of those who took some without a wish; coordinators only.
    """

    crop: str
    alive: int
    expected: int
    survival: float
    survival_of: tuple[int, int] | None
    assurance: float
    parts: tuple[PartSaid, ...]
    wished: int
    sharers: int
    surplus: int
    care: CareCard
    others: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ShareSaid(Reply):
    """Wishes against what is alive.

    Attributes:
        everybody: the parts of all are shown.
        hazards: of the crops shown, as in the crop table.
    """

    crops: tuple[CropShared, ...]
    everybody: bool
    crop: str | None = None
    hazards: tuple[str, ...] = ()
