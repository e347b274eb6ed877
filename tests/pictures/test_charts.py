"""Curve, season, space and log."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.pictures import chart, curve, log, season, space
from bot.pictures.model import Drawing, Mark, Path
from bot.wording.drawn.season import season_pages
from core.errors import ShelfUnknown, SowingUnknown
from core.group import outlook
from core.group.garden import ClosureOf, Garden
from core.replies.plans import SeasonLine, SeasonSaid
from tests.pictures.drawings import SPACE, keeps_the_rules, season_said
from tests.pictures.gardens import (
    CROPS,
    NAMES,
    TODAY,
    block,
    garden,
    gardens,
    happening,
    sample,
    sowing,
    voice,
)

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


def looked(*counts: tuple[int, int]) -> Garden:
    """A sowing of twenty days ago, counted so many days after it."""
    one = sowing(1, "tomato", block(0, 0, 9), per_cell=1, days_ago=20)
    start = one.sown_on
    seen = tuple(happening("up", start + timedelta(days=day), total=up) for day, up in counts)
    return garden((replace(one, happenings=seen),))


def test_only_looks_are_drawn_and_a_gap_in_looking_is_a_gap() -> None:
    of = looked((5, 2), (7, 6), (16, 9))
    picture = curve.drawing(of, of.sowings, ["S1"], voice())
    looks = [p for p in picture.pieces if isinstance(p, Mark) and p.what.startswith("look")]
    lines = [p for p in picture.pieces if isinstance(p, Path) and p.what == "curve 0"]
    assert [p.what.split()[-1] for p in looks] == ["2", "6", "9"]
    (line,) = lines
    assert line.points == ((looks[0].x, looks[0].y), (looks[1].x, looks[1].y))


def test_the_window_drawn_is_the_one_of_the_day_of_sowing_whatever_was_counted() -> None:
    bare, counted = looked(), looked((5, 2), (7, 6), (16, 9))
    assert curve.expected_at_sowing(bare, bare.sowings[0]) == curve.expected_at_sowing(
        counted, counted.sowings[0]
    )


def test_the_window_runs_from_its_first_to_its_last_date_with_the_middle_between() -> None:
    of = sample()
    picture = curve.drawing(of, of.sowings, ["S5"], voice())
    (bar,) = picture.boxes("window 0")
    (middle,) = [p for p in picture.pieces if isinstance(p, Path) and p.what == "median 0"]
    assert bar.x < middle.points[0][0] < bar.x + bar.w


def test_several_curves_differ_by_the_form_of_their_signs() -> None:
    of = sample()
    picture = curve.drawing(of, of.sowings, ["S1", "S2", "S3", "S4"], voice())
    keys = [p for p in picture.pieces if isinstance(p, Mark) and p.what == "key"]
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
    for page in range(1, season_pages(len(lines)) + 1):
        keeps_the_rules(season.drawing(sample(), said, voice(language), page))


def test_two_hundred_seasons_of_one_to_sixty_rows_leave_nothing_out() -> None:
    wild = random.Random(4)
    for number in range(200):
        rows = 1 + number * 59 // 199
        lines = tuple(season_line(wild, n) for n in range(rows))
        said = SeasonSaid(
            group_id=1,
            lines=lines[: rows - rows // 4],
            direct=(),
            planned=True,
            finished=lines[rows - rows // 4 :],
        )
        seen: list[str] = []
        language = ("en", "es")[number % 2]
        for page in range(1, season_pages(rows) + 1):
            picture = season.drawing(sample(), said, voice(language), page)
            keeps_the_rules(picture)
            names = [t.text for t in picture.texts() if t.what == "name"]
            assert not [n for n in names if n.endswith("…")]
            works = [t.text for t in picture.texts() if t.what in ("work said", "month", "title")]
            assert not [w for w in works if w.endswith("…")]
            seen += names
        assert len(seen) == rows


def season_line(wild: random.Random, number: int) -> SeasonLine:
    """A row with a name of forty characters."""
    sow = TODAY + timedelta(days=wild.randint(-120, 60))
    gone = number % 5 == 4
    return SeasonLine(
        crop=wild.choice(CROPS), variety=("Ñandú de la Abuela Grande y Ácida 2027x")[:39],
        sowing=f"S{number + 1}" if number % 3 else None, sow_on=sow,
        pot_on=sow + timedelta(days=25) if number % 2 else None,
        harden_from=sow + timedelta(days=45), plant_out=None if gone else sow + timedelta(days=59),
        lost_on=sow + timedelta(days=60) if gone else None,
    )  # fmt: skip


def works(picture: Drawing) -> dict[str, Mark]:
    return {p.what: p for p in picture.pieces if isinstance(p, Mark) and p.what.startswith("work ")}


def test_weight_tells_done_living_and_planned_apart() -> None:
    done = SeasonLine(
        crop="kale", variety=None, sowing="S9", sow_on=date(2027, 2, 1), pot_on=None,
        harden_from=None, plant_out=date(2027, 3, 20),
    )  # fmt: skip
    said = replace(season_said(), finished=(done,))
    picture = season.drawing(sample(), said, voice())
    lines = {
        p.what: p.width
        for p in picture.pieces
        if isinstance(p, Path) and p.what.startswith("line ")
    }
    assert lines["line lives S1"] > lines["line done S9"]
    assert lines["line lives S1"] > lines["line planned pepper"]
    assert works(picture)["work sow 2027-04-05"].shape == "ring"
    assert works(picture)["work out 2027-03-20"].shape == "disc"
    assert "S9 kale: sown 1 Feb, plant out 20 Mar." in picture.caption


def test_marks_and_today_stand_where_their_dates_are_and_say_them() -> None:
    picture = season.drawing(sample(), season_said(), voice())
    sow, out = works(picture)["work sow 2027-03-04"], works(picture)["work out 2027-05-10"]
    per_day = (out.x - sow.x) / (date(2027, 5, 10) - date(2027, 3, 4)).days
    today = next(p for p in picture.pieces if isinstance(p, Path) and p.what == "today")
    assert today.points[0][0] - sow.x == pytest.approx(30 * per_day, abs=0.6)
    said = [t.text for t in picture.texts() if t.what == "work said"]
    assert {"sown 4 Mar", "pots 1 Apr", "harden 26 Apr", "out 10 May"} <= set(said)


def test_the_frost_chance_falls_along_its_own_distribution() -> None:
    picture = season.drawing(sample(), season_said(), voice())
    (line,) = [p for p in picture.pieces if isinstance(p, Path) and p.what == "frost chance"]
    heights = [y for _, y in line.points]
    assert heights == sorted(heights)
    frost = outlook.frost_of(sample())
    assert frost is not None
    marks = [p.what for p in picture.pieces if isinstance(p, Mark) and p.what.startswith("frost")]
    assert marks == [f"frost {level} {frost.date_at(level, 2027)}" for level in (0.9, 0.5, 0.1)]


def test_closed_days_are_drawn_and_said() -> None:
    shut = ClosureOf(id=1, first=date(2027, 4, 10), last=date(2027, 4, 18))
    of = replace(sample(), closures=(shut,))
    picture = season.drawing(of, season_said(), voice())
    assert len(picture.boxes("closed 2027-04-10 2027-04-18")) == 1
    assert "Closed: 10 Apr to 18 Apr." in picture.caption


def test_busy_weeks_are_drawn_by_their_jobs_and_said() -> None:
    lines = tuple(
        SeasonLine(
            crop=crop, variety=None, sowing=None, sow_on=date(2027, 4, day), pot_on=None,
            harden_from=None, plant_out=None,
        )
        for crop, day in (("kale", 12), ("leek", 14), ("onion", 18), ("beet", 19))
    )  # fmt: skip
    said = SeasonSaid(group_id=1, lines=lines, direct=(), planned=True)
    picture = season.drawing(sample(), said, voice())
    strokes = [p.what for p in picture.pieces if p.what.startswith("jobs ")]
    assert strokes.count("jobs 2027-04-12") == 3
    assert strokes.count("jobs 2027-04-19") == 1
    assert "Busiest week: from 12 Apr (3 jobs)." in picture.caption
    calm = season.drawing(sample(), replace(said, lines=lines[2:]), voice())
    assert not [p for p in calm.pieces if p.what.startswith("jobs ")]
    assert "Busiest" not in calm.caption


def test_without_frost_dates_the_season_says_how_to_give_them() -> None:
    bare = replace(sample(), site=replace(sample().site, frost=None))
    picture = season.drawing(bare, season_said(), voice())
    assert not [p for p in picture.pieces if p.what == "frost chance"]
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
    keeps_the_rules(space.drawing(body, voice(language), sample()))


def test_full_and_overfull_weeks_are_told_by_a_stroke_and_a_number() -> None:
    picture = space.drawing(SPACE, voice(), sample())
    assert [box.what for box in picture.boxes("over ")] == ["over 2027-04-26"]
    full = [p.what for p in picture.pieces if isinstance(p, Path) and p.what.startswith("full")]
    assert len(full) == 4
    numbers = [t.text for t in picture.texts() if t.what.startswith("number")]
    assert numbers == ["4", "4", "5", "4"]
    assert "fullest 26 Apr, 5 of 4 places" in picture.caption


def test_a_week_shows_as_many_places_as_its_words_say() -> None:
    picture = space.drawing(SPACE, voice(), sample())
    for week, used in zip(SPACE["weeks"], SPACE["shelves"]["A"]["used"], strict=True):
        taken = picture.boxes(f"taken {week}") + picture.boxes(f"over {week}")
        assert len(taken) == used


def test_each_crop_has_its_line_and_its_days_in_words() -> None:
    plan = {
        "sowings": [
            {"id": "P1-1", "crop": "celery", "shelf": "A", "sow_on": "2027-04-12",
             "plant_out": "2027-05-20"},
            {"id": "P1-2", "crop": "zinnia", "shelf": "B", "sow_on": "2027-04-12",
             "plant_out": "2027-05-20"},
        ]
    }  # fmt: skip
    picture = space.drawing(SPACE, voice(), replace(sample(), plan=plan))
    keeps_the_rules(picture)
    lines = [p.what for p in picture.pieces if isinstance(p, Path) and p.what.startswith("crop ")]
    assert "crop celery 2027-04-12 2027-05-20" in lines
    assert sum("crop tomato" in line for line in lines) == 2
    assert "celery: 12 Apr to 20 May" in picture.caption
    assert "tomato: 27 Feb to" in picture.caption


def test_what_stands_on_a_shelf_today_is_named() -> None:
    assert (
        "Today: T1 tomato (Amber Pip), lettuce" in space.drawing(SPACE, voice(), sample()).caption
    )


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
    assert marks["mix"] != marks["air"]


def test_the_log_speaks_fahrenheit_to_those_who_do() -> None:
    picture = log.drawing(sample(), "A", voice(fahrenheit=True))
    assert "Temperature, °F" in [t.text for t in picture.texts()]
    readings = [
        float(p.what.split()[-1])
        for p in picture.pieces
        if isinstance(p, Mark) and p.what.startswith("reading mix")
    ]
    assert min(readings) > 60


def test_nothing_is_drawn_of_what_nobody_measured() -> None:
    names = [t.text for t in log.drawing(sample(), "A", voice()).texts() if t.what == "panel"]
    assert names == ["Temperature, °C", "Light, µmol/m²/s"]
    of = garden(
        tray_reports={
            "T1": (
                happening("moist", TODAY - timedelta(days=3), 1, level="dry"),
                happening("moist", TODAY - timedelta(days=1), 2, level="right"),
            )
        }
    )
    picture = log.drawing(of, "A", voice())
    assert [t.text for t in picture.texts() if t.what == "panel"] == ["Water"]
    assert "Mix found dry 1, right 1, wet 0 times." in picture.caption
    empty = log.drawing(garden(), "A", voice())
    assert not [p for p in empty.pieces if p.what == "axis"]
    assert "nothing read in four weeks" in empty.caption


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
