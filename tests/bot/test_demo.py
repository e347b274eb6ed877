"""The demo: an invented group, consistent, and with something to do at any time of the year."""

from __future__ import annotations

import itertools
from dataclasses import fields
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import func, select

from bot.terminal.demo import GROUP_NAME, MEMBERS, play, script, seed
from core.due.open_work import due_items
from core.records import models as m
from core.records import snapshot
from core.records.database import Database
from core.scene import local_date
from tests.databases import new_database, new_url

ZONE = "America/Chicago"
DAYS = (
    datetime(2027, 4, 14, 15, 0, tzinfo=UTC),
    datetime(2027, 11, 25, 8, 0, tzinfo=UTC),
    datetime(2028, 2, 29, 23, 30, tzinfo=UTC),
    datetime(2027, 1, 1, 3, 0, tzinfo=UTC),
)


SET_UP = ("/start", "/help", "/site", "/frost", "/shelf", "/tray", "/lot", "/duty")
KINDS = ("sow", "up", "watered", "moist", "temp", "light", "thinned", "fed", "lost", "out")


@pytest.fixture
def database(both_engines: str) -> Database:
    return new_database()


@pytest.mark.parametrize("now", DAYS, ids=[f"{day:%b-%d}" for day in DAYS])
def test_every_line_of_the_demo_is_understood_and_recorded(
    database: Database, now: datetime
) -> None:
    said = play(database, now, ZONE)
    with database.transaction() as session:
        assert not session.scalars(select(m.Inbox.error).where(m.Inbox.state != "done")).all()
        lines = [line for typed in script(now.date(), ZONE) for line in typed.lines.split("\n")]
        reporting = [line for line in lines if line.split()[0] not in SET_UP]
        reports = session.scalars(select(m.Act.kind).where(m.Act.kind.in_(KINDS))).all()
        assert len(reports) == len(reporting)
        count = {
            model: session.scalar(select(func.count()).select_from(model))
            for model in (m.Shelf, m.Tray, m.Sowing, m.Lot)
        }
        assert count == {m.Shelf: 2, m.Tray: 4, m.Sowing: 5, m.Lot: 1}
        assert tuple(session.scalars(select(m.Member.name).order_by(m.Member.id))) == MEMBERS
        group = session.scalars(select(m.Group)).one()
        assert (group.demo, group.name, group.zone) == (True, GROUP_NAME, ZONE)
        assert group.frost is not None
    for line in said:
        assert "nothing was recorded" not in line
        assert "Try:" not in line


@pytest.mark.parametrize("now", DAYS, ids=[f"{day:%b-%d}" for day in DAYS])
def test_the_demo_always_has_crops_at_several_stages_and_something_due(
    database: Database, now: datetime
) -> None:
    play(database, now, ZONE)
    with database.transaction() as session:
        group = session.scalars(select(m.Group)).one()
        today = local_date(now, ZONE)
        garden = snapshot.garden(session, group.id, today)
        kinds = {item.kind for item in due_items(garden, today)}
        seen = {report.kind for report in session.scalars(select(m.Report))}
    assert len(kinds) >= 2
    assert {"up", "watered", "thinned", "fed", "out", "lost", "temp"} <= seen


def test_nothing_in_the_demo_lies_in_the_future(database: Database) -> None:
    now = DAYS[0]
    play(database, now, ZONE)
    with database.transaction() as session:
        for column in (m.Report.at, m.Act.recorded_at, m.Inbox.received_at, m.Notice.made_at):
            latest = session.scalar(select(func.max(column)))
            assert latest is not None
            assert latest <= now


def test_the_lines_come_in_order() -> None:
    typed = script(DAYS[0].date(), ZONE)
    for a, b in itertools.pairwise(typed):
        assert (-a.days_ago, a.at) <= (-b.days_ago, b.at)


@pytest.mark.usefixtures("both_engines")
def test_seeding_a_file_gives_the_same_group_as_playing_into_it(tmp_path: Path) -> None:
    filled = new_database(new_url(tmp_path))
    seed(filled, DAYS[0], zone=ZONE)
    played = new_database()
    play(played, DAYS[0], ZONE)
    for model in (m.Act, m.Report, m.Sowing, m.Notice, m.Outbox, m.Member):
        counts = []
        for database in (filled, played):
            with database.transaction() as session:
                counts.append(session.scalar(select(func.count()).select_from(model)))
        assert counts[0] == counts[1] != 0


def test_a_garden_read_bit_by_bit_is_the_garden(database: Database) -> None:
    now = DAYS[0]
    seed(database, now)
    with database.transaction() as session:
        group_id = session.scalars(select(m.Group.id)).one()
        today = local_date(now, ZONE)
        whole = snapshot.garden(session, group_id, today)
        assert all((whole.tray_reports, whole.sowings, whole.duties))
        for at_once in ((), snapshot.WITH_A_REPORT):
            bits = snapshot.everyday(session, group_id, today, at_once=at_once)
            dry = bits.with_reports(of_trays={}, of_site=())
            again = bits.with_reports()
            for part in fields(whole):
                value = getattr(whole, part.name)
                assert getattr(bits, part.name) == value
                assert getattr(again, part.name) == value
                if part.name not in ("tray_reports", "site_reports"):
                    assert getattr(dry, part.name) == value
            assert (dry.tray_reports, dry.site_reports) == ({}, ())
            with pytest.raises(AttributeError):
                bits.unheard_of  # type: ignore[attr-defined]  # noqa: B018
