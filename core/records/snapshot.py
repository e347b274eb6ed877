"""Read one group into a `Garden`: a fixed number of queries, whatever the size of the database."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, timedelta
from functools import cached_property
from typing import Any

from sqlalchemy import Row, Select, select
from sqlalchemy.orm import Session

from core.group.garden import (
    AbsenceOf,
    ClosureOf,
    DutyOf,
    Garden,
    Happening,
    LotOf,
    MemberOf,
    ReminderOf,
    Site,
    SowingOf,
    TrayOf,
)
from core.group.reminders import REMINDED_FOR
from core.records import garden_statements as statements
from core.records import models as m
from core.records.prepared import rows
from core.records.rows import happening, natural, shelf_of, sowing_values

RECENT_DAYS = 90  # how far back tray, shelf and site reports are read
LOOK_BACK = timedelta(days=RECENT_DAYS)


def site_of(group: m.Group) -> Site:
    """Return a group's row as a plain value."""
    return Site(
        group_id=group.id,
        name=group.name,
        zone=group.zone,
        language=group.language,
        each_language=group.each_language,
        brief=group.brief,
        fahrenheit=group.fahrenheit,
        inches=group.inches,
        round_at=group.round_at,
        quiet_from=group.quiet_from,
        quiet_to=group.quiet_to,
        latitude=group.latitude,
        longitude=group.longitude,
        place=group.place,
        demo=group.demo,
        frost=group.frost,
        created_on=group.created_at.date(),
        channel=group.channel,
        paused_until=group.paused_until,
    )


def garden(session: Session, group_id: int, today: date) -> Garden:
    """Return a group's records; raise LookupError for a group that is none."""
    reader = _Reader(session, group_id, today)
    return Garden(site=reader.site, **{part: read() for part, read in reader.parts().items()})


WITH_A_REPORT = ("shelves", "trays", "sowings", "tray_reports")


def everyday(
    session: Session, group_id: int, today: date, *, at_once: Iterable[str] = WITH_A_REPORT
) -> Garden:
    """As `garden`, but only some parts are read at once, the others when they are asked for.

    For what is reported all day long and needs few of them. To be used within the transaction,
    and what it is going to write belongs into `at_once`: a part read later would hold that.
    """
    return _Everyday.of(_Reader(session, group_id, today), at_once)


class _Reader:
    """Reads the parts of one garden."""

    def __init__(self, session: Session, group_id: int, today: date) -> None:
        group = session.get(m.Group, group_id)
        if group is None:
            raise LookupError(group_id)
        self.site = site_of(group)
        self._session, self._group, self._since = session, group_id, today - LOOK_BACK
        self._today = today

    def parts(self) -> dict[str, Callable[[], Any]]:
        """Return how each part but the site is read."""
        session, group = self._session, self._group
        return {
            "shelves": lambda: {row.code: shelf_of(row) for row in self._shelves},
            "trays": self._trays_of,
            "lots": lambda: lots(session, group),
            "members": lambda: members(session, group),
            "sowings": lambda: open_sowings(session, group, self._tray_codes),
            "lately_closed": lambda: _read(
                session,
                self._tray_codes,
                *statements.LATELY_CLOSED,
                group=group,
                since=self._since,
            ),
            "tray_reports": lambda: self._reports[0],
            "shelf_reports": lambda: self._reports[1],
            "site_reports": lambda: self._reports[2],
            "duties": lambda: _duties(session, group),
            "absences": self._absences,
            "closures": lambda: closures(session, group),
            "reminders": lambda: reminders(session, group, self._today),
            "plan": lambda: self._plan,
            "sown_items": lambda: sown_items(session, group, self._plan),
            "speeds": lambda: speeds(session, group),
        }

    @cached_property
    def _shelves(self) -> Sequence[Row[Any]]:
        return rows(self._session, statements.SHELVES, group=self._group)

    @cached_property
    def _shelf_codes(self) -> dict[int, str]:
        return {shelf.id: shelf.code for shelf in self._shelves}

    @cached_property
    def _trays(self) -> Sequence[Row[Any]]:
        return rows(self._session, statements.TRAYS, group=self._group)

    @cached_property
    def _tray_codes(self) -> dict[int, str]:
        return {tray.id: tray.code for tray in self._trays}

    @cached_property
    def _plan(self) -> m.Json | None:
        return accepted_plan(self._session, self._group)

    def _trays_of(self) -> dict[str, TrayOf]:
        return {
            row.code: TrayOf(
                id=row.id,
                code=row.code,
                rows=row.rows,
                cols=row.cols,
                cell_ml=row.cell_ml,
                shelf=self._shelf_codes.get(row.shelf_id) if row.shelf_id else None,
                pot_mm=row.pot_mm,
                paused_until=row.paused_until,
            )
            for row in sorted(self._trays, key=lambda tray: natural(tray.code))
        }

    @cached_property
    def _reports(
        self,
    ) -> tuple[
        dict[str, tuple[Happening, ...]],
        dict[str, tuple[Happening, ...]],
        tuple[Happening, ...],
    ]:
        """The reports of trays by code, of shelves by code, and of the site."""
        of_trays: dict[str, list[Happening]] = defaultdict(list)
        of_shelves: dict[str, list[Happening]] = defaultdict(list)
        of_site: list[Happening] = []
        for row in rows(self._session, statements.RECENT, group=self._group, since=self._since):
            value = happening(row)
            if value.tray is not None:
                if value.tray in self._tray_codes:
                    of_trays[self._tray_codes[value.tray]].append(value)
            elif value.shelf is not None:
                of_shelves[self._shelf_codes[value.shelf]].append(value)
            else:
                of_site.append(value)
        return (
            {code: tuple(found) for code, found in of_trays.items()},
            {code: tuple(found) for code, found in of_shelves.items()},
            tuple(of_site),
        )

    def _absences(self) -> tuple[AbsenceOf, ...]:
        found = rows(self._session, statements.ABSENCES, group=self._group, since=self._since)
        return tuple(
            AbsenceOf(id=row.id, member=row.member_id, first=row.first_on, last=row.last_on)
            for row in found
        )


class _Everyday(Garden):
    """See `everyday`: a part not read yet is read by `_later`."""

    __slots__ = ("_later",)
    _later: dict[str, Callable[[], Any]]

    @classmethod
    def of(cls, reader: _Reader, at_once: Iterable[str]) -> _Everyday:
        made = object.__new__(cls)
        object.__setattr__(made, "_later", reader.parts())
        object.__setattr__(made, "site", reader.site)
        object.__setattr__(made, "worked_out", {})
        for part in at_once:
            getattr(made, part)
        return made

    def __getattr__(self, part: str) -> Any:
        """Read a part that is asked for the first time."""
        if part.startswith("_") or part not in self._later:
            raise AttributeError(part)
        value = self._later[part]()
        object.__setattr__(self, part, value)
        return value

    def with_reports(
        self,
        *,
        of_trays: Mapping[str, tuple[Happening, ...]] | None = None,
        of_site: tuple[Happening, ...] | None = None,
    ) -> Garden:
        made = object.__new__(_Everyday)
        object.__setattr__(made, "_later", {part: self._asked(part) for part in self._later})
        object.__setattr__(made, "site", self.site)
        object.__setattr__(made, "worked_out", {})
        if of_trays is not None:
            object.__setattr__(made, "tray_reports", of_trays)
        if of_site is not None:
            object.__setattr__(made, "site_reports", of_site)
        return made

    def _asked(self, part: str) -> Callable[[], Any]:
        return lambda: getattr(self, part)


def open_sowings(
    session: Session, group_id: int, tray_codes: dict[int, str]
) -> tuple[SowingOf, ...]:
    """Return the sowings that are not finished, oldest first, with their live reports."""
    return _read(session, tray_codes, *statements.OPEN, group=group_id)


def all_sowings(session: Session, group_id: int) -> tuple[SowingOf, ...]:
    """Return every sowing of a group that was not undone, finished ones too."""
    trays = select(m.Tray.id, m.Tray.code).where(m.Tray.group_id == group_id)
    codes = dict(session.execute(trays).all())
    return read_sowings(session, codes, m.Sowing.group_id == group_id)


def read_sowings(
    session: Session, tray_codes: dict[int, str], *which: object
) -> tuple[SowingOf, ...]:
    """Return the sowings that fit, oldest first, with their live reports: two queries."""
    return _read(session, tray_codes, *statements.sowings_where(*which))


def _read(
    session: Session,
    tray_codes: dict[int, str],
    sowings: Select[Any],
    reports: Select[Any],
    **values: Any,
) -> tuple[SowingOf, ...]:
    read = rows(session, sowings, **values)
    found: dict[int, list[Happening]] = {row.id: [] for row in read}
    if found:
        for report in rows(session, reports, **values):
            value = happening(report)
            if value.sowing in found:
                found[value.sowing].append(value)
    return tuple(
        sowing_values(row, tray_codes.get(row.tray_id, "?"), row.lot, found[row.id], row.did)
        for row in read
    )


def lots(session: Session, group_id: int) -> dict[str, LotOf]:
    """Return the lots still in use, by code."""
    return {
        row.code: LotOf(
            id=row.id,
            code=row.code,
            crop=row.crop,
            variety=row.variety,
            packed_for=row.packed_for,
            tested_up=row.tested_up,
            tested_of=row.tested_of,
            tested_on=row.tested_on,
            label_percent=row.label_percent,
            treated=row.treated,
            seeds=row.seeds,
            grams=row.grams,
            maturity_days=row.maturity_days,
        )
        for row in sorted(
            rows(session, statements.LOTS, group=group_id), key=lambda lot: natural(lot.code)
        )
    }


def sown_of_lots(session: Session, group_id: int) -> dict[int, int]:
    """Return the seeds sown of each lot so far, by the lot's id."""
    found = rows(session, statements.SOWN_OF_LOTS, group=group_id)
    return {row.lot_id: int(row.seeds) for row in found}


def members(session: Session, group_id: int) -> dict[int, MemberOf]:
    """Return the members who have not left, by id, oldest first."""
    return {
        row.id: MemberOf(
            id=row.id,
            name=row.name,
            person=row.person_id,
            coordinator=row.coordinator,
            private=bool(row.open and row.reminders is not False),
            quiet=(row.quiet_from, row.quiet_to) if row.quiet_from and row.quiet_to else None,
            hour=row.remind_at,
            thanks=bool(row.thanks),
            paused_until=row.paused_until,
        )
        for row in rows(session, statements.MEMBERS, group=group_id)
    }


def reminders(session: Session, group_id: int, today: date) -> tuple[ReminderOf, ...]:
    """Return what is to be reminded of, and what was done of it, from the last days on."""
    since = today - REMINDED_FOR
    return tuple(
        ReminderOf(
            id=row.id,
            on=row.on_day,
            text=row.text,
            asked_by=row.asked_by_id,
            member=row.member_id,
            done_by=row.done_by_id,
        )
        for row in rows(session, statements.REMINDERS, group=group_id, since=since)
        if row.ended_at is None or row.done_by_id is not None
    )


def closures(session: Session, group_id: int) -> tuple[ClosureOf, ...]:
    """Return the closures that stand."""
    return tuple(
        ClosureOf(
            id=row.id,
            first=row.first_on,
            last=row.last_on,
            weekday=row.weekday,
            label=row.label,
        )
        for row in rows(session, statements.CLOSURES, group=group_id)
    )


def speeds(session: Session, group_id: int) -> dict[str, tuple[tuple[float, int], ...]]:
    """Return how fast sowings came up against the table, by crop, the last few hundred."""
    found: dict[str, list[tuple[float, int]]] = defaultdict(list)
    for row in rows(session, statements.SPEEDS, group=group_id):
        found[row.crop].append((row.speed_ratio, row.speed_seeds or 1))
    return {crop: tuple(pairs) for crop, pairs in found.items()}


def sown_items(session: Session, group_id: int, plan: m.Json | None) -> frozenset[str]:
    """Return which sowings of a plan were sown, finished ones too."""
    if plan is None:
        return frozenset()
    sown = (row.plan_item for row in rows(session, statements.SOWN, group=group_id))
    return frozenset(item for item in sown if item) | frozenset(plan.get("sown", ()))


def accepted_plan(session: Session, group_id: int) -> m.Json | None:
    """Return the body of the plan in force."""
    found = rows(session, statements.IN_FORCE, group=group_id)
    return {**found[0].body, "id": found[0].id} if found else None


def _duties(session: Session, group_id: int) -> tuple[DutyOf, ...]:
    return tuple(
        DutyOf(
            id=row.id,
            member=row.member_id,
            weekdays=tuple(int(digit) for digit in row.weekdays),
            day=row.on_day,
            trays=tuple(row.trays.split()),
            instead_of=row.instead_of,
        )
        for row in rows(session, statements.DUTIES, group=group_id)
    )
