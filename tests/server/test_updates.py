"""Long polling and webhooks, as "Getting updates" of the Bot API reference describes them."""

import asyncio
import json
from collections.abc import AsyncIterator, Callable

import pytest
import telegram
from aiohttp import web
from telegram import Update
from telegram.error import BadRequest, Conflict

from tests.server import BotApiServer


async def texts(bot, **rest: int) -> list[str]:
    return [update.message.text for update in await bot.get_updates(**rest)]


async def test_updates_stay_until_confirmed_by_offset(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    for word in ("a", "b", "c"):
        alice.say(alice.private, word)
    first = await bot.get_updates(limit=2)
    assert [update.message.text for update in first] == ["a", "b"]
    assert await texts(bot) == ["a", "b", "c"]
    assert await texts(bot, offset=first[-1].update_id + 1) == ["c"]
    assert await texts(bot) == ["c"]
    assert len(server.updates.pending) == 1
    assert server.updates.confirmed == first[-1].update_id


async def test_a_negative_offset_forgets_all_but_the_last(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    for word in ("a", "b", "c"):
        alice.say(alice.private, word)
    assert await texts(bot, offset=-1) == ["c"]
    assert await texts(bot) == ["c"]


async def test_ids_rise_by_one(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    for _ in range(3):
        alice.say(alice.private, "a")
    ids = [update.update_id for update in await bot.get_updates()]
    assert ids == [100_001, 100_002, 100_003]


async def test_a_waiting_poll_returns_as_soon_as_something_is_said(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    poll = asyncio.create_task(bot.get_updates(timeout=30))
    await server.until(lambda: server.updates.polling)
    alice.say(alice.private, "a")
    (update,) = await poll
    assert update.message.text == "a"


async def test_a_second_poller_ends_the_first(server, bot) -> None:
    first = asyncio.create_task(bot.get_updates(timeout=30))
    await server.until(lambda: server.updates.polls == 1)
    async with telegram.Bot(server.token, base_url=server.base_url) as other:
        second = asyncio.create_task(other.get_updates(timeout=30))
        with pytest.raises(Conflict, match="terminated by other getUpdates"):
            await first
        server.add_user("Alice").start()
        assert len(await second) == 1


@pytest.mark.parametrize("wrong", [{"limit": 0}, {"limit": 101}, {"timeout": -1}])
async def test_limits_outside_1_to_100_and_negative_waits_are_refused(bot, wrong) -> None:
    with pytest.raises(BadRequest):
        await bot.get_updates(**wrong)


async def test_unknown_update_types_are_refused(bot) -> None:
    with pytest.raises(BadRequest, match=r"(?i)unknown update type \"messages\""):
        await bot.get_updates(allowed_updates=["messages"])


async def test_allowed_updates_choose_and_are_remembered(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    group = server.add_group("Bench", creator=alice, bot="administrator")
    await bot.get_updates(allowed_updates=["chat_member", "message"])
    message = alice.say(alice.private, "a")
    alice.edit(message, "b")
    server.add_user("Ben").join(group)
    await bot.get_updates()
    kinds = [json.loads(update.body) for update in server.updates.pending.values()]
    assert [next(k for k in u if k != "update_id") for u in kinds] == [
        "message",
        "chat_member",
        "message",
    ]


async def test_chat_member_updates_come_only_when_asked_for(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    group = server.add_group("Bench", creator=alice, bot="administrator")
    server.add_user("Ben").join(group)
    (update,) = await bot.get_updates()
    assert update.message.new_chat_members[0].first_name == "Ben"
    await bot.get_updates(offset=update.update_id + 1, allowed_updates=Update.ALL_TYPES)
    server.add_user("Cy").join(group)
    changes = await bot.get_updates()
    assert [update.chat_member is not None for update in changes] == [True, False]


async def test_an_injected_update_arrives_as_it_is(server, bot) -> None:
    raw = server.updates.inject({"message": {"message_id": "not a number"}})
    body = json.loads(server.updates.pending[raw].body)
    assert body == {"update_id": raw, "message": {"message_id": "not a number"}}


async def test_a_replayed_update_comes_again_though_confirmed(server, bot) -> None:
    server.add_user("Alice").start()
    (update,) = await bot.get_updates()
    assert await texts(bot, offset=update.update_id + 1) == []
    server.updates.replay(update.update_id)
    assert await texts(bot, offset=update.update_id + 1) == ["/start"]
    assert await texts(bot, offset=update.update_id + 1) == []


async def test_updates_are_kept_for_a_day() -> None:
    now = [1_900_000_000.0]
    async with BotApiServer(clock=lambda: now[0]) as server:
        alice = server.add_user("Alice", started=True)
        alice.say(alice.private, "old")
        now[0] += 3600
        alice.say(alice.private, "new")
        now[0] += 23 * 3600 + 1
        async with telegram.Bot(server.token, base_url=server.base_url) as bot:
            assert await texts(bot) == ["new"]
        assert server.updates.forgotten == [100_001]


# Webhooks ----------------------------------------------------------------------------------


class Receiver:
    """A tiny webhook endpoint that notes what it gets and answers as told."""

    def __init__(self) -> None:
        self.got: list[tuple[int, str, str | None]] = []
        self.answer: Callable[[dict], web.Response] = lambda update: web.Response()
        self.gate = asyncio.Event()
        self.gate.set()

    async def handle(self, request: web.BaseRequest) -> web.Response:
        update = json.loads(await request.content.read())
        await self.gate.wait()
        secret = request.headers.get("X-Telegram-Bot-Api-Secret-Token")
        text = update.get("message", {}).get("text", "")
        self.got.append((update["update_id"], text, secret))
        return self.answer(update)


@pytest.fixture
async def receiver() -> AsyncIterator[tuple[Receiver, str]]:
    receiver = Receiver()
    runner = web.ServerRunner(web.Server(receiver.handle, access_log=None), shutdown_timeout=0.2)
    await runner.setup()
    await web.TCPSite(runner, "127.0.0.1", 0).start()
    yield receiver, f"http://127.0.0.1:{runner.addresses[0][1]}/hook"
    receiver.gate.set()
    await runner.cleanup()


async def test_a_webhook_gets_updates_with_the_secret(server, bot, receiver) -> None:
    hook, url = receiver
    server.add_user("Alice").start()
    await bot.set_webhook(url, secret_token="s3cret-_")
    await server.until(lambda: not server.updates.pending)
    assert hook.got == [(100_001, "/start", "s3cret-_")]
    info = await bot.get_webhook_info()
    assert (info.url, info.pending_update_count, info.max_connections) == (url, 0, 40)


async def test_polling_is_refused_while_a_webhook_is_set(server, bot, receiver) -> None:
    poll = asyncio.create_task(bot.get_updates(timeout=30))
    await server.until(lambda: server.updates.polling)
    await bot.set_webhook(receiver[1])
    with pytest.raises(Conflict):
        await poll
    with pytest.raises(Conflict, match="webhook is active"):
        await bot.get_updates()
    await bot.delete_webhook()
    assert await bot.get_updates() == ()


async def test_a_refused_update_is_tried_again_in_its_place(server, bot, receiver) -> None:
    hook, url = receiver
    server.updates.retry_s = 0.001
    alice = server.add_user("Alice", started=True)
    failures = iter([500, 503, 404])
    hook.answer = lambda update: web.Response(status=next(failures, 200))
    await bot.set_webhook(url)
    for word in ("a", "b"):
        alice.say(alice.private, word)
    await server.until(lambda: not server.updates.pending)
    assert [text for _, text, _ in hook.got] == ["a", "a", "a", "a", "b"]
    info = await bot.get_webhook_info()
    assert info.last_error_message == "Wrong response from the webhook: 404 Not Found"


async def test_an_update_refused_to_the_end_is_given_up(server, bot, receiver) -> None:
    hook, url = receiver
    server.updates.retry_s, server.updates.attempts = 0.001, 3
    hook.answer = lambda update: web.Response(status=500)
    await bot.set_webhook(url)
    server.add_user("Alice").start()
    await server.until(lambda: not server.updates.pending)
    assert (len(hook.got), server.updates.given_up) == (3, [100_001])


async def test_one_stuck_chat_does_not_hold_the_others(server, bot, receiver) -> None:
    hook, url = receiver
    alice, ben = (server.add_user(name, started=True) for name in ("Alice", "Ben"))
    hook.answer = lambda u: web.Response(status=500 if u["message"]["text"] == "stuck" else 200)
    await bot.set_webhook(url)
    alice.say(alice.private, "stuck")
    alice.say(alice.private, "behind")
    ben.say(ben.private, "free")
    await server.until(lambda: "free" in [text for _, text, _ in hook.got])
    assert "behind" not in [text for _, text, _ in hook.got]


async def test_dropping_pending_updates_drops_them(server, bot) -> None:
    server.add_user("Alice").start()
    await bot.delete_webhook(drop_pending_updates=True)
    assert await bot.get_updates() == ()


@pytest.mark.parametrize(
    "wrong",
    [
        {"url": "http://garden.test/hook"},
        {"url": "https://garden.test/hook", "secret_token": "not allowed!"},
        {"url": "https://garden.test/hook", "max_connections": 101},
    ],
)
async def test_a_bad_webhook_is_refused(bot, wrong) -> None:
    with pytest.raises(BadRequest):
        await bot.set_webhook(**wrong)


async def test_a_balancer_takes_the_backends_in_turn(server, bot, receiver) -> None:
    hook, url = receiver
    server.updates.retry_s = 0.001
    public = "https://garden.test/hook"
    server.updates.balance[public] = ["http://127.0.0.1:9/closed", url]
    await bot.set_webhook(public)
    alice = server.add_user("Alice", started=True)
    for word in ("a", "b", "c"):
        alice.say(alice.private, word)
    await server.until(lambda: not server.updates.pending)
    assert [text for _, text, _ in hook.got] == ["a", "b", "c"]


async def test_a_method_may_be_called_in_the_webhooks_answer(receiver) -> None:
    hook, url = receiver
    async with BotApiServer() as server:
        alice = server.add_user("Alice", started=True)
        reply = {"method": "sendMessage", "chat_id": alice.id, "text": "noted"}
        hook.answer = lambda update: web.json_response(reply)
        server.methods.table["setWebhook"]({"url": url})
        alice.say(alice.private, "a")
        (entry,) = await server.until(server.by_bot)
        assert entry.text == "noted"
