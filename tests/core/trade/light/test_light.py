"""Light: laws of conversion, bands, lamp hours and height advice."""

from datetime import date, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.trade.light.daylight import window_light
from core.trade.light.height import CLOSEST_MM, HEIGHT_TABLES, light_advice, ppfd_at_height
from core.trade.light.lamp import (
    LAMPS,
    TARGETS,
    Basis,
    DliBand,
    LightUnit,
    dli_mol,
    hours_for_dli,
    lamp_hours,
    lux_from_fc,
    ppfd_from_reading,
)

PPFD = st.floats(1, 2500)
HOURS = st.floats(0.5, 24)
LAMP = st.sampled_from([row for row in LAMPS.rows() if row.lux_per_umol is not None])
SEEDLING = TARGETS.by_id()["seedling"]
TUBES = LAMPS.by_id()["cool_white_fluorescent"]
TABLE = HEIGHT_TABLES.by_id()["tubes_2"]


@given(PPFD, HOURS)
def test_integral_and_its_inverse_round_trip(ppfd, hours):
    integral = dli_mol(ppfd, hours)
    assert hours_for_dli(integral, ppfd) == pytest.approx(hours)


@given(PPFD, HOURS, st.floats(0, 500), LAMP)
def test_more_light_or_longer_days_never_lower_the_integral(ppfd, hours, more, lamp):
    assert dli_mol(ppfd + more, hours) >= dli_mol(ppfd, hours)
    longer = min(24, hours + more)
    assert dli_mol(ppfd, longer) >= dli_mol(ppfd, hours)
    less, enough = (ppfd_from_reading(value, LightUnit.LUX, lamp) for value in (ppfd, ppfd + more))
    assert less is not None
    assert enough is not None
    assert enough.value >= less.value


@given(PPFD, LAMP)
def test_lux_and_foot_candles_round_trip(ppfd, lamp):
    assert lamp.lux_per_umol is not None
    lux = ppfd * lamp.lux_per_umol
    foot_candles = lux / lux_from_fc(1)
    for value, unit in ((lux, LightUnit.LUX), (foot_candles, LightUnit.FOOT_CANDLE)):
        back = ppfd_from_reading(value, unit, lamp)
        assert back is not None
        assert back.value == pytest.approx(ppfd)
        assert back.low < back.value < back.high


def test_red_and_blue_lamps_refuse_lux_but_take_ppfd():
    lamp = LAMPS.by_id()["red_blue_led"]
    assert ppfd_from_reading(5000, LightUnit.LUX, lamp) is None
    assert ppfd_from_reading(500, LightUnit.FOOT_CANDLE, lamp) is None
    told = ppfd_from_reading(150, LightUnit.PPFD, lamp)
    assert told is not None
    assert (told.value, told.basis) == (150, Basis.MEASURED)


def test_white_led_factor_says_it_is_an_estimate_with_a_wider_range():
    led = ppfd_from_reading(10_000, LightUnit.LUX, LAMPS.by_id()["white_led"])
    tube = ppfd_from_reading(10_000, LightUnit.LUX, TUBES)
    assert led is not None
    assert tube is not None
    assert led.basis is Basis.ESTIMATED
    assert (led.high - led.low) / led.value > (tube.high - tube.low) / tube.value
    assert led.low < 10_000 / 72 < 10_000 / 65 < led.high


@pytest.mark.parametrize(
    ("on", "off", "hours"),
    [
        (time(6), time(22), 16),
        (time(22), time(14), 16),
        (time(6, 30), time(20), 13.5),
        (time(7), time(7), 24),
        (time(23, 59), time(0, 1), 2 / 60),
    ],
)
def test_lamp_hours_run_past_midnight(on, off, hours):
    assert lamp_hours(on, off) == pytest.approx(hours)


@pytest.mark.parametrize(
    ("mol", "band"),
    [
        (5.9, "low"),
        (6, "marginal"),
        (7.9, "marginal"),
        (8, "good"),
        (14, "high"),
        (20.1, "bleaching"),
    ],
)
def test_band_edges_belong_to_the_band_above(mol, band):
    assert SEEDLING.band(mol) is DliBand(band)


@given(st.floats(20, 800), st.floats(20, 800), st.sampled_from(HEIGHT_TABLES.rows()))
def test_closer_is_never_darker_and_never_steeper_than_the_inverse_square(one, other, table):
    near, far = sorted((one, other))
    ratio = table.light_at(near) / table.light_at(far)
    assert 1 - 1e-9 <= ratio <= (far / near) ** 2 + 1e-9


@given(st.floats(15, 900), st.sampled_from(HEIGHT_TABLES.rows()))
def test_distance_for_undoes_light_at(distance, table):
    assert table.distance_for(table.light_at(distance)) == pytest.approx(distance)


def advise(ppfd, hours, height_mm, lamp=TUBES, table=TABLE):
    figure = ppfd_from_reading(ppfd, LightUnit.PPFD, lamp)
    assert figure is not None
    return light_advice(figure, SEEDLING, hours=hours, lamp=lamp, table=table, height_mm=height_mm)


@given(st.floats(20, 400), st.floats(1, 18), st.floats(60, 600))
def test_each_change_advised_reaches_the_target(ppfd, hours, height_mm):
    advice = advise(ppfd, hours, height_mm)
    if advice.hours_needed is not None:
        step = dli_mol(ppfd, 0.5)
        assert SEEDLING.aim_mol - 1e-6 <= dli_mol(ppfd, advice.hours_needed)
        assert dli_mol(ppfd, advice.hours_needed) <= SEEDLING.aim_mol + step + 1e-6
        assert SEEDLING.hours_min <= advice.hours_needed <= SEEDLING.hours_max
    if advice.height_needed_mm is not None:
        moved = ppfd_at_height(
            ppfd, TABLE, measured_at_mm=height_mm, moved_to_mm=advice.height_needed_mm
        )
        assert dli_mol(moved, hours) == pytest.approx(SEEDLING.aim_mol)
        assert advice.height_needed_mm >= CLOSEST_MM
    if advice.both is not None:
        assert advice.hours_needed is None
        assert advice.height_needed_mm is None
        moved = ppfd_at_height(ppfd, TABLE, measured_at_mm=height_mm, moved_to_mm=advice.both[0])
        assert dli_mol(moved, advice.both[1]) == pytest.approx(SEEDLING.aim_mol)
    if advice.band is DliBand.GOOD:
        assert (advice.hours_needed, advice.height_needed_mm, advice.both) == (None, None, None)


def test_two_old_tubes_cannot_reach_eight_mol_at_two_inches():
    # Two tubes at 6 in: 420 fc x 0.146 = 61 umol; published advice is 2-4 in and 16 h
    advice = advise(61, 16, 152.4)
    assert advice.band is DliBand.LOW
    assert advice.best_dli_mol is not None
    assert advice.best_dli_mol < 8.5
    assert (advice.hours_needed, advice.height_needed_mm, advice.both) == (None, None, None)


def test_no_lamp_is_advised_nearer_than_the_two_inches_published():
    """USU-TPE and UMN16 give 2 in, 50.8 mm, as the least."""
    assert pytest.approx(2 * 25.4, abs=1) == CLOSEST_MM


def test_a_borrowed_height_shape_is_called_an_estimate():
    led = LAMPS.by_id()["white_led"]
    assert led.height_table is not None
    table = HEIGHT_TABLES.by_id()[led.height_table]
    assert advise(120, 16, 300, led, table).height_basis is Basis.ESTIMATED
    assert advise(120, 16, 300).height_basis is Basis.MEASURED
    assert advise(120, 16, 900).height_basis is Basis.ESTIMATED


def test_without_a_height_only_hours_are_advised():
    advice = advise(180, 12, None)
    assert advice.hours_needed == 15.5
    assert (advice.height_needed_mm, advice.best_dli_mol, advice.height_basis) == (None, None, None)


def test_too_bright_is_answered_by_a_higher_lamp():
    advice = advise(400, 16, 100)
    assert advice.band is DliBand.BLEACHING
    assert advice.height_needed_mm is not None
    assert advice.height_needed_mm > 100


def test_a_window_in_early_march_is_below_the_seedling_target():
    sill = window_light(51.5, 0.0, date(2027, 3, 1))
    assert sill.window.basis is Basis.ESTIMATED
    assert sill.window.low < sill.window.value < sill.window.high < SEEDLING.good_mol
    assert 10.5 < sill.day_hours < 11.2


def test_a_window_gets_more_in_may_than_in_january():
    january, may = (window_light(45, 9, date(2027, month, 15)) for month in (1, 5))
    assert may.window.value > january.window.value
    assert may.day_hours > january.day_hours


@pytest.mark.parametrize("bad", [-1, float("-inf")])
def test_negative_light_is_a_callers_mistake(bad):
    with pytest.raises(ValueError, match="negative"):
        ppfd_from_reading(bad, LightUnit.LUX, TUBES)
    with pytest.raises(ValueError, match="out of range"):
        dli_mol(bad, 12)
    with pytest.raises(ValueError, match="out of range"):
        dli_mol(100, 25)
