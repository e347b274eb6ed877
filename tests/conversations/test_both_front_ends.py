"""Every conversation script reads the same through Telegram as at the terminal.

The scripts are expectations of the terminal; here the same steps go over HTTP to a local Bot API
server that the bot polls, and what the server was sent is compared. Each script is played twice
in all: at the terminal on PostgreSQL (`test_scripts.py`) and here on SQLite, so that it is held
on both front ends and on both engines.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conversations.play_telegram import TelegramPlayer
from tests.conversations.script import HERE, differences, perform, read

SCRIPTS = sorted(HERE.glob("*.chat"))


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.stem)
def test_script_plays_through_telegram_to_the_same_text(path: Path) -> None:
    script = read(path)
    player = TelegramPlayer()
    try:
        passages = perform(script, player)
    finally:
        player.close()
    assert not differences(script, passages), "\n\n".join(differences(script, passages))
