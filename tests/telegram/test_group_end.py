"""A group is deleted by its coordinators alone, after two words, and nothing of it is left."""

from __future__ import annotations

import logging
from datetime import timedelta
from typing import Any

import pytest

from bot.operate.clock import MovableClock
from core.records import models as m
from tests.telegram.conftest import Bench
from tests.telegram.test_forgotten import everything, files
from tests.telegram.test_rights import member, say
from tests.telegram.test_serve import MORNING

WORDS = "a purple note about the broken window"


@pytest.mark.usefixtures("both_engines")
async def test_nothing_is_left_of_a_group_that_is_deleted(
    bench: Bench, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.DEBUG)
    clock = MovableClock(MORNING)
    front_end = await bench.start(clock=clock)
    ana, group = await bench.founded()
    zed = member(bench, group, "Zedekiah Quill")
    for user, line in (
        (ana, "/tray T1 72"), (zed, "/sow tomato T1 A1-A6"), (ana, f"/note T1: {WORDS}"),
        (ana, '/planted 2 tomato to "Zedekiah Quill"'), (zed, "/duty me mon"),
    ):  # fmt: skip
        await say(bench, user, group, line)
    await say(bench, zed, zed.private, "/tray T1")
    # another group, in which one of them is too, and which must stay as it is
    other = bench.server.add_group("Other bench", creator=ana)
    await say(bench, ana, other, "/start")
    await say(bench, ana, other, "/tray T7 72")
    kept = [row.code for row in bench.rows(m.Tray, m.Tray.code == "T7")]

    refused = await say(bench, zed, group, "/endgroup sure")
    assert "Only coordinators" in refused
    asked = await say(bench, ana, group, "/endgroup")
    assert "cannot be undone" in asked
    assert "/export" in asked
    assert WORDS in everything(bench)
    assert "deleted" in await say(bench, ana, group, "/endgroup sure")

    await bench.until(lambda: front_end.idle)
    clock.set(MORNING + timedelta(days=1, hours=1))
    for _ in range(3):
        await front_end.holding.renew()
        front_end.ticking.due_to_tidy()
        await front_end.ticking.tick()
        await bench.until(lambda: front_end.idle)
    left, on_disk = everything(bench), files(bench)
    traces: tuple[Any, ...] = (WORDS, "Zedekiah Quill", str(zed.id))
    for trace in traces:
        assert trace not in left, trace
        assert trace.encode() not in on_disk, trace
    assert [row.code for row in bench.rows(m.Tray)] == kept
    assert len(bench.rows(m.Group)) == 1
    assert "T7" in await say(bench, ana, other, "/trays")
    assert "Hello" in await say(bench, ana, group, "/start")  # a new group may begin there
    assert "No tray" in await say(bench, ana, group, "/trays")
