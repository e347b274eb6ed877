"""The season ahead: dates, amounts, the plan."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.requests.base import Request


@dataclass(frozen=True, slots=True, kw_only=True)
class When(Request):
    """Dates for one crop.

    Attributes:
        variety: one of the group's, whose days to maturity count.
        risk: chance of frost to accept in this answer, 0..1; None = that of the crop's class.
    """

    crop: str
    variety: str | None = None
    risk: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HowMany(Request):
    """Seeds and cells for `plants` plants at `assurance` (0..1)."""

    plants: int
    crop: str
    variety: str | None = None
    lot: str | None = None
    assurance: float | None = None
    seeds_per_cell: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanItem:
    """One wish of a plan: `plants` of `crop`, spread over `sowings` sowings.

    Attributes:
        sow_on: local date on which the first of them is sown, whatever the reckoning says.
        any_day: the date pinned before holds no longer.
    """

    crop: str
    plants: int
    sowings: int = 1
    variety: str | None = None
    sow_on: date | None = None
    any_day: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MakePlan(Request):
    """Work out a season; nothing = show the plan that stands.

    Attributes:
        change: the items are put into the plan there is; without items it is worked out again.
        without: (crop, variety) of lines to leave out of it.
    """

    items: tuple[PlanItem, ...] = ()
    accept: int | None = None  # id of a proposed plan
    drop: bool = False
    change: bool = False
    without: tuple[tuple[str, str | None], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Season(Request):
    """The season as a picture."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendar(Request):
    """The plan and duties as a calendar file."""
