"""Health and figures: told to whoever asks, and true."""

from __future__ import annotations

import asyncio
import json
import threading
from datetime import UTC, datetime, timedelta
from typing import Any

import aiohttp
import pytest
from sqlalchemy.exc import OperationalError

from bot.operate import watchdog
from bot.operate.health import ABOUT, HEARD_WITHIN_S, WAITS_AT_MOST_S, Health, HealthServer
from bot.operate.settings import Address, Settings
from bot.telegram.serve import with_health
from core.records import marks
from core.records import models as m
from core.records.database import Database
from core.records.standing import Queue, Standing, standing
from tests.databases import new_database
from tests.telegram.conftest import BOT, Bench

pytestmark = pytest.mark.usefixtures("both_engines")

NOW = datetime(2027, 3, 1, 12, 0, tzinfo=UTC)
FREE = Address(host="127.0.0.1", port=0)
CALM = Queue(waiting=0, oldest_s=0.0, parked=0)


async def get(server: HealthServer, path: str) -> tuple[int, str]:
    url = f"http://127.0.0.1:{server.server.port}{path}"
    async with aiohttp.ClientSession() as session, session.get(url) as answer:
        return answer.status, await answer.text()


async def figures(server: HealthServer) -> dict[str, float]:
    status, text = await get(server, "/metrics")
    assert status == 200
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    return {name: float(value) for name, _, value in (line.rpartition(" ") for line in lines)}


@pytest.fixture
async def served(bench: Bench) -> HealthServer:
    """The health of a front end that runs against the local server."""
    made: list[HealthServer] = []

    def beside(front_end: Any) -> Any:
        made.append(HealthServer(FREE, front_end.standing, front_end.jobs))
        return made[0].run()

    await bench.start(beside=beside)
    await bench.until(lambda: made[0].server.port)
    return made[0]


async def test_a_bot_at_work_is_alive_and_ready(bench: Bench, served: HealthServer) -> None:
    await bench.founded()
    await bench.until(lambda: bench.rows(m.Mark))
    assert await get(served, "/health/live") == (200, "alive\n")
    for path in ("/health", "/health/ready"):
        status, text = await get(served, path)
        told = json.loads(text)
        assert (status, told["ready"], told["wrong"]) == (200, True, [])
        assert told["jobs"] == {"intake": True, "courier": True, "heartbeat": True}
        assert told["messenger_heard_seconds"] < 60
    assert (await get(served, "/elsewhere"))[0] == 404


async def test_a_writer_that_hangs_is_named_and_ends_the_process(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(watchdog, "LIMIT_S", 0.2)
    monkeypatch.setattr(watchdog, "EVERY_S", 0.1)
    made: list[HealthServer] = []

    def beside(front_end: Any) -> Any:
        made.append(
            HealthServer(FREE, front_end.standing, front_end.jobs, front_end.watchdog.stuck)
        )
        return made[0].run()

    front_end = await bench.start(beside=beside)
    await bench.until(lambda: made[0].server.port)
    released = threading.Event()
    hangs = [
        asyncio.create_task(front_end.db.run(released.wait)) for _ in range(front_end.db.count)
    ]
    await bench.until(lambda: front_end.watchdog.stuck())
    assert Health(standing=None, jobs={}, stuck=front_end.watchdog.stuck()).wrong[0] == (
        "database stuck"
    )
    await asyncio.wait_for(front_end.failed.wait(), 5)
    released.set()
    await asyncio.gather(*hangs)


async def test_the_figures_are_those_of_the_queues(bench: Bench, served: HealthServer) -> None:
    _, group = await bench.founded()
    await bench.until(lambda: bench.rows(m.Mark))
    bench.server.updates.inject({"message": {"chat": 1}})
    bench.put(group, "refused", state="parked")
    await bench.until(lambda: bench.rows(m.Inbox, m.Inbox.state == "parked"))
    found = await figures(served)
    assert found["traywarden_ready"] == 1
    assert found["traywarden_inbox_parked"] == found["traywarden_outbox_parked"] == 1
    assert found["traywarden_inbox_waiting"] == found["traywarden_outbox_waiting"] == 0
    assert found['traywarden_job_held{job="courier"}'] == 1
    assert found["process_resident_memory_bytes"] > 1e6
    assert set(ABOUT) <= set(found)
    assert BOT.strip("@") not in (await get(served, "/health"))[1]


def fill(database: Database) -> None:
    """Two updates and two messages wait, one is due later, one of each is set aside."""
    with database.transaction() as session:
        chat = m.Chat(
            **dict.fromkeys(("title", "thread", "group_id", "person_id")),
            **dict.fromkeys(("dead_since", "dead_because", "paused_until")),
            platform="telegram",
            platform_chat="1",
            private=False,
        )
        session.add(chat)
        session.flush()
        for number, (state, ago_s) in enumerate((("new", 30), ("new", 90), ("parked", 500))):
            session.add(
                m.Inbox(
                    **dict.fromkeys(("lease_until", "lease_by", "error", "handled_at")),
                    platform="telegram",
                    update_key=str(number),
                    chat="1",
                    received_at=NOW - timedelta(seconds=ago_s),
                    body={},
                    state=state,
                    tries=0,
                )
            )
        for number, (state, ago_s) in enumerate(
            (("due", 20), ("sending", 70), ("due", -60), ("parked", 900), ("sent", 900))
        ):
            session.add(
                m.Outbox(
                    **dict.fromkeys(("notice_id", "lease_until", "lease_by", "sent_at")),
                    **dict.fromkeys(("platform_message", "error")),
                    key=str(number),
                    chat_id=chat.id,
                    body={},
                    due_at=NOW - timedelta(seconds=ago_s),
                    state=state,
                    tries=0,
                )
            )
        marks.put(session, "heard:telegram", "", NOW - timedelta(seconds=12))


def test_ages_are_those_of_the_oldest_that_waits() -> None:
    database = new_database()
    with database.transaction() as session:
        assert standing(session, "heard:telegram", NOW) == Standing(
            inbox=CALM, outbox=CALM, heard_s=None
        )
    fill(database)
    with database.transaction() as session:
        assert standing(session, "heard:telegram", NOW) == Standing(
            inbox=Queue(waiting=2, oldest_s=90, parked=1),
            outbox=Queue(waiting=2, oldest_s=70, parked=1),
            heard_s=12,
        )


def looked(**values: Any) -> Health:
    calm: dict[str, Any] = {"inbox": CALM, "outbox": CALM, "heard_s": 5.0}
    return Health(standing=Standing(**calm | values), jobs={})


def test_what_waits_too_long_is_named() -> None:
    late = Queue(waiting=1, oldest_s=WAITS_AT_MOST_S + 1, parked=0)
    assert looked().wrong == ()
    assert looked(inbox=Queue(waiting=9, oldest_s=WAITS_AT_MOST_S, parked=9)).wrong == ()
    assert looked(inbox=late).wrong == ("inbox",)
    assert looked(outbox=late, heard_s=None).wrong == ("messenger", "outbox")
    assert looked(heard_s=HEARD_WITHIN_S + 1).wrong == ("messenger",)
    assert Health(standing=None, jobs={}).wrong == ("database",)


async def test_a_database_that_is_away_is_told_and_the_process_lives() -> None:
    async def ask() -> Standing:
        raise OperationalError("SELECT", {}, Exception("gone"))

    server = HealthServer(FREE, ask, dict)
    running = asyncio.create_task(server.run())
    await asyncio.sleep(0)
    status, text = await get(server, "/health")
    assert (status, json.loads(text)["wrong"]) == (503, ["database"])
    assert (await figures(server))["traywarden_ready"] == 0
    assert (await get(server, "/health/live"))[0] == 200
    running.cancel()
    await asyncio.gather(running, return_exceptions=True)


def test_nothing_listens_unless_it_is_set() -> None:
    assert with_health(Settings()) is None
    assert with_health(Settings(health_listen=FREE)) is not None
