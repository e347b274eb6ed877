"""Before and after a break."""

from __future__ import annotations

from dataclasses import dataclass

from core.group.breaks import BreakPlan, Stretch, TrayCheck
from core.replies.base import Reply


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakAhead(Reply):
    """What the next break needs; `begun`: it has begun already."""

    plan: BreakPlan
    begun: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakOver(Reply):
    """The check list after a break; `stretch` None = none is known of lately."""

    stretch: Stretch | None
    checks: tuple[TrayCheck, ...]
    mats: tuple[str, ...]  # shelves whose heat mat may be wanted again


@dataclass(frozen=True, slots=True, kw_only=True)
class NoBreakAhead(Reply):
    """No closure of three days or more is set."""
