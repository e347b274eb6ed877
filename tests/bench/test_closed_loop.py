"""How many reports a second, beside a bare echo bot, when each waits for its answer. Printed.

Sixteen and sixty-four chats each say their next report once the last one is answered. The two
bots run by turns, against a Bot API server of its own each time. CPU is that of the bot's process.
"""

from __future__ import annotations

import sys
import time
from dataclasses import dataclass
from pathlib import Path
from statistics import median, quantiles

import pytest

from tests.bench.test_throughput import ECHO, ENOUGH_S, OURS, _spent_s, _waits
from tests.databases import new_database, new_url
from tests.faults.processes import Bot, ServerProcess
from tests.faults.scene import BOT, Place, set_up, wait

TURNS, EACH = 3, 10  # turns of each bot; rounds of reports a chat
SAID = ("note k{n}", "watered T1", "temp T1 21C", "moist T1 right", "up T1 {few}")
SEEDS = 4  # of the tray's sowing
WANTED = {("sqlite", 16): 0.5, ("sqlite", 64): 0.65, ("postgresql", 16): 0.35,
          ("postgresql", 64): 0.45}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Run:
    """Answers a second, seconds to each, and the processor time of one, ms."""

    per_s: float
    waits: list[float]
    processor_ms: float


@pytest.mark.bench
@pytest.mark.parametrize("in_flight", [16, 64])
def test_a_share_of_an_echo_bot_in_a_closed_loop(
    both_engines: str, in_flight: int, tmp_path: Path
) -> None:
    found: dict[tuple[str, ...], list[Run]] = {ECHO: [], OURS: []}
    for turn in range(TURNS):
        for program, runs in found.items():
            folder = tmp_path / f"{turn}{program[-1]}"
            folder.mkdir()
            runs.append(_run(program, in_flight, folder))
    for program, runs in found.items():
        for run in runs:
            sys.stdout.write(
                f"\n{program[-1]}: {run.per_s:.0f}/s, {run.processor_ms:.1f} ms of processor each; "
                f"answered in p50 {median(run.waits) * 1e3:.0f} ms, "
                f"p95 {quantiles(run.waits, n=20)[-1] * 1e3:.0f} ms"
            )
    ours, echo = (sum(run.per_s for run in found[program]) for program in (OURS, ECHO))
    spent, least = (sum(run.processor_ms for run in found[program]) for program in (OURS, ECHO))
    sys.stdout.write(
        f"\n{both_engines}, {in_flight} in flight: {ours / echo:.2f} of the echo bot's answers a "
        f"second, {least / spent:.2f} by the processor's time\n"
    )
    assert ours / echo >= WANTED[both_engines, in_flight]


def _run(program: tuple[str, ...], in_flight: int, folder: Path) -> Run:
    url = new_url(folder)
    database = new_database(url)
    with ServerProcess() as server:
        scene = set_up(server, database, talkers=in_flight, in_groups=in_flight * 2 // 5)
        bot = Bot(server.url, url, folder / "log")
        bot.start(program)
        try:
            wait("polls", lambda: server.ask("stats")["polling"], 60, 0.02)
            warm = _loop(server, scene.places, range(1))
            spent, began = _spent_s(bot), time.monotonic()
            count = _loop(server, scene.places, range(1, EACH + 1), warm)
            took_s = time.monotonic() - began
            spent = _spent_s(bot) - spent
            waits = _waits(server.said())[warm:]
            bot.terminate()
        finally:
            bot.close()
    return Run(count / took_s, waits, spent / count * 1e3)


def _loop(server: ServerProcess, places: list[Place], rounds: range, before: int = 0) -> int:
    """Have each place say its reports, the next when one is answered; return how many."""
    lanes = []
    for place in places:
        texts = [text for _ in rounds for text in SAID]
        lines = [
            "/"
            + (text if place.private else text.replace(" ", f"{BOT} ", 1)).format(
                n=rounds.start + n // len(SAID), few=min(SEEDS, rounds.start + n // len(SAID))
            )
            for n, text in enumerate(texts)
        ]
        lanes.append({"user": place.user, "chat": place.chat, "texts": lines})
    count = len(lanes) * len(rounds) * len(SAID)
    server.ask("loop", lanes=lanes)
    wait("answers", lambda: server.ask("stats")["by_bot"] >= before + count, ENOUGH_S, 0.05)
    return count
