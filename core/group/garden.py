"""A group's records as plain values, read once and handed to pure functions.

`core/records/snapshot.py` fills it; `core/group/growing.py` follows each sowing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time
from typing import Any

from core.cells import Cell


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """The group's place and habits; wall times are local to `zone`.

    Reminders rest before the day `paused_until`, here and of trays and members.
    """

    group_id: int
    name: str
    zone: str
    language: str
    fahrenheit: bool
    inches: bool
    round_at: time
    quiet_from: time
    quiet_to: time
    latitude: float | None = None
    longitude: float | None = None
    place: str | None = None
    demo: bool = False
    paused_until: date | None = None
    frost: Mapping[str, Any] | None = None
    created_on: date | None = None
    channel: str = "both"
    each_language: bool = False
    brief: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfOf:
    """A shelf; lengths in mm, temperature in °C, wall times local."""

    id: int
    code: str
    lamp: str | None = None
    tubes: int | None = None
    height_mm: float | None = None
    on_at: time | None = None
    off_at: time | None = None
    places: int | None = None
    heat_mat: bool | None = None
    timer: bool | None = None
    usual_temp_c: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayOf:
    """A tray; `cell_ml` None = by the tray table; `pot_mm` the width of pots that fill it."""

    id: int
    code: str
    rows: int
    cols: int
    cell_ml: float | None = None
    shelf: str | None = None
    pot_mm: float | None = None
    paused_until: date | None = None

    @property
    def cells(self) -> int:
        return self.rows * self.cols


@dataclass(frozen=True, slots=True, kw_only=True)
class LotOf:
    """A lot of seed.

    Attributes:
        seeds, grams: the amount kept; see core/trade/seed/stock.py.
        maturity_days: of the variety, as its packet says.
    """

    id: int
    code: str
    crop: str
    variety: str | None = None
    packed_for: int | None = None
    tested_up: int | None = None
    tested_of: int | None = None
    tested_on: date | None = None
    label_percent: float | None = None
    treated: bool | None = None
    seeds: int | None = None
    grams: float | None = None
    maturity_days: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Happening:
    """One live report, as stored.

    Attributes:
        kind: `up`, `watered`, `moist`, `temp`, `light`, `thinned`, `potted`, `moved`, `fed`,
            `harden`, `out`, `planted`, `lost`, `note`.
        on: local date; `at`: instant of recording.
        values: what was said, by the names its handler in core/handlers writes.
        did: member id of who did it.
    """

    id: int
    act: int
    kind: str
    on: date
    at: datetime
    values: Mapping[str, Any] = field(default_factory=dict)
    sowing: int | None = None
    tray: int | None = None
    shelf: int | None = None
    did: int | None = None
    for_name: str | None = None


def sowing_code(number: int) -> str:
    """Return what members call the sowing of a number within its group."""
    return f"S{number}"


@dataclass(frozen=True, slots=True, kw_only=True)
class SowingOf:
    """A sowing with its live reports, oldest first."""

    id: int
    number: int
    crop: str
    tray: str
    cells: tuple[Cell, ...]
    sown_on: date
    seeds_per_cell: int
    act: int
    variety: str | None = None
    lot: str | None = None
    depth_mm: float | None = None
    did: int | None = None
    closed_on: date | None = None
    plan_item: str | None = None
    happenings: tuple[Happening, ...] = ()

    @property
    def code(self) -> str:
        return sowing_code(self.number)

    @property
    def seeds(self) -> int:
        return len(self.cells) * self.seeds_per_cell


@dataclass(frozen=True, slots=True, kw_only=True)
class MemberOf:
    """A member; `person` None for one without an account, `private` when they may be told in
    private; `quiet` their own quiet hours, (from, to) local, None = the group's; `thanks` when
    they agreed to be named on a printed report."""

    id: int
    name: str
    person: int | None
    coordinator: bool
    private: bool = False
    quiet: tuple[time, time] | None = None
    hour: time | None = None
    thanks: bool = False
    paused_until: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DutyOf:
    """Weekdays 0 = Monday, or one day; `trays` empty = all."""

    id: int
    member: int
    weekdays: tuple[int, ...] = ()
    day: date | None = None
    trays: tuple[str, ...] = ()
    instead_of: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class AbsenceOf:
    """A member is away, both days included."""

    id: int
    member: int
    first: date
    last: date


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosureOf:
    """Dates (both included), or every such weekday, when nobody can get in."""

    id: int
    first: date | None = None
    last: date | None = None
    weekday: int | None = None
    label: str | None = None

    def covers(self, day: date) -> bool:
        if self.weekday is not None:
            return day.weekday() == self.weekday
        return self.first is not None and self.first <= day <= (self.last or self.first)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReminderOf:
    """What `asked_by` wants `member`, or whoever is on duty, to be reminded of on a day.

    `done_by` is who has done it; one that was taken back is none any more.
    """

    id: int
    on: date
    text: str
    asked_by: int | None = None
    member: int | None = None
    done_by: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Garden:
    """Everything of one group that figures and reminders rest on.

    Attributes:
        sowings: those not closed, oldest first; `lately_closed` those closed of late.
        tray_reports, shelf_reports, site_reports: live reports by tray code, by shelf code, and
            of the site (outdoor temperatures), oldest first, of the last ninety days.
        plan: body of the accepted plan; `sown_items` the ids of its sowings that were sown.
        speeds: crop → (thermal time over the table's, seedlings) of sowings that came up.
        worked_out: what pure functions of this garden keep, so that a look works it out once.
    """

    site: Site
    shelves: Mapping[str, ShelfOf] = field(default_factory=dict)
    trays: Mapping[str, TrayOf] = field(default_factory=dict)
    lots: Mapping[str, LotOf] = field(default_factory=dict)
    members: Mapping[int, MemberOf] = field(default_factory=dict)
    sowings: tuple[SowingOf, ...] = ()
    lately_closed: tuple[SowingOf, ...] = ()
    tray_reports: Mapping[str, tuple[Happening, ...]] = field(default_factory=dict)
    shelf_reports: Mapping[str, tuple[Happening, ...]] = field(default_factory=dict)
    site_reports: tuple[Happening, ...] = ()
    duties: tuple[DutyOf, ...] = ()
    absences: tuple[AbsenceOf, ...] = ()
    closures: tuple[ClosureOf, ...] = ()
    reminders: tuple[ReminderOf, ...] = ()
    plan: Mapping[str, Any] | None = None
    sown_items: frozenset[str] = frozenset()
    speeds: Mapping[str, tuple[tuple[float, int], ...]] = field(default_factory=dict)
    worked_out: dict[Any, Any] = field(default_factory=dict, init=False, repr=False, compare=False)

    def with_reports(
        self,
        *,
        of_trays: Mapping[str, tuple[Happening, ...]] | None = None,
        of_site: tuple[Happening, ...] | None = None,
    ) -> Garden:
        """Return the same garden with other reports of its trays, or of the site."""
        return replace(
            self,
            tray_reports=self.tray_reports if of_trays is None else of_trays,
            site_reports=self.site_reports if of_site is None else of_site,
        )

    def closed(self, day: date) -> bool:
        """Whether nobody can get in on a day."""
        return any(closure.covers(day) for closure in self.closures)

    def away(self, member: int, day: date) -> bool:
        """Whether a member is away on a day."""
        return any(a.member == member and a.first <= day <= a.last for a in self.absences)

    def on_duty(self, day: date, tray: str | None = None) -> tuple[int, ...]:
        """Return the members on duty on a day (for one tray), those away left out.

        A duty for that very day comes before the weekly rota when it replaces it.
        """
        fits = [
            d
            for d in self.duties
            if (d.day == day or (d.day is None and day.weekday() in d.weekdays))
            and (tray is None or not d.trays or tray in d.trays)
        ]
        if any(d.instead_of for d in fits):
            fits = [d for d in fits if d.day is not None]
        seen: list[int] = []
        for duty in fits:
            if duty.member not in seen and not self.away(duty.member, day):
                seen.append(duty.member)
        return tuple(seen)
