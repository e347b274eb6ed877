"""Every conversation script reads the same in Telegram as at the terminal."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.conversations.play_telegram import TelegramPlayer
from tests.conversations.play_terminal import TerminalPlayer
from tests.conversations.script import HERE, Player, perform, read, written

SCRIPTS = sorted(HERE.glob("*.chat"))


def played(path: Path, make: Callable[[], Player]) -> str:
    script = read(path)
    player = make()
    try:
        return written(script, perform(script, player))
    finally:
        player.close()


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.stem)
def test_script_reads_the_same_in_telegram(path: Path) -> None:
    assert played(path, TelegramPlayer) == played(path, TerminalPlayer)
