"""Answers to how-to, what-is and when questions, with the group's own figures."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.replies.base import Reply
from core.replies.reports import LightRecorded


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnLight:
    """The light of one shelf against what stands there.

    Attributes:
        light: as `/light` says it, with what would bring it to the need of the neediest crop.
        needs: (crop, least, most) mol m-2 d-1 of each crop standing there or asked about.
        apart: no one light suits all of them, and no change is advised.
    """

    light: LightRecorded
    needs: tuple[tuple[str, float, float], ...]
    apart: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnWater:
    """The water of one tray.

    Attributes:
        cells: cells in use, or all of an empty tray; cell_ml: volume of one, ml.
        dose_ml: for one cell when it is due, ml.
        watered_days: days since the last watering, None = none on record; lasts_days: how long
            one lasts, None = nothing grows there.
    """

    tray: str
    cells: int
    cell_ml: float
    dose_ml: float
    watered_days: int | None
    lasts_days: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnUp:
    """What of one sowing has come up: counts of seedlings, and days.

    Attributes:
        since: the first was up; None = none counted yet.
        first, last: the window in which it should show; None = not foretold.
    """

    sowing: str
    crop: str
    tray: str
    up: int
    of: int
    since: date | None
    first: date | None
    last: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnWarm:
    """How warm a crop wants it, and what was read, °C.

    Attributes:
        sowing, tray: what stands; None = the crop alone was asked about.
        up: it has come up: `low` to `high` are of the air by day, and `night` of the night; else
            of the mix.
        shown: read in the mix lately, else the shelf's usual; None = nothing on record.
        read_on: day of the reading; None = the shelf's usual.
    """

    sowing: str | None
    crop: str
    tray: str | None
    up: bool
    low: float
    high: float
    night: tuple[float, float] | None = None
    shown: float | None = None
    read_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnDepth:
    """How deep a crop is sown: mm of cover, and whether it germinates in light."""

    crop: str
    low: float
    high: float
    light: bool


Own = OwnLight | OwnWater | OwnUp | OwnWarm | OwnDepth


@dataclass(frozen=True, slots=True, kw_only=True)
class TopicTold(Reply):
    """A topic, id of a row of topics.toml, after the group's own figures; `more` are left out.

    `near` are topics that may have been meant instead.
    """

    topic: str
    own: tuple[Own, ...] = ()
    more: int = 0
    near: tuple[str, ...] = ()
