"""Which labels a group's trays and sowings want."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from core.cells import Cell, cells_text
from core.group.garden import Garden, SowingOf
from core.group.growing import Growing, Stage, follow

MOST = 600
"""Labels in one file; more is a slip."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """One label: of a whole tray, or of a sowing in a tray.

    Attributes:
        tray: code; None for plants in pots without a tray.
        cells: `A1-B6` of a sowing; None for a whole tray.
        crops: (crop id, variety), what stands there; one for a sowing.
        lot: code of the lot; sowing: code of the sowing.
        on: date of sowing.
        member: id of who sowed.
        shelf: where the tray stands.
        size: (rows, columns) of a whole tray.
    """

    tray: str | None
    cells: str | None
    crops: tuple[tuple[str, str | None], ...]
    lot: str | None = None
    sowing: str | None = None
    on: date | None = None
    member: int | None = None
    shelf: str | None = None
    size: tuple[int, int] | None = None


def labels(garden: Garden, trays: Sequence[str], sowings: Sequence[str]) -> tuple[Label, ...]:
    """Return labels of whole trays, each followed by its sowings, then of sowings by code.

    Args:
        trays, sowings: codes; those no longer there are left out.

    Checked by: tests/core/group/test_labels.py.
    """
    standing = [(s, g) for s in garden.sowings if (g := follow(s)).stage is not Stage.FINISHED]
    made: list[Label] = []
    for code in trays:
        tray = garden.trays.get(code)
        if tray is None:
            continue
        here = [pair for pair in standing if pair[1].tray == code]
        made.append(
            Label(
                tray=code,
                cells=None,
                crops=tuple(dict.fromkeys((s.crop, s.variety) for s, _ in here)),
                shelf=tray.shelf,
                size=(tray.rows, tray.cols),
            )
        )
        rows = [label for sowing, growing in here for label in _of_sowing(sowing, growing)]
        made += sorted(rows, key=lambda label: Cell.of((label.cells or "A1").split("-")[0]))
    for sowing, growing in standing:
        if sowing.code in sowings:
            made += _of_sowing(sowing, growing)
    return tuple(made[:MOST])


def _of_sowing(sowing: SowingOf, growing: Growing) -> list[Label]:
    """Return the one label of a sowing in its tray, or in loose pots."""
    return [
        Label(
            tray=growing.tray,
            cells=cells_text(growing.cells) or None,
            crops=((sowing.crop, sowing.variety),),
            lot=sowing.lot,
            sowing=sowing.code,
            on=sowing.sown_on,
            member=sowing.did,
        )
    ]
