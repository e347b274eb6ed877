"""Every conversation script plays as written, at the terminal, on PostgreSQL where there is one.

On SQLite each is played through Telegram (`test_both_front_ends.py`), and those of `ACROSS` here.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conversations.play_terminal import TerminalPlayer
from tests.conversations.script import HERE, Passage, Script, differences, perform, read, written

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
"""What the terminal asks of the database by itself occurs in one of these."""


def play(path: Path) -> tuple[Script, list[Passage]]:
    script = read(path)
    player = TerminalPlayer()
    try:
        return script, perform(script, player)
    finally:
        player.close()


def test_there_are_scripts() -> None:
    assert SCRIPTS


@pytest.mark.usefixtures("postgres_if_any")
@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.stem)
def test_script_plays_at_the_terminal(path: Path, request: pytest.FixtureRequest) -> None:
    script, passages = play(path)
    if request.config.getoption("--rewrite"):
        path.write_text(written(script, passages), encoding="utf-8")
        return
    assert not differences(script, passages), "\n\n".join(differences(script, passages))


@pytest.mark.parametrize("name", ACROSS)
def test_script_plays_at_the_terminal_on_sqlite(name: str) -> None:
    script, passages = play(HERE / f"{name}.chat")
    assert not differences(script, passages), "\n\n".join(differences(script, passages))
