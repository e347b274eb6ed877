"""Answers about labels."""

from __future__ import annotations

from dataclasses import dataclass

from core.replies.base import Reply
from core.requests import Where


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelsReady(Reply):
    """A sheet of labels can be drawn.

    Attributes:
        where: what it is of, as named; shape: as asked; tray_codes, sowing_codes: what that means.
        trays, rows: labels of whole trays, and of varieties in them.
        grid: id of the sheet; typed: as people write it, None for plain paper to cut.
        paper: `a4` or `letter`.
        pages: sheets of paper.
        platforms: messengers the group talks on, so that a code can lead back there.
    """

    group_id: int
    where: Where
    shape: str | None
    tray_codes: tuple[str, ...]
    sowing_codes: tuple[str, ...]
    trays: int
    rows: int
    grid: str
    typed: str | None
    paper: str
    pages: int
    platforms: tuple[str, ...]
