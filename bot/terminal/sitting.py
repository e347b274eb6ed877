"""One sitting at the terminal, from the first line on the screen to the last."""

from __future__ import annotations

import logging
import sys
from collections.abc import Callable, Mapping
from datetime import UTC, datetime, timedelta
from pathlib import Path

from bot.operate.clock import MovableClock
from bot.operate.open_database import DatabaseClosed, as_url, open_database
from bot.terminal.chat import PLATFORM, TerminalChat
from bot.terminal.keeping import CHAT_FILE, data_dir, saver, set_aside
from bot.terminal.run import at_prompt, from_pipe
from core.records.database import Database

OK, CANNOT_START = 0, 2
AHEAD = timedelta(minutes=1)
GREETING_KEY = "demo"  # of the row in the outbox; bot/terminal/demo.py is not imported for it

WELCOME_DEMO = """\
Traywarden at a terminal. This is a demonstration: the group, its people and its records are
invented, and its clock stands in March. --empty begins a group of your own, on today's date.
Type a number to press that button;  :wait 1d  lets a day pass."""
WELCOME_EMPTY = "Traywarden at a terminal. Nothing is set up yet: type /start"
WELCOME_BACK = "Traywarden at a terminal. The group of last time goes on; --empty begins a new one."
HINT = "/help lists what can be said. :help is for moving the clock and the speaker, :quit leaves."


def sit(
    environment: Mapping[str, str],
    *,
    empty: bool,
    demo: bool,
    prepare: bool,
    database: str | None,
    say: Callable[[str], None],
) -> int:
    """Open the group, talk until the end of input, and return the exit status.

    Args:
        database: a SQLite file or a database URL; None = the usual place.
        say: called with each line of complaint.
    """
    now = datetime.now(UTC)
    try:
        folder = data_dir(environment)
        url = as_url(database or str(folder / CHAT_FILE))
        file = _file_of(url)
        if file is not None:
            file.parent.mkdir(parents=True, exist_ok=True)
            kept = set_aside(file, now) if empty or demo else None
            if kept is not None:
                print(f"The earlier group is kept in {kept}")
        opened = open_database(url)
    except DatabaseClosed as closed:
        say(str(closed).replace("DATABASE_URL", "--database", 1))
        return CANNOT_START
    except (OSError, RuntimeError) as error:
        say(f"cannot keep the group: {error}; set --database FILE or XDG_DATA_HOME")
        return CANNOT_START
    _log_to(folder / "chat.log")
    try:
        if (empty or demo) and not is_empty(opened):
            say("--empty and --demo need a database without a group; give another --database")
            return CANNOT_START
        fresh = is_empty(opened)
        if fresh and not empty:
            from bot.terminal.demo import seed

            seed(opened, now)
        if not prepare:
            _talk(opened, folder, now, fresh=fresh)
    except KeyboardInterrupt:
        print()
    finally:
        opened.close()
    return OK


def _talk(database: Database, folder: Path, now: datetime, *, fresh: bool) -> None:
    clock = MovableClock()
    demo = is_demo(database)
    if demo:
        print(WELCOME_DEMO)
    else:
        print(WELCOME_EMPTY if fresh else WELCOME_BACK)
    left_at = last_instant(database)
    if left_at is not None and (demo or left_at > now + AHEAD):
        clock.set(left_at)
    print(HINT)
    chat = TerminalChat(database, clock, print, save=saver(folder / "files"), speaker="Robin")
    if clock.moved:
        print(f"The clock stands at {chat.stamp(clock.now())}; :at and :wait move it.")
    if sys.stdin is not None and sys.stdin.isatty() and sys.stdout.isatty():
        at_prompt(chat, folder / "history")
    elif sys.stdin is not None:
        from_pipe(chat, sys.stdin.buffer)


def is_empty(database: Database) -> bool:
    """Whether no group was ever founded here."""
    from sqlalchemy import select

    from core.records import models as m

    with database.transaction() as session:
        return session.scalars(select(m.Group.id).limit(1)).first() is None


def is_demo(database: Database) -> bool:
    """Whether an invented group lives here."""
    from sqlalchemy import select

    from core.records import models as m

    with database.transaction() as session:
        return session.scalars(select(m.Group.id).where(m.Group.demo).limit(1)).first() is not None


def last_instant(database: Database) -> datetime | None:
    """Return how far time had come: when the last line was typed or the group last looked at.

    A demo nobody has sat in yet stands where its greeting falls due.
    """
    from sqlalchemy import func, select

    from core.records import models as m

    with database.transaction() as session:
        typed = session.scalar(
            select(func.max(m.Inbox.received_at)).where(m.Inbox.platform == PLATFORM)
        )
        looked = session.scalar(
            select(func.max(m.Group.looked_at))
            .join(m.Chat, m.Chat.group_id == m.Group.id)
            .where(m.Chat.platform == PLATFORM)
        )
        greeted = session.scalar(select(m.Outbox.due_at).where(m.Outbox.key == GREETING_KEY))
    return max((at for at in (typed, looked, greeted) if at is not None), default=None)


def _file_of(url: str) -> Path | None:
    """Return the file of a SQLite URL; None for memory or a server."""
    from sqlalchemy.engine import make_url

    try:
        parsed = make_url(url)
    except Exception as error:  # noqa: BLE001 - the library raises several kinds
        raise DatabaseClosed(f"DATABASE_URL: this is no database URL: {error}") from None
    if parsed.get_backend_name() != "sqlite" or parsed.database in (None, "", ":memory:"):
        return None
    return Path(str(parsed.database))


def _log_to(file: Path) -> None:
    """Keep errors out of the conversation, in a file that is made when the first one comes."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        handler: logging.Handler = logging.FileHandler(file, encoding="utf-8", delay=True)
    except OSError:
        handler = logging.StreamHandler()
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s"))
    logging.getLogger().addHandler(handler)
