"""From seed to garden, crop by crop."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from core.results.course import courses, whole_course
from tests.pictures.gardens import TODAY, block, happening, sowing


def test_counts_of_a_season_by_hand() -> None:
    made = sowing(1, "tomato", block(0, 0, 9), stage="potted", up=10, days_ago=50)
    one = replace(
        made,
        happenings=(
            *made.happenings,
            happening("planted", TODAY, 80, count=4, to="Lopez"),
            happening("planted", TODAY, 81, count=2, to="lópez"),
            happening("planted", TODAY, 82, count=3),
            happening("lost", TODAY, 83, count=1),
        ),
    )
    other = sowing(2, "tomato", block(1, 0, 4), stage="up", up=6, days_ago=40)
    old = sowing(3, "tomato", block(2, 0, 4), stage="up", up=6, days_ago=400)
    (course,) = courses((one, other, old), TODAY)
    assert (course.sowings, course.seeds, course.up) == (2, 30, 16)
    assert (course.potted, course.planted, course.given, course.homes) == (10, 3, 6, 1)
    assert (course.lost, course.left) == (1, 6)
    before = whole_course((one, other, old), TODAY - timedelta(days=365))
    assert before is not None
    assert (before.sowings, before.up) == (1, 6)
    assert whole_course((), TODAY) is None


def test_a_seedling_moved_on_twice_is_potted_once() -> None:
    made = sowing(1, "tomato", block(0, 0, 9), stage="up", up=8, days_ago=50)
    moves = tuple(
        happening(
            "potted",
            TODAY - timedelta(days=n),
            90 - n,
            count=8,
            tray="T2",
            cells="A1 A2 A3 A4 A5 A6 A7 A8",
        )
        for n in (5, 2)
    )
    (course,) = courses((replace(made, happenings=(*made.happenings, *moves)),), TODAY)
    assert course.potted == 8
