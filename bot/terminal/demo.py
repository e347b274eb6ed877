"""An invented group with a few weeks of records, to try things on.

Nobody in it exists. It comes about as any group does: its members' lines are typed at a clock
that stands at past days, so that every record agrees with every other. The frost date is set a
month ahead of today, whatever the season, so that there is always something to do.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from sqlalchemy import select

from bot.operate.clock import MovableClock
from bot.terminal.chat import TerminalChat
from core.records import models as m
from core.records.database import Database, open_engine

MEMBERS = ("Robin", "Ana", "Kofi", "Mei")  # Robin coordinates, and is who sits at the terminal
GROUP_NAME = "Invented demo group"
FROST_AHEAD = timedelta(days=21)
FIRST_AHEAD = FROST_AHEAD + timedelta(days=170)


@dataclass(frozen=True, slots=True)
class Typed:
    """A message somebody typed: whole days before today, at a local wall time."""

    days_ago: int
    at: str
    who: str
    lines: str


def script(today: date, zone: str) -> tuple[Typed, ...]:
    """Return what the group typed before `today`, oldest first."""
    last, first = (f"{(today + ahead):%d %b}" for ahead in (FROST_AHEAD, FIRST_AHEAD))
    return (
        Typed(45, "18:00", "Robin", "/start"),
        Typed(45, "18:01", "Robin", f"/site zone {zone}"),
        Typed(
            45,
            "18:05",
            "Robin",
            f"""/frost {last.lstrip("0")}
/frost first {first.lstrip("0")}
/shelf A led 2 tubes 10cm 6:00-20:00 4 places mat timer
/shelf B fluorescent 4 tubes 10cm 6:00-20:00 4 places timer
/tray T1 72 shelf A
/tray T2 50 shelf A
/tray T3 72 shelf B
/tray T4 18 shelf B""",
        ),
        Typed(45, "18:30", "Ana", "/help"),
        Typed(45, "18:31", "Kofi", "/help"),
        Typed(45, "18:32", "Mei", "/help"),
        Typed(
            44,
            "12:00",
            "Robin",
            """/duty Ana mon thu
/duty Kofi tue fri
/duty Mei wed sat sun""",
        ),
        Typed(44, "12:05", "Robin", "/lot tomato Amber Pip 2025 10 of 10"),
        Typed(40, "17:00", "Ana", "/sow 2 per cell lettuce T3 A1-B6\n/temp shelf B air 18C"),
        Typed(36, "08:00", "Mei", "/up 9 lettuce"),
        Typed(34, "08:10", "Kofi", "/up all T3\n/watered T3"),
        Typed(30, "17:00", "Robin", "/sow 2 per cell L1 T1 A1-B6\n/temp T1 22C\n/watered all"),
        Typed(27, "08:05", "Ana", "/watered T3"),
        Typed(24, "08:00", "Kofi", "/up 10 L1\n/watered all"),
        Typed(22, "16:30", "Kofi", "/up all T1\n/thinned T1 to 1 per cell\n/watered all"),
        Typed(19, "16:40", "Ana", "/moist T1 dry\n/watered all"),
        Typed(16, "17:00", "Kofi", "/sow pepper T2 A1-B5\n/temp T2 21C\n/watered all"),
        Typed(13, "08:00", "Mei", "/fed T1\n/light A 3800 lx\n/watered all"),
        Typed(11, "17:00", "Mei", "/sow marigold T1 C1-D6\n/watered all"),
        Typed(9, "09:30", "Robin", "/watered all"),
        Typed(7, "08:00", "Ana", "/up 8 marigold\n/watered T2"),
        Typed(6, "08:00", "Kofi", "/up 6 pepper\n/watered all"),
        Typed(5, "16:00", "Mei", "/lost 2 lettuce slugs"),
        Typed(4, "15:00", "Robin", "/out 2h T3\n/watered T1 T3"),
        Typed(3, "15:00", "Ana", "/out 3h T3"),
        Typed(2, "15:00", "Kofi", "/sow zucchini T4 A1-A3\n/temp T4 20C\n/watered T2 T3"),
        Typed(1, "15:00", "Mei", "/out 3h T3"),
    )


def seed(database: Database, now: datetime, *, zone: str | None = None) -> None:
    """Fill an empty database with the demo group, as it stands at `now`.

    Args:
        zone: IANA zone of the group; None = this machine's.

    A SQLite file is filled in one go from memory, so that hundreds of small writes need not wait
    for the disk.
    """
    zone = zone or local_zone()
    if database.engine.dialect.name != "sqlite":
        play(database, now, zone)
        return
    memory = Database(open_engine("sqlite://"))
    _copy(database, memory)  # the empty tables
    play(memory, now, zone)
    _copy(memory, database)
    memory.close()


def _copy(source: Database, target: Database) -> None:
    """Copy one SQLite database over another."""
    with source.engine.connect() as taken, target.engine.connect() as given:
        raw_taken, raw_given = (c.connection.dbapi_connection for c in (taken, given))
        assert isinstance(raw_taken, sqlite3.Connection)
        assert isinstance(raw_given, sqlite3.Connection)
        raw_taken.backup(raw_given)


def play(database: Database, now: datetime, zone: str) -> tuple[str, ...]:
    """Type the script into a database, let time pass until today, and return what was said."""
    here = ZoneInfo(zone)
    today = now.astimezone(here).date()
    said: list[str] = []
    clock = MovableClock(now - timedelta(days=60))
    chat = TerminalChat(database, clock, said.append, speaker=MEMBERS[0])
    for typed in script(today, zone):
        wall = datetime.combine(
            today - timedelta(days=typed.days_ago), time.fromisoformat(typed.at), tzinfo=here
        )
        clock.set(wall)
        chat.speaker = typed.who
        chat.feed(typed.lines)
    chat.pass_time(datetime.combine(today, time(0), tzinfo=here))
    with database.transaction() as session:
        group = session.scalars(select(m.Group)).one()
        group.name = GROUP_NAME
        group.demo = True
    return tuple(said)


def local_zone() -> str:
    """Return the machine's IANA zone, UTC when it names none."""
    import tzlocal

    try:
        name = tzlocal.get_localzone_name()
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return "UTC"
    return str(name)
