"""An invented group in spring, with a season under way, to try things on.

Nobody in it exists. Whatever today is, its clock stands on a Tuesday morning in the middle of
March of the coming season, in a cold place: something is due, something late, something ill, and
something to decide. It comes about as any group does: its members' lines are typed at a clock
that stands at earlier days, so that every record agrees with every other.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from sqlalchemy import select

from bot.operate.clock import MovableClock
from bot.terminal.chat import TerminalChat
from core.records import models as m
from core.records import outbox
from core.records.database import Database, open_engine

MEMBERS = ("Robin", "Ana", "Kofi", "Mei", "Sunita", "Joel", "Wren", "Pat")
"""Robin coordinates, and is who sits at the terminal. All are invented."""
GROUP_NAME = "Invented demo group"
PLACE, ZONE = "Duluth, Minnesota", "America/Chicago"
OPENS_AT = time(8, 10)
GREETING_KEY = "demo"
"""Of the row in the outbox."""
ROUND_BEFORE = timedelta(days=90)

GREETING = """Good morning, Robin. It is {day}. This garden is invented: nothing here can go wrong.
Five things to try, or write what you like, as you would to a friend."""
TO_TAP = (
    (("What is due", "/due"), ("What is late", "/tray T2")),
    (("Lettuce falls over", "/ask T3 lettuce seedlings fall over, thin at the soil"),),
    (("Spring break", "/break"), ("When to sow tomatoes", "/when tomato")),
)


@dataclass(frozen=True, slots=True)
class Typed:
    """A message somebody typed: whole days before the demo's day, at a local wall time."""

    days_ago: int
    at: str
    who: str
    lines: str


def opens_on(now: datetime) -> datetime:
    """Return the instant at which the demo opens: the Tuesday of 14 to 20 March still to come."""
    here = now.astimezone(ZoneInfo(ZONE)).date()
    for year in (here.year, here.year + 1):
        middle = date(year, 3, 14)
        tuesday = middle + timedelta(days=(1 - middle.weekday()) % 7)
        if tuesday >= here:
            break
    return datetime.combine(tuesday, OPENS_AT, tzinfo=ZoneInfo(ZONE)).astimezone(UTC)


def script(today: date) -> tuple[Typed, ...]:
    """Return what the group typed before `today`, oldest first."""
    away, back = (f"{today + timedelta(days=days):%d %b}".lstrip("0") for days in (11, 19))
    return (
        Typed(60, "18:00", "Robin", "/start"),
        Typed(60, "18:01", "Robin", f"/site place {PLACE}\n/site fahrenheit inches"),
        Typed(
            60,
            "18:05",
            "Robin",
            """/frost 25 May
/frost first 20 September
/shelf A led 2 tubes 4in 6:00-20:00 4 places mat timer
/shelf B fluorescent 4 tubes 4in 6:00-20:00 4 places timer
/tray T1 72 shelf B
/tray T2 72 shelf A
/tray T3 50 shelf B
/tray T4 72 shelf B
/tray T5 72 shelf A
/tray T6 18 shelf B""",
        ),
        *(Typed(60, f"18:{30 + n}", name, "/help") for n, name in enumerate(MEMBERS[1:])),
        Typed(
            59,
            "12:00",
            "Robin",
            f"""/closed sat sun
/closed {away} - {back} spring break
/duty Ana mon
/duty Kofi tue
/duty Mei wed
/duty Sunita thu
/duty Joel fri""",
        ),
        Typed(
            59,
            "12:05",
            "Robin",
            f"/lot tomato Amber Pip {today.year}\n/lot pepper Copper Bell {today.year - 1} 9 of 10",
        ),
        Typed(42, "16:00", "Kofi", "/sow onion T1 A1-D12\n/temp T1 66F"),
        Typed(40, "16:00", "Sunita", "/watered T1"),
        Typed(36, "16:00", "Ana", "/watered T1"),
        Typed(33, "16:00", "Sunita", "/watered T1"),
        Typed(28, "16:10", "Kofi", "/up 31 onion\n/watered T1"),
        Typed(25, "16:00", "Joel", "/watered T1"),
        Typed(22, "16:00", "Ana", "/watered T1"),
        Typed(21, "16:00", "Kofi", "/up 41 onion"),
        Typed(
            20, "16:00", "Robin", f"/lot cabbage {today.year - 6}\n/sow L3 T2 A1-B12\n/temp T2 68F"
        ),
        Typed(19, "16:00", "Sunita", "/watered all"),
        Typed(18, "16:00", "Wren", "/sow lettuce T3 A1-C10\n/temp T3 66F"),
        Typed(15, "16:00", "Ana", "/watered all"),
        Typed(14, "16:00", "Kofi", "/sow kale T4 A1-B12\n/temp T4 66F\n/fed T1"),
        Typed(13, "08:10", "Mei", "/up 22 lettuce\n/watered all"),
        Typed(11, "16:00", "Joel", "/up 28 lettuce\n/watered T3 T4"),
        Typed(8, "16:00", "Ana", "/light A 5200 lx\n/watered all"),
        Typed(7, "16:00", "Kofi", "/sow L2 T5 A1-C12\n/temp T5 78F\n/up 20 kale\n/fed T1"),
        Typed(6, "08:00", "Mei", "/watered all"),
        Typed(5, "16:00", "Sunita", "/watered T2 T3 T5"),
        Typed(4, "16:00", "Joel", "/moist T4 light\n/watered all"),
        Typed(1, "16:20", "Ana", "/up 0 cabbage\n/lost 5 lettuce fallen over\n/watered T1 T3 T4"),
    )


def seed(database: Database, now: datetime) -> None:
    """Fill an empty database with the demo group, as it stands when it opens.

    A SQLite file is filled in one go from memory, so that hundreds of small writes need not wait
    for the disk.
    """
    opens_at = opens_on(now)
    if database.engine.dialect.name != "sqlite":
        play(database, opens_at)
        return
    memory = Database(open_engine("sqlite://"))
    _copy(database, memory)  # the empty tables
    play(memory, opens_at)
    _copy(memory, database)
    memory.close()


def _copy(source: Database, target: Database) -> None:
    """Copy one SQLite database over another."""
    with source.engine.connect() as taken, target.engine.connect() as given:
        raw_taken, raw_given = (c.connection.dbapi_connection for c in (taken, given))
        assert isinstance(raw_taken, sqlite3.Connection)
        assert isinstance(raw_given, sqlite3.Connection)
        raw_taken.backup(raw_given)


def play(database: Database, opens_at: datetime) -> tuple[str, ...]:
    """Type the script into a database, let time pass until it opens, and return what was said."""
    here = ZoneInfo(ZONE)
    today = opens_at.astimezone(here).date()
    said: list[str] = []
    clock = MovableClock(opens_at - ROUND_BEFORE)
    chat = TerminalChat(database, clock, said.append, speaker=MEMBERS[0])
    for typed in script(today):
        wall = datetime.combine(
            today - timedelta(days=typed.days_ago), time.fromisoformat(typed.at), tzinfo=here
        )
        clock.set(wall)
        chat.speaker = typed.who
        chat.feed(typed.lines)
    chat.pass_time(opens_at)
    with database.transaction() as session:
        group = session.scalars(select(m.Group)).one()
        group.name = GROUP_NAME
        group.demo = True
        chat_id = session.scalars(select(m.Chat.id).where(m.Chat.group_id == group.id)).first()
        assert chat_id is not None
        day = f"{today:%A} {today.day} {today:%B}"
        body = {
            "text": GREETING.format(day=day),
            "buttons": [[list(button) for button in row] for row in TO_TAP],
        }
        outbox.put(session, GREETING_KEY, chat_id, body, opens_at)
    return tuple(said)
