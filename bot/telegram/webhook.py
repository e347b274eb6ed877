"""Updates by webhook: the platform calls us, and hears 200 once the update is on disk.

Any number of processes may listen behind one address. The platform keeps the order within a chat
and calls again whatever was not answered with 200; an update that comes twice changes nothing.
"""

from __future__ import annotations

import asyncio
import hmac
import json
import logging
import re
from typing import Any
from urllib.parse import urlsplit

from sqlalchemy.exc import SQLAlchemyError
from telegram.error import InvalidToken, RetryAfter, TelegramError

from bot.operate.fault import place
from bot.operate.settings import Address
from bot.operate.web import Plain, WebServer
from bot.telegram.client import WANTED, Client, seconds
from bot.telegram.intake import BACKOFF_S, Receiver

log = logging.getLogger(__name__)

SECRET_HEADER = "X-Telegram-Bot-Api-Secret-Token"
CHECK_S = 60.0  # how often the platform is asked whether it still calls us
CONNECTIONS = 40  # the most calls at once that the platform is asked for


class Webhook:
    """Listens, and keeps the platform calling."""

    def __init__(
        self, client: Client, receiver: Receiver, *, url: str, listen: Address, secret: str
    ) -> None:
        self._client, self._receiver = client, receiver
        self._url, self._secret = url, secret
        path = urlsplit(url).path or "/"
        given = {"receiver": receiver, "secret": secret}
        self.server = WebServer(listen, [(re.escape(path), _Updates, given)])
        self._failures = 0

    async def run(self) -> None:
        """Listen until cancelled; the webhook stays set, for what comes meanwhile.

        Raises OSError where the address cannot be listened on.
        """
        self.server.start()
        try:
            told = False
            while True:
                try:
                    if not told or (await self._client.get_webhook_info()).url != self._url:
                        await self._tell()
                        told = True
                    await self._receiver.take([])  # the platform has been heard
                except Exception as error:  # noqa: BLE001 - the one catch of this intake: it goes on
                    await asyncio.sleep(self._pause(error))
                    continue
                self._failures = 0
                await asyncio.sleep(CHECK_S)
        finally:
            await self.server.stop()

    async def _tell(self) -> None:
        await self._client.set_webhook(
            self._url,
            max_connections=CONNECTIONS,
            allowed_updates=WANTED,
            secret_token=self._secret,
            drop_pending_updates=False,
        )

    def _pause(self, error: Exception) -> float:
        """Log what went wrong; return how long to wait."""
        self._failures += 1
        match error:
            case RetryAfter():
                return seconds(error.retry_after)
            case InvalidToken():
                log.error("the token is refused")
            case SQLAlchemyError():
                log.warning("the database is out of reach: %s", type(error).__name__)
            case TelegramError():
                log.warning("the webhook cannot be set: %s", error)
            case _:
                log.error("the webhook cannot be set: %s", place(error))
        return BACKOFF_S[min(self._failures, len(BACKOFF_S)) - 1]


class _Updates(Plain):
    """One call of the platform: 200 stored, 400 no update, 403 another caller, 503 come again."""

    def initialize(self, receiver: Receiver, secret: str) -> None:
        self._receiver, self._secret = receiver, secret

    async def post(self) -> None:
        given = self.request.headers.get(SECRET_HEADER, "")
        if not hmac.compare_digest(given.encode(), self._secret.encode()):
            self.send_error(403)
            return
        try:
            update: Any = json.loads(self.request.body)
        except (ValueError, RecursionError):
            update = None
        if not isinstance(update, dict):
            self.send_error(400)
            return
        try:
            await self._receiver.take([update])
        except SQLAlchemyError as error:
            log.warning("an update could not be stored: %s", type(error).__name__)
            self.send_error(503)
            return
        self.finish()
