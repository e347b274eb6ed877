"""Every conversation script reads the same through Telegram as at the terminal.

The scripts are expectations of the terminal; here the same steps go over HTTP to a local Bot API
server that the bot polls, and what the server was sent is compared. Each script is played twice
in all: at the terminal on SQLite (`test_scripts.py`) and here on PostgreSQL, so that it is held
on both front ends and on both engines; the scripts of `ACROSS` also the other way round.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conversations.play_telegram import TelegramPlayer
from tests.conversations.play_terminal import TerminalPlayer
from tests.conversations.script import HERE, Player, differences, perform, read

SCRIPTS = sorted(HERE.glob("*.chat"))
ACROSS = (
    "catch_up_after_downtime",  # notices that waited
    "done_buttons",  # buttons under a list
    "first_minute",  # a group begins, in private and together
    "importing",  # files
    "labels",  # paper
    "living_message",  # messages that are changed
    "one_undo_for_all",
    "people",  # names, roles, private chats
    "quiet_hours",
    "topics",  # pictures and questions
)
"""What each front end asks of the database by itself occurs in one of these."""


def play(path: Path, player: Player) -> None:
    script = read(path)
    try:
        passages = perform(script, player)
    finally:
        player.close()
    assert not differences(script, passages), "\n\n".join(differences(script, passages))


@pytest.mark.usefixtures("postgres_if_any")
@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.stem)
def test_script_plays_through_telegram_to_the_same_text(path: Path) -> None:
    play(path, TelegramPlayer())


@pytest.mark.parametrize("name", ACROSS)
def test_script_plays_through_telegram_on_sqlite(name: str) -> None:
    play(HERE / f"{name}.chat", TelegramPlayer())


@pytest.mark.postgres
@pytest.mark.usefixtures("on_postgres")
@pytest.mark.parametrize("name", ACROSS)
def test_script_plays_at_the_terminal_on_postgresql(name: str) -> None:
    play(HERE / f"{name}.chat", TerminalPlayer())
