"""After /forgetme and a day nothing of a member is left: no name, no account, no words."""

from __future__ import annotations

import logging
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select

from bot.operate.clock import MovableClock
from core.records import models as m
from tests.telegram.conftest import Bench
from tests.telegram.test_rights import member, say
from tests.telegram.test_serve import MORNING

NAME, EARLIER = "Zedekiah Quill", "Zedpublic Quill"
WORDS = "droopy purple stems beside the broken window"


def everything(bench: Bench) -> str:
    """Return every value of every table."""
    with bench.database.transaction() as session:
        tables = m.Base.metadata.sorted_tables
        return "\n".join(str(row) for one in tables for row in session.execute(select(one)))


def files(bench: Bench) -> bytes:
    """Return the bytes of a database's files; empty elsewhere."""
    if bench.database.engine.dialect.name != "sqlite":
        return b""
    name = Path(str(bench.database.engine.url.database))
    return b"".join(path.read_bytes() for path in name.parent.glob(f"{name.name}*"))


@pytest.mark.usefixtures("both_engines")
async def test_nothing_is_left_of_one_who_asked_to_be_forgotten(
    bench: Bench, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.DEBUG)
    clock = MovableClock(MORNING)
    front_end = await bench.start(clock=clock)
    ana, group = await bench.founded()
    zed = member(bench, group, EARLIER)
    for user, line in (
        (ana, "/tray T1 72"), (zed, "/sow tomato T1 A1-A6"),
        (ana, f'/note T1: {EARLIER} held the door'), (ana, f'/watered T1 for "{EARLIER}"'),
        (ana, f'/planted 2 tomato to "{EARLIER}"'), (zed, '/duty me mon'),
    ):  # fmt: skip
        await say(bench, user, group, line)
    await say(bench, zed, zed.private, "/due")
    await say(bench, zed, zed.private, f"/ask {WORDS} of the tomato in T1")
    await say(bench, zed, zed.private, f"/me name {NAME}")
    await say(bench, zed, group, "/member")
    long = f"/note {NAME} and {WORDS}, which is more than a button carries by itself"
    for chat in (group, zed.private):
        bench.put(chat, {"text": "Note?", "buttons": [[["Note", long]]]}, due_at=clock.now())
    broken = {"message": {"text": f"{NAME} {WORDS}", "from": {"id": zed.id}}}
    bench.server.updates.inject(broken)
    front_end.courier.wake()
    await bench.until(lambda: len(bench.rows(m.Press)) == 2)
    await bench.until(lambda: bench.rows(m.Inbox, m.Inbox.state == "parked"))
    traces: tuple[Any, ...] = (NAME, EARLIER, str(zed.id), "purple stems")
    for trace in traces:
        assert trace in everything(bench), trace
    await say(bench, zed, zed.private, "/forgetme sure")
    await bench.until(lambda: front_end.idle)
    clock.set(MORNING + timedelta(days=1, hours=1))
    for _ in range(3):
        await front_end.holding.renew()
        front_end.ticking.due_to_tidy()
        await front_end.ticking.tick()
        await bench.until(lambda: front_end.idle)
    left = everything(bench)
    on_disk = files(bench)
    for trace in traces:
        assert trace not in left, trace
        assert trace.encode() not in on_disk, trace
    ours = [r.getMessage() for r in caplog.records if r.name.startswith(("bot", "core"))]
    assert not any(trace in line for line in ours for trace in (*traces, str(group.id)))
    assert "T1: S1 tomato" in await say(bench, ana, group, "/trays")


@pytest.mark.usefixtures("both_engines")
async def test_what_has_had_its_time_is_tidied_away(bench: Bench) -> None:
    clock = MovableClock(MORNING)
    front_end = await bench.start(clock=clock)
    ana, group = await bench.founded()
    await say(bench, ana, group, "/tray T1 72")
    await say(bench, ana, ana.private, f"/ask {WORDS} of the tomato in T1")
    bench.put(group, {"text": "Note?", "buttons": [[["Note", "/note " + "x" * 80]]]})
    with bench.database.transaction() as session:
        session.add(m.SentFile(platform="telegram", digest="d", file_ref="f", made_at=MORNING))
    front_end.courier.wake()
    await bench.until(lambda: bench.rows(m.Press))
    assert bench.rows(m.Dialogue)
    for days, left in ((2, (m.Press, m.SentFile)), (9, (m.SentFile,)), (31, ())):
        clock.set(MORNING + timedelta(days=days))
        await front_end.holding.renew()
        front_end.ticking.due_to_tidy()
        await front_end.ticking.tick()
        kinds = {model for model in (m.Press, m.SentFile, m.Dialogue) if bench.rows(model)}
        assert kinds == set(left)
