"""SIGTERM ends the real process in time, whatever hangs, and leaves nothing half-done."""

from __future__ import annotations

import sys
from pathlib import Path

from sqlalchemy import select

from core.records import models as m
from core.records.database import Database
from tests.faults.processes import Bot, ServerProcess
from tests.faults.scene import say, set_up, wait
from tests.faults.tally import settle, tally

MOST_S = 5.0


def test_sigterm_while_calls_hang(on_sqlite: tuple[str, Database], tmp_path: Path) -> None:
    url, database = on_sqlite
    with ServerProcess("--paced") as server:
        scene = set_up(server, database, talkers=6)
        bot = Bot(server.url, url, tmp_path / "serve.log")
        bot.start()
        try:
            wait("serving", lambda: bool(server.ask("stats")["polling"]), 60, 0.05)
            hang = {"kind": "hang_before", "method": "sendMessage", "hang_s": 60, "times": 3}
            server.ask("faults", script=[hang])
            say(server, scene, scene.places)
            wait("hanging", lambda: server.ask("stats")["faults"]["hang_before"] == 3, 20, 0.02)
            status, took_s = bot.terminate()
            sys.stdout.write(f"\nSIGTERM with three calls hanging: {took_s:.1f} s\n")
            assert status == 0
            assert took_s < MOST_S
            with database.transaction() as session:
                assert "sending" not in set(session.scalars(select(m.Outbox.state)))
                assert {row.holder for row in session.scalars(select(m.Lease))} == {None}
            server.ask("faults", clear=True)
            bot.start()
            settle(database, scene, 60)
            assert bot.terminate()[0] == 0
        finally:
            bot.close()
        found = tally(server, database, scene)
    assert found.lost == found.doubled == found.unanswered == []
    assert found.repeats == 0
