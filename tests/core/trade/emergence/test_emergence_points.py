"""The published tables as forecasts take them: nothing lost, contradictions said."""

from __future__ import annotations

from datetime import date

import pytest

from bot.wording.pieces.windows import window_lines
from bot.wording.voice import Voice
from core.group import outlook
from core.shown.windows import window
from core.trade.crops.emergence_table import Outcome, emergence_row
from core.trade.crops.table import CROPS
from core.trade.emergence.forecast import ForecastFlag, forecast_emergence

WITH_TABLE = [crop for crop in CROPS.rows() if crop.emergence_table is not None]


@pytest.mark.parametrize("crop", WITH_TABLE, ids=lambda crop: crop.id)
def test_every_published_percentage_is_kept(crop):
    points = outlook.points_of(crop.id)
    kept = {point.temp_c: point for point in points.points}
    for point in emergence_row(crop.emergence_table).points():
        if point.percent is not None:
            assert kept[point.temp_c].percent == point.percent
        if point.outcome is Outcome.UNTESTED and point.temp_c in kept:
            assert kept[point.temp_c].days is None


@pytest.mark.parametrize("language", ["en", "es"])
def test_a_contradiction_between_the_tables_is_put_into_words(language):
    # celery at 25 °C: no days, yet 65 % normal seedlings (Harrington and Minges 1954)
    day = date(2027, 3, 1)
    forecast = forecast_emergence(
        points=outlook.points_of("celery"),
        catalogue=None,
        sown_on=day,
        today=day,
        usual_temp_c=25.0,
    )
    assert ForecastFlag.TABLES_DISAGREE in forecast.flags
    voice = Voice(today=day, language=language)
    lines = window_lines(voice, window(forecast, "usual"))
    assert len(lines) == 2
    if language == "en":
        assert "too hot" in lines[0]
        assert "tables disagree" in lines[1]
