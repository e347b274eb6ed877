"""Window light: what a seedling gets on a sill, from day length and the sun's strength.

It is the poor baseline against which a lamp is judged, and always an estimate: the window factor
covers everything between a south window in the open and a north window behind a tree.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from core.trade.light.lamp import Basis, LightFigure

SOLAR_CONSTANT_MJ = 0.0820
"""Solar constant, MJ m-2 min-1; FAO-56, eq. 21."""

MOL_PER_MJ = 0.45 * 4.57
"""Mol of photosynthetic light in 1 MJ of sunshine: 45 % of the energy, 4.57 umol/J (TH83)."""

CLEARNESS = (0.25, 0.50, 0.75)
"""Share of the sun's strength that reaches the ground: overcast, usual, clear; FAO-56, eq. 35."""

WINDOW_SHARE = (0.05, 0.15, 0.30)
"""Share of the outdoor light that reaches a sill: poor, usual, best window; from memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowLight:
    """Light on a window sill on one day.

    Attributes:
        day_hours: sunrise to sunset, hours, 0..24.
        outdoor: DLI in the open, mol m-2 d-1.
        window: DLI on the sill, mol m-2 d-1; low is a poor window under cloud.
    """

    day: date
    day_hours: float
    outdoor: LightFigure
    window: LightFigure


def extraterrestrial_mj(latitude_deg: float, day: date) -> float:
    """Return the sun's daily energy above the air, MJ m-2 d-1, 0..50.

    Source: Allen and others (1998), FAO Irrigation and Drainage Paper 56, eq. 21-25.
    Checked by: tests/reference/test_light.py (its example 8).
    """
    latitude = math.radians(latitude_deg)
    angle = 2 * math.pi * day.timetuple().tm_yday / 365
    distance = 1 + 0.033 * math.cos(angle)
    declination = 0.409 * math.sin(angle - 1.39)
    cosine = -math.tan(latitude) * math.tan(declination)
    sunset = math.acos(max(-1.0, min(1.0, cosine)))
    day_sum = sunset * math.sin(latitude) * math.sin(declination)
    day_sum += math.cos(latitude) * math.cos(declination) * math.sin(sunset)
    return max(0.0, 24 * 60 / math.pi * SOLAR_CONSTANT_MJ * distance * day_sum)


def day_length_hours(latitude_deg: float, longitude_deg: float, day: date) -> float:
    """Return the hours from sunrise to sunset; 0 in polar night, 24 under the midnight sun.

    Computed with the library astral. Checked by: tests/reference/test_light.py against FAO-56.
    """
    from astral import Observer
    from astral.sun import elevation, noon, sunrise, sunset

    observer = Observer(latitude=latitude_deg, longitude=longitude_deg)
    try:
        rise, fall = sunrise(observer, date=day), sunset(observer, date=day)
    except ValueError:
        return 24.0 if elevation(observer, noon(observer, date=day)) > 0 else 0.0
    return ((fall - rise).total_seconds() / 3600) % 24


def sunset_at(latitude_deg: float, longitude_deg: float, day: date, zone: str) -> datetime | None:
    """Return the UTC instant of sunset on a local date; None where the sun does not set.

    Computed with the library astral.
    """
    from astral import Observer
    from astral.sun import sunset

    observer = Observer(latitude=latitude_deg, longitude=longitude_deg)
    try:
        at: datetime = sunset(observer, date=day, tzinfo=ZoneInfo(zone))
    except ValueError:
        return None
    return at.astimezone(UTC).replace(second=0, microsecond=0)


def window_light(latitude_deg: float, longitude_deg: float, day: date) -> WindowLight:
    """Return the light to expect on a sill on `day`; always an estimate with a wide range.

    Args:
        latitude_deg: -90..90, north positive.
        longitude_deg: -180..180, east positive.

    Raises ValueError outside these ranges.
    Source: FAO-56 for the outdoor light; the window's share from memory.
    """
    if not -90 <= latitude_deg <= 90 or not -180 <= longitude_deg <= 180:
        raise ValueError(f"no such place: {latitude_deg}, {longitude_deg}")
    top = extraterrestrial_mj(latitude_deg, day) * MOL_PER_MJ
    outdoor = [top * share for share in CLEARNESS]
    window = [mol * share for mol, share in zip(outdoor, WINDOW_SHARE, strict=True)]
    return WindowLight(
        day=day,
        day_hours=day_length_hours(latitude_deg, longitude_deg, day),
        outdoor=_estimate(outdoor, "FAO-56, eq. 21 and 35; TH83"),
        window=_estimate(window, "FAO-56, eq. 21 and 35; window share from-memory"),
    )


def _estimate(low_usual_high: list[float], source: str) -> LightFigure:
    low, usual, high = low_usual_high
    return LightFigure(value=usual, low=low, high=high, basis=Basis.ESTIMATED, source=source)
