"""Counts of a sowing: odd orders, sowings given up, and when emergence is over."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

from hypothesis import given
from hypothesis import strategies as st

from core.cells import Cell
from core.group.garden import Garden, Happening, Site, SowingOf
from core.group.growing import follow
from core.group.sowing_counts import counts_of, emergence_over, record_of, survival_record

SOWN = date(2027, 3, 1)
GARDEN = Garden(
    site=Site(
        group_id=1, name="Bench", zone="UTC", language="en", fahrenheit=False, inches=False,
        round_at=time(7), quiet_from=time(21), quiet_to=time(7), created_on=SOWN,
    )
)  # fmt: skip


def sowing(*said: tuple[str, int, dict[str, object]], cells: int = 24) -> SowingOf:
    """A tomato sowing, one seed a cell, with (kind, day after sowing, values) in order."""
    return SowingOf(
        id=1,
        number=1,
        crop="tomato",
        tray="T1",
        cells=tuple(Cell(n // 12, n % 12) for n in range(cells)),
        sown_on=SOWN,
        seeds_per_cell=1,
        act=1,
        happenings=tuple(
            Happening(
                id=n,
                act=n,
                kind=kind,
                on=SOWN + timedelta(days=day),
                at=datetime(2027, 3, 1, 12, tzinfo=UTC) + timedelta(days=day),
                values=values,
                sowing=1,
            )
            for n, (kind, day, values) in enumerate(said)
        ),
    )


def up(day: int, total: int) -> tuple[str, int, dict[str, object]]:
    return "up", day, {"total": total}


@given(st.lists(st.tuples(st.integers(0, 30), st.integers(0, 24)), max_size=8))
def test_counts_in_any_order_never_fall_nor_exceed_the_seeds(looks):
    counts = counts_of(sowing(*(up(day, total) for day, total in looks)))
    late = [total for day, total in looks if day > 0]
    if not late:
        assert counts is None
        return
    assert counts is not None
    assert list(counts.total) == sorted(counts.total)
    assert counts.emerged == max(late)
    assert len(counts.days) == len({day for day, _ in looks if day > 0})


def test_nobody_counted_is_no_count_and_none_up_is_one():
    assert counts_of(sowing()) is None
    seen = counts_of(sowing(up(9, 0)))
    assert seen is not None
    assert (seen.emerged, seen.sown, seen.days) == (0, 24, (9.0,))


def test_a_sowing_given_up_unseen_counts_as_none_of_its_seeds():
    seen = counts_of(sowing(("lost", 14, {"count": None, "all": True})))
    assert seen is not None
    assert (seen.emerged, seen.sown, seen.days) == (0, 24, (14.0,))


def test_emergence_is_over_by_thinning_by_the_window_or_with_every_seed():
    def over(one: SowingOf, day: int) -> bool:
        return emergence_over(GARDEN, one, follow(one), SOWN + timedelta(days=day))

    assert not over(sowing(up(6, 3)), 7)
    assert over(sowing(up(6, 3)), 40)
    assert over(sowing(up(6, 24)), 7)
    assert over(sowing(up(6, 3), ("thinned", 7, {"per_cell": 1})), 7)


def test_the_record_takes_finished_sowings_only():
    thinned = sowing(up(6, 18), ("thinned", 9, {"per_cell": 1}))
    coming = sowing(up(6, 3))
    unseen = sowing(("lost", 14, {"count": None, "all": True}))
    assert record_of([thinned, coming, unseen]) == (18, 24, 1)


def test_survival_is_of_finished_sowings_that_came_up():
    done = sowing(
        up(6, 18), ("lost", 9, {"count": 3, "all": False}), ("planted", 60, {"count": 15})
    )
    open_ = sowing(up(6, 18), ("lost", 9, {"count": 3, "all": False}))
    assert survival_record([done, open_]) == (15, 18)
