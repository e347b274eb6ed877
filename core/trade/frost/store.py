"""Frost dates as plain values, for a JSON column, and back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from core.trade.frost.dates import FrostBasis, FrostDates
from core.trade.frost.seasons import FrostSide, Hemisphere


def frost_values(frost: FrostDates) -> dict[str, Any]:
    """Return a distribution as numbers, texts and lists; the inverse of `frost_from_values`."""
    values = asdict(frost)
    for name in ("side", "hemisphere", "basis"):
        values[name] = str(values[name])
    values["curve"] = [list(knot) for knot in frost.curve]
    values["days"] = list(frost.days)
    return values


def frost_from_values(values: Mapping[str, Any]) -> FrostDates:
    """Return the distribution that `frost_values` wrote.

    Raises ValueError, KeyError or TypeError on anything else.
    Checked by: tests/core/trade/frost/test_frost.py (round trip).
    """
    return FrostDates(
        **{
            **values,
            "side": FrostSide(values["side"]),
            "hemisphere": Hemisphere(values["hemisphere"]),
            "basis": FrostBasis(values["basis"]),
            "curve": tuple((float(z), float(day)) for z, day in values["curve"]),
            "days": tuple(int(day) for day in values["days"]),
        }
    )
