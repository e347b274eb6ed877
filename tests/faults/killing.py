"""Kill `serve` again and again while people report and reminders fall due."""

from __future__ import annotations

import random
import time
from contextlib import ExitStack
from pathlib import Path

from core.records.database import Database
from tests.faults.processes import Nursery, ServerProcess
from tests.faults.scene import Scene, Talk, wait
from tests.faults.tally import Tally, settle, tally

SETTLES_WITHIN_S = 300.0
STARTS_WITHIN_S = 300.0
IN_START = 0.2  # this share of the kills comes while the process starts
START_S = 0.3
SERVING_S = 2.5  # the others within so long after it has begun to serve


def kill_one(
    server: ServerProcess,
    database: Database,
    database_url: str,
    scene: Scene,
    folder: Path,
    *,
    kills: int,
    reports_per_s: float,
    seed: int,
) -> Tally:
    """Kill the one process `kills` times at random moments, starting or serving; then count."""
    chance = random.Random(seed)
    at: list[float] = []
    log = folder / "serve.log"
    with ExitStack() as stack:
        nursery = stack.enter_context(Nursery())
        talk = Talk(server, scene, reports_per_s)
        stack.callback(talk.stop)
        for _ in range(kills):
            polls = _polls(server)
            bot = nursery.start(server.url, database_url, log)
            if chance.random() < IN_START:
                time.sleep(chance.uniform(0.0, START_S))
            else:
                wait("serving", lambda: _polls(server) > polls, STARTS_WITHIN_S, 0.02)  # noqa: B023
                time.sleep(chance.uniform(0.0, SERVING_S))
            at.append(nursery.kill(bot))
        bot = nursery.start(server.url, database_url, log)
        talk.stop()
        settle(database, scene, SETTLES_WITHIN_S)
        nursery.terminate(bot)
    return tally(server, database, scene, at)


def kill_one_of_several(
    server: ServerProcess,
    database: Database,
    database_url: str,
    scene: Scene,
    folder: Path,
    *,
    processes: int,
    kills: int,
    reports_per_s: float,
    every_s: tuple[float, float],
    seed: int,
) -> Tally:
    """Run several processes on one database and kill one at a time, any; then count.

    The one killed is started anew at once; the next kill comes `every_s` (least, most) later.
    """
    chance = random.Random(seed)
    at: list[float] = []
    with ExitStack() as stack:
        nursery = stack.enter_context(Nursery())
        logs = [folder / f"serve-{n}.log" for n in range(processes)]
        bots = [nursery.start(server.url, database_url, log) for log in logs]
        talk = Talk(server, scene, reports_per_s)
        stack.callback(talk.stop)
        wait("serving", lambda: _polls(server) > 0, STARTS_WITHIN_S)
        for _ in range(kills):
            time.sleep(chance.uniform(*every_s))
            n = chance.randrange(processes)
            at.append(nursery.kill(bots[n]))
            bots[n] = nursery.start(server.url, database_url, logs[n])
        talk.stop()
        settle(database, scene, SETTLES_WITHIN_S)
        for bot in bots:
            nursery.terminate(bot)
    return tally(server, database, scene, at)


def _polls(server: ServerProcess) -> int:
    return int(server.ask("stats")["polls"])
