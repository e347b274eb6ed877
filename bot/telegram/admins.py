"""Who runs a chat, as far as the platform says so; asked only when it matters."""

from __future__ import annotations

import logging
import time

from telegram.error import TelegramError

from bot.grammar.find_command import find_command
from bot.incoming import Event, Incoming
from bot.telegram.client import Client

log = logging.getLogger(__name__)

KEPT_S = 600.0
ATTEMPTS = 3
SET_UP = "set up"


def matters(incoming: Incoming) -> bool:
    """Whether an update may only be a coordinator's: it begins with a set-up command."""
    if incoming.private or incoming.user is None:
        return False
    if incoming.event not in (Event.TEXT, Event.PRESS, Event.FILE):
        return False
    for line in incoming.text.splitlines()[:20]:
        found = find_command(line.strip())
        if found is not None and found.command.section == SET_UP:
            return True
    return False


class Admins:
    """The administrators of chats, remembered for KEPT_S."""

    def __init__(self, client: Client) -> None:
        self._client = client
        self._known: dict[str, tuple[float, frozenset[str]]] = {}

    async def is_admin(self, chat: str, user: str) -> bool:
        """Whether a user runs a chat; False when the platform does not say."""
        kept = self._known.get(chat)
        if kept is None or time.monotonic() - kept[0] > KEPT_S:
            found = await self._asked(chat)
            if found is None:
                return False
            kept = self._known[chat] = (time.monotonic(), found)
        return user in kept[1]

    async def _asked(self, chat: str) -> frozenset[str] | None:
        for attempt in range(1, ATTEMPTS + 1):
            try:
                admins = await self._client.get_chat_administrators(int(chat), read_timeout=5)
            except TelegramError as error:
                if attempt == ATTEMPTS:
                    log.warning("the administrators of a chat are not told: %s", error)
            else:
                return frozenset(str(admin.user.id) for admin in admins)
        return None
