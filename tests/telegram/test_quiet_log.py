"""The token is in no log line, and no account's id either."""

from __future__ import annotations

import logging
from collections.abc import Iterator

import pytest
import telegram

from bot.telegram.client import make_client
from bot.telegram.quiet_log import CHATTER, HIDDEN, hide, quieten
from tests.telegram.conftest import BOT, Bench


@pytest.fixture
def levels() -> Iterator[None]:
    before = {name: logging.getLogger(name).level for name in CHATTER}
    yield
    for name, level in before.items():
        logging.getLogger(name).setLevel(level)


def told(caplog: pytest.LogCaptureFixture) -> str:
    formatter = logging.Formatter("%(name)s %(message)s")
    return "\n".join(formatter.format(record) for record in caplog.records)


async def test_the_token_is_in_no_log_line_even_when_everything_is_logged(
    bench: Bench, caplog: pytest.LogCaptureFixture, levels: None
) -> None:
    end = hide(bench.server.token)
    try:
        with caplog.at_level(logging.DEBUG):
            for name in CHATTER:
                logging.getLogger(name).setLevel(logging.DEBUG)
            bench.server.faults.next("reset_before", "sendMessage")
            front_end = await bench.start()
            await bench.founded()
            refused = make_client(bench.server.token + "x", bench.server.url)
            with pytest.raises(telegram.error.InvalidToken) as raised:
                await refused.initialize()
            await refused.shutdown()
            try:
                raise raised.value
            except telegram.error.InvalidToken:
                logging.getLogger("bot.any").exception("start failed")
            await front_end.stop()
        lines = told(caplog)
    finally:
        end()
    assert "sendMessage" in lines  # the addresses were logged
    assert HIDDEN in lines
    assert bench.server.token not in lines
    assert bench.server.token.partition(":")[2] not in lines


async def test_the_libraries_say_nothing_of_who_said_what(
    bench: Bench, caplog: pytest.LogCaptureFixture, levels: None
) -> None:
    with caplog.at_level(logging.DEBUG):
        quieten()
        bench.server.faults.next("500", "sendMessage")
        front_end = await bench.start()
        ana, group = await bench.founded()
        ana.say(group, f"/nonsense{BOT} word")
        await bench.until(lambda: len(bench.server.by_bot(group)) == 2)
        await front_end.stop()
    lines = told(caplog)
    for secret in (str(ana.id), str(group.id), "ana_t", "nonsense", bench.server.token):
        assert secret not in lines


@pytest.mark.parametrize(
    ("kind", "method", "line"),
    [
        ("page", "sendMessage", "message 1 may not have arrived: the answer is no JSON"),
        ("page_502", "sendMessage", None),  # tried again, as a message that was not handled
        ("page", "getUpdates", "the messenger cannot be reached: the answer is no JSON"),
        ("page_502", "getUpdates", "the messenger cannot be reached: Bad Gateway (502)"),
    ],
)
async def test_an_answer_that_is_no_json_is_one_line_and_the_call_is_made_again(
    bench: Bench, caplog: pytest.LogCaptureFixture, kind: str, method: str, line: str | None
) -> None:
    with caplog.at_level(logging.INFO):
        bench.server.faults.next(kind, method)
        front_end = await bench.start()
        ana = bench.server.add_user("Ana")
        group = bench.server.add_group("Bench", creator=ana)
        ana.say(group, f"/start{BOT}")
        await bench.until(lambda: bench.server.by_bot(group))
        await front_end.stop()
    assert bench.server.faults.injected[kind] == 1
    assert "html" not in told(caplog)
    spoken = [r for r in caplog.records if r.levelno >= logging.WARNING]
    assert [record.getMessage() for record in spoken] == ([] if line is None else [line])
    assert not any(record.exc_info for record in spoken)


def test_hiding_ends() -> None:
    before = logging.getLogRecordFactory()
    end = hide("123:abc")
    assert logging.getLogRecordFactory() is not before
    end()
    assert logging.getLogRecordFactory() is before
