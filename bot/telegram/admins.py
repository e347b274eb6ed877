"""Whether somebody runs a chat, as the platform says it: asked when it matters, and not kept."""

from __future__ import annotations

import asyncio
import logging

from telegram.constants import ChatMemberStatus
from telegram.error import BadRequest, RetryAfter, TelegramError

from bot.telegram.client import Client, seconds
from core.scene import Standing

log = logging.getLogger(__name__)

RUNS = (ChatMemberStatus.OWNER, ChatMemberStatus.ADMINISTRATOR)
WAITS_S = (0.5, 2.0)
LONGEST_WAIT_S = 20.0  # of the platform's own waits; longer ones are told to whoever asks


async def standing(client: Client, chat: str, user: str) -> Standing:
    """Return whether a user runs a chat now; UNKNOWN when the platform does not say."""
    for wait_s in (*WAITS_S, None):
        try:
            member = await client.get_chat_member(int(chat), int(user), read_timeout=5)
        except RetryAfter as error:
            asked_s = seconds(error.retry_after)
            if wait_s is None or asked_s > LONGEST_WAIT_S:
                log.warning("who runs a chat is not told for %s s", round(asked_s))
                return Standing.UNKNOWN
            await asyncio.sleep(asked_s)
        except BadRequest as error:
            unknown = "participant" in error.message.lower() or "user" in error.message.lower()
            return Standing.PLAIN if unknown else Standing.UNKNOWN
        except (TelegramError, ValueError) as error:
            if wait_s is None:
                log.warning("who runs a chat is not told: %s", type(error).__name__)
                return Standing.UNKNOWN
            await asyncio.sleep(wait_s)
        else:
            return Standing.ADMIN if member.status in RUNS else Standing.PLAIN
    return Standing.UNKNOWN
