"""Which labels a group's trays and sowings want: one for each variety in a tray."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from core.cells import Cell, cells_text
from core.group import outlook
from core.group.garden import Garden, SowingOf
from core.group.growing import Growing, Stage, follow

MOST = 600
"""Labels in one file; more is a slip. Own choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """One label: of a whole tray, or of one variety in a tray.

    Attributes:
        tray: code; None for plants in pots without a tray.
        cells: `A1-B6` of a variety; None for a whole tray.
        crops: (crop id, variety), what stands there; one for a variety.
        lot: code of the lot; sowing: code of the sowing, of several the first with the others.
        on: date of sowing; last_on: that of the last of several, else None.
        up_by: date by which nine of ten that come are up; up_on: when the first showed.
        out_on: date about which they may be planted out.
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
    last_on: date | None = None
    up_by: date | None = None
    up_on: date | None = None
    out_on: date | None = None
    member: int | None = None
    shelf: str | None = None
    size: tuple[int, int] | None = None


def labels(
    garden: Garden, trays: Sequence[str], sowings: Sequence[str], today: date | None = None
) -> tuple[Label, ...]:
    """Return labels of whole trays, each followed by its varieties, then of sowings by code.

    Args:
        trays, sowings: codes; those no longer there are left out.
        today: date for the days ahead; None leaves them out.

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
        made += _by_variety(garden, here, today)
    named = [(sowing, growing) for sowing, growing in standing if sowing.code in sowings]
    for place in dict.fromkeys(growing.tray for _, growing in named):
        made += _by_variety(garden, [pair for pair in named if pair[1].tray == place], today)
    return tuple(made[:MOST])


Pair = tuple[SowingOf, Growing]


def _by_variety(garden: Garden, here: Iterable[Pair], today: date | None) -> list[Label]:
    """Return one label for each variety of one tray, by their first cells."""
    groups: dict[tuple[str, str | None], list[Pair]] = {}
    for sowing, growing in here:
        groups.setdefault((sowing.crop, sowing.variety), []).append((sowing, growing))
    found = [_of_variety(garden, group, today) for group in groups.values()]
    return sorted(found, key=lambda label: Cell.of((label.cells or "A1").split()[0].split("-")[0]))


def _of_variety(garden: Garden, group: Sequence[Pair], today: date | None) -> Label:
    first, growing = group[0]
    cells = [cell for _, each in group for cell in each.cells]
    days = sorted(sowing.sown_on for sowing, _ in group)
    up = [each.first_up_on for _, each in group if each.first_up_on]
    up_by = out_on = None
    if today is not None:
        if not up:
            up_by = outlook.emergence(garden, first, today).p90_on
        out_on = outlook.out_about(garden, first, growing, today)
    lots = dict.fromkeys(sowing.lot for sowing, _ in group if sowing.lot)
    members = {sowing.did for sowing, _ in group}
    return Label(
        tray=growing.tray,
        cells=cells_text(tuple(sorted(cells))) or None,
        crops=((first.crop, first.variety),),
        lot=" ".join(lots) or None,
        sowing=" ".join(sowing.code for sowing, _ in group),
        on=days[0],
        last_on=days[-1] if days[-1] != days[0] else None,
        up_by=up_by,
        up_on=min(up, default=None),
        out_on=out_on if out_on is None or today is None or out_on >= today else None,
        member=members.pop() if len(members) == 1 else None,
    )
