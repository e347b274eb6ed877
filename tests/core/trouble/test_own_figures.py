"""Figures said with a topic are those of the trade for that shelf and that tray."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.wording.speak import speak
from bot.wording.voice import Voice
from core.cells import Cell
from core.group.garden import Garden, Happening, ShelfOf, Site, SowingOf, TrayOf
from core.replies.topics import OwnDepth, OwnLight, OwnUp, OwnWarm, OwnWater, TopicTold
from core.shown.own_figures import meant_of, own_figures
from core.trade.crops.table import CROPS, crop_by_id
from core.trade.light.height import CLOSEST_MM, HEIGHT_TABLES, ppfd_at_height
from core.trade.light.lamp import LAMPS, TARGETS, LightUnit, ppfd_from_reading, target_of
from core.trade.water.dose import DOSE_SHARE, dose_ml
from core.trouble.topics import TOPICS

DAY = date(2027, 3, 8)
SITE = Site(
    group_id=1, name="G", zone="America/Chicago", language="en", fahrenheit=False, inches=False,
    round_at=time(7), quiet_from=time(21), quiet_to=time(7),
)  # fmt: skip
ALL = {"sowing": None, "tray": None, "crop": None, "shelf": None}

crops = st.sampled_from(
    ["tomato", "pepper", "cucumber", "lettuce", "kale", "basil", "onion", "eggplant", "leek"]
)


def happening(number: int, kind: str, on: date, **values: object) -> Happening:
    at = datetime.combine(on, time(15), UTC)
    return Happening(id=number, act=number, kind=kind, on=on, at=at, values=values)


@st.composite
def gardens(draw: st.DrawFn) -> Garden:
    """One shelf of any lamp, height, hours and reading; one tray with one to three crops."""
    on_at = draw(st.integers(0, 11))
    off_at = draw(st.integers(12, 23))
    shelf = ShelfOf(
        id=1,
        code="A",
        lamp=draw(st.sampled_from(sorted(row.id for row in LAMPS.rows() if row.id != "window"))),
        height_mm=float(draw(st.integers(60, 600))),
        on_at=time(on_at),
        off_at=time(off_at),
    )
    rows, cols = draw(st.sampled_from([(3, 6), (5, 10), (6, 12), (8, 16)]))
    tray = TrayOf(
        id=1,
        code="T1",
        rows=rows,
        cols=cols,
        shelf="A",
        cell_ml=draw(st.none() | st.floats(5, 400)),
    )
    found = draw(st.lists(crops, min_size=1, max_size=3, unique=True))
    sowings = tuple(
        SowingOf(
            id=n + 1, number=n + 1, crop=crop, tray="T1", cells=(Cell(n, 0), Cell(n, 1)),
            sown_on=DAY - timedelta(days=draw(st.integers(0, 20))), seeds_per_cell=2, act=n + 1,
        )
        for n, crop in enumerate(found)
    )  # fmt: skip
    light = happening(50, "light", DAY, ppfd=float(draw(st.integers(20, 600))))
    days = draw(st.none() | st.integers(0, 5))
    watered = () if days is None else (happening(51, "watered", DAY - timedelta(days=days)),)
    return Garden(
        site=SITE, shelves={"A": shelf}, trays={"T1": tray}, sowings=sowings,
        shelf_reports={"A": (light,)}, tray_reports={"T1": watered},
    )  # fmt: skip


def said(topic: str, own: tuple, garden: Garden) -> str:
    return speak(TopicTold(topic=topic, own=own), Voice(today=DAY)).text


@given(gardens())
def test_light_is_the_reading_over_the_hours_and_what_would_do_reaches_the_aim(garden: Garden):
    (own,) = own_figures(garden, "light", meant_of(garden, **ALL), DAY)
    assert isinstance(own, OwnLight)
    shelf = garden.shelves["A"]
    reading = garden.shelf_reports["A"][0].values["ppfd"]
    hours = shelf.off_at.hour - shelf.on_at.hour
    lamp = LAMPS.by_id()[shelf.lamp]
    ppfd = ppfd_from_reading(reading, LightUnit.PPFD, lamp).value
    dli = ppfd * hours * 0.0036  # RUNK-IND
    assert own.light.dli == pytest.approx(dli)
    assert own.needs == tuple(
        (s.crop, target_of(s.crop).good_mol, target_of(s.crop).high_mol) for s in garden.sowings
    )
    target = max((target_of(s.crop) for s in garden.sowings), key=lambda t: t.aim_mol)
    text = said("lamp_height", (own,), garden)
    voice = Voice(today=DAY)
    assert f"{voice.number(dli)} mol a day" in text
    assert f"on {hours} h a day" in text
    assert f"lamp {voice.length(shelf.height_mm)} up" in text
    for crop, least, _ in own.needs:
        short = voice.percent(1 - dli / least) if dli < least else None
        assert (f"{crop_by_id(crop).name} {voice.number(least, 0)}" in text) is True
        assert short is None or f"so {short} short" in text
    if target.good_mol <= dli <= target.high_mol:
        assert own.light.advice == ()
    table = HEIGHT_TABLES.by_id().get(lamp.height_table or "")
    for kind, values in own.light.advice:
        if kind == "height":
            moved = ppfd_at_height(
                ppfd, table, measured_at_mm=shelf.height_mm, moved_to_mm=values["mm"]
            )
            assert moved * hours * 0.0036 == pytest.approx(target.aim_mol)
            assert values["mm"] >= CLOSEST_MM
            assert f"lamp {voice.length(values['mm'])} up" in text
        elif kind == "hours":
            # to the next half hour, so no less than the aim and no more than a half hour over
            over = ppfd * values["hours"] * 0.0036 - target.aim_mol
            assert -1e-9 <= over <= ppfd * 0.5 * 0.0036 + 1e-9
            assert f"{voice.number(values['hours'])} h a day" in text


@given(gardens())
def test_water_is_a_share_of_the_cells_and_the_days_are_those_since_the_watering(garden: Garden):
    (own,) = own_figures(garden, "water", meant_of(garden, **ALL), DAY)
    assert isinstance(own, OwnWater)
    tray = garden.trays["T1"]
    if tray.cell_ml is not None:
        assert own.cell_ml == tray.cell_ml
    assert own.dose_ml == pytest.approx(0.3 * own.cell_ml)
    assert own.cells == 2 * len(garden.sowings)
    # a sowing counts as a watering
    sown = max(s.sown_on for s in garden.sowings)
    reports = [r.on for r in garden.tray_reports["T1"]]
    assert own.watered_days == (DAY - max([sown, *reports])).days
    text = said("water_how_much", (own,), garden)
    voice = Voice(today=DAY)
    assert f"{own.cells} cells of about {voice.number(own.cell_ml, 0)} ml" in text
    assert f"some {voice.number(0.3 * own.cell_ml, 0)} ml each" in text
    assert f"last about {voice.number(own.lasts_days)} days" in text


@given(gardens())
def test_what_is_not_up_is_awaited_in_its_window_and_wants_its_warmth(garden: Garden):
    meant = meant_of(garden, **ALL)
    up = own_figures(garden, "up", meant, DAY)
    warm = own_figures(garden, "warm", meant, DAY)
    assert [one.sowing for one in up] == [s.code for s in garden.sowings]
    for one, other, sowing in zip(up, warm, garden.sowings, strict=True):
        assert isinstance(one, OwnUp)
        assert isinstance(other, OwnWarm)
        assert one.since is None
        assert one.first is None or sowing.sown_on <= one.first <= one.last
        crop = crop_by_id(sowing.crop)
        if crop.germ_opt_lo_c is not None:
            assert (other.low, other.high) == (crop.germ_opt_lo_c, crop.germ_opt_hi_c)
        assert other.shown is None


def test_a_crop_that_is_named_is_answered_by_its_own_row():
    garden = Garden(site=SITE)
    for row in CROPS.rows():
        meant = meant_of(garden, **{**ALL, "crop": row.id})
        found = own_figures(garden, "depth", meant, DAY)
        if row.sow_depth_mm_min is None:
            assert found == ()
        else:
            (one,) = found
            assert isinstance(one, OwnDepth)
            assert (one.low, one.high) == (row.sow_depth_mm_min, row.sow_depth_mm_max)


def test_where_nothing_is_on_record_no_figure_is_said():
    bare = Garden(site=SITE, shelves={"A": ShelfOf(id=1, code="A")})
    for figures in {row.figures for row in TOPICS.rows()}:
        assert own_figures(bare, figures, meant_of(bare, **ALL), DAY) == ()


def test_crops_of_a_target_are_named_once():
    named = [crop for row in TARGETS.rows() for crop in row.crops]
    assert len(named) == len(set(named))
    assert target_of("tomato").id == "fruiting"
    assert target_of("kale").id == "seedling"


def test_a_dose_is_no_more_than_a_drained_mix_holds():
    assert DOSE_SHARE < 0.6  # GG-KIM: 60 to 70 % of the volume
    with pytest.raises(ValueError, match="0"):
        dose_ml(0)
