"""Light read on a shelf tells its daily light, and shortens how long its trays last."""

from dataclasses import replace
from datetime import UTC, date, datetime, time

import pytest

from core.group.garden import Garden, Happening, ShelfOf, Site, TrayOf
from core.group.outlook import tray_air
from core.group.shelf_light import shelf_dli
from core.trade.stage import TrayStage
from core.trade.water.interval import prior_interval

DAY = date(2027, 3, 1)
SITE = Site(
    group_id=1, name="G", zone="UTC", language="en", fahrenheit=False, inches=False,
    round_at=time(7), quiet_from=time(21), quiet_to=time(7),
)  # fmt: skip
SHELF = ShelfOf(id=1, code="A", lamp="white_led", on_at=time(6), off_at=time(20))
READ = Happening(
    id=1, act=1, kind="light", on=DAY, at=datetime(2027, 3, 1, 9, tzinfo=UTC),
    values={"ppfd": 300.0},
)  # fmt: skip


def garden(shelf=SHELF, *readings):
    tray = TrayOf(id=1, code="T1", rows=6, cols=12, shelf="A")
    return Garden(
        site=SITE, shelves={"A": shelf}, trays={"T1": tray}, shelf_reports={"A": readings}
    )


def test_the_daily_light_is_the_reading_over_the_lamp_hours():
    assert shelf_dli(garden(SHELF, READ), "A") == pytest.approx(300 * 14 * 0.0036)  # RUNK-IND


def test_nothing_is_told_without_a_reading_without_hours_or_at_a_window():
    assert shelf_dli(garden(), "A") is None
    assert shelf_dli(garden(replace(SHELF, off_at=None), READ), "A") is None
    assert shelf_dli(garden(replace(SHELF, lamp="window"), READ), "A") is None


def test_a_reading_counts_from_its_own_day():
    assert shelf_dli(garden(SHELF, READ), "A", date(2027, 2, 28)) is None


def test_a_brighter_shelf_dries_its_trays_sooner():
    stage = TrayStage.COTYLEDON
    dim = replace(READ, values={"ppfd": 100.0})
    bright_air = tray_air(garden(SHELF, READ), "T1", DAY, stage)
    dim_air = tray_air(garden(SHELF, dim), "T1", DAY, stage)
    assert bright_air.dli_mol == pytest.approx(15.12)
    assert prior_interval(bright_air) < prior_interval(dim_air)
