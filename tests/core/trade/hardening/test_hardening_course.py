"""Hardening off: laws of the plan, and what reports and cold do to it."""

import itertools
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.trade.hardening.course import (
    DayOut,
    Hold,
    Outcome,
    OutdoorTemp,
    hardening_course,
    set_back,
    start_on,
)
from core.trade.hardening.plan import SCHEDULES, hardening_plan, lowest_safe

MAY_20 = date(2027, 5, 20)
TEN = hardening_plan(10, limit_c=10)
BEGIN = start_on(MAY_20, 10)
LENGTH = st.integers(3, 21)
SCHEDULE = st.sampled_from([row.id for row in SCHEDULES.rows()])


def on(offset):
    return BEGIN + timedelta(days=offset)


def out(*offsets, hours=10.0):
    return [DayOut(day=on(offset), hours=hours) for offset in offsets]


def course(days_out, today, temps=(), plan=TEN):
    return hardening_course(
        plan,
        begun_on=BEGIN,
        plant_out_on=MAY_20,
        days_out=days_out,
        temps=temps,
        today=on(today),
    )


@given(LENGTH, SCHEDULE)
def test_later_days_never_have_fewer_hours_or_less_sun(days, schedule):
    plan = hardening_plan(days, limit_c=10, schedule=schedule)
    for earlier, later in itertools.pairwise(plan):
        assert later.hours >= earlier.hours
        assert later.sun_hours >= earlier.sun_hours
        assert later.night_out >= earlier.night_out
    assert all(0 < day.hours <= 10 and day.sun_hours <= day.hours for day in plan)


@given(
    LENGTH,
    st.lists(st.one_of(st.none(), st.floats(0, 14)), max_size=40),
    st.lists(
        st.tuples(st.one_of(st.none(), st.floats(0, 25)), st.one_of(st.none(), st.floats(0, 25))),
        max_size=45,
    ),
)
def test_a_held_day_never_advances_and_no_day_ahead_exceeds_the_plan(length, hours, temps):
    plan = hardening_plan(length, limit_c=10)
    reports = [DayOut(day=on(i), hours=h) for i, h in enumerate(hours) if h is not None]
    air = [OutdoorTemp(day=on(i), low_c=low, day_c=day) for i, (low, day) in enumerate(temps)]
    result = course(reports, len(hours), air, plan)
    before = 0
    for past in result.past:
        if past.outcome is Outcome.HELD:
            assert past.done_after <= before
        assert past.done_after <= before + 1
        before = past.done_after
    assert 0 <= result.done <= length
    for ahead in result.coming:
        assert ahead.hours in (0, ahead.plan.hours)
        assert ahead.plan in plan
        if ahead.hold in (Hold.COLD_DAY, Hold.COLD_LOW):
            assert (ahead.hours, ahead.night_out) == (0, False)
    assert sum(ahead.hold is None for ahead in result.coming) == length - result.done


def test_an_undisturbed_course_ends_on_the_plant_out_date():
    fresh = course([], 0)
    assert (fresh.ready_on, fresh.days_late, fresh.done) == (MAY_20, 0, 0)
    half = course(out(*range(5)), 5)
    assert (half.ready_on, half.days_late, half.done) == (MAY_20, 0, 5)
    ready = course(out(*range(10)), 10)
    assert (ready.ready_on, ready.coming, ready.past[-1].outcome) == (
        MAY_20,
        (),
        Outcome.FINISHED,
    )


def test_a_cold_low_holds_the_day_and_makes_it_late():
    cold = [OutdoorTemp(day=on(3), low_c=6.0)]
    held = course(out(0, 1, 2, 3), 4, cold)
    assert held.past[3].outcome is Outcome.HELD
    assert (held.done, held.coming[0].plan.number, held.days_late) == (3, 4, 1)


def test_a_forecast_holds_a_coming_day():
    ahead = course(out(0, 1), 2, [OutdoorTemp(day=on(2), day_c=7.0)])
    assert (ahead.coming[0].hold, ahead.coming[0].hours) == (Hold.COLD_DAY, 0)
    assert ahead.coming[1].plan.number == 3
    assert ahead.days_late == 1


def test_a_warm_day_before_a_cold_night_counts_until_nights_out():
    night = OutdoorTemp(day=on(2), low_c=4.0, day_c=15.0)
    assert course(out(0, 1), 2, [night]).coming[0].hold is None
    last = OutdoorTemp(day=on(8), low_c=4.0, day_c=15.0)
    held = course(out(*range(8)), 8, [last]).coming[0]
    assert (held.hold, held.hours, held.night_out) == (Hold.COLD_NIGHT, 10, False)


def test_a_low_and_a_day_temperature_of_one_date_are_read_together():
    low, day = OutdoorTemp(day=on(2), low_c=4.0), OutdoorTemp(day=on(2), day_c=15.0)
    assert course(out(0, 1), 2, [low]).coming[0].hold is Hold.COLD_LOW
    assert course(out(0, 1), 2, [low, day]).coming[0].hold is None
    assert course(out(0, 1), 2, [day, low]).coming[0].hold is None
    warmer = OutdoorTemp(day=on(2), low_c=11.0)
    assert course(out(0, 1), 2, [low, warmer]).coming[0].hold is None


def test_exactly_at_the_limit_is_safe():
    assert course([], 0, [OutdoorTemp(day=on(0), low_c=10.0)]).coming[0].hold is None


@pytest.mark.parametrize(("missed", "next_day"), [(0, 6), (1, 5), (2, 5), (3, 4), (6, 4), (7, 3)])
def test_missed_days_repeat_or_go_back(missed, next_day):
    result = course(out(*range(5)), 5 + missed)
    assert result.coming[0].plan.number == next_day
    assert result.ready_on == on(5 + missed) + timedelta(days=10 - next_day + 1)


def test_held_days_alone_cost_nothing_but_time_until_a_week():
    cold = [OutdoorTemp(day=on(5 + i), low_c=2.0) for i in range(6)]
    assert course(out(*range(5)), 11, cold).coming[0].plan.number == 6
    longer = [*cold, OutdoorTemp(day=on(11), low_c=2.0)]
    assert course(out(*range(5)), 12, longer).coming[0].plan.number == 3


def test_a_short_day_out_is_repeated():
    result = course([*out(0, 1), *out(2, hours=1.0)], 3)
    assert result.past[2].outcome is Outcome.SHORT
    assert result.coming[0].plan.number == 3


def test_two_reports_on_a_day_add_up_and_count_once():
    result = course([*out(0), *out(1, hours=2.0), *out(1, hours=2.0)], 2)
    assert result.done == 2


def test_out_without_hours_counts():
    assert course([DayOut(day=on(0), hours=None)], 1).done == 1


def test_today_counts_only_once_reported():
    assert course(out(0), 1).coming[0].day == on(1)
    assert course(out(0, 1), 1).coming[0].day == on(2)


def test_before_the_start_the_whole_plan_lies_ahead():
    result = course([], -5)
    assert (result.past, len(result.coming), result.coming[0].day) == ((), 10, BEGIN)


@given(st.integers(0, 30), st.integers(0, 30), st.integers(0, 30))
def test_set_back_never_adds_days_and_more_missed_never_helps(done, missed, held):
    now = set_back(done, missed=missed, idle=missed + held)
    assert 0 <= now <= done
    if done > 3:
        assert set_back(done, missed=missed + 1, idle=missed + 1 + held) <= now


def test_unknown_names_are_a_callers_mistake():
    with pytest.raises(ValueError, match="no hardiness class"):
        lowest_safe("lukewarm")
    with pytest.raises(ValueError, match="no hardening schedule"):
        hardening_plan(10, limit_c=10, schedule="none")
    with pytest.raises(ValueError, match="fewer"):
        hardening_plan(2, limit_c=10)
