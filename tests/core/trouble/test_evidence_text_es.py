"""Readings are found in Spanish sentences; what is denied is not."""

from __future__ import annotations

import pytest

from core.trouble.evidence import Evidence
from core.trouble.evidence_text import evidence_in


def held(evidence: Evidence) -> dict[str, object]:
    return {name: reading.value for name, reading in evidence.readings.items()}


@pytest.mark.parametrize(
    ("sentence", "readings"),
    [
        ("el sustrato está a 14 °C", {"mix_temp_c": 14.0}),
        ("de noche baja a 9 grados C", {"air_night_c": 9.0}),
        ("riego con agua a 8 °C", {"water_temp_c": 8.0}),
        ("fuera hubo -1 °C", {"outdoor_low_c": -1.0}),
        ("la lámpara está a 30 cm de las hojas", {"light_distance_cm": 30.0}),
        ("la luz está encendida 12 horas", {"light_hours": 12.0}),
        ("sembradas a 20 mm de profundidad", {"sow_depth_mm": 20.0}),
        ("sembré hace 12 días", {"days_since_sowing": 12.0}),
        ("hace dos semanas o una semana", {}),
        ("aboné hace una semana", {"days_since_feed": 7.0}),
        ("hay 3 plantas por celda", {"plants_per_cell": 3.0}),
        ("el sustrato está encharcado", {"mix_moisture": 5}),
        ("la tierra está muy mojada", {"mix_moisture": 4}),
        ("la bandeja está seca", {"mix_moisture": 2}),
        ("la tapa sigue puesta", {"humidity_cover_on": True}),
        ("ya están sin tapa", {"humidity_cover_on": False}),
        ("la esterilla está encendida", {"heat_mat_on": True}),
        ("no hay ventilador, sin ventilador", {"fan_on": False}),
        ("hay una estufa de gas", {"heater_unvented": True}),
        ("desaparecieron de un día para otro", {"overnight_loss": True}),
        ("no está encharcado", {}),
        ("los tomates están altos", {}),
    ],
)
def test_a_spanish_sentence_states_its_readings(sentence: str, readings: dict[str, object]) -> None:
    assert held(evidence_in(sentence)) == readings
