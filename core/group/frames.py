"""The cold frame: a place outside that keeps off a little cold, kept like a shelf."""

from __future__ import annotations

from core.group.garden import Garden
from core.group.growing import Growing, Stage

COLD_FRAME = "FRAME"
"""Code of the group's cold frame, made when something is first moved there."""

FRAME_WARMER_C = 1.1
"""Warmer than the open at night, °C: 2 °F, the lower of 2 to 4 °F for plastic on frames
(CSU-722)."""


def in_frame(garden: Garden, tray: str | None) -> bool:
    """Whether a tray stands in the cold frame."""
    found = garden.trays.get(tray or "")
    return found is not None and found.shelf == COLD_FRAME


def low_felt(garden: Garden, growing: Growing, low_c: float) -> float | None:
    """Return the low that a part meets, °C, when it is `low_c` outside; None = it is indoors."""
    if in_frame(garden, growing.tray):
        return low_c + FRAME_WARMER_C
    return low_c if growing.stage is Stage.HARDENING else None
