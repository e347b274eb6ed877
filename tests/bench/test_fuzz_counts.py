"""How many crafted inputs were tried: 200 000 through the grammar, 20 000 through `serve`.

Run with --bench -s: prints what was run. The same seeds give the same inputs; FUZZ_TEXTS and
FUZZ_UPDATES make a shorter run of it. The texts take a quarter of an hour of one processor.
"""

from __future__ import annotations

import asyncio
import gc
import os
import random
import subprocess
import sys
import time
from contextlib import AsyncExitStack
from pathlib import Path

import pytest

from bot.grammar import GrammarContext
from core.records import models as m
from tests.bench.memory import rss_mb
from tests.crafted import CONTEXTS, crafted, outcomes, phrases
from tests.databases import new_database, new_url
from tests.server import BotApiServer
from tests.telegram.conftest import Bench
from tests.telegram.test_fuzz import mutated, seeds

pytestmark = pytest.mark.bench

LINES, LINES_SEED = int(os.environ.get("FUZZ_TEXTS", "200000")), 11
UPDATES, UPDATES_SEED = int(os.environ.get("FUZZ_UPDATES", "20000")), 20270301
GROUPS = 10
AT_ONCE = 200  # updates waiting at the server
MOST_MB = 300
MOST_SLOW_S = 0.5  # of the processor, for the slowest text read both ways


def timed(text: str, context: GrammarContext) -> tuple[float, int]:
    """Return the processor time of reading a text both ways, and how many lines came of it."""
    began = time.process_time()
    lines = len(outcomes(text, context))
    return time.process_time() - began, lines


def test_two_hundred_thousand_texts_through_the_grammar() -> None:
    dice, known = random.Random(LINES_SEED), phrases()
    outcomes("sow tomato T1", CONTEXTS[0])
    gc.collect()
    gc.freeze()  # as `serve` does
    slowest, read = (0.0, ""), 0
    for number in range(LINES):
        text = crafted(dice, known)
        context = CONTEXTS[number % len(CONTEXTS)]
        took, lines = timed(text, context)
        if took > MOST_SLOW_S:  # the first to need a table loads it
            took, _ = timed(text, context)
        read += lines
        slowest = max(slowest, (took, text))
    memory = rss_mb(os.getpid())
    print(
        f"\n{LINES} texts (seed {LINES_SEED}), {read} lines read by grammar and reading; the "
        f"slowest {slowest[0]:.3f} s: {slowest[1][:60]!r}; {memory:.0f} MB"
    )
    assert slowest[0] < MOST_SLOW_S
    assert memory < MOST_MB


async def test_twenty_thousand_updates_through_serve(tmp_path: Path) -> None:
    """Mutated updates of every kind, every fourth with a crafted text, over the wire."""
    url = new_url(tmp_path)
    async with BotApiServer() as server, AsyncExitStack() as stack:
        bench = Bench(server, new_database(url), stack)
        environment = {
            **os.environ,
            "TELEGRAM_BOT_TOKEN": server.token,
            "TELEGRAM_API_URL": server.url,
            "DATABASE_URL": bench.database.engine.url.render_as_string(hide_password=False),
        }
        log = tmp_path / "log"
        with log.open("wb") as out:
            process = subprocess.Popen(
                [sys.executable, "-m", "tests.bench.unpaced"],
                env=environment, stderr=out, cwd=Path(__file__).parents[2],
            )  # fmt: skip
        try:
            await bench.until(lambda: server.updates.polling, timeout=60)
            for _ in range(GROUPS):
                whole = await seeds(bench)  # of all groups so far
            dice, known = random.Random(UPDATES_SEED), phrases()
            said = [update for update in whole if "text" in update.get("message", {})]
            most, unkind = 0.0, 0
            for number in range(UPDATES):
                made = mutated(dice.choice(whole), dice, 5_000_000 + number)
                if number % 4 == 0:
                    made = mutated(dice.choice(said), dice, 5_000_000 + number)
                    if isinstance(made.get("message"), dict):
                        made["message"]["text"] = crafted(dice, known)
                made.pop("update_id")
                unkind += not made
                server.updates.inject(made)
                if number % AT_ONCE == 0:
                    await bench.until(lambda: len(server.updates.pending) < AT_ONCE, timeout=120)
                    most = max(most, rss_mb(process.pid))
            await bench.until(lambda: not server.updates.pending, timeout=300)
            while bench.rows(m.Inbox, m.Inbox.state == "new"):
                await asyncio.sleep(1)
                assert process.poll() is None
            most = max(most, rss_mb(process.pid))
            cy = server.add_user("Cy", started=True)
            cy.say(cy.private, "/help")
            await bench.until(lambda: server.by_bot(cy.private), timeout=30)
            alive = process.poll() is None
            parked = bench.rows(m.Inbox, m.Inbox.state == "parked")
            stored = len(bench.rows(m.Inbox))
        finally:
            process.kill()
            process.wait()
    crashed = [row.error for row in parked if row.chat]  # what cannot be read has no chat
    print(
        f"\n{UPDATES} updates (seed {UPDATES_SEED}), {stored} stored, {len(parked)} set aside; "
        f"at most {most:.0f} MB; failed when handled: {len(crashed)}"
    )
    assert alive
    assert crashed == []
    assert "Traceback" not in log.read_text(encoding="utf-8", errors="replace")
    assert stored >= UPDATES - unkind  # the server keeps back what is of no kind asked for
    assert most < MOST_MB
