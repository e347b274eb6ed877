"""One sowing followed through its reports."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from core.cells import Cell
from core.group.garden import Happening, SowingOf
from core.group.growing import Growing, Stage, follow

SOWN = date(2027, 3, 1)
CELLS = tuple(Cell(0, col) for col in range(12))


def after(*reports: tuple[str, dict[str, Any]], per_cell: int = 2) -> Growing:
    """Return where a sowing of 12 cells stands after one report a day."""
    happenings = tuple(
        Happening(
            id=n, act=n, kind=kind, on=SOWN + timedelta(days=n),
            at=datetime(2027, 3, 1, 12, tzinfo=UTC) + timedelta(days=n), values=values, did=1,
        )
        for n, (kind, values) in enumerate(reports, 1)
    )  # fmt: skip
    return follow(
        SowingOf(
            id=1, number=1, crop="tomato", tray="T1", cells=CELLS, sown_on=SOWN,
            seeds_per_cell=per_cell, act=1, happenings=happenings,
        )
    )  # fmt: skip


def up(total: int) -> tuple[str, dict[str, Any]]:
    return "up", {"total": total}


def test_a_sowing_without_a_report_stands_where_it_was_sown() -> None:
    growing = after()
    assert (growing.stage, growing.up, growing.alive) == (Stage.SOWN, 0, 0)
    assert (growing.tray, growing.cells) == ("T1", CELLS)
    assert growing.first_up_on is None


def test_a_count_of_none_is_a_look_and_no_emergence() -> None:
    growing = after(up(0), up(5), up(9))
    assert growing.counts == ((date(2027, 3, 2), 0), (date(2027, 3, 3), 5), (date(2027, 3, 4), 9))
    assert (growing.first_up_on, growing.up, growing.alive) == (date(2027, 3, 3), 9, 9)


def test_thinning_leaves_at_most_so_many_a_cell_and_is_no_loss() -> None:
    growing = after(up(20), ("thinned", {"per_cell": 1}))
    assert (growing.alive, growing.lost, growing.stage) == (12, 0, Stage.THINNED)
    assert after(up(5), ("thinned", {"per_cell": 1})).alive == 5


def test_plants_left_behind_count_again_once_they_are_potted_up_too() -> None:
    first = ("potted", {"count": 8, "tray": "T5", "cells": "A1 A2"})
    rest = ("potted", {"count": 5, "tray": "T5", "cells": "B1"})
    growing = after(up(14), first, rest)
    assert (growing.alive, growing.waiting) == (13, 1)
    assert [cell.label for cell in growing.cells] == ["A1", "A2", "B1"]
    again = after(up(14), first, rest, ("potted", {"count": 13, "tray": "T6", "cells": "A1"}))
    assert (again.alive, again.waiting, again.tray) == (13, 1, "T6")  # nobody is forgotten


def test_potting_up_moves_the_plants_potted_and_leaves_the_others_out() -> None:
    growing = after(up(20), ("potted", {"count": 8, "tray": "T5", "cells": "A1 A2"}))
    assert (growing.alive, growing.tray, growing.stage) == (8, "T5", Stage.POTTED)
    assert growing.cells == (Cell(0, 0), Cell(0, 1))
    assert after(up(20), ("potted", {"count": 8, "tray": None})).tray is None


def test_the_last_plant_out_finishes_it() -> None:
    growing = after(up(10), ("planted", {"count": 6}), ("lost", {"count": 3}))
    assert (growing.planted, growing.lost, growing.alive) == (6, 3, 1)
    assert growing.stage is not Stage.FINISHED
    growing = after(up(10), ("planted", {"count": 6}), ("lost", {"count": 4}))
    assert (growing.stage, growing.alive, growing.seeds_failed) == (Stage.FINISHED, 0, False)


def test_all_lost_before_any_showed_is_a_failure_of_the_seed() -> None:
    growing = after(("lost", {"all": True}))
    assert (growing.stage, growing.seeds_failed) == (Stage.FINISHED, True)


def test_a_day_outside_is_hardening_whatever_came_before() -> None:
    growing = after(up(10), ("out", {"hours": 2}), ("potted", {"count": 10}), ("fed", {}))
    assert growing.stage is Stage.HARDENING
    assert growing.outings == ((date(2027, 3, 3), 2.0, False),)
    assert growing.fed_on == date(2027, 3, 5)


REPORT = st.one_of(
    st.integers(0, 24).map(up),
    st.integers(1, 3).map(lambda n: ("thinned", {"per_cell": n})),
    st.integers(1, 24).map(lambda n: ("potted", {"count": n, "tray": "T2", "cells": "A1"})),
    st.integers(1, 24).map(lambda n: ("planted", {"count": n})),
    st.integers(1, 24).map(lambda n: ("lost", {"count": n})),
)


@given(st.lists(REPORT, max_size=12))
def test_no_more_stand_than_came_up(reports: list[tuple[str, dict[str, Any]]]) -> None:
    growing = after(*reports)
    highest = max((n["total"] for kind, n in reports if kind == "up"), default=0)
    potted = max((n["count"] for kind, n in reports if kind == "potted"), default=0)
    assert 0 <= growing.alive <= max(highest, potted)
    assert growing.stage is not Stage.SOWN or growing.up == 0
