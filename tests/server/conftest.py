"""A server and an independent client for the tests of the server itself."""

from collections.abc import AsyncIterator

import pytest
import telegram

from tests.server import BotApiServer


@pytest.fixture(autouse=True)
def _timedelta(monkeypatch: pytest.MonkeyPatch) -> None:
    """Have the client give `retry_after` as a timedelta; it warns of the older way."""
    monkeypatch.setenv("PTB_TIMEDELTA", "1")


@pytest.fixture
async def server() -> AsyncIterator[BotApiServer]:
    async with BotApiServer() as server:
        yield server


@pytest.fixture
async def bot(server: BotApiServer) -> AsyncIterator[telegram.Bot]:
    made = telegram.Bot(server.token, base_url=server.base_url, base_file_url=server.base_file_url)
    async with made:
        yield made
