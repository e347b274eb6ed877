"""What a person can put right. Carries values only; `bot/wording` owns the words.

UserError
├── not understood          (raised by bot/grammar, see bot/grammar/problems.py)
├── unknown or unclear name  TrayUnknown, ShelfUnknown, LotUnknown, SowingUnknown, MemberUnknown,
│                            ReportUnknown, NoSuchSowing, NameTaken
├── cells                    CellOutside, CellsTaken, CellsEmpty, NoRoom
├── figures                  CountFalls, CountAboveLater, CountTooHigh, ValueAbsurd, DateInFuture,
│                            DateTooOld
├── who and where            NoGroupHere, WhichGroup, NotMember, CoordinatorsOnly, WhoAreYou,
│                            RightsUnknown, ButtonOld
├── work                     TookTooLong
├── undo                     NothingToUndo, UndoTooLate
├── frost and dates          FrostFileUnreadable, FrostFileUnitUnknown, FrostFileDatesAmbiguous,
│                            FrostFileManyStations, FrostDatesOrder, FrostDateOffSeason,
│                            NoSeasonsInRecord, HemisphereUnknown, PlantOutDateNeeded,
│                            CropTimesMissing
└── not set up               NoFrostYet, NoTraysYet, NoPlan, and those a subject module adds
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


class UserError(Exception):
    """A mistake or a gap the person can mend; nothing was recorded."""


@dataclass(eq=False, kw_only=True)
class TookTooLong(UserError):
    """What was asked takes more work than one request may."""


@dataclass(eq=False, kw_only=True)
class TrayUnknown(UserError):
    """No live tray of that code in this group."""

    tray: str
    known: tuple[str, ...] = ()


@dataclass(eq=False, kw_only=True)
class ShelfUnknown(UserError):
    """No shelf of that code in this group."""

    shelf: str
    known: tuple[str, ...] = ()


@dataclass(eq=False, kw_only=True)
class LotUnknown(UserError):
    """No lot of that code in this group."""

    lot: str
    known: tuple[str, ...] = ()


@dataclass(eq=False, kw_only=True)
class SowingUnknown(UserError):
    """No sowing of that code in this group."""

    sowing: str
    known: tuple[str, ...] = ()


@dataclass(eq=False, kw_only=True)
class NoSuchSowing(UserError):
    """Nothing of that crop, or nothing in those cells, is growing here.

    Attributes:
        crop: crop id, where one was named.
        variety: the variety, where one was named.
        tray: tray code, where one was named.
        cells: cells as typed, where some were named.
    """

    crop: str | None = None
    variety: str | None = None
    tray: str | None = None
    cells: str | None = None


@dataclass(eq=False, kw_only=True)
class MemberUnknown(UserError):
    """Nobody of that name in this group."""

    name: str
    known: tuple[str, ...] = ()


@dataclass(eq=False, kw_only=True)
class ReportUnknown(UserError):
    """No report of that code in this group, or not one this person may change."""

    report: str


@dataclass(eq=False, kw_only=True)
class NameTaken(UserError):
    """That code is in use already (kind: tray, shelf, lot or member)."""

    kind: str
    name: str


@dataclass(eq=False, kw_only=True)
class CellOutside(UserError):
    """A cell that the tray does not have."""

    tray: str
    cell: str
    rows: int
    cols: int


@dataclass(eq=False, kw_only=True)
class CellsTaken(UserError):
    """Some of the cells hold a living sowing."""

    tray: str
    cells: str
    sowing: str
    crop: str
    free: str


@dataclass(eq=False, kw_only=True)
class CellsEmpty(UserError):
    """Nothing stands in those cells."""

    tray: str
    cells: str


@dataclass(eq=False, kw_only=True)
class NoRoom(UserError):
    """Fewer free cells than asked for."""

    tray: str
    asked: int
    free: int


@dataclass(eq=False, kw_only=True)
class CountFalls(UserError):
    """A running total may rise or stay, never drop."""

    sowing: str
    last: int
    given: int


@dataclass(eq=False, kw_only=True)
class CountAboveLater(UserError):
    """A total of an earlier day lies above what stands on a later one."""

    sowing: str
    given: int
    stands: int
    on: date


@dataclass(eq=False, kw_only=True)
class CountTooHigh(UserError):
    """More plants than there can be.

    Attributes:
        of: what bounds it: `seeds`, `up`, `alive` or `cells`.
        most: the highest count possible.
    """

    sowing: str
    given: int
    most: int
    of: str


@dataclass(eq=False, kw_only=True)
class ValueAbsurd(UserError):
    """A reading no shelf or garden shows. `lo`, `hi` are in `unit`."""

    quantity: str
    given: float
    lo: float
    hi: float
    unit: str


@dataclass(eq=False, kw_only=True)
class DateInFuture(UserError):
    """A report of a day that has not come."""

    given: date
    today: date


@dataclass(eq=False, kw_only=True)
class DateTooOld(UserError):
    """A day before the thing reported on began."""

    given: date
    earliest: date
    what: str


@dataclass(eq=False, kw_only=True)
class NoGroupHere(UserError):
    """This chat belongs to no group yet."""


@dataclass(eq=False, kw_only=True)
class WhichGroup(UserError):
    """In private, a person of several groups must say which."""

    groups: tuple[tuple[int, str], ...]


@dataclass(eq=False, kw_only=True)
class ButtonOld(UserError):
    """A button that is not kept any more, or is none of this chat's."""


@dataclass(eq=False, kw_only=True)
class RightsUnknown(UserError):
    """The messenger does not say at the moment who runs the chat."""


@dataclass(eq=False, kw_only=True)
class NotMember(UserError):
    """Only members see or change a group's data."""


@dataclass(eq=False, kw_only=True)
class CoordinatorsOnly(UserError):
    """Set-up is for coordinators."""

    coordinators: tuple[str, ...] = ()


@dataclass(eq=False, kw_only=True)
class WhoAreYou(UserError):
    """An anonymous admin or a channel: nobody to put the report down to."""


@dataclass(eq=False, kw_only=True)
class NothingToUndo(UserError):
    """No live report of this person within the time allowed."""


@dataclass(eq=False, kw_only=True)
class UndoTooLate(UserError):
    """The report is older than an undo reaches, or later reports rest on it."""

    report: str
    because: str


@dataclass(eq=False, kw_only=True)
class NoFrostYet(UserError):
    """A date was asked for that needs the site's frost dates."""


@dataclass(eq=False, kw_only=True)
class NoTraysYet(UserError):
    """Something was asked that needs a tray."""


@dataclass(eq=False, kw_only=True)
class NoPlan(UserError):
    """A plan was accepted or shown that does not exist."""


@dataclass(eq=False, kw_only=True)
class FrostFileUnreadable(UserError):
    """A file of daily minima that cannot be read.

    Attributes:
        reason: `empty`, `no_date_column`, `no_minimum_column`, `dates` or `no_values`.
        columns: the column headings found, as written; () where none were.
    """

    reason: str
    columns: tuple[str, ...] = ()


@dataclass(eq=False, kw_only=True)
class FrostFileUnitUnknown(UserError):
    """Neither the file nor its values say whether the minima are in °C or °F.

    Attributes:
        column: heading of the column of minima.
        lowest, highest: its least and greatest values as written, in the unknown unit.
    """

    column: str
    lowest: float
    highest: float


@dataclass(eq=False, kw_only=True)
class FrostFileDatesAmbiguous(UserError):
    """Every date reads both day first and month first; `example` is one as written."""

    example: str


@dataclass(eq=False, kw_only=True)
class FrostFileManyStations(UserError):
    """The file holds several places; `column` names them, `stations` lists them in order."""

    column: str
    stations: tuple[str, ...]


@dataclass(eq=False, kw_only=True)
class FrostDatesOrder(UserError):
    """Frost dates that run the wrong way, or fewer than two different ones.

    For the last frost of spring 10 % is the latest date; for the first of autumn the earliest.

    Attributes:
        side: `last` or `first`.
        given: (level, date) pairs as given; level is a proportion.
    """

    side: str
    given: tuple[tuple[float, date], ...]


@dataclass(eq=False, kw_only=True)
class FrostDateOffSeason(UserError):
    """A last-frost date outside the site's spring, or a first one outside its autumn.

    Attributes:
        side: `last` or `first`.
    """

    side: str
    given: date


@dataclass(eq=False, kw_only=True)
class NoSeasonsInRecord(UserError):
    """The record holds no season complete enough to count; `days` is how many days it has."""

    days: int


@dataclass(eq=False, kw_only=True)
class HemisphereUnknown(UserError):
    """The record shows no clear winter, so it cannot tell north from south of the equator."""


@dataclass(eq=False, kw_only=True)
class PlantOutDateNeeded(UserError):
    """Frost sets no limit here, so a planting-out date must be given.

    Attributes:
        crop: crop id.
        n_seasons: seasons that show it; None when not from a record.
    """

    crop: str
    n_seasons: int | None = None


@dataclass(eq=False, kw_only=True)
class CropTimesMissing(UserError):
    """The crop's row lacks a time the schedule needs; `fields` names them."""

    crop: str
    fields: tuple[str, ...]
