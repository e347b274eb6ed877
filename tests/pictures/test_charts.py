"""Curve, season, space and log."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.pictures import chart, curve, log, season, space
from bot.pictures.model import Mark, Path
from core.errors import ShelfUnknown, SowingUnknown
from core.group.garden import Garden
from core.replies.plans import SeasonLine, SeasonSaid
from tests.pictures.drawings import SPACE, keeps_the_rules, season_said
from tests.pictures.gardens import CROPS, NAMES, TODAY, garden, gardens, happening, sample, voice

CALM = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
LANGUAGE = st.sampled_from(["en", "es"])
DAYS = st.integers(-200, 200).map(lambda n: TODAY + timedelta(days=n))


# --- curve ---


@CALM
@given(gardens(), LANGUAGE, st.booleans())
def test_no_words_overlap_on_any_curve(of: Garden, language: str, one: bool) -> None:
    codes = [s.code for s in of.sowings][: 1 if one else 6]
    if codes:
        keeps_the_rules(curve.drawing(of, of.sowings, codes, voice(language)))


def test_the_curve_steps_up_at_each_look_and_never_falls() -> None:
    of = sample()
    picture = curve.drawing(of, of.sowings, ["S1"], voice())
    (line,) = [p for p in picture.pieces if isinstance(p, Path) and p.what == "curve 0"]
    for (x0, y0), (x1, y1) in pairwise(line.points):
        assert x1 >= x0
        assert y1 <= y0
        assert x0 == x1 or y0 == y1
    looks = [p for p in picture.pieces if isinstance(p, Mark) and p.what.startswith("look")]
    assert len(looks) == 1


def test_the_window_runs_from_its_first_to_its_last_date_with_the_middle_between() -> None:
    of = sample()
    picture = curve.drawing(of, of.sowings, ["S5"], voice())
    (bar,) = picture.boxes("window 0")
    (middle,) = [p for p in picture.pieces if isinstance(p, Path) and p.what == "median 0"]
    assert bar.x < middle.points[0][0] < bar.x + bar.w


def test_several_curves_differ_by_mark_and_dash_as_well_as_colour() -> None:
    of = sample()
    picture = curve.drawing(of, of.sowings, ["S1", "S2", "S3", "S4"], voice())
    lines = [p for p in picture.pieces if isinstance(p, Path) and p.what.startswith("curve")]
    keys = [p for p in picture.pieces if isinstance(p, Mark) and p.what == "key"]
    assert len({line.dash for line in lines}) == len(lines) == 4
    assert len({(mark.shape, mark.fill) for mark in keys}) == 4
    assert len({mark.shape for mark in keys}) == 4


def test_a_sowing_nobody_knows_is_said_so() -> None:
    with pytest.raises(SowingUnknown):
        curve.drawing(sample(), sample().sowings, ["S99"], voice())


# --- season ---

SEASON_LINES = st.builds(
    lambda crop, variety, number, sow, pot, harden, out: SeasonLine(
        crop=crop, variety=variety, sowing=f"S{number}" if number else None, sow_on=sow,
        pot_on=pot and sow + timedelta(days=pot),
        harden_from=harden and sow + timedelta(days=harden),
        plant_out=out and sow + timedelta(days=out),
    ),
    st.sampled_from(CROPS), NAMES, st.integers(0, 99), DAYS, st.none() | st.integers(5, 40),
    st.none() | st.integers(1, 60), st.none() | st.integers(20, 90),
)  # fmt: skip


@CALM
@given(st.lists(SEASON_LINES, min_size=1, max_size=30), LANGUAGE)
def test_no_words_overlap_in_any_season(lines: list[SeasonLine], language: str) -> None:
    said = SeasonSaid(group_id=1, lines=tuple(lines), direct=(), planned=True)
    keeps_the_rules(season.drawing(sample(), said, voice(language)))


def test_the_phases_of_a_sowing_follow_each_other_without_a_gap() -> None:
    for line in season_said().lines:
        spans = season.phases_of(sample(), line, TODAY)
        assert spans[0][1] == line.sow_on
        assert all(a[2] == b[1] for a, b in pairwise(spans))
        if line.plant_out:
            assert spans[-1][2] == line.plant_out


def test_the_frost_band_and_today_are_drawn_where_their_dates_are() -> None:
    picture = season.drawing(sample(), season_said(), voice())
    (band,) = picture.boxes("frost band")
    (today,) = [p for p in picture.pieces if isinstance(p, Path) and p.what == "today"]
    early, late = season.frost_band(sample(), [TODAY]) or (TODAY, TODAY)
    per_day = band.w / (late - early).days
    assert early < date(2027, 4, 24) < late
    assert band.x - today.points[0][0] == pytest.approx((early - TODAY).days * per_day, abs=0.6)


def test_without_frost_dates_the_season_says_how_to_give_them() -> None:
    from dataclasses import replace

    bare = replace(sample(), site=replace(sample().site, frost=None))
    picture = season.drawing(bare, season_said(), voice())
    assert not picture.boxes("frost")
    assert any("/frost" in text.text for text in picture.texts())


# --- space ---


@CALM
@given(
    st.integers(1, 45),
    st.lists(st.tuples(st.integers(1, 40), st.integers(0, 60)), min_size=1, max_size=6),
    LANGUAGE,
)
def test_no_words_overlap_on_any_shelf_chart(
    weeks: int, shelves: list[tuple[int, int]], language: str
) -> None:
    days = [(TODAY + timedelta(weeks=n)).isoformat() for n in range(weeks)]
    body = {
        "weeks": days,
        "shelves": {
            f"Shelf{n}": {"places": places, "used": [(most * k) % (most + 1) for k in range(weeks)]}
            for n, (places, most) in enumerate(shelves)
        },
    }
    keeps_the_rules(space.drawing(body, voice(language)))


def test_what_is_over_the_places_is_told_by_pattern() -> None:
    picture = space.drawing(SPACE, voice())
    over = picture.boxes("over ")
    assert [box.what for box in over] == ["over 2027-04-26 1"]
    assert over[0].pattern == "cross"
    assert "fullest 26 Apr, 5 of 4 places" in picture.caption


def test_no_plan_says_so() -> None:
    assert "No plan" in space.drawing({}, voice()).caption


# --- log ---


@CALM
@given(
    st.lists(
        st.tuples(st.integers(0, 29), st.floats(-5, 55, width=16), st.sampled_from(["mix", "air"])),
        max_size=40,
    ),
    st.lists(st.tuples(st.integers(0, 29), st.floats(1, 2000, width=16)), max_size=12),
    LANGUAGE,
    st.booleans(),
)
def test_no_words_overlap_in_any_log(
    temps: list[tuple[int, float, str]],
    light: list[tuple[int, float]],
    language: str,
    fahrenheit: bool,
) -> None:
    reports = [
        happening("temp", TODAY - timedelta(days=n), k, temp_c=t, of=of)
        for k, (n, t, of) in enumerate(temps)
    ]
    reports += [
        happening("light", TODAY - timedelta(days=n), 100 + k, ppfd=p)
        for k, (n, p) in enumerate(light)
    ]
    of = garden(shelf_reports={"A": tuple(reports)})
    keeps_the_rules(log.drawing(of, "A", voice(language, fahrenheit=fahrenheit)))


def test_mix_and_air_have_marks_of_their_own() -> None:
    picture = log.drawing(sample(), "A", voice())
    marks = {
        p.what.split()[1]: p.shape
        for p in picture.pieces
        if isinstance(p, Mark) and p.what.startswith("reading")
    }
    assert len(set(marks.values())) == 3  # mix, air, light


def test_the_log_speaks_fahrenheit_to_those_who_do() -> None:
    picture = log.drawing(sample(), "A", voice(fahrenheit=True))
    assert "Temperature, °F" in [t.text for t in picture.texts()]
    readings = [
        float(p.what.split()[-1])
        for p in picture.pieces
        if isinstance(p, Mark) and p.what.startswith("reading 0")
    ]
    assert min(readings) > 60


def test_a_shelf_that_is_gone_is_said_so() -> None:
    with pytest.raises(ShelfUnknown):
        log.drawing(sample(), "Z", voice())


# --- axes ---


@given(st.integers(1, 400), st.floats(150, 366), LANGUAGE)
def test_the_days_on_an_axis_never_touch(span: int, wide: float, language: str) -> None:
    said = voice(language)
    last = TODAY + timedelta(days=span)
    ticks = chart.day_ticks(TODAY, last, wide, said)
    from bot.pictures import fonts

    for a, b in pairwise(ticks):
        halves = [fonts.width(said.month_day(day), 11.0) / 2 for day in (a, b)]
        assert (b - a).days * wide / span > sum(halves) + 2


@given(st.floats(0.01, 1e5))
def test_a_step_of_one_two_or_five_cuts_a_span_into_a_few(span: float) -> None:
    step = chart.nice_step(span)
    assert 1.9 < span / step <= 5.001
