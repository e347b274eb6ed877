"""What a stranger may send: nothing of it stops the service, and others are answered meanwhile."""

from __future__ import annotations

import logging
from typing import Any

import pytest

from core.records import inbox
from core.records import models as m
from tests.server.chats import Chat
from tests.server.people import User
from tests.telegram.conftest import BOT, Bench


async def two_groups(bench: Bench) -> tuple[User, Chat, User, Chat]:
    """Return Ana and her group, Eve and hers; both are started."""
    ana, ours = await bench.founded()
    eve = bench.server.add_user("Eve", started=True)
    hers = bench.server.add_group("Hers", creator=eve)
    eve.say(hers, f"/start{BOT}")
    await bench.until(lambda: bench.server.by_bot(hers))
    return ana, ours, eve, hers


async def answered(bench: Bench, user: User, chat: Chat) -> None:
    """Assert that a chat is answered."""
    before = len(bench.server.by_bot(chat))
    user.say(chat, f"/help{BOT}")
    await bench.until(lambda: len(bench.server.by_bot(chat)) > before)


@pytest.mark.usefixtures("both_engines")
@pytest.mark.parametrize(
    "data",
    ["#" + "9" * 30, "#9223372036854775808", "#-1", "#", "#1", "#x", "#" + "٣" * 19, "", "/",
     "\x00", "/sıte Chicago", "\ud800", "done 99999999999999999999", "#" + "A" * 22],
)  # fmt: skip
async def test_a_forged_press_is_acknowledged_and_stops_nothing(bench: Bench, data: str) -> None:
    front_end = await bench.start()
    ana, group = await bench.founded()
    entry = bench.server.by_bot(group)[0]
    press = ana.press(entry, 0, forged=data)
    await bench.until(lambda: press.answered)
    await answered(bench, ana, group)
    await bench.until(lambda: not bench.server.updates.pending)
    assert not front_end.failed.is_set()


@pytest.mark.usefixtures("both_engines")
@pytest.mark.parametrize("text", ["sıte Chicago", "lıght A", "SİTE x", "me fınnish"])
async def test_another_alphabets_letter_in_a_command_holds_up_nobody(
    bench: Bench, text: str
) -> None:
    await bench.start()
    ana, group = await bench.founded()
    ana.say(group, text, reply_to=bench.server.by_bot(group)[0])
    await bench.until(lambda: len(bench.server.by_bot(group)) == 2)
    await answered(bench, ana, group)
    assert {row.state for row in bench.rows(m.Inbox)} == {"done"}


@pytest.mark.usefixtures("both_engines")
async def test_what_fails_before_it_is_handled_is_parked_once_and_told(
    bench: Bench, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    from bot.telegram import workers

    tries: list[str] = []
    whole = workers.matters

    def broken(incoming: Any) -> bool:
        if "T13" in incoming.text:
            tries.append(incoming.text)
            raise KeyError(incoming.text)
        return whole(incoming)

    monkeypatch.setattr(workers, "matters", broken)
    await bench.start()
    ana, group = await bench.founded()
    with caplog.at_level(logging.DEBUG):
        ana.say(group, f"/tray{BOT} T13 72")
        ana.say(group, f"/tray{BOT} T1 72")
        said = await bench.until(
            lambda: len(bench.server.by_bot(group)) == 3 and bench.server.by_bot(group)
        )
    assert "Something went wrong here" in said[1].text
    assert said[2].text.startswith("T1 added")
    assert len(tries) == 1
    ours = [r.getMessage() for r in caplog.records if r.name.startswith(("bot", "core"))]
    assert any("KeyError at bot/telegram" in text or "KeyError at" in text for text in ours)
    assert not any("T13" in text for text in ours)


@pytest.mark.usefixtures("both_engines")
async def test_an_update_that_cannot_be_stored_is_set_aside_by_itself(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = inbox.store

    def broken(session: Any, rows: Any, *args: Any, **kwargs: Any) -> Any:
        if any("T13" in str(row[3].get("text")) for row in rows):
            raise OverflowError("too large")
        return whole(session, rows, *args, **kwargs)

    monkeypatch.setattr(inbox, "store", broken)
    ana, group = bench.a_group()
    ana.say(group, f"/start{BOT}")
    ana.say(group, f"/tray{BOT} T13 72")
    ana.say(group, f"/tray{BOT} T1 72")
    await bench.start()
    await bench.until(lambda: len(bench.server.by_bot(group)) == 2)
    await bench.until(lambda: not bench.server.updates.pending)
    assert sorted(row.state for row in bench.rows(m.Inbox)) == ["done", "done", "parked"]


ENDLESS = (
    b"BEGIN:VCALENDAR\nVERSION:2.0\nPRODID:-//invented//EN\nBEGIN:VEVENT\nUID:u\n"
    b"DTSTART:20270301T000000Z\nDTEND:20270302T000000Z\nSUMMARY:x\nRRULE:%s\n"
    b"END:VEVENT\nEND:VCALENDAR\n"
)


@pytest.mark.usefixtures("both_engines")
@pytest.mark.parametrize("rule", [b"FREQ=SECONDLY", b"FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30"])
async def test_a_calendar_without_end_holds_up_nobody(bench: Bench, rule: bytes) -> None:
    await bench.start()
    ana, ours, eve, hers = await two_groups(bench)
    eve.send_document(hers, ENDLESS % rule, "x.ics", caption=f"/closed{BOT}")
    await answered(bench, ana, ours)
    await bench.until(lambda: len(bench.server.by_bot(hers)) == 2, timeout=20)
    await answered(bench, eve, hers)
