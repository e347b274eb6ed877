"""A bot against the local Bot API server, in this process."""

from __future__ import annotations

import asyncio
import itertools
import time
from collections.abc import AsyncIterator, Callable
from contextlib import AsyncExitStack
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select

from bot.delivery.pace import Pace
from bot.operate.clock import Clock, SystemClock
from bot.telegram.client import make_client
from bot.telegram.serve import FrontEnd
from core.records import models as m
from core.records import people
from core.records.database import Database
from tests.databases import new_database, new_url
from tests.server import BotApiServer
from tests.server.chats import Chat, Json
from tests.server.people import User

BOT = "@traywarden_test_bot"
HANGS_S = 90.0  # what has not come by then never comes, however busy the machine is
_KEYS = itertools.count(1)


@pytest.fixture(autouse=True)
def _timedelta(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PTB_TIMEDELTA", "1")


@pytest.fixture
async def server() -> AsyncIterator[BotApiServer]:
    async with BotApiServer() as server:
        yield server


@pytest.fixture
def database(tmp_path: Path) -> Database:
    """A database that several front ends may open, of the engine at hand."""
    return new_database(new_url(tmp_path))


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

    def a_group(self, **options: Any) -> tuple[User, Chat]:
        """Return Ana and a group of hers that the bot is in."""
        ana = self.server.add_user("Ana", username="ana_t", started=True)
        return ana, self.server.add_group("Bench", creator=ana, **options)

    async def founded(self, **options: Any) -> tuple[User, Chat]:
        """Return Ana and a group that she has started; a front end must run."""
        ana, group = self.a_group(**options)
        ana.say(group, f"/start{BOT}")
        await self.until(lambda: self.server.by_bot(group))
        return ana, group

    def chat(self, chat: Chat) -> m.Chat:
        """Return a chat's row, made when it is new."""
        with self.database.transaction() as session:
            return people.chat_of(session, "telegram", str(chat.id), private=chat.type == "private")

    def put(self, chat: Chat, body: Json | str, **values: Any) -> int:
        """Put a message into the outbox; return its id."""
        row = m.Outbox(
            **{
                "key": f"test:{next(_KEYS)}",
                "chat_id": self.chat(chat).id,
                "notice_id": None,
                "body": {"text": body} if isinstance(body, str) else body,
                "due_at": datetime.now(UTC),
                "state": "due",
                "lease_by": None,
                "lease_until": None,
                "tries": 0,
                "sent_at": None,
                "platform_message": None,
                "error": None,
            }
            | values
        )
        with self.database.transaction() as session:
            session.add(row)
            session.flush()
            return row.id

    def counts_of(self, method: str, status: int) -> int:
        """Return how many calls of a method were answered so."""
        return self.server.counts.get((method, status), 0)

    def row(self, row_id: int) -> m.Outbox:
        """Return a message of the outbox as it stands on disk."""
        return self.rows(m.Outbox, m.Outbox.id == row_id)[0]

    async def until(self, condition: Callable[[], Any], timeout: float = HANGS_S) -> Any:
        """Return `condition()` once it is true; it may look at the server or at the disk."""
        deadline, pause_s = time.monotonic() + timeout, 0.005
        while not (value := condition()):
            if time.monotonic() > deadline:
                last = [f"{e.method} {e.sender}: {e.text}" for e in self.server.transcript[-5:]]
                raise TimeoutError(f"not true within {timeout} s; last said: {last}")
            await asyncio.sleep(pause_s)
            pause_s = min(1.3 * pause_s, 0.05)  # looking at the disk takes time from the bot
        return value


@pytest.fixture
async def bench(server: BotApiServer, database: Database) -> AsyncIterator[Bench]:
    async with AsyncExitStack() as stack:
        yield Bench(server, database, stack)
