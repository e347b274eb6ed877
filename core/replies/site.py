"""The group's place and habits."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import time

from core.group.garden import Site
from core.replies.base import Choice, Reply


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteSaid(Reply):
    """What stands now.

    Attributes:
        changed: parts just set: `place`, `zone`, `language`, `units`, `round`, `quiet`, `name`.
        local_time: what the clocks of the zone show.
        shelves, trays: how many there are; counts.
        frost: last-frost dates are known.
        missing: steps of the first minute that nobody has answered.
        round_in_quiet: the round was set into the quiet hours, so it comes when they end.
        zone_before: the zone that stood, where it changed.
    """

    site: Site
    changed: tuple[str, ...]
    local_time: time
    shelves: int
    trays: int
    frost: bool
    missing: tuple[str, ...]
    round_in_quiet: bool = False
    zone_before: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacesFound(Choice):
    """Several towns of one name; `values` of an option: name, region, country, people."""
