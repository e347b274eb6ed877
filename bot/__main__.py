"""The command line, and the one file that reads the environment and the system's clock."""

from __future__ import annotations

import argparse
import logging
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.operate.settings import Settings
    from core.records.database import Database

OK, FAULTS, CANNOT_START = 0, 1, 2
ENV_FILE = Path(".env")

ABOUT = "Traywarden: a chat bot for people who start seeds together."
CHAT = """\
Talk to the bot in this terminal. The first time, an invented group is set up to try things on;
afterwards the same group goes on. From a pipe, each line is read and answered, for scripts.
Type :help for the lines that move the speaker, the place and the clock."""
SERVE = """\
Answer in Telegram until stopped. Needs TELEGRAM_BOT_TOKEN, from BotFather, in the environment
or in a .env file."""
CHECK = """\
Read every data table and all settings, look for commands, kinds of work, notices and phrases that
are half added, and print every fault found, one a line.
Exit status 1 when there is any."""
PARKED = """\
List the updates and messages that could not be handled: when, of what kind, and where in the
program it failed. No ids, names or words of members are shown."""
BACKUP = """\
Write the whole database into one new file, while the bot goes on running. The file is the same
whether the database is SQLite or PostgreSQL. It holds names and all that was reported."""
RESTORE = """\
Read a backup into an empty database, SQLite or PostgreSQL, whichever it was taken from. The file
is proved whole first; one of an earlier version is brought up to this one."""


def build_parser() -> argparse.ArgumentParser:
    """Return the parser of the command line."""
    parser = argparse.ArgumentParser(prog="traywarden", description=ABOUT)
    parser.add_argument("--version", action="store_true", help="show the version and leave")
    words = parser.add_subparsers(dest="word", metavar="COMMAND")
    plain = argparse.RawDescriptionHelpFormatter

    chat = words.add_parser(
        "chat", help="talk to the bot in this terminal", description=CHAT, formatter_class=plain
    )
    fresh = chat.add_mutually_exclusive_group()
    fresh.add_argument(
        "--empty", action="store_true", help="begin a clean group; the earlier one is set aside"
    )
    fresh.add_argument(
        "--demo", action="store_true", help="begin the demo anew; the earlier group is set aside"
    )
    chat.add_argument(
        "--prepare", action="store_true", help="set the group up and leave before the first prompt"
    )
    chat.add_argument(
        "--database",
        metavar="FILE",
        help="keep the group in this SQLite file (or database URL) instead of the usual place",
    )

    words.add_parser("serve", help="answer in Telegram", description=SERVE, formatter_class=plain)

    check = words.add_parser(
        "check", help="check data tables and settings", description=CHECK, formatter_class=plain
    )
    check.add_argument(
        "--data", metavar="DIR", type=Path, help="check the tables of this folder instead"
    )

    parked = words.add_parser(
        "parked", help="list what was set aside", description=PARKED, formatter_class=plain
    )
    parked.add_argument("--database", metavar="URL", help="instead of DATABASE_URL")

    for word, short, long in (
        ("backup", "write the whole database into a file", BACKUP),
        ("restore", "read a backup into an empty database", RESTORE),
    ):
        keeping = words.add_parser(word, help=short, description=long, formatter_class=plain)
        keeping.add_argument("file", metavar="FILE", type=Path)
        keeping.add_argument("--database", metavar="URL", help="instead of DATABASE_URL")
    return parser


def _command(arguments: Sequence[str] | None) -> int:
    """Run one command and return the exit status: 0, 1 (faults found, or serving failed) or
    2 (cannot start)."""
    parser = build_parser()
    given = parser.parse_args(arguments)
    _any_output()
    if given.version:
        print(f"traywarden {_version()}")
        return OK
    if given.word is None:
        parser.print_help()
        return CANNOT_START
    if given.word == "check":
        return _check(given.data)
    if given.word == "chat":
        from bot.terminal.sitting import sit

        return sit(
            os.environ,
            empty=given.empty,
            demo=given.demo,
            prepare=given.prepare,
            database=given.database,
            say=_complain,
        )
    from bot.operate.open_database import DatabaseClosed
    from bot.operate.settings import SettingsBroken

    try:
        if given.word == "parked":
            return _parked(given.database)
        if given.word in ("backup", "restore"):
            return _keep(given.word, given.file, given.database)
        return _serve()
    except SettingsBroken as broken:
        for fault in broken.faults:
            _complain(fault.line)
    except DatabaseClosed as closed:
        _complain(str(closed))
    return CANNOT_START


def _any_output() -> None:
    """Let no character stop the program, whatever the terminal can show."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")


def _complain(line: str) -> None:
    print(f"traywarden: {line}", file=sys.stderr)


def _version() -> str:
    from bot.operate.version import VERSION

    return VERSION


def _check(data: Path | None) -> int:
    from bot.operate.settings import SettingsBroken, load
    from bot.wording.faults import fault_line
    from core.trade.tables.registry import check_all

    if data is not None and not data.is_dir():
        _complain(f"--data: there is no folder {data}")
        return CANNOT_START
    lines = [fault_line(fault) for fault in check_all(data)]
    if not lines:  # the parts are compared with tables that are sound
        from bot.operate.complete import gaps

        lines += gaps()
    try:
        load(os.environ, env_file=ENV_FILE)
    except SettingsBroken as broken:
        lines += [fault.line for fault in broken.faults]
    for line in lines:
        print(line)
    if lines:
        print(f"{len(lines)} fault{'s' if len(lines) > 1 else ''}")
        return FAULTS
    print("All tables and settings are sound.")
    return OK


def _parked(url: str | None) -> int:
    from bot.operate.parked import parked_lines

    database = _open(_settings(url))
    try:
        with database.transaction() as session:
            lines = list(parked_lines(session))
    finally:
        database.close()
    for line in lines:
        print(line)
    if not lines:
        print("Nothing is parked.")
    return OK


def _keep(word: str, file: Path, url: str | None) -> int:
    from bot.operate.backup import back_up, put_back
    from bot.operate.clock import SystemClock

    place = _settings(url).database_url
    print(back_up(place, file, SystemClock().now()) if word == "backup" else put_back(place, file))
    return OK


def _settings(url: str | None) -> Settings:
    """Return the settings, with another database where one was named."""
    from bot.operate.open_database import as_url
    from bot.operate.settings import load

    environment = {**os.environ, "DATABASE_URL": as_url(url)} if url else os.environ
    return load(environment, env_file=ENV_FILE)


def _serve() -> int:
    from bot.operate.settings import load

    settings = load(os.environ, env_file=ENV_FILE, need_token=True)
    logging.basicConfig(
        level=settings.log_level, format="%(asctime)s %(levelname)s %(name)s: %(message)s"
    )
    for loud in ("httpx", "httpcore"):  # they log addresses, which hold the token
        logging.getLogger(loud).setLevel(logging.WARNING)
    database = _open(settings)
    from bot.telegram.serve import serve

    try:
        served = serve(settings, database)
    finally:
        database.close()
    return OK if served else FAULTS


def _open(settings: Settings) -> Database:
    from bot.operate.open_database import open_database

    return open_database(settings.database_url)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command line and return the exit status.

    That nobody reads the output any more is no error.
    """
    try:
        status = _command(arguments)
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return OK
    return status


if __name__ == "__main__":
    sys.exit(main())
