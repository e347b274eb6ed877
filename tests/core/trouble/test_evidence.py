"""Evidence holds only what its table allows, and says where each reading came from."""

from __future__ import annotations

import pytest
from scipy.special import bdtr

from core.trouble.evidence import Basis, CropValues, Evidence, Origin, with_computed


def of(**values: float | bool | str) -> Evidence:
    return Evidence.of(Origin.REPORT, values)


def number(evidence: Evidence, name: str) -> float:
    reading = evidence.get(name)
    assert reading is not None
    return float(reading.value)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("no_such_variable", 1.0),
        ("dli", -1.0),
        ("dli", 900.0),
        ("dli", True),
        ("dli", "bright"),
        ("mix_moisture", 6.0),
        ("fan_on", 1.0),
        ("lamp_type", "candle"),
        ("dli", float("nan")),
    ],
)
def test_unknown_names_and_unbelievable_values_are_refused(name: str, value: object) -> None:
    with pytest.raises(ValueError, match=name):
        Evidence.of(Origin.REPORT, {name: value})  # type: ignore[dict-item]


def test_origins_are_kept_and_a_gap_says_missing() -> None:
    evidence = of(dli=5).having("light_hours", 14, Origin.SHELF_SETTING)
    assert evidence.origin_of("dli") is Origin.REPORT
    assert evidence.origin_of("light_hours") is Origin.SHELF_SETTING
    assert evidence.origin_of("mix_ph") is Origin.MISSING


def test_newer_evidence_stands_over_older() -> None:
    both = of(dli=5).over(Evidence.of(Origin.COMPUTED, {"dli": 9, "rh_pct": 50}))
    assert (number(both, "dli"), number(both, "rh_pct")) == (5, 50)


def test_the_crops_limits_are_read_by_name_and_marked_as_such() -> None:
    basis = Basis(evidence=of(dli=5), crop=CropValues(day_min_c=18))
    reading = basis.reading("crop.day_min_c")
    assert reading is not None
    assert (reading.value, reading.origin) == (18, Origin.CROP_TABLE)
    assert basis.reading("crop.day_max_c") is None
    assert Basis(evidence=of(dli=5)).reading("crop.day_min_c") is None


def test_daily_light_follows_from_level_and_hours() -> None:
    """Source: Runkle, Lighting plants indoors: 185 umol/m2/s for 18 h is 12 mol/m2/d."""
    made = with_computed(of(light_ppfd_umol=185, light_hours=18))
    assert number(made, "dli") == pytest.approx(12, abs=0.02)
    assert made.origin_of("dli") is Origin.COMPUTED


def test_a_reading_given_is_never_recomputed() -> None:
    assert number(with_computed(of(light_ppfd_umol=185, light_hours=18, dli=3)), "dli") == 3


def test_air_stands_for_mix_only_where_there_is_surely_no_mat() -> None:
    assert number(with_computed(of(air_day_c=15, heat_mat_on=False)), "mix_temp_c") == 15
    assert with_computed(of(air_day_c=15, heat_mat_on=True)).get("mix_temp_c") is None
    assert with_computed(of(air_day_c=15)).get("mix_temp_c") is None


@pytest.mark.parametrize(("seeds", "germ"), [(40, 85), (10, 50), (200, 97), (1, 60), (72, 100)])
def test_the_likely_emergence_is_the_central_binomial_band(seeds: int, germ: int) -> None:
    """Checked against the binomial distribution function of scipy.special."""
    made = with_computed(of(seeds_sown=seeds, seed_germ_pct=germ))
    low = round(number(made, "expected_low_pct") * seeds / 100)
    high = round(number(made, "expected_high_pct") * seeds / 100)
    assert bdtr(low, seeds, germ / 100) >= 0.025 - 1e-9
    assert low == 0 or bdtr(low - 1, seeds, germ / 100) < 0.025
    assert bdtr(high, seeds, germ / 100) >= 0.975 - 1e-9
    assert high == 0 or bdtr(high - 1, seeds, germ / 100) < 0.975
