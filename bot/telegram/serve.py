"""Serve a token: intake, workers, courier and heartbeat in one process, until told to stop."""

from __future__ import annotations

import asyncio
import contextlib
import gc
import logging
import signal
from collections.abc import Callable, Coroutine
from typing import Any

from sqlalchemy.exc import SQLAlchemyError
from telegram.error import InvalidToken, TelegramError

from bot.delivery import courier
from bot.delivery.budget import Budget
from bot.delivery.courier import Courier
from bot.delivery.holding import RENEW_S, Holding
from bot.delivery.listening import Listening
from bot.delivery.pace import Pace
from bot.delivery.threads import Threads
from bot.operate.clock import Clock, SystemClock
from bot.operate.fault import place
from bot.operate.settings import Settings
from bot.operate.watchdog import Watchdog
from bot.operate.web import CannotListen
from bot.telegram import intake, ticking
from bot.telegram.client import Client, make_client
from bot.telegram.intake import Intake, Polling, Receiver
from bot.telegram.menu import Coordinator, set_coordinators, set_menus, set_profile
from bot.telegram.quiet_log import hide, quieten
from bot.telegram.sending import Sender
from bot.telegram.ticking import Ticking
from bot.telegram.translate import PLATFORM
from bot.telegram.workers import Workers
from core.records import people
from core.records.database import Database
from core.records.standing import Standing, standing

log = logging.getLogger(__name__)

GRACE_S = 1.5  # for calls in flight at the end
STEP_S = 0.8  # for each further step of stopping
RETRY_S = (0.5, 1.0, 2.0, 5.0, 10.0, 30.0)
MENUS_EVERY_S = 60.0  # so long a new coordinator may wait for the menu
WORKERS = 6  # threads on PostgreSQL; SQLite has one writer at a time

MakeIntake = Callable[["FrontEnd"], Intake]
Beside = Callable[["FrontEnd"], Coroutine[Any, Any, None]]


class FrontEnd:
    """All of it, wired together.

    Args:
        pace: how fast to send; `Pace(unlimited=True)` for tests.
        make_intake: how updates come; long polling unless given.
        beside: what else runs from the first moment on, such as the answers about health.
        ticking: whether the heartbeat ticks by itself.
        menus: whether to set the command menus.
        budget: how much one chat may ask; without limit where the pace has none.
    """

    def __init__(
        self,
        database: Database,
        client: Client,
        clock: Clock,
        *,
        pace: Pace | None = None,
        make_intake: MakeIntake | None = None,
        beside: Beside | None = None,
        ticking_on: bool = True,
        menus: bool = True,
        budget: Budget | None = None,
    ) -> None:
        self.database, self.client, self.clock = database, client, clock
        url = database.engine.url
        sqlite = url.get_backend_name() == "sqlite"
        in_memory = sqlite and url.database in (None, "", ":memory:")
        self.watchdog = Watchdog()
        self.db = Threads(1 if sqlite else WORKERS, "database", self.watchdog)
        self.drawing = self.db if in_memory else Threads(1, "drawing")
        self.holding = Holding(
            database, self.db, clock, (intake.LEASE, courier.LEASE, ticking.LEASE)
        )
        self.courier = Courier(
            database,
            Sender(database, client, clock, self.db, self.drawing),
            clock,
            self.db,
            self.holding,
            pace or Pace(),
        )
        self.listening = Listening(database, self.courier.wake)
        budget = budget or Budget(unlimited=pace is not None and pace.unlimited)
        self.workers = Workers(
            database, client, clock, self.db, self.courier, self.holding.me, budget,
            pressed=lambda key: self.receiver.handled(key),
        )  # fmt: skip
        self.receiver = Receiver(
            database, client, clock, self.db, self.workers.take, self.holding.me
        )
        self.ticking = Ticking(database, clock, self.db, self.holding, self.courier.wake)
        self.intake: Intake = (
            make_intake(self)
            if make_intake
            else Polling(
                client, self.receiver, self.holding, self.watchdog, self.workers.little_left
            )
        )
        self._ticking_on, self._menus, self._beside = ticking_on, menus, beside
        self._tasks: list[asyncio.Task[None]] = []
        self._taking_in: asyncio.Task[None] | None = None
        self._stopped = False
        self.failed = asyncio.Event()

    @property
    def idle(self) -> bool:
        """Nothing stored waits to be handled, nothing due waits to be sent."""
        return self.workers.idle and self.courier.idle

    async def standing(self) -> Standing:
        """Return how the queues stand; raise SQLAlchemyError while the database is away."""
        return await self.db.run(self._standing)

    def _standing(self) -> Standing:
        with self.database.transaction() as session:
            return standing(session, f"{intake.HEARD}:{PLATFORM}", self.clock.now())

    def jobs(self) -> dict[str, bool]:
        """Return of each job that one process does whether this one does it."""
        names = (intake.LEASE, courier.LEASE, ticking.LEASE)
        return {name: self.holding.held(name) for name in names}

    async def start(self) -> None:
        """Begin; raise telegram.error.InvalidToken for a token the platform refuses.

        A platform out of reach is waited for.
        """
        if self._beside is not None:
            self._go(self._beside(self))
        await self._introduce()
        self.ticking.bot_name = self.client.username
        await self.holding.renew()
        self._go(self._renewing())
        self._go(self.watchdog.run(self.failed.set))
        self._taking_in = self._go(self.intake.run())
        self.listening.start()
        self._go(self.workers.run())
        self._go(self.courier.run())
        if self._menus:
            self._go(self._set_menus())
        if self._ticking_on:
            self.ticking.start()
            self._go(self.ticking.tick())

    def _go(self, work: Coroutine[Any, Any, None]) -> asyncio.Task[None]:
        task = asyncio.create_task(work)
        task.add_done_callback(self._tell)
        self._tasks.append(task)
        return task

    def _tell(self, task: asyncio.Task[None]) -> None:
        """A part that ends by an error ends the whole: whoever runs it starts it anew."""
        if not task.cancelled() and task.exception() is not None:
            error = task.exception()
            why = str(error) if isinstance(error, CannotListen) else place(error)
            log.critical("a part of the bot has ended: %s", why)
            self.failed.set()

    async def _introduce(self) -> None:
        """Ask the platform who the bot is; its name is needed to read what is said to it."""
        for attempt in range(1_000_000):
            try:
                await self.client.initialize()
            except InvalidToken:
                raise
            except TelegramError as error:
                wait_s = RETRY_S[min(attempt, len(RETRY_S) - 1)]
                log.warning("the messenger cannot be reached: %s", error)
                await asyncio.sleep(wait_s)
            else:
                return

    async def _renewing(self) -> None:
        await asyncio.sleep(RENEW_S)
        await self.holding.run()

    async def _set_menus(self) -> None:
        """Set the menus and the profile; then look now and then who coordinates."""
        await set_menus(self.client, self.clock)
        await set_profile(self.client, self.clock)
        had: set[Coordinator] = set()
        while True:
            with contextlib.suppress(SQLAlchemyError):
                wanted = await self.db.run(self._coordinators)
                had = await set_coordinators(self.client, self.clock, wanted, had)
            await asyncio.sleep(MENUS_EVERY_S)

    def _coordinators(self) -> set[Coordinator]:
        with self.database.transaction() as session:
            return people.appointed(session, PLATFORM)

    async def stop(self) -> None:
        """End within five seconds, whatever hangs; what was begun is settled or as before."""
        if self._stopped:
            return
        self._stopped = True
        self.ticking.stop()
        self.listening.stop()
        if self._taking_in is not None:
            self._taking_in.cancel()  # first: nothing new comes in
        self.receiver.close()
        await asyncio.gather(
            self.courier.stop(GRACE_S), self.workers.stop(GRACE_S), return_exceptions=True
        )
        for task in self._tasks:
            task.cancel()
        if self._tasks:
            await asyncio.wait(self._tasks, timeout=STEP_S / 2)
        # each with a limit of its own: a database that is slow must not leave connections open
        await asyncio.gather(
            self._last(self.db.first(self.holding.release), STEP_S / 2),
            self._last(self.client.shutdown(), STEP_S),
        )
        self.db.close()
        self.drawing.close()

    async def _last(self, step: Coroutine[Any, Any, None], limit_s: float) -> None:
        """Do one of the last steps; what it cannot do, or not in time, is left."""
        try:
            async with asyncio.timeout(limit_s):
                await step
        except (TimeoutError, SQLAlchemyError, TelegramError, RuntimeError):
            log.warning("the last step of stopping was cut short")


async def serve_until_told(
    database: Database,
    client: Client,
    clock: Clock,
    *,
    pace: Pace | None = None,
    make_intake: MakeIntake | None = None,
    beside: Beside | None = None,
) -> bool:
    """Serve until SIGTERM or SIGINT; False when a part of the bot failed instead.

    Raises telegram.error.InvalidToken for a token the platform refuses.
    """
    told = asyncio.Event()
    loop = asyncio.get_running_loop()
    for name in (signal.SIGTERM, signal.SIGINT):
        loop.add_signal_handler(name, told.set)
    front_end = FrontEnd(database, client, clock, pace=pace, make_intake=make_intake, beside=beside)
    begin = asyncio.create_task(front_end.start())
    ends = [asyncio.create_task(told.wait()), asyncio.create_task(front_end.failed.wait())]
    try:
        await asyncio.wait({begin, *ends}, return_when=asyncio.FIRST_COMPLETED)
        if begin.done():
            begin.result()
            gc.collect()
            gc.freeze()  # tables and classes stay: looking through them held up all for 150 ms
            log.info("serving")
            await asyncio.wait(ends, return_when=asyncio.FIRST_COMPLETED)
    finally:
        for task in (begin, *ends):
            task.cancel()
        await front_end.stop()
        for name in (signal.SIGTERM, signal.SIGINT):
            loop.remove_signal_handler(name)
    return not front_end.failed.is_set()


def by_webhook(settings: Settings) -> MakeIntake | None:
    """Return how updates come by the settings; None = long polling."""
    url, listen, secret = settings.webhook_url, settings.webhook_listen, settings.webhook_secret
    if url is None or listen is None or secret is None:
        return None
    from bot.telegram.webhook import Webhook

    return lambda front_end: Webhook(
        front_end.client, front_end.receiver, url=url, listen=listen, secret=secret
    )


def with_health(settings: Settings) -> Beside | None:
    """Return what answers about health by the settings; None = nothing does."""
    listen = settings.health_listen
    if listen is None:
        return None
    from bot.operate.health import HealthServer

    def beside(front_end: FrontEnd) -> Coroutine[Any, Any, None]:
        server = HealthServer(listen, front_end.standing, front_end.jobs, front_end.watchdog.stuck)
        return server.run()

    return beside


def serve(settings: Settings, database: Database) -> bool:
    """Serve the token of the settings until told to stop; False when it cannot or could not."""
    token = settings.telegram_bot_token
    if token is None:
        raise ValueError("settings without a token")
    end_hiding = hide(token)
    quieten()
    client = make_client(token, settings.telegram_api_url)
    try:
        return asyncio.run(
            serve_until_told(
                database,
                client,
                SystemClock(),
                make_intake=by_webhook(settings),
                beside=with_health(settings),
            )
        )
    except InvalidToken:
        log.error("the messenger refuses the token: set TELEGRAM_BOT_TOKEN to the one it gave you")
        return False
    finally:
        end_hiding()
