"""How far the plants of a tray have come."""

from __future__ import annotations

from enum import StrEnum


class TrayStage(StrEnum):
    """How far the plants of a tray have come."""

    BEFORE_EMERGENCE = "before_emergence"
    COTYLEDON = "cotyledon"
    TRUE_LEAVES = "true_leaves"
    POTTED = "potted"
    HARDENING = "hardening"
