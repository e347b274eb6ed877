"""What every request and report has, and where something is meant."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.cells import CellSpec


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """Base of every request."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Where:
    """The trays, cells, crop, sowing or shelf that a member named; all may be absent.

    Attributes:
        trays: tray codes, upper case, in the order typed.
        cells: cells within the one tray named.
        crop: crop id.
        sowing: sowing code such as `S3`.
        shelf: shelf code.
        lot: lot code such as `L2`.
        everything: the member said "all" without naming a tray.
        variety: name of a variety, as a lot or a sowing carries it.
    """

    trays: tuple[str, ...] = ()
    cells: CellSpec | None = None
    crop: str | None = None
    sowing: str | None = None
    shelf: str | None = None
    lot: str | None = None
    everything: bool = False
    variety: str | None = None

    @property
    def empty(self) -> bool:
        return self == NOWHERE


NOWHERE = Where()


@dataclass(frozen=True, slots=True, kw_only=True)
class Report(Request):
    """Base of what a member says happened.

    Attributes:
        where: what it is about.
        on: local date it happened; None = today.
        for_whom: the helper or member who did it, when somebody else reports.
        notice: id of the notice this answers (a `Done` button), else None.
    """

    where: Where = NOWHERE
    on: date | None = None
    for_whom: str | None = None
    notice: int | None = None
