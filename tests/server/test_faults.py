"""The sending limits and the faults on demand."""

import asyncio
from collections import Counter
from datetime import timedelta

import pytest
import telegram
from telegram.error import BadRequest, NetworkError, RetryAfter

from tests.server import BotApiServer
from tests.server.contract import ApiError
from tests.server.faults import KINDS, Faults
from tests.server.pace import Pace

# Pace --------------------------------------------------------------------------------------


def sent(pace: Pace, chat_id: int, is_group: bool, at: float, count: int = 1) -> int:
    """Return 0 if let through, else the seconds of retry_after."""
    try:
        pace.take(chat_id, is_group, at, count)
    except ApiError as refused:
        return refused.parameters["retry_after"] if refused.code == 429 else -1
    return 0


def test_thirty_a_second_pass_and_the_next_is_refused() -> None:
    pace = Pace()
    assert [sent(pace, chat, False, 100.0) for chat in range(30)] == [0] * 30
    assert sent(pace, 99, False, 100.9) == 1
    assert pace.refused == {"overall": 1, "chat": 0, "group": 0}
    assert sent(pace, 100, False, 101.0) == 0


def test_a_chat_takes_a_burst_then_one_a_second() -> None:
    pace = Pace()
    assert [sent(pace, 1, False, 100.0) for _ in range(4)] == [0, 0, 0, 1]
    assert sent(pace, 1, False, 101.0) == 0
    assert [sent(pace, 1, False, 102.0 + n) for n in range(50)] == [0] * 50
    pace.burst = 1
    assert sent(pace, 2, False, 200.0) == 0
    assert sent(pace, 2, False, 200.5) == 1


def test_a_group_takes_20_in_a_minute_and_says_how_long_to_wait() -> None:
    pace = Pace()
    assert [sent(pace, -1, True, 100.0 + n) for n in range(20)] == [0] * 20
    assert sent(pace, -1, True, 120.0) == 40
    assert sent(pace, 1, False, 120.0) == 0
    assert sent(pace, -1, True, 160.0) == 0


def test_an_album_counts_each_of_its_items() -> None:
    pace = Pace()
    assert sent(pace, -1, True, 100.0, 10) == 0
    assert sent(pace, -1, True, 110.0, 10) == 0
    assert sent(pace, -1, True, 120.0) == 40


def test_coming_back_before_retry_after_is_refused_and_counted() -> None:
    pace = Pace(enabled=False)
    pace.hold(1, 100.0, 5)
    assert sent(pace, 1, False, 102.0) == 3
    assert sent(pace, 2, False, 102.0) == 0
    assert sent(pace, 1, False, 105.0) == 0
    assert pace.early == 1


async def test_the_servers_pace_runs_on_the_clock_it_was_given() -> None:
    now = [1000.0]
    async with BotApiServer(paced=True, monotonic=lambda: now[0]) as server:
        alice = server.add_user("Alice", started=True)
        async with telegram.Bot(server.token, base_url=server.base_url) as bot:
            for _ in range(3):
                await bot.send_message(alice.id, "a")
            with pytest.raises(RetryAfter) as refused:
                await bot.send_message(alice.id, "a")
            assert refused.value.retry_after == timedelta(seconds=1)
            now[0] += 1
            await bot.send_message(alice.id, "a")
    assert len(server.by_bot()) == 4


# Faults ------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["500", "reset_before", "hang_before"])
async def test_faults_before_handling_leave_no_message(server, bot, kind) -> None:
    alice = server.add_user("Alice", started=True)
    server.faults.next(kind, "sendMessage", hang_s=0.01)
    with pytest.raises(NetworkError):
        await bot.send_message(alice.id, "a")
    assert server.by_bot() == []
    await bot.send_message(alice.id, "a")
    assert server.faults.injected[kind] == 1


async def test_reset_after_records_the_message_and_loses_the_answer(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    server.faults.next("reset_after", "sendMessage")
    with pytest.raises(NetworkError):
        await bot.send_message(alice.id, "a")
    (entry,) = server.by_bot()
    assert (entry.text, entry.reply_lost) == ("a", True)
    call = [call for call in server.calls if call.method == "sendMessage"][-1]
    assert (call.status, call.fault, call.chat_id) == (0, "reset_after", alice.id)


async def test_a_hang_outlasts_the_clients_patience_but_is_recorded(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    server.faults.next("hang", "sendMessage", hang_s=30)
    with pytest.raises(NetworkError):
        await bot.send_message(alice.id, "a", read_timeout=0.05)
    assert server.by_bot()[0].text == "a"


async def test_a_forced_429_closes_that_chat_only(server, bot) -> None:
    alice, ben = (server.add_user(name, started=True) for name in ("Alice", "Ben"))
    server.faults.next("429", "sendMessage", chat_id=alice.id, retry_after_s=7)
    await bot.send_message(ben.id, "a")
    with pytest.raises(RetryAfter) as refused:
        await bot.send_message(alice.id, "a")
    assert refused.value.retry_after == timedelta(seconds=7)
    with pytest.raises(RetryAfter):
        await bot.send_message(alice.id, "a")
    await bot.send_message(ben.id, "b")
    assert (len(server.by_bot()), server.pace.early) == (2, 1)


async def test_a_lost_poll_is_handed_out_again(server, bot) -> None:
    server.add_user("Alice").start()
    server.faults.next("reset_after", "getUpdates")
    with pytest.raises(NetworkError):
        await bot.get_updates()
    assert len(await bot.get_updates()) == 1


async def test_a_scheduled_fault_skips_and_repeats_as_told(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    server.faults.next("500", "sendMessage", skip=1, times=2)
    outcomes = []
    for _ in range(4):
        try:
            await bot.send_message(alice.id, "a")
            outcomes.append(True)
        except NetworkError as error:
            outcomes.append(isinstance(error, BadRequest))
    assert outcomes == [True, False, False, True]


def test_the_same_seed_gives_the_same_faults_near_the_stated_share() -> None:
    def drawn(seed: int) -> list[str | None]:
        faults = Faults()
        faults.fraction(0.1, seed=seed, methods=["sendMessage"])
        assert faults.pick("getUpdates", None) is None
        picks = [faults.pick("sendMessage", 1) for _ in range(5000)]
        return [fault.kind if fault else None for fault in picks]

    first = drawn(1)
    assert first == drawn(1) != drawn(2)
    counts = Counter(first)
    # Binomial(5000, 0.1): sd 21; each of six kinds 83 +- 9.
    assert abs(5000 - counts[None] - 500) < 5 * 21
    assert all(abs(counts[kind] - 83) < 5 * 9 for kind in KINDS)


def test_unknown_faults_and_shares_are_the_tests_mistake() -> None:
    with pytest.raises(ValueError, match="none of"):
        Faults().next("404")
    with pytest.raises(ValueError, match="rate"):
        Faults().fraction(1.5)


async def test_a_request_cut_short_changes_nothing_and_a_dead_poller_loses_nothing(server) -> None:
    alice = server.add_user("Alice", started=True)
    kind = "HTTP/1.1\r\nHost: x\r\nContent-Type: application/x-www-form-urlencoded\r\n"
    for method, body, length in (
        ("sendMessage", "chat_id=5&te", 40),
        ("getUpdates", "timeout=9", 9),
    ):
        _, writer = await asyncio.open_connection("127.0.0.1", server.port)
        head = f"POST /bot{server.token}/{method} {kind}Content-Length: {length}\r\n\r\n"
        writer.write((head + body).encode())
        await writer.drain()
        if method == "getUpdates":
            await server.until(lambda: server.updates.polling)
        writer.transport.abort()
    alice.say(alice.private, "a")
    await server.until(lambda: len(server.calls) == 2)
    assert server.counts["sendMessage", 0] == 1
    assert (server.said_by_bot, len(server.updates.pending)) == (0, 1)


async def test_closing_lets_go_of_pollers_and_hanging_calls() -> None:
    async with BotApiServer() as server:
        bot = telegram.Bot(server.token, base_url=server.base_url)
        await bot.initialize()
        server.faults.next("hang", "getMe", hang_s=600)
        waiting = [
            asyncio.create_task(bot.get_updates(timeout=600)),
            asyncio.create_task(bot.get_me(read_timeout=600)),
        ]
        await server.until(lambda: server.updates.polling and server.faults.injected["hang"])
    done, pending = await asyncio.wait(waiting, timeout=5)
    assert (len(done), len(pending)) == (2, 0)
    for task in done:
        task.exception()
    await bot.shutdown()
