"""SIGTERM ends the real process in time, whatever hangs, and leaves nothing half-done.

That it takes at most five seconds is measured on a machine with nothing else to do (`bench`).
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from sqlalchemy import select

from core.records import models as m
from core.records.database import Database
from tests.faults.processes import Bot, ServerProcess
from tests.faults.scene import say, set_up, wait
from tests.faults.tally import settle, tally

HANGS_S = 120


@pytest.mark.parametrize(
    "most_s",
    [HANGS_S / 2, pytest.param(5.0, marks=pytest.mark.bench)],
    ids=["without waiting for them", "in five seconds"],
)
def test_sigterm_while_calls_hang(
    on_sqlite: tuple[str, Database], tmp_path: Path, most_s: float
) -> None:
    url, database = on_sqlite
    with ServerProcess("--paced") as server:
        scene = set_up(server, database, talkers=6)
        bot = Bot(server.url, url, tmp_path / "serve.log")
        bot.start()
        try:
            wait("serving", lambda: bool(server.ask("stats")["polling"]), 300, 0.05)
            hang = {"kind": "hang_before", "method": "sendMessage", "hang_s": HANGS_S, "times": 3}
            server.ask("faults", script=[hang])
            say(server, scene, scene.places)
            wait("hanging", lambda: server.ask("stats")["faults"]["hang_before"] == 3, 300, 0.02)
            status, took_s = bot.terminate()
            sys.stdout.write(f"\nSIGTERM with three calls hanging: {took_s:.1f} s\n")
            assert status == 0
            assert took_s < most_s
            with database.transaction() as session:
                assert "sending" not in set(session.scalars(select(m.Outbox.state)))
                assert {row.holder for row in session.scalars(select(m.Lease))} == {None}
            server.ask("faults", clear=True)
            bot.start()
            settle(database, scene, 300)
            assert bot.terminate()[0] == 0
        finally:
            bot.close()
        found = tally(server, database, scene)
    assert found.lost == found.doubled == found.unanswered == []
    assert found.repeats == 0
