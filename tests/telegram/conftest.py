"""A bot against the local Bot API server, in this process."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import AsyncExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select

from bot.clock import Clock, SystemClock
from bot.telegram.client import make_client
from bot.telegram.pace import Pace
from bot.telegram.serve import FrontEnd
from core.records import models as m
from core.records.database import Database, open_engine
from core.records.schema import upgrade
from tests.server import BotApiServer


@pytest.fixture(autouse=True)
def _timedelta(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PTB_TIMEDELTA", "1")


@pytest.fixture
async def server() -> AsyncIterator[BotApiServer]:
    async with BotApiServer() as server:
        yield server


@pytest.fixture
def database(tmp_path: Path) -> Iterator[Database]:
    engine = open_engine(f"sqlite:///{tmp_path / 'traywarden.db'}")
    upgrade(engine)
    database = Database(engine)
    yield database
    database.close()


@dataclass
class Bench:
    """A server, a database, and front ends started on them."""

    server: BotApiServer
    database: Database
    stack: AsyncExitStack

    async def start(self, **options: Any) -> FrontEnd:
        """Start a front end; it is stopped at the end of the test unless stopped before."""
        options = {"menus": False, "pace": Pace(unlimited=True), "ticking_on": False} | options
        clock: Clock = options.pop("clock", SystemClock())
        database = options.pop("database", self.database)
        client = make_client(self.server.token, self.server.url)
        front_end = FrontEnd(database, client, clock, **options)
        await front_end.start()
        self.stack.push_async_callback(front_end.stop)
        return front_end

    def rows(self, model: type[m.Base], *where: Any) -> list[Any]:
        """Return rows as they stand on disk."""
        with self.database.transaction() as session:
            return list(session.scalars(select(model).where(*where)))

    async def until(self, condition: Callable[[], Any], timeout: float = 5.0) -> Any:
        """Wait for the server to have seen something."""
        return await self.server.until(condition, timeout)


@pytest.fixture
async def bench(server: BotApiServer, database: Database) -> AsyncIterator[Bench]:
    async with AsyncExitStack() as stack:
        yield Bench(server, database, stack)
