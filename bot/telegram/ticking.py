"""The tick: now and then the heartbeat, and tidying up. APScheduler is used for nothing else."""

from __future__ import annotations

import logging
from collections.abc import Callable
from datetime import UTC, timedelta

from apscheduler.schedulers.asyncio import AsyncIOScheduler
from sqlalchemy.exc import SQLAlchemyError

from bot.delivery.holding import Holding
from bot.delivery.threads import Threads
from bot.operate.clock import Clock
from bot.operate.fault import place
from bot.talk import heartbeat
from bot.telegram.translate import PLATFORM
from core.records import inbox, outbox_age, tidying
from core.records.database import Database

log = logging.getLogger(__name__)

LEASE = "heartbeat"
TICK_S = 10.0
TIDY_EVERY = 60  # ticks
KEPT = timedelta(days=8)  # what is settled: longer than any update may come again
PARKED_KEPT = timedelta(days=30)  # what could not be handled, for somebody to look at


class Ticking:
    """Beats while this process holds the lease; `said` is told when there is something to send."""

    def __init__(
        self,
        database: Database,
        clock: Clock,
        db: Threads,
        holding: Holding,
        said: Callable[[], None],
        bot_name: str = "",
    ) -> None:
        self._database, self._clock, self._db = database, clock, db
        self._holding, self._said = holding, said
        self.bot_name = bot_name
        self._ticks = 0
        self._scheduler = AsyncIOScheduler(timezone=UTC)

    def start(self) -> None:
        """Tick from now on. A late tick is done all the same, several late ones once."""
        self._scheduler.add_job(
            self.tick,
            "interval",
            seconds=TICK_S,
            coalesce=True,
            misfire_grace_time=None,
            max_instances=1,
        )
        self._scheduler.start()

    def stop(self) -> None:
        """Tick no more."""
        if self._scheduler.running:
            self._scheduler.shutdown(wait=False)

    async def tick(self) -> None:
        """Do what is due, group by group, so that nothing else waits long for the database."""
        if not self._holding.held(LEASE):
            return
        try:
            if await self.beat():
                self._said()
            if self._ticks % TIDY_EVERY == 0:
                await self._db.run(self._tidy)
            self._ticks += 1
        except SQLAlchemyError as error:
            log.warning("the heartbeat waits for the database: %s", type(error).__name__)

    async def beat(self) -> int:
        """Look at every group that is due; return how many notices were made."""
        made = 0
        now = self._clock.now()
        seen: set[int] = set()
        while True:
            due = await self._db.run(heartbeat.due_groups, self._database, now)
            fresh = [group_id for group_id in due if group_id not in seen]
            if not fresh:
                return made
            for group_id in fresh:
                made += await self._look(group_id)
            seen.update(fresh)

    async def _look(self, group_id: int) -> int:
        try:
            return await self._db.run(
                heartbeat.look_at,
                self._database,
                group_id,
                self._clock.now(),
                bot_name=self.bot_name,
            )
        except SQLAlchemyError:
            raise
        except Exception as error:  # noqa: BLE001 - the message or group is passed over
            log.error("a group could not be looked at: %s", place(error))
            return 0

    def due_to_tidy(self) -> None:
        """Tidy up at the next tick."""
        self._ticks = 0

    def _tidy(self) -> None:
        now = self._clock.now()
        with self._database.transaction() as session:
            outbox_age.mark_stale(session, PLATFORM, now)
            inbox.forget(session, now - KEPT, now - PARKED_KEPT)
            outbox_age.forget(session, PLATFORM, now - KEPT)
            tidying.tidy(session, now)
        self._database.sweep_log()
