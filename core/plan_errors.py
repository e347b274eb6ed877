"""What can be mended about a season plan: values only, worded elsewhere."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.errors import UserError


@dataclass(eq=False, kw_only=True)
class PlanTooLate(UserError):
    """Every crop asked for should have been sown before.

    Attributes:
        crops: (crop id, variety, last date it could be sown).
    """

    crops: tuple[tuple[str, str | None, date], ...]


@dataclass(eq=False, kw_only=True)
class SeedTooPoor(UserError):
    """No number of cells of that seed gives the plants wanted; `lot` None = no lot."""

    crop: str
    lot: str | None


@dataclass(eq=False, kw_only=True)
class PlanUnsettled(UserError):
    """The time limit passed before the plan was found to fit or not."""

    crops: int


@dataclass(eq=False, kw_only=True)
class PlanLineMissing(UserError):
    """The plan has no line of that crop; `known` = (crop, variety) of those it has."""

    crop: str
    variety: str | None
    known: tuple[tuple[str, str | None], ...]
