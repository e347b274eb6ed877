"""A part that does not move is named, systemd is told only while all move, and the process ends."""

from __future__ import annotations

import asyncio
import logging
import socket
from pathlib import Path

import pytest

from bot.operate.watchdog import LIMIT_S, PATIENCE, Watchdog, notify


class Hands:
    """A clock put forward by hand."""

    def __init__(self) -> None:
        self.at = 100.0

    def __call__(self) -> float:
        return self.at


def test_a_step_is_stuck_past_its_limit_and_no_more_once_it_ends() -> None:
    hands = Hands()
    watchdog = Watchdog(hands, {})
    with watchdog.step("database"), watchdog.step("intake", 70.0):
        hands.at += LIMIT_S
        assert watchdog.stuck() == ()
        hands.at += 0.1
        assert watchdog.stuck() == ("database",)
        hands.at += 70.0
        assert watchdog.stuck() == ("database", "intake")
    assert watchdog.stuck() == ()


def test_a_step_that_raises_has_ended() -> None:
    hands = Hands()
    watchdog = Watchdog(hands, {})
    with pytest.raises(ValueError, match="broken"), watchdog.step("database"):
        raise ValueError("broken")
    hands.at += 2 * LIMIT_S
    assert watchdog.stuck() == ()


def test_the_process_ends_when_a_part_stays_stuck_and_not_before(
    caplog: pytest.LogCaptureFixture,
) -> None:
    hands = Hands()
    watchdog = Watchdog(hands, {})
    with watchdog.step("database"):
        hands.at += LIMIT_S + 1
        looks = [watchdog.look() for _ in range(PATIENCE)]
    assert looks == [False] * (PATIENCE - 1) + [True]
    assert [r.getMessage() for r in caplog.records if r.levelno == logging.CRITICAL] == [
        "does not move: database"
    ]
    assert watchdog.look() is False  # it moves again: counted anew


async def test_what_ends_the_process_is_called_once() -> None:
    hands = Hands()
    watchdog = Watchdog(hands, {})
    ended = asyncio.Event()
    with watchdog.step("database"):
        hands.at += LIMIT_S + 1
        for _ in range(PATIENCE - 1):
            watchdog.look()
        await asyncio.wait_for(watchdog.run(ended.set), 5)
    assert ended.is_set()


@pytest.fixture
def systemd(tmp_path: Path) -> socket.socket:
    listening = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM)
    listening.bind(str(tmp_path / "notify"))
    listening.setblocking(False)
    return listening


def test_systemd_is_told_while_all_move_and_not_while_one_is_stuck(
    systemd: socket.socket, tmp_path: Path
) -> None:
    hands = Hands()
    watchdog = Watchdog(hands, {"NOTIFY_SOCKET": str(tmp_path / "notify")})
    watchdog.look()
    assert systemd.recv(100) == b"WATCHDOG=1"
    with watchdog.step("database"):
        hands.at += LIMIT_S + 1
        watchdog.look()
    with pytest.raises(BlockingIOError):
        systemd.recv(100)
    systemd.close()


def test_without_systemd_nobody_is_told(tmp_path: Path) -> None:
    assert notify("WATCHDOG=1", {}) is False
    assert notify("WATCHDOG=1", {"NOTIFY_SOCKET": str(tmp_path / "nobody")}) is False
