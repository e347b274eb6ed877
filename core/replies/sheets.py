"""Answers about sheets for the wall and tags to take home."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.replies.base import Reply
from core.replies.shares import CareCard


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetReady(Reply):
    """A sheet for the wall can be drawn.

    Attributes:
        kind: `week`, `sowing`, `rota` or `season`.
        paper: `a4` or `letter`.
        last: last day on it, today being the first.
        count: days with work, sowings, or days somebody is on duty.
        platforms: messengers the group talks on.
    """

    group_id: int
    kind: str
    paper: str
    last: date
    count: int
    platforms: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TagsReady(Reply):
    """Tags to take home can be drawn: how many, for how many homes; `crop` where one is named."""

    group_id: int
    crop: str | None
    tags: int
    homes: int
    paper: str
    platforms: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tag:
    """One tag with its care card.

    Attributes:
        name: who takes it home; None for nobody in particular.
        language: of that family; None = the group's.
        plants: wished; None where nobody wished.
        tray: where they stand now; None in loose pots.
        cautions: ids of core/data/cautions.toml.
    """

    crop: str
    variety: str | None
    name: str | None
    language: str | None
    plants: int | None
    tray: str | None
    care: CareCard
    cautions: tuple[str, ...]
