"""Floods: who sends more than can be read waits or stays unread, and the others are answered."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from bot.delivery.budget import Budget
from bot.telegram.translate import PLATFORM
from core.records import inbox
from core.records import models as m
from tests.telegram.conftest import BOT, Bench
from tests.telegram.test_hostile import answered, heard, two_groups


@pytest.mark.usefixtures("both_engines")
async def test_one_chat_that_floods_waits_is_told_once_and_loses_nothing(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bot.delivery.budget.BURST", 20.0)
    monkeypatch.setattr("bot.delivery.budget.A_SECOND", 1.0)
    await bench.start(budget=Budget())
    ana, ours, eve, hers = await two_groups(bench)
    for number in range(1, 31):
        eve.say(hers, f"/tray{BOT} T{number} 72")
    await answered(bench, ana, ours)
    await bench.until(lambda: len(bench.rows(m.Tray)) == 30)
    await bench.until(lambda: "T30 added" in heard(bench, hers))
    assert heard(bench, hers).count("more at once than I can read") == 1
    assert [row.code for row in bench.rows(m.Tray)] == [f"T{n}" for n in range(1, 31)]


@pytest.mark.usefixtures("both_engines")
async def test_one_person_that_floods_a_group_is_told_once_and_the_others_are_read(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bot.delivery.budget.PERSON_BURST", 10.0)
    monkeypatch.setattr("bot.delivery.budget.PERSON_A_SECOND", 0.001)
    await bench.start(budget=Budget())
    ana, group = await bench.founded()
    eve = bench.server.add_user("Eve", started=True)
    group.members[eve.id] = "member"
    for number in range(30):
        eve.say(group, f"/note{BOT} flood {number}")
    ana.say(group, f"/tray{BOT} T1 72")
    await bench.until(lambda: "T1 added" in heard(bench, group))
    assert heard(bench, group).count("Eve, that is more than I can read from one person") == 1
    assert len(bench.rows(m.Report, m.Report.kind == "note")) == 10
    assert {row.state for row in bench.rows(m.Inbox)} == {"done"}
    eve.say(eve.private, "/trays")
    await bench.until(lambda: bench.server.by_bot(eve.private))


@pytest.mark.usefixtures("both_engines")
async def test_what_comes_after_too_many_others_stays_unread_but_for_news_of_the_chat(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bot.telegram.workers.MOST_WAITING", 20)
    monkeypatch.setattr("bot.delivery.budget.BURST", 5.0)
    monkeypatch.setattr("bot.delivery.budget.A_SECOND", 5.0)
    ana, group = bench.a_group()
    bo = bench.server.add_user("Bo", started=True)
    group.members[bo.id] = "member"
    ana.say(group, f"/start{BOT}")
    bo.say(group, f"/note{BOT} here")
    for number in range(60):
        ana.say(group, f"/note{BOT} n{number}")
    bo.leave(group)
    await bench.start(budget=Budget())
    await bench.until(lambda: "stay unread" in heard(bench, group))
    await bench.until(lambda: {row.state for row in bench.rows(m.Inbox)} == {"done"})
    notes = [row for row in bench.rows(m.Report) if row.kind == "note"]
    assert 20 <= len(notes) < 60
    assert [row.left_at is None for row in bench.rows(m.Member)] == [True, False]


@pytest.mark.usefixtures("both_engines")
async def test_a_chat_with_very_many_hides_no_other(bench: Bench) -> None:
    with bench.database.transaction() as session:
        rows = [(PLATFORM, f"f{n}", "1", {}) for n in range(500)] + [(PLATFORM, "g", "2", {})]
        inbox.store(session, rows, datetime.now(UTC))
        found = inbox.queue(session, PLATFORM)
        assert [row.chat for row in found[:3]] == ["1", "2", "1"]
        assert [row.id for row in found if row.chat == "1"] == sorted(
            row.id for row in found if row.chat == "1"
        )
