"""The next question of a report or a setting begun with its word alone."""

from __future__ import annotations

from dataclasses import dataclass

from core.replies.base import Choice


@dataclass(frozen=True, slots=True, kw_only=True)
class NextStep(Choice):
    """One piece is asked; the last options lead one step back, and out.

    Attributes:
        act: command word of what was begun.
        stage: the piece: `sowing`, `count`, `tray`, `cells`, `level`, `month`, ...
        none: nothing fits what was said so far.
    """

    act: str
    stage: str
    none: bool = False
