"""A database grown large: one invented group, copied many times over, ids and keys moved along."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from sqlalchemy import Column, Connection, Table, func, select, text, update

from bot.incoming import Event, Incoming
from bot.operate.clock import MovableClock
from bot.talk import worker
from bot.terminal.chat import TerminalChat
from core.records import models as m
from core.records.database import Database

OPEN, FINISHED = 5, 5  # sowings of the group that is copied
SOWINGS = OPEN + FINISHED
DUE = 100  # groups a heartbeat
STRIDE = 1000  # ids of one copy lie this far from those of the one before
START = datetime(2027, 3, 1, 14, tzinfo=UTC)
NOW = START + timedelta(days=7, hours=2)
HISTORY = ("acts", "sowings", "reports")
SINGLE = ("leases", "marks", "presses", "sent_files", "inbox", "dialogues")  # not a group's


def found(database: Database) -> None:
    """Set up the group that is copied: five sowings that grow and five that are done."""
    clock = MovableClock(START)
    chat = TerminalChat(database, clock, lambda line: None, speaker="Ana")
    for line in (
        "/start",
        "/site America/Chicago",
        "/shelf A led 6:00-20:00",
        "/tray T1 72",
        "/tray T2 72",
    ):
        chat.feed(line)
    for n in range(OPEN):
        chat.feed(f"/sow tomato {'T2' if n % 2 else 'T1'} {'ABCDE'[n]}1-4")
    chat.feed("/duty Ana mon wed fri")
    for days in (3, 5, 7):
        clock.set(START + timedelta(days=days))
        chat.feed("/watered all")
        chat.feed("/temp T1 21C")
    for n in range(1, OPEN):
        chat.feed(f"/up 2 S{n}")
    with database.transaction() as session:
        group = session.scalars(select(m.Group)).one()
        tray = session.scalars(select(m.Tray.id).order_by(m.Tray.id)).first()
        assert tray is not None
        first_act, first_sowing = group.next_act, group.next_sowing
        for n in range(FINISHED):
            _finished(session, group.id, tray, first_act + n, first_sowing + n)
        group.next_act += FINISHED
        group.next_sowing += FINISHED
        assert session.scalar(select(func.count()).select_from(m.Sowing)) == SOWINGS


def _finished(session: object, group: int, tray: int, act_number: int, number: int) -> None:
    """Add a sowing of last year, all of it planted out."""
    add, flush = session.add, session.flush  # type: ignore[attr-defined]
    sown = date(2026, 3, 2)
    act = m.Act(
        group_id=group,
        number=act_number,
        kind="sow",
        by_id=None,
        did_id=None,
        for_name=None,
        recorded_at=START - timedelta(days=364),
        summary={"crop": "tomato", "tray": "T1"},
        undone_at=None,
        undone_by_id=None,
    )
    add(act)
    flush()
    sowing = m.Sowing(
        group_id=group,
        act_id=act.id,
        number=number,
        crop="tomato",
        variety=None,
        lot_id=None,
        tray_id=tray,
        cells="A1 A2 A3 A4",
        sown_on=sown,
        seeds_per_cell=1,
        depth_mm=6.0,
        plan_item=None,
        speed_ratio=None if number % 2 else 1.1,
        speed_seeds=None if number % 2 else 3,
        closed_on=sown + timedelta(days=60),
        void=False,
    )
    add(sowing)
    flush()
    for kind, days in (("up", 9), ("planted", 60)):
        add(
            m.Report(
                group_id=group,
                act_id=act.id,
                kind=kind,
                sowing_id=sowing.id,
                tray_id=None,
                shelf_id=None,
                on_day=sown + timedelta(days=days),
                at=START - timedelta(days=364 - days),
                values={"count": 3},
                undone=False,
            )
        )


def copy_group(database: Database, copies: int) -> None:
    """Copy the one group and all that is its own, so that there are `copies` more of it."""
    with database.engine.begin() as connection:
        for table in m.Base.metadata.sorted_tables:
            if table.name not in SINGLE:
                _copy(connection, table, 1, copies, everything=True)
    _finish(database)


def copy_history(database: Database, copies: int, *, beyond: int) -> None:
    """Give the first group a long past: its finished sowings again, `copies` times over.

    `beyond`: how many groups there are, whose ids are taken.
    """
    last = (beyond + copies) * STRIDE
    with database.engine.begin() as connection:
        for name in HISTORY:
            table = m.Base.metadata.tables[name]
            _copy(connection, table, beyond, beyond + copies - 1, everything=False)
        connection.execute(
            update(m.Group).where(m.Group.id == 1).values(next_act=last, next_sowing=last)
        )
    _finish(database)


def _copy(connection: Connection, table: Table, first: int, last: int, *, everything: bool) -> None:
    moved = "id + k.n * :stride"
    columns = [f'"{column.name}"' for column in table.columns]
    values = [_moved(column, everything=everything, moved=moved) for column in table.columns]
    where = "1 = 1" if everything else _of_finished(table.name)
    made = (
        f'INSERT INTO "{table.name}" ({", ".join(columns)}) '
        "WITH RECURSIVE k(n) AS (SELECT CAST(:first AS BIGINT) "
        "UNION ALL SELECT n + 1 FROM k WHERE n < :last) "
        f"SELECT {', '.join(values)} FROM k "
        f'CROSS JOIN (SELECT * FROM "{table.name}" WHERE {where}) AS t'
    )
    connection.execute(text(made), {"first": first, "last": last, "stride": STRIDE})


def _of_finished(table: str) -> str:
    if table == "sowings":
        return "closed_on IS NOT NULL AND group_id = 1"
    column = "act_id" if table == "reports" else "id"
    return f"{column} IN (SELECT act_id FROM sowings WHERE closed_on IS NOT NULL AND group_id = 1)"


def _moved(column: Column[object], *, everything: bool, moved: str) -> str:
    name = f't."{column.name}"'
    own = {"id", "number"} if not everything else {"id"}
    to_history = any(f.column.table.name in HISTORY for f in column.foreign_keys)
    if column.name in own or to_history or (everything and column.foreign_keys):
        return f"{name} + k.n * :stride"
    if everything and column.name in ("platform_user", "platform_chat", "key"):
        return f"{name} || '-' || k.n"
    if everything and column.name == "recipient":
        return f"CASE WHEN {name} = 0 THEN 0 ELSE {name} + k.n * :stride END"
    return name


def _finish(database: Database) -> None:
    """Do what the engines do by themselves in time: gather statistics, number what comes next."""
    with database.engine.begin() as connection:
        connection.execute(text("ANALYZE"))
        if connection.dialect.name == "postgresql":
            for table in m.Base.metadata.sorted_tables:
                if "id" in table.columns:
                    connection.execute(
                        text(
                            f"SELECT setval(pg_get_serial_sequence('{table.name}', 'id'), "
                            f'(SELECT coalesce(max(id), 0) + 1 FROM "{table.name}"), false)'
                        )
                    )


def chat_name(copy: int) -> str:
    """Return the platform's id of a copy's group chat; 0 = the first group."""
    return "group" if copy == 0 else f"group-{copy}"


def report(database: Database, key: str, copy: int, words: str, now: datetime) -> None:
    """Take one line in and handle it, as a front end does: stored first, then worked off."""
    incoming = Incoming(
        platform="terminal",
        key=key,
        chat=chat_name(copy),
        private=False,
        event=Event.TEXT,
        text=words,
        user="ana" if copy == 0 else f"ana-{copy}",
        name="Ana",
    )
    worker.store(database, [incoming], now)
    with database.transaction() as session:
        row = session.scalars(select(m.Inbox.id).where(m.Inbox.update_key == key)).one()
    assert worker.work(database, worker.Task(row_id=row), now)


def spread(size: int, count: int) -> list[int]:
    """Return that many copies, spread over all there are."""
    copies = size // SOWINGS
    return [copies * number // count for number in range(count)]


def let_fall_due(database: Database, copies: list[int], now: datetime) -> None:
    """Make these groups due, and no other."""
    later = now + timedelta(days=1000)
    with database.transaction() as session:
        session.execute(
            update(m.Group).where(m.Group.next_look_at < later).values(next_look_at=later)
        )
        session.execute(
            update(m.Group)
            .where(m.Group.id.in_([1 + STRIDE * copy for copy in copies]))
            .values(next_look_at=now - timedelta(minutes=1))
        )
