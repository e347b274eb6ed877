"""A tray on record that agrees with a cause: what a group that reports would have there."""

from __future__ import annotations

from collections.abc import Mapping

from core.trouble.conditions import Value
from core.trouble.evidence import Evidence, Origin

WET: Mapping[str, Value] = {"mix_moisture": 4.0}
DRY: Mapping[str, Value] = {"mix_moisture": 2.0}
DIM: Mapping[str, Value] = {"dli": 4.0, "light_hours": 14.0}

TRAYS: Mapping[str, Mapping[str, Value]] = {
    "soil_too_cold": {"mix_temp_c": 9.0},
    "soil_too_warm": {"mix_temp_c": 38.0},
    "thermodormancy": {"mix_temp_c": 30.0},
    "sown_too_deep": {"sow_depth_mm": 60.0},
    "light_needed_covered": {"sow_depth_mm": 10.0},
    "old_seed": {"seed_age_years": 12.0},
    "seed_waterlogged": WET,
    "overwatering": WET,
    "root_rot": WET,
    "standing_water_tray": WET,
    "damping_off_post": WET,
    "algae": WET,
    "fungus_gnats": WET,
    "underwatering": DRY,
    "hydrophobic_mix": DRY,
    "light_too_little": DIM,
    "light_too_few_hours": {"light_hours": 8.0},
    "light_too_many_hours": {"light_hours": 24.0},
    "lamp_too_far": {"light_distance_cm": 60.0},
    "lamp_too_close": {"light_distance_cm": 2.0},
    "mat_left_on": {"heat_mat_on": True, "days_since_emergence": 10.0},
    "phosphorus_cold": {"mix_temp_c": 11.0, "air_night_c": 9.0},
    "air_too_cold": {"air_night_c": 5.0, "air_day_c": 8.0},
    "frost": {"outdoor_low_c": -2.0},
    "chilling_injury": {"outdoor_low_c": 4.0},
    "nitrogen_shortage": {"days_since_feed": 30.0},
    "fertiliser_burn": {"days_since_feed": 1.0, "feed_ppm_n": 400.0},
    "root_bound": {"weeks_in_container": 12.0},
    "overcrowding": {"plants_per_cell": 8.0},
    "transplant_shock": {"days_since_transplant": 1.0},
    "hardening_too_fast": {"harden_day": 1.0},
    "iron_high_ph": {"mix_ph": 7.6},
    "low_ph_iron_excess": {"mix_ph": 4.8},
    "salt_buildup": {"ec_ds_m": 3.5},
    "wind_damage": {"wind_kmh": 50.0},
    "air_too_humid": {"rh_pct": 90.0},
    "dry_air": {"rh_pct": 20.0},
}


def tray_for(accepted: frozenset[str]) -> Evidence:
    """Return what would be on record where one of these causes is true; the first that has any."""
    for cause in sorted(accepted):
        if cause in TRAYS:
            return Evidence.of(Origin.REPORT, TRAYS[cause])
    return Evidence()
