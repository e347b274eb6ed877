"""Kinds of what members report, as records keep them.

Each needs words in `bot/wording/replies/reports/undone.py`, for the list of what can be undone;
a test holds that.
"""

from __future__ import annotations

from enum import StrEnum


class ReportKind(StrEnum):
    """What a report says happened; also the kind of the act that wrote it."""

    SOW = "sow"
    UP = "up"
    WATERED = "watered"
    MOIST = "moist"
    TEMP = "temp"
    LIGHT = "light"
    THINNED = "thinned"
    POTTED = "potted"
    MOVED = "moved"
    FED = "fed"
    HARDEN = "harden"
    OUT = "out"
    PLANTED = "planted"
    LOST = "lost"
    NOTE = "note"


OF_PLACES = (
    ReportKind.WATERED,
    ReportKind.MOIST,
    ReportKind.TEMP,
    ReportKind.LIGHT,
    ReportKind.NOTE,
    ReportKind.FED,
    ReportKind.MOVED,
)
"""Kinds that may speak of a tray, a shelf or the site instead of a sowing."""
