"""Light against published worked examples, factors and a measured table."""

from datetime import date, timedelta

import pytest

from core.trade.light.daylight import CLEARNESS, MOL_PER_MJ, day_length_hours, extraterrestrial_mj
from core.trade.light.height import HEIGHT_TABLES
from core.trade.light.lamp import LAMPS, LightUnit, dli_mol, ppfd_from_reading

# Runkle, Lighting plants indoors (Greenhouse Product News): 12 mol in 18 h takes 185 umol.
# Horticulturae 10(7):730 (2024): 250 umol x 12 h, 250 x 14 h and 300 x 12 h.
# Agronomy 12(7):1704 (2022) prints the integrals and hours; its PPFDs are worked back.
WORKED = [
    ("Runkle", 185, 18, 12.0, 0.05),
    ("Horticulturae 2024", 250, 12, 10.80, 0.005),
    ("Horticulturae 2024", 250, 14, 12.60, 0.005),
    ("Horticulturae 2024", 300, 12, 12.96, 0.005),
    ("Agronomy 2022", 240, 12, 10.4, 0.05),
    ("Agronomy 2022", 320, 12, 13.8, 0.05),
    ("Agronomy 2022", 240, 16, 13.8, 0.05),
    ("Agronomy 2022", 320, 16, 18.4, 0.05),
]


@pytest.mark.parametrize(("source", "ppfd", "hours", "printed", "half_digit"), WORKED)
def test_daily_light_integral_is_the_published_one(source, ppfd, hours, printed, half_digit):
    assert dli_mol(ppfd, hours) == pytest.approx(printed, abs=half_digit), source


# Apogee Instruments, Conversion, PPFD to lux, and PPFD to foot-candles: printed factors
# umol per lx (4 places) and foot-candles per umol (2 places). The page's row "200 umol of
# sunlight = 40 800 lx" contradicts its own factor and is left out.
APOGEE = [
    ("sunlight", 0.0185, 5.01),
    ("cool_white_fluorescent", 0.0135, 6.87),
    ("high_pressure_sodium", 0.0122, 7.62),
    ("high_pressure_sodium_double", 0.0130, 7.11),
    ("metal_halide", 0.0141, 6.60),
    ("ceramic_metal_halide_4200k", 0.0154, 6.01),
    ("ceramic_metal_halide_3100k", 0.0170, 5.45),
]


@pytest.mark.parametrize(("lamp", "umol_per_lux", "fc_per_umol"), APOGEE)
def test_lux_and_foot_candle_factors_are_apogees(lamp, umol_per_lux, fc_per_umol):
    row = LAMPS.by_id()[lamp]
    from_lux = ppfd_from_reading(1000, LightUnit.LUX, row)
    from_fc = ppfd_from_reading(100, LightUnit.FOOT_CANDLE, row)
    assert from_lux is not None
    assert from_fc is not None
    assert from_lux.value == pytest.approx(1000 * umol_per_lux, abs=0.051)
    assert from_fc.value == pytest.approx(100 / fc_per_umol, rel=0.008)


def test_full_sun_is_2000_umol():
    sun = LAMPS.by_id()["sunlight"]  # Apogee: 2000 umol = 108 000 lx = 10 020 fc
    from_lux = ppfd_from_reading(108_000, LightUnit.LUX, sun)
    from_fc = ppfd_from_reading(10_020, LightUnit.FOOT_CANDLE, sun)
    assert from_lux is not None
    assert from_fc is not None
    assert from_lux.value == pytest.approx(2000)
    assert from_fc.value == pytest.approx(2000, rel=0.002)


def test_other_authors_factors_lie_within_the_stated_range():
    # bio.net plant-ed, October 2001, umol per fc: sun 0.195, CW 0.137, HPS 0.129, MH 0.144
    for lamp, factor in [
        ("sunlight", 0.195),
        ("cool_white_fluorescent", 0.137),
        ("high_pressure_sodium", 0.129),
        ("metal_halide", 0.144),
        ("incandescent", 0.219),
    ]:
        ours = ppfd_from_reading(100, LightUnit.FOOT_CANDLE, LAMPS.by_id()[lamp])
        assert ours is not None
        assert ours.low <= 100 * factor <= ours.high, lamp


def test_height_table_gives_back_every_measured_point():
    # Pietropaolo's table as posted by Walker, 29 June 1993: foot-candles at whole inches
    two_tubes = {1: 1100, 4: 570, 6: 420, 12: 240, 24: 100}
    table = HEIGHT_TABLES.by_id()["tubes_2"]
    for inches, foot_candles in two_tubes.items():
        assert table.light_at(inches * 25.4) == pytest.approx(foot_candles)
    for each in HEIGHT_TABLES.rows():
        for distance, light in each.points:
            assert each.light_at(distance) == pytest.approx(light)
            assert each.distance_for(light) == pytest.approx(distance)


def test_left_out_middle_points_come_back_within_15_percent():
    worst = 0.0
    for table in HEIGHT_TABLES.rows():
        for index in range(1, len(table.points) - 1):
            distance, light = table.points[index]
            thinned = type(table)(
                id="thinned",
                what="",
                points=table.points[:index] + table.points[index + 1 :],
                basis=table.basis,
                source=table.source,
            )
            worst = max(worst, abs(thinned.light_at(distance) / light - 1))
    assert worst < 0.15, worst  # 12.8 %, at the widest gap (12 to 24 in)


def test_sun_above_the_air_is_fao_56_example_8():
    # Allen and others (1998), FAO-56, example 8: 20 degrees south on 3 September, 32.2 MJ
    assert extraterrestrial_mj(-20, date(2027, 9, 3)) == pytest.approx(32.2, abs=0.05)


def test_day_length_agrees_with_fao_56():
    # FAO-56 example 9: 11.7 h at 20 S on 3 September, sun's centre at a bare horizon; astral
    # adds refraction and the sun's radius, about 0.12-0.3 h more
    hours = day_length_hours(-20, 0, date(2027, 9, 3))
    assert 11.7 < hours < 11.7 + 0.25


@pytest.mark.parametrize(
    ("latitude", "month", "hours"), [(70, 6, 24.0), (70, 12, 0.0), (-70, 12, 24.0), (-70, 6, 0.0)]
)
def test_polar_days_and_nights_have_their_length(latitude, month, hours):
    assert day_length_hours(latitude, 0, date(2027, month, 21)) == hours


def test_day_length_does_not_depend_on_longitude():
    day = date(2027, 3, 1)
    lengths = [day_length_hours(45, degrees, day) for degrees in range(-180, 181, 45)]
    assert max(lengths) - min(lengths) < timedelta(minutes=6) / timedelta(hours=1)


def test_the_share_of_sun_that_reaches_the_ground_is_fao_56_equation_35():
    """a_s = 0.25 on overcast days, a_s + b_s = 0.75 on clear ones; half the hours of sun: 0.5."""
    assert CLEARNESS == (0.25, 0.25 + 0.50 * 0.5, 0.25 + 0.50)


def test_light_in_a_megajoule_of_sun_is_about_two_mol():
    """45 % of the energy at 4.57 umol/J (Thimijan and Heins 1983): 2.06 mol."""
    assert pytest.approx(2.06, abs=0.01) == MOL_PER_MJ
