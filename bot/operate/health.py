"""Tell whoever watches over the process how it is: alive, ready, and in figures.

    GET /health/live   200 while the process answers at all
    GET /health        200 while it does its work, else 503; the figures as JSON
    GET /metrics       the same figures for Prometheus

No ids, names or words of members are shown.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Awaitable, Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy.exc import SQLAlchemyError

from bot.operate.settings import Address
from bot.operate.web import Plain, WebServer
from core.records.standing import Standing

HEARD_WITHIN_S = 300.0  # the platform answers a poll every half minute
WAITS_AT_MOST_S = 300.0  # longer, and whatever should handle it does not
ASKED_WITHIN_S = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Health:
    """One look; `standing` is None while the database cannot be asked.

    Attributes:
        jobs: of those only one process does, whether this one does them.
        stuck: parts of this process that have not moved for too long.
    """

    standing: Standing | None
    jobs: Mapping[str, bool]
    stuck: tuple[str, ...] = ()

    @property
    def wrong(self) -> tuple[str, ...]:
        """What keeps it from its work, in the words of the answer."""
        found = [f"{part} stuck" for part in self.stuck]
        if self.standing is None:
            return (*found, "database")
        if self.standing.heard_s is None or self.standing.heard_s > HEARD_WITHIN_S:
            found.append("messenger")
        if self.standing.inbox.oldest_s > WAITS_AT_MOST_S:
            found.append("inbox")
        if self.standing.outbox.oldest_s > WAITS_AT_MOST_S:
            found.append("outbox")
        return tuple(found)

    def figures(self) -> dict[str, float]:
        """Return every figure by its name in `/metrics`, units in the names."""
        shown: dict[str, float] = {"traywarden_ready": float(not self.wrong)}
        if self.standing is not None:
            for name, queue in (("inbox", self.standing.inbox), ("outbox", self.standing.outbox)):
                shown[f"traywarden_{name}_waiting"] = queue.waiting
                shown[f"traywarden_{name}_oldest_seconds"] = queue.oldest_s
                shown[f"traywarden_{name}_parked"] = queue.parked
            if self.standing.heard_s is not None:
                shown["traywarden_messenger_heard_seconds"] = self.standing.heard_s
        return shown


ABOUT = {
    "traywarden_ready": "1 while the process does its work",
    "traywarden_inbox_waiting": "updates stored and not handled yet",
    "traywarden_inbox_oldest_seconds": "how long the oldest of them has waited",
    "traywarden_inbox_parked": "updates set aside because they could not be handled",
    "traywarden_outbox_waiting": "messages due and not sent yet",
    "traywarden_outbox_oldest_seconds": "how long the oldest of them has waited",
    "traywarden_outbox_parked": "messages set aside because they could not be delivered",
    "traywarden_messenger_heard_seconds": "seconds since the messenger last answered or called",
}

Ask = Callable[[], Awaitable[Standing]]


class HealthServer:
    """Answers until cancelled.

    Args:
        ask: reads how the queues stand.
        jobs: tells of each job that one process does whether this one does it.
        stuck: tells which parts have not moved for too long.
    """

    def __init__(
        self,
        listen: Address,
        ask: Ask,
        jobs: Callable[[], Mapping[str, bool]],
        stuck: Callable[[], tuple[str, ...]] = lambda: (),
    ) -> None:
        self._ask, self._jobs, self._stuck = ask, jobs, stuck
        given = {"look": self.look}
        self.server = WebServer(
            listen,
            [
                ("/health/live", _Live, {}),
                ("/health", _Ready, given),
                ("/health/ready", _Ready, given),
                ("/metrics", _Metrics, given),
            ],
        )

    async def run(self) -> None:
        """Raise OSError where the address cannot be listened on."""
        self.server.start()
        try:
            await asyncio.Event().wait()
        finally:
            await self.server.stop()

    async def look(self) -> Health:
        """Return how it stands now; a database that hangs counts as one that is away."""
        standing: Standing | None = None
        try:
            async with asyncio.timeout(ASKED_WITHIN_S):
                standing = await self._ask()
        except (SQLAlchemyError, TimeoutError):
            standing = None
        return Health(standing=standing, jobs=self._jobs(), stuck=self._stuck())


class _Live(Plain):
    def get(self) -> None:
        self.finish("alive\n")


class _Ready(Plain):
    def initialize(self, look: Callable[[], Awaitable[Health]]) -> None:
        self._look = look

    async def get(self) -> None:
        health = await self._look()
        self.set_status(503 if health.wrong else 200)
        self.set_header("Content-Type", "application/json")
        told: dict[str, Any] = {
            "ready": not health.wrong,
            "wrong": list(health.wrong),
            "jobs": dict(health.jobs),
        }
        for name, value in health.figures().items():
            if name != "traywarden_ready":
                told[name.removeprefix("traywarden_")] = value
        self.finish(json.dumps(told) + "\n")


class _Metrics(Plain):
    def initialize(self, look: Callable[[], Awaitable[Health]]) -> None:
        self._look = look

    async def get(self) -> None:
        from prometheus_client import CONTENT_TYPE_LATEST

        words = exposed(await self._look())
        self.set_header("Content-Type", CONTENT_TYPE_LATEST)
        self.finish(words)


def exposed(health: Health) -> bytes:
    """Return the figures, and those of the process itself, in the format of Prometheus."""
    from prometheus_client import CollectorRegistry, ProcessCollector, generate_latest
    from prometheus_client.core import GaugeMetricFamily
    from prometheus_client.registry import Collector

    class Figures(Collector):
        def collect(self) -> Iterator[GaugeMetricFamily]:
            for name, value in health.figures().items():
                yield GaugeMetricFamily(name, ABOUT[name], value)
            jobs = GaugeMetricFamily(
                "traywarden_job_held", "1 for a job that this process does", labels=["job"]
            )
            for job, held in health.jobs.items():
                jobs.add_metric([job], float(held))
            yield jobs

    registry = CollectorRegistry()
    registry.register(Figures())
    ProcessCollector(registry=registry)
    return generate_latest(registry)
