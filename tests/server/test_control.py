"""The server as a process of its own, driven over HTTP; and waiting without sleep."""

import asyncio
import os
import re
import signal
import sys
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

import aiohttp
import pytest
import telegram

ROOT = Path(__file__).parents[2]
TOKEN = "42:control-test"


@pytest.fixture
async def address() -> AsyncIterator[str]:
    """Yield the root address of a server process; it must end by itself on SIGTERM."""
    process = await asyncio.create_subprocess_exec(
        sys.executable,
        "-m",
        "tests.server",
        "--token",
        TOKEN,
        stdout=asyncio.subprocess.PIPE,
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert process.stdout is not None
    line = (await process.stdout.readline()).decode()
    found = re.fullmatch(r"listening at (http://127\.0\.0\.1:\d+)\n", line)
    assert found, line
    yield found[1]
    process.send_signal(signal.SIGTERM)
    assert await asyncio.wait_for(process.wait(), 10) == 0


async def control(address: str, name: str, expect: int = 200, **body: Any) -> dict[str, Any]:
    address = f"{address}/control/{name}"
    async with aiohttp.ClientSession() as session, session.post(address, json=body) as got:
        assert got.status == expect
        answer: dict[str, Any] = await got.json()
        return answer


async def test_a_process_is_driven_and_read_over_http(address) -> None:
    people = [{"first_name": "Alice", "id": 11, "started": True}, {"first_name": "Ben"}]
    ids = (await control(address, "users", users=people))["ids"]
    group = {"title": "Bench", "creator": 11, "members": [ids[1]], "id": -77}
    assert (await control(address, "groups", groups=[group]))["ids"] == [-77]
    said = [
        {"user": 11, "text": "/due"},
        {"user": ids[1], "chat": -77, "text": "/up@traywarden_test_bot T1 3"},
    ]
    assert len((await control(address, "say", messages=said))["message_ids"]) == 2
    await control(address, "faults", script=[{"kind": "reset_after", "method": "sendMessage"}])
    async with telegram.Bot(TOKEN, base_url=f"{address}/bot") as bot:
        updates = await bot.get_updates()
        assert [u.message.chat.id for u in updates] == [11, -77]
        with pytest.raises(telegram.error.NetworkError):
            await bot.send_message(-77, "lost")
        button = telegram.InlineKeyboardButton("Undo", callback_data="u")
        sent = await bot.send_message(
            -77, "kept", reply_markup=telegram.InlineKeyboardMarkup([[button]])
        )
        press = await control(
            address, "press", user=11, chat=-77, message=sent.message_id, button="Undo"
        )
        stats = await control(address, "stats")
        assert stats["unanswered"] == [press["id"]]
        await bot.answer_callback_query(press["id"])
        moved = (await control(address, "migrate", chat=-77))["id"]
        with pytest.raises(telegram.error.ChatMigrated):
            await bot.send_message(-77, "a")
        assert (await bot.send_message(moved, "here")).chat.id == moved
    read = await control(address, "transcript", since=2, sender="bot")
    assert [(e["text"], e["reply_lost"]) for e in read["entries"]] == [
        ("lost", True),
        ("kept", False),
        ("here", False),
    ]
    stats = await control(address, "stats")
    assert (stats["by_bot"], stats["unanswered"], stats["said"]) == (3, [], read["next"])
    assert ["sendMessage", 0, 1] in stats["calls"]


async def test_mistakes_of_the_driver_are_answered_not_fatal(address) -> None:
    assert "KeyError" in (await control(address, "say", 400, messages=[{"user": 5}]))["error"]
    assert "no control endpoint" in (await control(address, "dance", 404))["error"]
    assert "none of" in (await control(address, "pace", 400, speed=3))["error"]
    assert (await control(address, "pace", enabled=True, burst=5))["burst"] == 5


async def test_until_wakes_on_change_and_names_what_was_said_when_it_gives_up(server) -> None:
    alice = server.add_user("Alice", started=True)
    waiting = asyncio.create_task(server.until(lambda: len(server.transcript) == 2, timeout=30))
    for word in ("a", "b"):
        alice.say(alice.private, word)
    assert await waiting is True
    with pytest.raises(TimeoutError, match="say 5000001: b"):
        await server.until(lambda: False, timeout=0.01)
