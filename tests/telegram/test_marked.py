"""A plain report is acknowledged by a mark on it, where the group wants that."""

from __future__ import annotations

from typing import Any

import pytest

from bot.delivery.holding import HERE
from core.records import models as m
from tests.server.chats import Chat
from tests.server.people import User
from tests.telegram.conftest import BOT, Bench

pytestmark = pytest.mark.usefixtures("both_engines")


async def brief_group(bench: Bench, **options: Any) -> tuple[Any, User, Chat]:
    """Return a front end, Ana and her group that wants marks and has a tray."""
    front_end = await bench.start(**options)
    ana, group = await bench.founded()
    for number, words in enumerate(("tray{} T1 72", "site{} answers brief"), 2):
        ana.say(group, "/" + words.format(BOT))
        await bench.until(lambda n=number: len(bench.server.by_bot(group)) == n, timeout=20)
    return front_end, ana, group


async def test_the_mark_stands_on_the_report(bench: Bench) -> None:
    _, ana, group = await brief_group(bench)
    said = ana.say(group, f"/watered{BOT} T1")
    await bench.until(lambda: said.reaction, timeout=20)
    assert said.reaction == "👍"
    shown = [entry.method for entry in bench.server.by_bot(group)]
    assert shown == ["sendMessage"] * 3 + ["setMessageReaction"]
    ana.say(group, f"/undo{BOT} R1")
    await bench.until(lambda: len(bench.server.by_bot(group)) == 5, timeout=20)
    assert "Taken back" in bench.server.by_bot(group)[-1].text


async def test_where_no_mark_can_be_set_the_answer_is_said(bench: Bench) -> None:
    _, ana, group = await brief_group(bench)
    group.reactions = False
    said = ana.say(group, f"/watered{BOT} T1")
    await bench.until(lambda: len(bench.server.by_bot(group)) == 4, timeout=20)
    entry = bench.server.by_bot(group)[-1]
    assert entry.text.startswith("Watered: T1, today.")
    assert entry.reply_to == said.id
    assert [button.text for button in entry.buttons] == ["Undo"]


async def test_a_mark_in_hand_at_a_kill_is_set_by_the_next_process(bench: Bench) -> None:
    front_end, ana, group = await brief_group(bench)
    bench.server.faults.next("hang", "setMessageReaction", hang_s=60)
    said = ana.say(group, f"/watered{BOT} T1")
    (row,) = await bench.until(
        lambda: bench.rows(m.Outbox, m.Outbox.reply_to == str(said.id)), timeout=20
    )
    await front_end.stop()
    with bench.database.transaction() as session:
        session.query(m.Outbox).filter(m.Outbox.id == row.id).update(
            {"state": "sending", "lease_by": f"{HERE[:22]}:999999:abcdef"}
        )
    await bench.start()
    await bench.until(lambda: bench.row(row.id).state == "sent", timeout=20)
    assert said.reaction == "👍"
    assert [entry.method for entry in bench.server.by_bot(group)].count("setMessageReaction") <= 2
