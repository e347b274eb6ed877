"""The parts of a sowing: counts that add up after any acts, in any order, some taken back."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.cells import Cell
from core.group.dividing import divide
from core.group.garden import Happening, SowingOf
from core.group.growing import follow, parts_of
from core.group.parts import Divided, Place

SOWN = date(2027, 3, 1)
CELLS = tuple(Cell(row, col) for row in range(2) for col in range(6))
Told = tuple[str, dict[str, Any]]


def sowing(*reports: Told, per_cell: int = 2) -> SowingOf:
    """Return a sowing of A1-B6 in T1 with one report a day."""
    return SowingOf(
        id=1, number=1, crop="tomato", tray="T1", cells=CELLS, sown_on=SOWN,
        seeds_per_cell=per_cell, act=1,
        happenings=tuple(
            Happening(
                id=n, act=n, kind=kind, on=SOWN + timedelta(days=n),
                at=datetime(2027, 3, 1, 12, tzinfo=UTC) + timedelta(days=n), values=values,
            )
            for n, (kind, values) in enumerate(reports, 1)
        ),
    )  # fmt: skip


def book(*reports: Told) -> Divided:
    return divide(sowing(*reports))


def up(total: int) -> Told:
    return "up", {"total": total}


def pot(count: int | None, into: str, cells: str, **more: Any) -> Told:
    return "potted", {"count": count, "tray": into, "cells": cells, "from": "T1", **more}


def test_a_row_potted_up_leaves_the_other_row_in_its_tray() -> None:
    found = book(up(12), pot(6, "P1", "A1 A2 A3 A4 A5 A6", from_cells="A1 A2 A3 A4 A5 A6"))
    stands = {part.tray: (part.alive, len(part.cells)) for part in found.parts}
    assert stands == {"T1": (6, 6), "P1": (6, 6)}
    assert found.adds_up()


def test_plants_of_one_sowing_go_four_ways_and_none_is_forgotten() -> None:
    found = book(
        up(20),
        pot(10, "P1", " ".join(f"A{n}" for n in range(1, 11))),
        ("lost", {"count": 2, "from": "P1"}),
        ("planted", {"count": 4, "from": "P1", "spot": "long bed"}),
        ("planted", {"count": 3, "from": "P1", "to": "Ana"}),
    )
    assert [(p.place, p.alive) for p in found.parts] == [
        (Place.CELLS, 10), (Place.POTS, 1), (Place.BED, 4),
    ]  # fmt: skip
    assert (found.lost, found.given, found.planted, found.not_up) == (2, 3, 7, 4)
    assert found.adds_up()


def test_cells_given_up_before_they_show_take_their_seeds_along() -> None:
    found = book(("lost", {"seeds": True, "from": "T1", "from_cells": "A1 A2"}))
    assert (found.seeds_lost, found.not_up, found.came) == (4, 20, 0)
    assert [len(part.cells) for part in found.parts] == [10]


def test_thinning_some_cells_leaves_what_may_stand_in_the_others() -> None:
    some = "thinned", {"per_cell": 1, "from": "T1", "from_cells": "A1 A2 A3 A4 A5 A6"}
    assert book(up(24), some).living == 6 + 12
    assert follow(sowing(up(24), some)).thinned_on is None
    rest = "thinned", {"per_cell": 1, "from": "T1", "from_cells": "B1 B2 B3 B4 B5 B6"}
    after = book(up(24), some, rest)
    assert (after.living, after.thinned) == (12, 12)
    assert follow(sowing(up(24), some, rest)).thinned_on is not None


def test_a_tray_moved_keeps_its_age_and_its_plants() -> None:
    move = "moved", {"from": "T1", "tray": "T2", "cells": " ".join(c.label for c in CELLS)}
    (part,) = parts_of(sowing(up(9), ("fed", {}), move))
    assert (part.tray, part.alive, part.fed_on) == ("T2", 9, SOWN + timedelta(days=2))


def test_plants_lost_in_the_bed_are_taken_from_the_bed() -> None:
    planted = "planted", {"count": 8, "from": "T1"}
    found = book(up(10), planted, ("lost", {"count": 3, "place": "bed"}))
    assert [(p.place, p.alive) for p in found.parts] == [(Place.CELLS, 2), (Place.BED, 5)]
    assert found.lost == 3


def test_undoing_the_potting_puts_the_plants_back_whatever_came_after() -> None:
    acts = (up(12), pot(12, "P1", "A1 A2 A3"), ("lost", {"count": 2, "from": "P1"}))
    kept = [acts[0], acts[2]]
    (part,) = divide(sowing(*kept)).parts
    assert (part.tray, part.alive) == ("T1", 10)


LABELS = [cell.label for cell in CELLS]
cells = st.lists(st.sampled_from(LABELS), unique=True, max_size=8).map(" ".join)
trays = st.sampled_from(["T1", "P1", "P2", "T2"])
counts = st.one_of(st.none(), st.integers(1, 24))


def _values(**parts: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries({}, optional=parts)


ACTS = st.one_of(
    st.integers(0, 24).map(up),
    st.tuples(st.just("thinned"), _values(per_cell=st.integers(1, 3), from_cells=cells)),
    st.tuples(
        st.just("potted"),
        _values(count=counts, tray=trays, cells=cells, from_cells=cells, **{"from": trays}),
    ),
    st.tuples(
        st.just("moved"),
        st.fixed_dictionaries(
            {"tray": trays, "cells": cells},
            optional={"from": trays, "from_cells": cells, "count": st.integers(0, 24)},
        ),
    ),
    st.tuples(
        st.just("planted"),
        _values(count=counts, to=st.just("Ana"), from_cells=cells, **{"from": trays}),
    ),
    st.tuples(
        st.just("lost"),
        _values(
            count=counts, all=st.booleans(), seeds=st.booleans(), cleared=st.booleans(),
            from_cells=cells, place=st.sampled_from(["bed", "cells"]), **{"from": trays},
        ),
    ),
    st.tuples(st.sampled_from(["fed", "watered", "out", "harden"]), _values(**{"from": trays})),
)  # fmt: skip
SEQUENCES = st.lists(st.tuples(ACTS, st.booleans()), max_size=14)


def holds(acts: list[tuple[Told, bool]]) -> None:
    """Check the ledger after each act and after taking back those marked."""
    for length in range(len(acts) + 1):
        found = book(*(act for act, _ in acts[:length]))
        assert found.adds_up(), acts[:length]
    kept = book(*(act for act, taken_back in acts if not taken_back))
    assert kept.adds_up()


@given(SEQUENCES)
def test_every_seed_is_accounted_for(acts: list[tuple[Told, bool]]) -> None:
    holds(acts)


@pytest.mark.bench
@settings(max_examples=10_000, deadline=None)
@given(SEQUENCES)
def test_every_seed_is_accounted_for_ten_thousand_times(acts: list[tuple[Told, bool]]) -> None:
    holds(acts)


def test_thinning_after_cells_were_moved_away_takes_no_plant_that_is_not_there() -> None:
    some = "thinned", {"per_cell": 1, "from": "T1", "from_cells": "A1 A2 A3 A4 A5 A6"}
    move = "moved", {"from": "T1", "from_cells": "A1 A2 A3 A4 A5", "tray": "T2", "cells": "A1 A2"}
    found = book(some, move, ("thinned", {"per_cell": 1, "from": "T1", "from_cells": "B1"}))
    assert found.adds_up()
    assert found.thinned == 0
