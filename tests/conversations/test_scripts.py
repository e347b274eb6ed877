"""Every conversation script plays as written, at the terminal.

On PostgreSQL each is played through Telegram: `test_both_front_ends.py`.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conversations.play_terminal import TerminalPlayer
from tests.conversations.script import HERE, differences, perform, read, written

SCRIPTS = sorted(HERE.glob("*.chat"))


def test_there_are_scripts() -> None:
    assert SCRIPTS


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.stem)
def test_script_plays_at_the_terminal(path: Path, request: pytest.FixtureRequest) -> None:
    script = read(path)
    player = TerminalPlayer()
    try:
        passages = perform(script, player)
    finally:
        player.close()
    if request.config.getoption("--rewrite"):
        path.write_text(written(script, passages), encoding="utf-8")
        return
    assert not differences(script, passages), "\n\n".join(differences(script, passages))
