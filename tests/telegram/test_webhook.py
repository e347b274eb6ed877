"""Updates by webhook: only the platform is heard, and nothing is confirmed before it is stored."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any

import aiohttp
import pytest
from sqlalchemy.exc import OperationalError

from bot.operate.settings import Address, Settings
from bot.telegram.serve import FrontEnd, by_webhook
from bot.telegram.webhook import SECRET_HEADER, Webhook
from core.records import models as m
from tests.telegram.conftest import BOT, HANGS_S, Bench

pytestmark = pytest.mark.usefixtures("both_engines")

SECRET = "a-secret-of-these-tests"
PATH = "/hook/of+traywarden"


async def listening(bench: Bench, **options: Any) -> tuple[FrontEnd, Webhook]:
    """Start a front end on a free port, and send the platform's calls there."""
    made: list[Webhook] = []

    def make(front_end: FrontEnd) -> Webhook:
        url = f"http://127.0.0.1:1{PATH}"  # the balancer knows the port
        webhook = Webhook(
            front_end.client,
            front_end.receiver,
            url=url,
            listen=Address(host="127.0.0.1", port=0),
            secret=options.pop("secret", SECRET),
        )
        made.append(webhook)
        return webhook

    front_end = await bench.start(make_intake=make, **options)
    (webhook,) = made
    await bench.until(lambda: webhook.server.port)
    backends = bench.server.updates.balance.setdefault(f"http://127.0.0.1:1{PATH}", [])
    backends.append(f"http://127.0.0.1:{webhook.server.port}{PATH}")
    await bench.until(lambda: bench.server.updates.webhook)
    return front_end, webhook


async def call(
    webhook: Webhook, content: bytes, *, secret: str | None = SECRET, path: str = PATH
) -> int:
    """Call as the platform does, or as somebody else; return the status."""
    headers = {} if secret is None else {SECRET_HEADER: secret}
    url = f"http://127.0.0.1:{webhook.server.port}{path}"
    async with (
        aiohttp.ClientSession() as session,
        session.post(url, data=content, headers=headers) as answer,
    ):
        text = await answer.text()
        assert "Traceback" not in text
        return answer.status


async def test_what_is_said_comes_by_webhook_and_is_answered(bench: Bench) -> None:
    await listening(bench)
    ana, group = await bench.founded()
    ana.say(group, f"/tray{BOT} T1 72")
    await bench.until(lambda: len(bench.server.by_bot(group)) == 2)
    assert bench.server.updates.webhook.secret == SECRET
    assert not bench.server.updates.pending
    assert bench.server.updates.polls == 0


async def test_a_caller_without_the_secret_is_refused(bench: Bench) -> None:
    _, webhook = await listening(bench)
    update = b'{"update_id": 5}'
    for secret in (None, "", "a-secret-of-these-testz", SECRET + "x", "\u00e9"):
        assert await call(webhook, update, secret=secret) == 403
    assert not bench.rows(m.Inbox)
    assert await call(webhook, update) == 200
    assert len(bench.rows(m.Inbox)) == 1


@pytest.mark.parametrize("content", [b"", b"{", b"[]", b"7", b"\xff"])
async def test_what_is_no_update_is_refused(bench: Bench, content: bytes) -> None:
    _, webhook = await listening(bench)
    assert await call(webhook, content) == 400
    assert await call(webhook, b'{"update_id": 5}', path="/") == 404
    assert not bench.rows(m.Inbox)


async def test_an_update_nobody_can_read_is_set_aside_and_confirmed(bench: Bench) -> None:
    _, webhook = await listening(bench)
    assert await call(webhook, b'{"update_id": 5, "message": {"chat": 1}}') == 200
    (row,) = bench.rows(m.Inbox)
    assert row.state == "parked"


async def test_the_same_update_twice_changes_nothing(bench: Bench) -> None:
    await listening(bench)
    ana, group = await bench.founded()
    last = max(bench.server.updates.history)
    said = len(bench.server.by_bot(group))
    bench.server.updates.replay(last)
    ana.say(group, f"/tray{BOT} T1 72")
    await bench.until(lambda: len(bench.server.by_bot(group)) == said + 1)
    assert len(bench.rows(m.Inbox)) == len(bench.server.updates.history)


async def test_an_update_that_cannot_be_stored_is_not_confirmed_and_comes_again(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    front_end, _ = await listening(bench)
    ana, group = await bench.founded()
    store: Callable[..., int] = front_end.receiver._store
    failed: list[int] = []

    def fails_twice(*given: Any) -> int:
        if len(failed) < 2:
            failed.append(1)
            raise OperationalError("INSERT", {}, Exception("the disk is full"))
        return store(*given)

    monkeypatch.setattr(front_end.receiver, "_store", fails_twice)
    ana.say(group, f"/tray{BOT} T1 72")
    await bench.until(lambda: len(bench.server.by_bot(group)) == 2)
    assert len(failed) == 2
    assert "503" in bench.server.updates.webhook.last_error


async def test_two_processes_behind_one_address_record_everything_once(
    bench: Bench, both_engines: str
) -> None:
    await listening(bench)
    await listening(bench)
    ana, group = await bench.founded()
    for number in range(1, 9):
        ana.say(group, f"/tray{BOT} T{number} 72")
    await bench.until(lambda: [row.state for row in bench.rows(m.Outbox)] == ["sent"] * 9)
    assert [row.code for row in bench.rows(m.Tray)] == [f"T{n}" for n in range(1, 9)]
    sent = {row.platform_message for row in bench.rows(m.Outbox)}  # some answers go together
    assert sent == {str(entry.message_id) for entry in bench.server.by_bot(group)}


async def test_the_webhook_stays_set_when_the_process_ends(bench: Bench) -> None:
    front_end, _ = await listening(bench)
    ana, group = await bench.founded()
    await front_end.stop()
    assert bench.server.updates.webhook is not None
    ana.say(group, f"/tray{BOT} T1 72")
    await listening(bench)
    bench.server.updates.balance[f"http://127.0.0.1:1{PATH}"].pop(0)
    await bench.until(lambda: len(bench.server.by_bot(group)) == 2)


async def test_polling_takes_over_from_a_webhook(bench: Bench) -> None:
    front_end, _ = await listening(bench)
    ana, group = await bench.founded()
    await front_end.stop()
    await bench.start()
    ana.say(group, f"/tray{BOT} T1 72")
    await bench.until(lambda: len(bench.server.by_bot(group)) == 2)
    assert bench.server.updates.webhook is None


def test_the_settings_choose_between_webhook_and_polling() -> None:
    assert by_webhook(Settings()) is None
    assert by_webhook(
        Settings(
            webhook_url="https://bot.example/hook",
            webhook_listen=Address(host="127.0.0.1", port=8443),
            webhook_secret=SECRET,
        )
    )


async def test_an_address_in_use_ends_the_process(bench: Bench) -> None:
    _, webhook = await listening(bench)
    taken = Address(host="127.0.0.1", port=webhook.server.port)
    front_end = await bench.start(
        make_intake=lambda front_end: Webhook(
            front_end.client, front_end.receiver, url=f"http://a{PATH}", listen=taken, secret=SECRET
        )
    )
    async with asyncio.timeout(HANGS_S):
        await front_end.failed.wait()
