"""What stands, and questions."""

from __future__ import annotations

from dataclasses import dataclass

from core.requests.base import NOWHERE, Request, Where


@dataclass(frozen=True, slots=True, kw_only=True)
class Due(Request):
    """What is due today, for the group or the speaker."""

    mine: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Trays(Request):
    """Every tray in a line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShowTray(Request):
    """One tray, cell by cell, with its picture."""

    tray: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve(Request):
    """The emergence curve of a sowing or a crop."""

    where: Where = NOWHERE


@dataclass(frozen=True, slots=True, kw_only=True)
class ShowShelf(Request):
    """One shelf's light and temperature log; None = space on all shelves by week."""

    shelf: str | None = None
    space: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Results(Request):
    """What worked: germination by lot, place and method."""

    as_file: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Compare(Request):
    """Two sets of sowings of one crop held against each other."""

    left: Where
    right: Where


@dataclass(frozen=True, slots=True, kw_only=True)
class CropInfo(Request):
    """What the crop table says of a crop; without one, which crops it has."""

    crop: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask(Request):
    """Trouble in plain words."""

    text: str
    where: Where = NOWHERE


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer(Request):
    """An answer to the question a dialogue stands at."""

    dialogue: int
    choice: str
