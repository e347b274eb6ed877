"""Twenty chats that mean harm, and fifty that report: the fifty notice little. Run with --bench -s.

The program runs as a process of its own. HOSTILE_MINUTES sets how long, sixty for the whole hour.
"""

from __future__ import annotations

import asyncio
import contextlib
import os
import random
import statistics
import time
from contextlib import AsyncExitStack
from pathlib import Path
from typing import Any

import pytest

from bot.grammar import GrammarContext, parse
from tests.bench.memory import rss_mb
from tests.databases import new_database, new_url
from tests.server import BotApiServer
from tests.server.chats import Chat
from tests.server.people import User
from tests.telegram.conftest import BOT, Bench
from tests.telegram.test_fuzz import ODD
from tests.telegram.test_hostile import ENDLESS, PIXEL
from tests.telegram.test_serve import process_of

pytestmark = pytest.mark.bench

GOOD, BAD = 50, 20
MINUTES = float(os.environ.get("HOSTILE_MINUTES", "1"))
MOST_SLOWER, MOST_MB = 1.5, 300
GRAMMAR = 200_000
HOSTILE_A_SECOND = 10.0  # of all bad chats together: 36 000 in the hour


def hostile_text(dice: random.Random) -> str:
    """Return something that is hard to read."""
    odd = [value for value in ODD if isinstance(value, str)]
    words = ["sow", "up", "plan", "site", "frost", "T1", "A1-Z99", "bone", "for", "12", "½", "to"]
    glue = dice.choice((" ", "\n", ""))
    return "/" + glue.join(dice.choice((*words, dice.choice(odd)[:400])) for _ in range(60))


def explosive(dice: random.Random) -> tuple[bytes, str, str]:
    """Return a file made to explode, its name and its caption."""
    rule = dice.choice((b"FREQ=SECONDLY", b"FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30", b"FREQ=HOURLY"))
    return dice.choice(
        (
            (ENDLESS % rule, "x.ics", "/closed"),
            (b"date,tmin\n" + b"2020-01-01,1\n" * 150_000, "x.csv", "/frost"),
            (b"tomatoe,24\n" * 100_000, "x.csv", "/plan"),
            (PIXEL * 1000, "x.csv", "/frost"),
        )
    )


async def round_trips(bench: Bench, good: list[tuple[User, Chat]], minutes: float) -> list[float]:
    """Return how long each report of the good chats waited for its answer, seconds."""
    waits: list[float] = []
    until = time.monotonic() + 60 * minutes

    async def one(user: User, chat: Chat) -> None:
        number = 0
        while time.monotonic() < until:
            number += 1
            before, began = len(bench.server.by_bot(chat)), time.monotonic()
            user.say(chat, f"/note{BOT} report {number}")
            while len(bench.server.by_bot(chat)) == before:
                if time.monotonic() - began > 60:
                    raise TimeoutError("a report without an answer")
                await asyncio.sleep(0.01)
            waits.append(time.monotonic() - began)
            await asyncio.sleep(5)

    await asyncio.gather(*(one(user, chat) for user, chat in good))
    return waits


async def flood(bench: Bench, bad: list[tuple[User, Chat]], sent: list[int]) -> None:
    """Let the bad chats send what they like until cancelled."""
    dice = random.Random(7)
    while True:
        for user, chat in bad:
            with contextlib.suppress(UnicodeError):  # what cannot even be sent
                one_of(bench, user, chat, dice)
                sent[0] += 1
        await asyncio.sleep(len(bad) / HOSTILE_A_SECOND)


def one_of(bench: Bench, user: User, chat: Chat, dice: random.Random) -> None:
    """Send one hostile update."""
    match dice.randrange(6):
        case 0:
            data, name, caption = explosive(dice)
            user.send_document(chat, data, name, caption=caption + BOT)
        case 1 | 2:
            payload = str(dice.choice(ODD))[:200]
            user.press(bench.server.by_bot(chat)[0], 0, forged=payload)
        case _:
            user.say(chat, hostile_text(dice)[:4000])


async def test_a_hostile_hour(tmp_path: Path) -> None:
    url = new_url(tmp_path)
    async with BotApiServer() as server, AsyncExitStack() as stack:
        bench = Bench(server, new_database(url), stack)
        process = process_of(
            server, bench.database.engine.url.render_as_string(hide_password=False)
        )
        try:
            chats: list[tuple[User, Chat]] = []
            for number in range(GOOD + BAD):
                user = server.add_user(f"U{number}", started=True)
                chat = server.add_group(f"G{number}", creator=user)
                user.say(chat, f"/start{BOT}")
                chats.append((user, chat))
            await bench.until(lambda: all(server.by_bot(chat) for _, chat in chats), timeout=120)
            good, bad = chats[:GOOD], chats[GOOD:]
            quiet = await round_trips(bench, good, MINUTES / 2)
            sent = [0]
            enemy = asyncio.create_task(flood(bench, bad, sent))
            waits = await round_trips(bench, good, MINUTES)
            assert not enemy.done(), enemy.exception()
            enemy.cancel()
            memory = rss_mb(process.pid)
            alive = process.poll() is None
        finally:
            process.kill()
            process.wait()
    p95, calm = (statistics.quantiles(times, n=20)[-1] for times in (waits, quiet))
    print(
        f"\n{sent[0]} hostile updates; {len(waits)} reports answered, p95 {p95:.2f} s, "
        f"quiet {calm:.2f} s ({p95 / calm:.2f}); {memory:.0f} MB"
    )
    assert alive
    assert memory < MOST_MB
    assert p95 <= MOST_SLOWER * max(calm, 0.2)


def test_two_hundred_thousand_lines_through_the_grammar() -> None:
    from datetime import date

    context = GrammarContext(today=date(2027, 3, 1), private=True, members=("Ana", "Işıl"))
    dice = random.Random(11)
    slowest = 0.0
    lines: list[Any] = []
    for _ in range(GRAMMAR // 10):
        text = "\n".join(hostile_text(dice)[: dice.choice((20, 60, 200))] for _ in range(10))
        began = time.process_time()
        lines += parse(text, context)[:1]
        slowest = max(slowest, time.process_time() - began)
    print(f"\n{GRAMMAR} lines; the slowest message of ten took {slowest:.2f} s")
    assert slowest < 1.0
