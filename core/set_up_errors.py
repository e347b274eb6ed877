"""What can go wrong while setting up, and while sharing the duty; values only."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.errors import UserError


@dataclass(eq=False, kw_only=True)
class PlaceUnknown(UserError):
    """No town of that name in the list of places; `nearest` are names spelt alike."""

    place: str
    nearest: tuple[str, ...] = ()


@dataclass(eq=False, kw_only=True)
class ZoneUnknown(UserError):
    """No such IANA zone; `nearest` are zones spelt alike."""

    zone: str
    nearest: tuple[str, ...] = ()


@dataclass(eq=False, kw_only=True)
class LanguageUnknown(UserError):
    """A language the bot does not speak; `known` are codes of those it does."""

    language: str
    known: tuple[str, ...]


@dataclass(eq=False, kw_only=True)
class TraySizeMissing(UserError):
    """New trays without a size; `sizes` are the standard counts of cells."""

    trays: tuple[str, ...]
    sizes: tuple[int, ...]


@dataclass(eq=False, kw_only=True)
class TraySizeUnknown(UserError):
    """A count of cells that is no standard size: its rows and columns must be said."""

    cells: int
    sizes: tuple[int, ...]


@dataclass(eq=False, kw_only=True)
class TrayInUse(UserError):
    """A tray with something living in it is neither resized nor retired.

    Attributes:
        sowings: (sowing code, crop id) of what lives there.
        retiring: it was to be retired, else resized.
    """

    tray: str
    sowings: tuple[tuple[str, str], ...]
    retiring: bool


@dataclass(eq=False, kw_only=True)
class ShelfFull(UserError):
    """A shelf with fewer free places than trays to put there."""

    shelf: str
    places: int
    asked: int


@dataclass(eq=False, kw_only=True)
class LampUnknown(UserError):
    """A kind of lamp that is not in the table."""

    lamp: str
    known: tuple[str, ...]


@dataclass(eq=False, kw_only=True)
class LotCropMissing(UserError):
    """A new lot without its crop."""


@dataclass(eq=False, kw_only=True)
class DutyUnclear(UserError):
    """A duty without days, or nothing to take away; reason: `days`, `none` or `no_closure`."""

    who: tuple[str, ...]
    reason: str


@dataclass(eq=False, kw_only=True)
class DatesReversed(UserError):
    """A span that ends before it begins, or lies wholly behind (`past`)."""

    first: date
    last: date
    past: bool = False


@dataclass(eq=False, kw_only=True)
class NotOnDuty(UserError):
    """A duty day was offered by somebody who has none then; `days` are those they have."""

    day: date | None
    days: tuple[date, ...] = ()


@dataclass(eq=False, kw_only=True)
class SwapGone(UserError):
    """An offered day that was taken, or is over; reason: `taken`, `past`, `unknown` or `own`."""

    reason: str
    by: str | None = None
    day: date | None = None


@dataclass(eq=False, kw_only=True)
class AwayThen(UserError):
    """Somebody away on a day cannot take it."""

    name: str
    day: date


@dataclass(eq=False, kw_only=True)
class CalendarUnreadable(UserError):
    """A calendar file that cannot be read, or holds no event from today on.

    Attributes:
        reason: `format`, `empty`, `past` or `size`.
    """

    name: str
    reason: str


@dataclass(eq=False, kw_only=True)
class LastCoordinator(UserError):
    """The only coordinator cannot step down or go before there is another."""

    name: str
