"""Kill `serve` again and again while people report and reminders fall due."""

from __future__ import annotations

import random
import time
from contextlib import ExitStack
from pathlib import Path

from core.records.database import Database
from tests.faults.processes import Bot, ServerProcess
from tests.faults.scene import Scene, Talk, wait
from tests.faults.tally import Tally, settled, tally

SETTLES_WITHIN_S = 180.0
STARTS_WITHIN_S = 30.0
IN_START = 0.2  # this share of the kills comes while the process starts
START_S = 1.5
SERVING_S = 3.0  # the others within so long after it has begun to serve


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
    with ExitStack() as stack:
        bot = Bot(server.url, database_url, folder / "serve.log")
        stack.callback(bot.close)
        talk = Talk(server, scene, reports_per_s)
        stack.callback(talk.stop)
        for _ in range(kills):
            polls = server.ask("stats")["polls"]
            bot.start()
            if chance.random() < IN_START:
                time.sleep(chance.uniform(0.0, START_S))
            else:
                wait("serving", lambda: _polls(server) > polls, STARTS_WITHIN_S, 0.02)  # noqa: B023
                time.sleep(chance.uniform(0.0, SERVING_S))
            at.append(bot.kill())
        bot.start()
        talk.stop()
        wait("settled", lambda: settled(database, scene), SETTLES_WITHIN_S)
        bot.terminate()
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
        bots = [Bot(server.url, database_url, folder / f"serve-{n}.log") for n in range(processes)]
        for bot in bots:
            stack.callback(bot.close)
            bot.start()
        talk = Talk(server, scene, reports_per_s)
        stack.callback(talk.stop)
        wait("serving", lambda: _polls(server) > 0, STARTS_WITHIN_S)
        for _ in range(kills):
            time.sleep(chance.uniform(*every_s))
            bot = chance.choice(bots)
            at.append(bot.kill())
            bot.start()
        talk.stop()
        wait("settled", lambda: settled(database, scene), SETTLES_WITHIN_S)
        for bot in bots:
            bot.terminate()
    return tally(server, database, scene, at)


def _polls(server: ServerProcess) -> int:
    return int(server.ask("stats")["polls"])
