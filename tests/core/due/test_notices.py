"""Who hears of what, where and when; and what becomes of it when nobody answers."""

from __future__ import annotations

import itertools
from collections import Counter
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest

from core.cells import Cell
from core.due.day import GROUP, Day, Notice, Said
from core.due.hours import looks, next_look
from core.due.items import Work
from core.due.kinds import Channel, NoticeKind
from core.due.notices import due_now, of_no_use_from
from core.group.garden import DutyOf, Garden, Happening, MemberOf, ShelfOf, Site, SowingOf, TrayOf

MONDAY = date(2027, 3, 1)
ANA, BEN, CY = 1, 2, 3
SITE = Site(
    group_id=1, name="Bench", zone="UTC", language="en", fahrenheit=False, inches=False,
    round_at=time(7, 30), quiet_from=time(21), quiet_to=time(7), created_on=MONDAY,
)  # fmt: skip


def garden(
    *, private: tuple[int, ...] = (ANA, BEN), duty: int | None = ANA, **more: object
) -> Garden:
    """A tray of kale sown on Monday; Ana coordinates, and one member is on duty every day."""
    members = {
        number: MemberOf(
            id=number,
            name=name,
            person=number,
            coordinator=number == ANA,
            private=number in private,
        )
        for number, name in ((ANA, "Ana"), (BEN, "Ben"), (CY, "Cy"))
    }
    sowing = SowingOf(
        id=1, number=1, crop="kale", tray="T1", cells=tuple(Cell(0, n) for n in range(12)),
        sown_on=MONDAY, seeds_per_cell=1, act=1,
    )  # fmt: skip
    duties = () if duty is None else (DutyOf(id=1, member=duty, weekdays=tuple(range(7))),)
    return Garden(
        site=replace(SITE, **more),  # type: ignore[arg-type]
        shelves={"A": ShelfOf(id=1, code="A", usual_temp_c=20.0)},
        trays={"T1": TrayOf(id=1, code="T1", rows=6, cols=12, cell_ml=None, shelf="A")},
        members=members,
        sowings=(sowing,),
        duties=duties,
    )


def at(day: date, hour: int, minute: int = 0) -> datetime:
    return datetime.combine(day, time(hour, minute), UTC)


def said(number: int, notice: Notice, now: datetime) -> Said:
    return Said(
        id=number, recipient=notice.recipient, kind=notice.kind, subject=notice.subject,
        on=notice.on, made_at=now, body={"keys": [i.key for i in notice.items]}, answered=False,
    )  # fmt: skip


def lived(here: Garden, days: int, *, heard: dict[date, int] | None = None) -> list[Notice]:
    """Return what is said over some days in which a member reports at nine on `heard` days."""
    found: list[Notice] = []
    before: tuple[Said, ...] = ()
    heard_at: datetime | None = None
    for n in range(days):
        day = MONDAY + timedelta(days=n)
        for now in sorted(looks(here.site, day)):
            reporter = (heard or {}).get(day)
            if reporter is not None and now >= at(day, 9):
                heard_at = at(day, 9)
            look = Day(
                garden=here,
                now=now,
                today=day,
                said=before,
                heard=frozenset({reporter} if reporter and now >= at(day, 9) else ()),
                heard_at=heard_at,
                looked_at=now - timedelta(hours=1),
            )
            keys = {(s.recipient, s.kind, s.on) for s in before}
            for notice in due_now(look):
                if (notice.recipient, notice.kind, notice.on) not in keys:
                    found.append(notice)
                    before = (*before, said(len(before) + 1, notice, now))
    return found


def kinds(notices: list[Notice]) -> Counter[str]:
    return Counter(notice.kind.value for notice in notices)


def test_whoever_is_on_duty_hears_in_private_and_the_group_hears_nothing_of_it() -> None:
    notices = lived(garden(), 4, heard={MONDAY + timedelta(days=n): ANA for n in range(4)})
    assert {n.recipient for n in notices} == {ANA}
    assert set(kinds(notices)) == {"nudge"}


def test_who_cannot_be_reached_in_private_is_named_to_the_group() -> None:
    notices = lived(garden(private=(), duty=BEN), 3)
    (first, *_) = notices
    assert (first.kind, first.recipient) == (NoticeKind.ROUND, GROUP)
    assert first.values["duty"] == [BEN]
    assert first.values["alert"] == [BEN]


def test_who_reported_anything_today_is_not_asked_again() -> None:
    wednesday = MONDAY + timedelta(days=2)
    assert kinds(lived(garden(), 3)) == {"nudge": 1, "again": 1}
    assert kinds(lived(garden(), 3, heard={wednesday: ANA})) == {"nudge": 1}


def test_what_will_be_harmed_goes_to_a_coordinator_before_it_goes_to_the_group() -> None:
    notices = lived(garden(duty=BEN), 9, heard={MONDAY + timedelta(days=n): CY for n in range(9)})
    harmed = [n for n in notices if n.kind in (NoticeKind.STAND_IN, NoticeKind.RISE)]
    assert harmed
    assert {(n.kind, n.recipient) for n in harmed} == {(NoticeKind.STAND_IN, ANA)}
    heard = {MONDAY + timedelta(days=n): CY for n in range(0, 9, 2)}
    alone = lived(garden(private=(BEN,), duty=BEN), 9, heard=heard)
    risen = [n for n in alone if n.kind is NoticeKind.RISE]
    assert {n.recipient for n in risen} == {GROUP}
    assert not [n for n in risen if n.on in heard]
    assert not [n for n in alone if n.kind is NoticeKind.STAND_IN]


@pytest.mark.parametrize("private", [(ANA,), ()], ids=["reachable", "group only"])
def test_three_silent_weeks_give_at_most_six_messages(private: tuple[int, ...]) -> None:
    notices = lived(garden(private=private), 21)
    assert 3 <= len(notices) <= 6, kinds(notices)
    assert kinds(notices)["quiet"] == 1


def test_a_report_ends_the_silence() -> None:
    silent = lived(garden(), 12)
    heard = lived(garden(), 12, heard={MONDAY + timedelta(days=5): ANA})
    assert kinds(heard)["nudge"] > kinds(silent)["nudge"]


@pytest.mark.parametrize(
    ("channel", "wanted"),
    [
        (Channel.BOTH, {("nudge", ANA)}),
        (Channel.PRIVATE, {("nudge", ANA)}),
        (Channel.GROUP, {("round", GROUP)}),
        (Channel.PAUSED, set()),
    ],
)
def test_a_group_chooses_where_it_hears(channel: Channel, wanted: set[tuple[str, int]]) -> None:
    day = MONDAY + timedelta(days=2)
    notices = lived(garden(channel=channel.value), 3, heard={day: ANA})
    assert {(n.kind.value, n.recipient) for n in notices} == wanted


def test_once_a_week_means_mondays() -> None:
    notices = lived(
        garden(channel="weekly"), 15, heard={MONDAY + timedelta(days=n): ANA for n in range(15)}
    )
    assert {n.on.weekday() for n in notices} == {0}
    assert {n.recipient for n in notices} == {GROUP}


def test_a_member_may_choose_their_hour() -> None:
    here = garden()
    here = replace(here, members={**here.members, ANA: replace(here.members[ANA], hour=time(18))})
    day = MONDAY + timedelta(days=2)
    morning = Day(garden=here, now=at(day, 8), today=day)
    evening = Day(garden=here, now=at(day, 18), today=day)
    assert due_now(morning) == []
    assert [n.kind for n in due_now(evening)] == [NoticeKind.NUDGE]


def test_a_cold_night_is_told_at_dusk_only_with_plants_outside() -> None:
    here = garden()
    day = MONDAY + timedelta(days=40)
    out = [
        Happening(
            id=1, act=2, kind="up", on=MONDAY, at=at(MONDAY, 9), values={"total": 12}, sowing=1
        ),
        Happening(id=2, act=3, kind="out", on=day, at=at(day, 9), values={"hours": 2.0}, sowing=1),
    ]
    cold = Happening(
        id=3, act=4, kind="temp", on=day, at=at(day, 10), values={"temp_c": -3.0, "of": "forecast"}
    )
    inside = replace(here, site_reports=(cold,))
    outside = replace(inside, sowings=(replace(here.sowings[0], happenings=tuple(out)),))
    dusk = looks(here.site, day).dusk
    for place, wanted in ((inside, []), (outside, [NoticeKind.DUSK])):
        look = Day(garden=place, now=dusk, today=day, heard_at=at(day, 10))
        assert [n.kind for n in due_now(look) if n.kind is NoticeKind.DUSK] == wanted
    before = Day(garden=outside, now=dusk - timedelta(minutes=1), today=day, heard_at=at(day, 10))
    assert not [n for n in due_now(before) if n.kind is NoticeKind.DUSK]


def test_work_is_said_again_only_after_its_rhythm() -> None:
    notices = lived(garden(), 20, heard={MONDAY + timedelta(days=n): ANA for n in range(20)})
    counts = [n.on for n in notices if any(i.kind is Work.COUNT for i in n.items)]
    gaps = {(b - a).days for a, b in itertools.pairwise(counts)}
    assert counts
    assert not gaps or min(gaps) >= 2


@pytest.mark.parametrize(
    ("kind", "day", "hour"), [(NoticeKind.ROUND, 0, 21), (NoticeKind.DUSK, 1, 8)]
)
def test_a_notice_is_of_no_use_after_its_day(kind: NoticeKind, day: int, hour: int) -> None:
    notice = Notice(group_id=1, recipient=GROUP, kind=kind, subject="day", on=MONDAY)
    assert of_no_use_from(SITE, notice) == at(MONDAY + timedelta(days=day), hour)


def test_every_look_of_a_day_is_looked_for() -> None:
    now = at(MONDAY, 0)
    found = []
    for _ in range(5):
        now = next_look(SITE, now)
        found.append(now)
    assert found == sorted(set(looks(SITE, MONDAY)))
