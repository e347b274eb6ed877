"""The season ahead: dates, amounts, the plan."""

from __future__ import annotations

from dataclasses import dataclass

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
    """One wish of a plan: `plants` of `crop`, spread over `sowings` sowings."""

    crop: str
    plants: int
    sowings: int = 1
    variety: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MakePlan(Request):
    """Work out a season; no items = show the plan that stands."""

    items: tuple[PlanItem, ...] = ()
    accept: int | None = None  # id of a proposed plan
    drop: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Season(Request):
    """The season as a picture."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendar(Request):
    """The plan and duties as a calendar file."""
