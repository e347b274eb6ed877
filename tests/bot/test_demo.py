"""The demo: an invented group in March, consistent, with something due, late, ill and to decide."""

from __future__ import annotations

import itertools
from dataclasses import fields
from datetime import UTC, date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy import func, select

from bot.operate.clock import MovableClock
from bot.terminal.chat import Said, TerminalChat
from bot.terminal.demo import GROUP_NAME, MEMBERS, TO_TAP, ZONE, opens_on, play, script, seed
from core.due.items import Work
from core.due.open_work import due_items
from core.records import models as m
from core.records import snapshot
from core.records.database import Database
from core.scene import local_date
from tests.databases import new_database, new_url

NOW = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)
OPENS = datetime(2027, 3, 16, 13, 10, tzinfo=UTC)
SET_UP = ("/start", "/help", "/site", "/frost", "/shelf", "/tray", "/lot", "/duty", "/closed")
KINDS = ("sow", "up", "watered", "moist", "temp", "light", "thinned", "fed", "lost", "out")


@pytest.fixture
def database(both_engines: str) -> Database:
    return new_database()


@pytest.mark.parametrize(
    ("now", "day"),
    [
        (NOW, date(2027, 3, 16)),
        (datetime(2027, 1, 1, 3, tzinfo=UTC), date(2027, 3, 16)),
        (datetime(2027, 3, 16, 12, tzinfo=UTC), date(2027, 3, 16)),
        (datetime(2027, 3, 17, 12, tzinfo=UTC), date(2028, 3, 14)),
        (datetime(2028, 2, 29, 23, 30, tzinfo=UTC), date(2028, 3, 14)),
        (datetime(2029, 6, 1, tzinfo=UTC), date(2030, 3, 19)),
    ],
)
def test_it_opens_on_a_tuesday_in_the_middle_of_the_next_march(now: datetime, day: date) -> None:
    opens = opens_on(now).astimezone(ZoneInfo(ZONE))
    assert (opens.date(), opens.hour, opens.weekday()) == (day, 8, 1)


@pytest.mark.parametrize("year", [2027, 2028, 2030])
def test_every_line_of_the_demo_is_understood_and_recorded(database: Database, year: int) -> None:
    opens = opens_on(datetime(year, 1, 2, tzinfo=UTC))
    said = play(database, opens)
    with database.transaction() as session:
        assert not session.scalars(select(m.Inbox.error).where(m.Inbox.state != "done")).all()
        today = opens.astimezone(ZoneInfo(ZONE)).date()
        lines = [line for typed in script(today) for line in typed.lines.split("\n")]
        reporting = [line for line in lines if line.split()[0] not in SET_UP]
        reports = session.scalars(select(m.Act.kind).where(m.Act.kind.in_(KINDS))).all()
        assert len(reports) == len(reporting)
        count = {
            model: session.scalar(select(func.count()).select_from(model))
            for model in (m.Shelf, m.Tray, m.Sowing, m.Lot)
        }
        assert count == {m.Shelf: 2, m.Tray: 6, m.Sowing: 5, m.Lot: 3}
        assert tuple(session.scalars(select(m.Member.name).order_by(m.Member.id))) == MEMBERS
        group = session.scalars(select(m.Group)).one()
        assert (group.demo, group.name, group.zone) == (True, GROUP_NAME, ZONE)
        assert group.frost is not None
    for line in said:
        assert "othing was recorded" not in line
        assert "Try:" not in line


def test_something_is_due_late_ill_and_to_decide(database: Database) -> None:
    play(database, OPENS)
    with database.transaction() as session:
        group = session.scalars(select(m.Group)).one()
        today = local_date(OPENS, ZONE)
        garden = snapshot.garden(session, group.id, today)
        due = {item.kind: item for item in due_items(garden, today)}
        assert Work.WATER in due
        assert (due[Work.OVERDUE].tray, due[Work.OVERDUE].crop) == ("T2", "cabbage")
    heard = tapped(database)
    assert list(heard) == [label for row in TO_TAP for label, _ in row]
    assert "cabbage" in heard["What is late"].text
    assert heard["Lettuce falls over"].text.startswith("S3 lettuce: Damping off (likely).")
    assert "Nobody has said they come" in heard["Spring break"].text
    assert "Sow indoors" in heard["When to sow tomatoes"].text


def tapped(database: Database) -> dict[str, Said]:
    """Press every button of the greeting; return the answers by label."""
    heard: list[Said] = []
    chat = TerminalChat(database, MovableClock(OPENS), lambda line: None, hear=heard.append)
    chat.catch_up()
    (greeting,) = [said for said in heard if "Five things to try" in said.text]
    labels = [label for row in greeting.buttons for label in row]
    numbers = {shown.label: number for number, shown in chat.buttons.items()}
    answers = {}
    for label in labels:
        heard.clear()
        chat.feed(str(numbers[label]))
        (answers[label],) = heard
    return answers


def test_nothing_in_the_demo_lies_in_the_future(database: Database) -> None:
    play(database, OPENS)
    with database.transaction() as session:
        for column in (m.Report.at, m.Act.recorded_at, m.Inbox.received_at, m.Notice.made_at):
            latest = session.scalar(select(func.max(column)))
            assert latest is not None
            assert latest <= OPENS


def test_the_lines_come_in_order() -> None:
    typed = script(OPENS.date())
    for a, b in itertools.pairwise(typed):
        assert (-a.days_ago, a.at) <= (-b.days_ago, b.at)


@pytest.mark.usefixtures("both_engines")
def test_seeding_a_file_gives_the_same_group_as_playing_into_it(tmp_path: Path) -> None:
    filled = new_database(new_url(tmp_path))
    seed(filled, NOW)
    played = new_database()
    play(played, OPENS)
    for model in (m.Act, m.Report, m.Sowing, m.Notice, m.Outbox, m.Member):
        counts = []
        for database in (filled, played):
            with database.transaction() as session:
                counts.append(session.scalar(select(func.count()).select_from(model)))
        assert counts[0] == counts[1] != 0


def test_a_garden_read_bit_by_bit_is_the_garden(database: Database) -> None:
    now = OPENS
    seed(database, NOW)
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
