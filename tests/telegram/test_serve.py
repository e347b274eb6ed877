"""The process as a whole: it ticks, it says what it missed, and it stops at once."""

from __future__ import annotations

import asyncio
import os
import signal
import subprocess
import sys
import threading
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
import telegram

from bot.delivery.pace import Pace
from bot.operate.clock import MovableClock
from bot.telegram.translate import PLATFORM
from core.records import absence, marks
from core.records import models as m
from tests.server import BotApiServer
from tests.telegram.conftest import BOT, HANGS_S, Bench

DAY = timedelta(days=1)
MORNING = datetime(2027, 3, 1, 7, 0, tzinfo=UTC)

pytestmark = pytest.mark.usefixtures("both_engines")


@pytest.mark.parametrize("method", ["sendMessage", "getUpdates", "answerCallbackQuery", "getFile"])
async def test_a_call_that_hangs_does_not_hold_up_stopping(bench: Bench, method: str) -> None:
    front_end = await bench.start()
    ana, group = await bench.founded()
    bench.server.faults.next("hang_before", method, hang_s=HANGS_S)
    ana.send_document(group, b"date,tmin\n", "lows.csv", caption=f"/frost{BOT}")
    ana.press(bench.server.by_bot(group)[0], "What can I say")
    ana.say(group, f"/help{BOT}")
    await bench.until(lambda: bench.server.faults.injected["hang_before"])
    began = time.monotonic()
    await front_end.stop()
    assert time.monotonic() - began < HANGS_S / 2
    assert not bench.rows(m.Outbox, m.Outbox.state == "sending")
    bench.server.faults.clear()
    await bench.start()  # what was cut off is taken up again
    await bench.until(
        lambda: (
            bench.rows(m.Inbox)
            and not bench.server.updates.pending
            and all(row.state == "done" for row in bench.rows(m.Inbox))
            and all(row.state == "sent" for row in bench.rows(m.Outbox))
        ),
    )
    assert len(bench.rows(m.Outbox)) == 4
    messages = {row.platform_message for row in bench.rows(m.Outbox)}  # answers may be merged
    assert messages == {str(entry.message_id) for entry in bench.server.by_bot(group)}


async def test_a_database_that_does_not_answer_leaves_no_connection_open(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    front_end = await bench.start()
    await bench.founded()
    assert bench.server.connections
    answers = threading.Event()
    monkeypatch.setattr(front_end.holding, "release", answers.wait)
    try:
        await front_end.stop()
        await bench.until(lambda: not bench.server.connections)
    finally:
        answers.set()


async def test_a_call_done_in_time_is_settled_before_the_end(bench: Bench) -> None:
    front_end = await bench.start()
    _, group = bench.a_group()
    bench.server.faults.next("hang", "sendMessage", hang_s=0.3)
    row = bench.put(group, "one")
    front_end.courier.wake()
    await bench.until(lambda: bench.server.by_bot(group))
    await front_end.stop()
    assert bench.row(row).state == "sent"


async def test_what_falls_due_is_said_without_being_asked(bench: Bench) -> None:
    clock = MovableClock(MORNING)
    front_end = await bench.start(clock=clock)
    ana, group = await bench.founded()
    for n, line in enumerate(["tray T1 72", "sow tomato T1 A1-B6"], 2):
        ana.say(group, f"{BOT} {line}", reply_to=bench.server.by_bot(group)[0])
        await bench.until(lambda n=n: len(bench.server.by_bot(group)) == n)
    said = len(bench.server.by_bot(group))
    clock.set(MORNING + 4 * DAY + timedelta(hours=1))
    await front_end.ticking.tick()
    await bench.until(lambda: len(bench.server.by_bot(group)) > said)
    now = len(bench.server.by_bot(group))
    await front_end.ticking.tick()
    await bench.until(lambda: front_end.idle)
    assert len(bench.server.by_bot(group)) == now
    assert bench.rows(m.Notice)


async def test_only_the_process_with_the_lease_ticks(bench: Bench) -> None:
    clock = MovableClock(MORNING)
    await bench.start(clock=clock)
    await bench.founded()
    second = await bench.start(clock=clock)
    clock.set(MORNING + 3 * DAY)
    await second.ticking.tick()
    assert bench.rows(m.Group)[0].looked_at is None


async def test_after_more_than_a_day_away_the_next_round_says_from_when_to_when(
    bench: Bench,
) -> None:
    clock = MovableClock(MORNING)
    first = await bench.start(clock=clock)
    _, group = await bench.founded()
    await first.stop()
    clock.set(MORNING + 2 * DAY + timedelta(hours=15))  # at night: 22:00
    second = await bench.start(clock=clock)
    await bench.until(lambda: _away(bench) is not None)
    assert _away(bench) == (MORNING, MORNING + 2 * DAY + timedelta(hours=15))
    await second.ticking.tick()
    assert len(bench.server.by_bot(group)) == 1  # nobody is woken for it
    clock.set(MORNING + 3 * DAY + timedelta(hours=1))
    await second.ticking.tick()
    said = (await bench.until(lambda: bench.server.by_bot(group)[1:]))[0]
    assert "away from" in said.text
    assert "07:00" in said.text
    assert "22:00" in said.text
    assert _away(bench) is None


def _away(bench: Bench) -> absence.Away | None:
    with bench.database.transaction() as session:
        group = session.query(m.Group).one()
        return absence.of(session, group.id)


async def test_what_is_settled_is_forgotten_and_what_is_not_stays(bench: Bench) -> None:
    clock = MovableClock(MORNING)
    front_end = await bench.start(clock=clock)
    _, group = await bench.founded()
    bench.server.updates.inject({"message": {"text": "no id, no chat"}})
    await bench.until(lambda: bench.rows(m.Inbox, m.Inbox.state == "parked"))
    waiting = bench.put(group, "later", due_at=MORNING + 40 * DAY)
    clock.set(MORNING + 9 * DAY)
    await front_end.ticking.tick()
    assert [row.state for row in bench.rows(m.Inbox)] == ["parked"]
    assert bench.row(waiting).state == "due"
    assert not bench.rows(m.Outbox, m.Outbox.state == "sent", m.Outbox.notice_id.is_(None))
    clock.set(MORNING + 31 * DAY)
    front_end.ticking.due_to_tidy()
    await front_end.holding.renew()
    await front_end.ticking.tick()
    assert not bench.rows(m.Inbox)


async def test_a_short_absence_is_not_made_much_of(bench: Bench) -> None:
    clock = MovableClock(MORNING)
    first = await bench.start(clock=clock)
    await bench.founded()
    await first.stop()
    clock.set(MORNING + timedelta(hours=20))
    await bench.start(clock=clock)
    await bench.until(lambda: _heard(bench) == clock.now())
    assert _away(bench) is None


def _heard(bench: Bench) -> datetime | None:
    with bench.database.transaction() as session:
        row = marks.get(session, f"heard:{PLATFORM}")
        return row and row.at


async def test_a_token_that_is_refused_is_said_at_the_start(bench: Bench) -> None:
    bench.server.token = "7654321:another-token"
    from bot.telegram.client import make_client
    from bot.telegram.serve import FrontEnd

    client = make_client("1234567:refused-token", bench.server.url)
    front_end = FrontEnd(bench.database, client, MovableClock(MORNING))
    with pytest.raises(telegram.error.InvalidToken):
        await front_end.start()
    await front_end.stop()


async def test_a_platform_out_of_reach_is_waited_for(bench: Bench) -> None:
    bench.server.faults.next("reset_before", "getMe", times=1)
    await bench.start()
    _, group = await bench.founded()
    assert bench.server.by_bot(group)


PROGRAM = """
import os, sys
from bot.operate.settings import load
from bot.telegram.serve import serve
from core.records.database import Database, open_engine
settings = load(os.environ, need_token=True)
sys.exit(0 if serve(settings, Database(open_engine(settings.database_url))) else 1)
"""


def process_of(server: BotApiServer, url: str, **more: str) -> subprocess.Popen[bytes]:
    """Start the program as a process of its own, with more in its environment."""
    environment = {
        **os.environ,
        "TELEGRAM_BOT_TOKEN": server.token,
        "TELEGRAM_API_URL": server.url,
        "DATABASE_URL": url,
        **more,
    }
    return subprocess.Popen(
        [sys.executable, "-c", PROGRAM], env=environment, cwd=Path(__file__).parents[2]
    )


async def test_sigterm_ends_the_process_with_nothing_half_done(
    bench: Bench,
) -> None:
    url = bench.database.engine.url.render_as_string(hide_password=False)
    process = process_of(bench.server, url)
    try:
        ana, group = bench.a_group()
        ana.say(group, f"/start{BOT}")
        await bench.until(lambda: bench.server.by_bot(group))
        bench.server.faults.next("hang_before", "sendMessage", hang_s=HANGS_S)
        ana.say(group, f"/help{BOT}")
        await bench.until(lambda: bench.server.faults.injected["hang_before"])
        began = time.monotonic()
        process.send_signal(signal.SIGTERM)
        await asyncio.to_thread(process.wait, HANGS_S)
        assert time.monotonic() - began < HANGS_S / 2
    finally:
        process.kill()
        process.wait()
    assert process.returncode == 0
    states = [row.state for row in bench.rows(m.Outbox)]
    assert states == ["sent", "due"]


async def test_a_killed_process_is_followed_at_once_on_the_same_machine(bench: Bench) -> None:
    url = bench.database.engine.url.render_as_string(hide_password=False)
    process = process_of(bench.server, url)
    ana, group = bench.a_group()
    try:
        ana.say(group, f"/start{BOT}")
        await bench.until(lambda: bench.server.by_bot(group))
    finally:
        process.kill()
        process.wait()
    ana.say(group, f"/help{BOT}")
    await bench.start(pace=Pace(unlimited=True))
    await bench.until(lambda: len(bench.server.by_bot(group)) == 2)
    assert {lease.holder for lease in bench.rows(m.Lease)} != {None}
