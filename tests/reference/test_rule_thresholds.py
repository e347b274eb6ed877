"""Thresholds of the trouble-shooting rules that rest on a published figure.

Each test states the figure as its source gives it, converts it, and tries the rule on either
side of it through the shipped table.
"""

from __future__ import annotations

from typing import Any

import pytest

from core.trouble.conditions import comparisons_in, evaluate
from core.trouble.rules import RULES, ThresholdBasis, example_basis
from core.trouble.tray_evidence import limits_of


def holds(rule: str, **values: Any) -> bool | None:
    named = {name.replace("crop__", "crop."): value for name, value in values.items()}
    return evaluate(RULES.by_id()[rule].condition, example_basis(named).lookup).holds


def cited(rule: str, *keys: str) -> bool:
    return set(keys) <= set(RULES.by_id()[rule].sources)


def f_to_c(fahrenheit: float) -> float:
    return (fahrenheit - 32) / 1.8


INCH_CM = 2.54


def test_plugs_are_of_inferior_quality_below_a_daily_light_of_8() -> None:
    """Runkle (2007), The benefits of lighted plugs: inferior below 8 mol/m2/d."""
    assert cited("leggy-low-dli", "RUNK07")
    assert holds("leggy-low-dli", dli=7.99) is True
    assert holds("leggy-low-dli", dli=8) is False
    assert holds("stems-dim", dli=7.99) is True
    assert holds("stems-dim", dli=8) is False


def test_quality_falls_off_below_a_daily_light_of_10() -> None:
    """MSU Extension, How low can you go: target of 10 mol/m2/d."""
    assert cited("leggy-warm-and-dim", "MSU-LOW")
    warm = {"air_day_c": 30, "crop__day_max_c": 21}
    assert holds("leggy-warm-and-dim", dli=9.99, **warm) is True
    assert holds("leggy-warm-and-dim", dli=10, **warm) is False


def test_home_seedlings_want_at_least_12_hours_of_lamp() -> None:
    """UMN Extension (2019): 12 to 14 h; (2016) and Utah State: 14 to 16 h."""
    assert cited("leggy-short-day", "UMN19", "UMN16", "USU-TPE")
    assert holds("leggy-short-day", light_hours=11.9) is True
    assert holds("leggy-short-day", light_hours=12) is False


def test_fluorescent_tubes_hang_2_to_4_inches_above_the_leaves() -> None:
    """UMN Extension (2016): 2 to 4 in; the rules' limits are the rounded centimetres."""
    lamp = {"lamp_type": "fluorescent"}
    assert cited("leggy-lamp-bit-far", "UMN16")
    assert abs(4 * INCH_CM - 10) < 0.2
    assert holds("leggy-lamp-bit-far", light_distance_cm=10.5, **lamp) is True
    assert holds("leggy-lamp-bit-far", light_distance_cm=10, **lamp) is False
    assert abs(2 * INCH_CM - 5) < 0.1
    assert cited("scorch-close-lamp", "UMN16")
    assert holds("scorch-close-lamp", light_distance_cm=4.9) is True
    assert holds("scorch-close-lamp", light_distance_cm=5) is False


def test_iron_is_short_above_ph_6_4_in_kinds_poor_at_taking_it_up() -> None:
    """Kent County Extension (2008); Huang, Fisher and Argo: signs above 6.2 to 6.4."""
    assert cited("yellow-new-high-ph", "KENT-PH", "BPG-IRON")
    assert holds("yellow-new-high-ph", mix_ph=6.5, crop__iron_inefficient=True) is True
    assert holds("yellow-new-high-ph", mix_ph=6.4, crop__iron_inefficient=True) is False
    assert holds("yellow-new-high-ph", mix_ph=6.5, crop__iron_inefficient=False) is False


def test_humidity_is_kept_below_70_percent_against_oedema() -> None:
    """Brust (2022), University of Maryland: keep relative humidity below 70 %."""
    assert cited("oedema-humid", "UMD-GHE")
    assert holds("oedema-humid", rh_pct=70.1) is True
    assert holds("oedema-humid", rh_pct=70) is False
    assert holds("oedema", mix_moisture=4, dli=8, rh_pct=70.1) is True
    assert holds("oedema", mix_moisture=4, dli=8, rh_pct=70) is False


def test_chilling_lies_between_freezing_and_55_fahrenheit() -> None:
    """Purdue Vegetable Crops Hotline: chilling injury at 32 to 55 F."""
    assert cited("cold-chilling", "PUR-CHILL")
    low, high = f_to_c(32), f_to_c(55)
    assert low == pytest.approx(0)
    assert high == pytest.approx(13, abs=0.3)
    for night in (low + 0.5, 7, high - 0.5):
        assert holds("cold-chilling", outdoor_low_c=night, crop__outdoor_min_c=high) is True
    assert holds("cold-chilling", outdoor_low_c=low, crop__outdoor_min_c=high) is False
    assert holds("cold-chilling", outdoor_low_c=high, crop__outdoor_min_c=high) is False
    assert holds("cold-frost", outdoor_low_c=low) is True
    assert holds("cold-frost", outdoor_low_c=low + 0.1) is False


def test_tomato_is_injured_by_cold_between_33_and_50_fahrenheit() -> None:
    """Utah State Extension, Abiotic disorders of tomatoes, p. 20: 33 to 50 F."""
    assert cited("cold-tomato-injury", "USU-COLD")
    low, high = f_to_c(33), f_to_c(50)
    assert low == pytest.approx(0.5, abs=0.1)
    assert high == pytest.approx(10)
    tomato = {"crop": "tomato"}
    assert holds("cold-tomato-injury", outdoor_low_c=round(low, 1) + 0.1, **tomato) is True
    assert holds("cold-tomato-injury", outdoor_low_c=high, **tomato) is True
    assert holds("cold-tomato-injury", outdoor_low_c=high + 0.1, **tomato) is False
    assert holds("cold-tomato-injury", outdoor_low_c=0.4, **tomato) is False
    assert holds("cold-tomato-injury", outdoor_low_c=5, crop="cabbage") is False


def test_cucurbits_fail_to_establish_in_soil_under_60_fahrenheit() -> None:
    """Purdue Vegetable Crops Hotline: poor establishment below 60 F."""
    assert cited("shock-cold-soil", "PUR-CHILL")
    assert f_to_c(60) == pytest.approx(15.5, abs=0.1)
    assert holds("shock-cold-soil", crop="cucumber", soil_temp_c=15.4) is True
    assert holds("shock-cold-soil", crop="cucumber", soil_temp_c=15.6) is False


def test_water_for_seedlings_is_at_68_to_77_fahrenheit() -> None:
    """Grabowski (2017), UMN Yard and Garden News: 68 to 77 F."""
    assert cited("damping-off-cold-water", "UMN17")
    assert f_to_c(68) == pytest.approx(20)
    assert holds("damping-off-cold-water", water_temp_c=19.9) is True
    assert holds("damping-off-cold-water", water_temp_c=f_to_c(68)) is False


def test_lettuce_holds_back_between_25_and_30_celsius() -> None:
    """Harrington and Minges (1954), normal seedlings: 99 % at 25 C, 12 % at 30 C."""
    assert cited("no-emergence-too-hot", "HM-PCT")
    limits = limits_of("lettuce")
    lettuce = {
        "crop": "lettuce",
        "crop__germ_good_hi_c": limits.germ_good_hi_c,
        "crop__germ_max_c": limits.germ_max_c,
    }
    assert holds("no-emergence-too-hot", mix_temp_c=30, **lettuce) is True
    assert holds("no-emergence-too-hot", mix_temp_c=25, **lettuce) is False


def test_seed_is_sown_at_two_to_four_times_its_thickness() -> None:
    """Garden Guides, starting under fluorescent light: 2 to 4 seed diameters."""
    assert cited("no-emergence-too-deep", "GG-FL")
    assert holds("no-emergence-too-deep", sow_depth_mm=8.1, seed_diameter_mm=2) is True
    assert holds("no-emergence-too-deep", sow_depth_mm=8, seed_diameter_mm=2) is False


def test_a_plug_is_watered_at_level_2_and_has_dried_at_level_1() -> None:
    """UF IFAS, the 1 to 5 plug tray moisture scale."""
    assert cited("wilt-dry", "BPG-MOIST")
    assert holds("wilt-dry", mix_moisture=2) is True
    assert holds("wilt-dry", mix_moisture=3) is False
    assert holds("dry-repels", mix_moisture=1) is True
    assert holds("dry-repels", mix_moisture=2) is False


@pytest.mark.parametrize(
    ("crop", "day_low_f", "rule_low_c"),
    [("broccoli", 65, 18.3), ("lettuce", 60, 15.6), ("pepper", 70, 21.1), ("eggplant", 70, 21.1)],
)
def test_day_ranges_of_the_growing_on_table_bound_the_cool_air_rule(
    crop: str, day_low_f: float, rule_low_c: float
) -> None:
    """Cornell, Vegetable IPM practices ch. 9, Table 9.1.1: low end of the day range, F."""
    low = f_to_c(day_low_f)
    assert low == pytest.approx(rule_low_c, abs=0.05)
    assert cited("stalled-cool-air", "CORN-T")
    assert holds("stalled-cool-air", air_day_c=low - 0.1, crop__day_min_c=low) is True
    assert holds("stalled-cool-air", air_day_c=low, crop__day_min_c=low) is False


def test_each_number_marked_published_is_tried_here_or_read_from_the_crop() -> None:
    """A published number that nobody tries could drift; this names the ones that are left."""
    tried = {
        *("leggy-low-dli", "stems-dim", "leggy-warm-and-dim", "leggy-short-day"),
        *("leggy-lamp-bit-far", "scorch-close-lamp", "yellow-new-high-ph", "oedema"),
        *("oedema-humid", "cold-chilling", "cold-frost", "cold-tomato-injury"),
        *("shock-cold-soil", "damping-off-cold-water", "slow-cold-water", "wilt-dry"),
        *("no-emergence-too-hot", "no-emergence-too-deep", "patchy-depth", "dry-repels"),
    }
    # the moisture scale's levels 1 to 5, plants counted, and days since emergence are the
    # scale itself or a count, not a measured limit
    counted = {"mix_moisture", "plants_per_cell", "days_since_emergence"}
    left = {
        rule.id
        for rule in RULES.rows()
        if rule.threshold_basis is ThresholdBasis.PUBLISHED and rule.id not in tried
        for test in comparisons_in(rule.condition)
        if test.limit is not None and test.limit.name is None and test.variable not in counted
    }
    assert left == set()
