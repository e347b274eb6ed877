"""Invented gardens for pictures: one fixed, and any that Hypothesis thinks of."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from hypothesis import strategies as st

from bot.wording.voice import Voice
from core.cells import Cell
from core.group.garden import Garden, Happening, MemberOf, ShelfOf, Site, SowingOf, TrayOf
from core.trade.frost.estimate import dates_from_typical
from core.trade.frost.seasons import FrostSide, Hemisphere
from core.trade.frost.store import frost_values

TODAY = date(2027, 4, 3)
NOW = datetime(2027, 4, 3, 7, tzinfo=UTC)
STAGES = ("sown", "up", "thinned", "potted", "hardening")
CROPS = ("tomato", "lettuce", "pepper", "basil", "marigold", "cabbage", "zinnia", "onion")
LONG = "Ñandú de la Abuela Extraordinariamente Larga y Ácida 2027 °µ²–"


def voice(language: str = "en", *, fahrenheit: bool = False, bot_name: str = "") -> Voice:
    return Voice(
        today=TODAY,
        language=language,
        fahrenheit=fahrenheit,
        inches=fahrenheit,
        zone="Europe/Madrid",
        people={1: "Robin", 2: "Ana"},
        bot_name=bot_name,
    )


def happening(kind: str, on: date, number: int = 0, **values: Any) -> Happening:
    at = datetime.combine(on, time(9), UTC)
    return Happening(id=number, act=number, kind=kind, on=on, at=at, values=values)


def sowing(
    number: int,
    crop: str,
    cells: tuple[Cell, ...],
    *,
    stage: str = "sown",
    variety: str | None = None,
    tray: str = "T1",
    days_ago: int = 30,
    per_cell: int = 2,
    lot: str | None = None,
    up: int | None = None,
) -> SowingOf:
    """Return a sowing brought to a stage by the reports that lead there."""
    sown_on = TODAY - timedelta(days=days_ago)
    seeds = len(cells) * per_cell
    count = seeds // 2 + 1 if up is None else up
    labels = " ".join(cell.label for cell in cells)
    steps = {
        "up": [happening("up", sown_on + timedelta(days=max(1, days_ago // 3)), total=count)],
        "thinned": [
            happening("thinned", sown_on + timedelta(days=max(1, days_ago // 2)), per_cell=1)
        ],
        "potted": [happening("potted", TODAY, tray=tray, cells=labels)],
        "hardening": [happening("out", TODAY, hours=2)],
    }
    reports = [r for s in STAGES[1 : STAGES.index(stage) + 1] for r in steps[s]]
    return SowingOf(
        id=number, number=number, crop=crop, tray=tray, cells=cells, sown_on=sown_on,
        seeds_per_cell=per_cell, act=number, variety=variety, lot=lot, did=1 + number % 2,
        happenings=tuple(reports),
    )  # fmt: skip


def garden(
    sowings: tuple[SowingOf, ...] = (),
    *,
    rows: int = 6,
    cols: int = 12,
    **more: Any,
) -> Garden:
    """Return a garden with tray T1 on shelf A and a usual last frost of 24 April."""
    frost = dates_from_typical(date(2027, 4, 24), FrostSide.LAST, Hemisphere.NORTH)
    return Garden(
        site=Site(
            group_id=1,
            name="Invented bench",
            zone="Europe/Madrid",
            language="en",
            fahrenheit=False,
            inches=False,
            round_at=time(7, 30),
            quiet_from=time(21),
            quiet_to=time(7),
            frost={"last": frost_values(frost)},
        ),
        shelves={
            "A": ShelfOf(
                id=1,
                code="A",
                lamp="white_led",
                on_at=time(6),
                off_at=time(20),
                places=4,
                usual_temp_c=20.0,
            )
        },
        trays={"T1": TrayOf(id=1, code="T1", rows=rows, cols=cols, shelf="A")},
        members={
            n: MemberOf(id=n, name=name, person=n, coordinator=n == 1)
            for n, name in ((1, "Robin"), (2, "Ana"))
        },
        sowings=sowings,
        **more,
    )


def block(row: int, first: int, last: int, rows: int = 1) -> tuple[Cell, ...]:
    """Return the cells of some rows from one column to another, counted from 0."""
    return tuple(Cell(row + r, col) for r in range(rows) for col in range(first, last + 1))


def sample() -> Garden:
    """The garden of the golden pictures: five stages, a long name, readings of a month."""
    sowings = (
        sowing(1, "tomato", block(0, 0, 5, 2), stage="thinned", variety="Amber Pip", lot="L1"),
        sowing(2, "lettuce", block(2, 0, 11), stage="hardening", days_ago=40),
        sowing(3, "pepper", block(3, 0, 7), stage="up", days_ago=16, variety=LONG),
        sowing(4, "tomato", block(4, 0, 3), stage="potted", days_ago=35),
        sowing(5, "basil", block(5, 0, 2), days_ago=3),
    )
    temps = tuple(
        happening(
            "temp",
            TODAY - timedelta(days=n),
            100 + n,
            temp_c=20.0 + n % 4,
            of="mix" if n % 2 else "air",
        )
        for n in range(28, 0, -3)
    )
    light = tuple(
        happening("light", TODAY - timedelta(days=n), 200 + n, ppfd=180.0 + n) for n in (20, 9)
    )
    return garden(sowings, shelf_reports={"A": (*temps, *light)})


SIZES = ((1, 1), (3, 6), (6, 12), (8, 16), (10, 20), (26, 40), (1, 40), (26, 2), (12, 26))
NAMES = st.none() | st.text(max_size=70)


@st.composite
def gardens(draw: st.DrawFn) -> Garden:
    """Any tray with any sowings in it."""
    rows, cols = draw(st.sampled_from(SIZES))
    left = [Cell(row, col) for row in range(rows) for col in range(cols)]
    sowings = []
    for number in range(1, draw(st.integers(0, 18)) + 1):
        if not left:
            break
        take = draw(st.integers(1, min(len(left), 40)))
        cells, left = tuple(left[:take]), left[take + draw(st.integers(0, 2)) :]
        sowings.append(
            sowing(
                number, draw(st.sampled_from(CROPS)), cells, stage=draw(st.sampled_from(STAGES)),
                variety=draw(NAMES), days_ago=draw(st.integers(3, 90)),
                per_cell=draw(st.integers(1, 5)),
                lot=draw(st.sampled_from([None, "L1", "L123"])),
            )
        )  # fmt: skip
    return garden(tuple(sowings), rows=rows, cols=cols)
