"""Watering gaps: duty, closures and how long a tray lasts."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.trade.water.gaps import GapCare, TraySpan, water_gaps

MONDAY = date(2027, 3, 1)


def on(*offsets):
    return {MONDAY + timedelta(days=offset) for offset in offsets}


def span(low, usual=None, watered=0):
    return TraySpan(
        tray="T1",
        watered_on=MONDAY + timedelta(days=watered),
        low_days=low,
        usual_days=usual or low,
    )


def gaps(tray, visits, closures=(), days=14):
    return water_gaps(
        [tray],
        visits=visits,
        closures=set(closures),
        today=MONDAY,
        until=MONDAY + timedelta(days=days),
    )


def test_daily_duty_leaves_no_gap():
    assert gaps(span(1.2), on(*range(15))) == ()


def test_a_weekend_is_a_gap_for_a_small_cell_only():
    weekdays = on(0, 1, 2, 3, 4, 7, 8, 9, 10, 11, 14)
    (first,) = gaps(span(1.4, 2.5), weekdays, days=7)
    assert (first.visited_on, first.next_visit_on) == (*on(4), *on(7))
    assert (first.dry_on, first.gap_days, first.care) == (*on(5), 2, GapCare.TOP_UP)
    assert first.likely
    assert gaps(span(3.0), weekdays) == ()


def test_a_closure_overrules_duty():
    (gap,) = gaps(span(2.2, 3.0), on(*range(15)), closures=on(*range(3, 9)))
    assert (gap.visited_on, gap.next_visit_on, gap.gap_days) == (*on(2), *on(9), 6)
    assert gap.care is GapCare.CAPILLARY_AND_CHECK


@pytest.mark.parametrize(
    ("missing", "care"),
    [
        (2, GapCare.TOP_UP),
        (3, GapCare.NAMED_WATERER),
        (4, GapCare.NAMED_WATERER),
        (5, GapCare.CAPILLARY_AND_CHECK),
    ],
)
def test_care_grows_with_the_days_alone(missing, care):
    (gap,) = gaps(span(1.0), on(0, *range(missing + 1, 15)))
    assert (gap.gap_days, gap.care) == (missing, care)


def test_nobody_at_all_is_a_gap_without_an_end():
    (gap,) = gaps(span(2.0), set())
    assert (gap.next_visit_on, gap.dry_on) == (None, *on(2))
    assert gap.likely


def test_a_gap_only_the_careful_interval_sees_is_not_called_likely():
    (gap,) = gaps(span(2.0, 4.0), on(0, *range(3, 15)))
    assert not gap.likely


@given(
    st.sets(st.integers(0, 20)), st.sets(st.integers(0, 20)), st.floats(1, 6), st.integers(0, 20)
)
def test_more_duty_never_makes_a_tray_stand_dry_longer(visits, closures, low, extra):
    def dry_days(offsets):
        dry = set()
        for gap in gaps(span(low), on(*offsets), on(*closures), days=20):
            end = gap.next_visit_on or MONDAY + timedelta(days=21)
            dry |= {gap.dry_on + timedelta(days=i) for i in range((end - gap.dry_on).days)}
        return dry

    assert dry_days(visits | {extra}) <= dry_days(visits)


@given(st.sets(st.integers(0, 20)), st.floats(1, 6), st.floats(0, 4))
def test_a_tray_that_lasts_longer_never_has_more_gaps(visits, low, more):
    assert len(gaps(span(low + more), on(*visits))) <= len(gaps(span(low), on(*visits)))
