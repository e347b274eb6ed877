"""Fetch a document somebody sent, when it is handled, within the size the bot reads."""

from __future__ import annotations

import asyncio
import logging

from telegram.error import BadRequest, TelegramError

from bot.grammar.files import MOST_BYTES
from bot.incoming import Incoming
from bot.telegram.client import Client

log = logging.getLogger(__name__)

WAITS_S = (0.5, 2.0, 8.0)


async def fetch(client: Client, incoming: Incoming) -> bytes | None:
    """Return a document's bytes; None when it is too large or cannot be had."""
    if incoming.file_ref is None:
        return None
    if (incoming.file_size or 0) > MOST_BYTES:
        return None
    for wait_s in (*WAITS_S, None):
        try:
            file = await client.get_file(incoming.file_ref)
            data = bytes(await file.download_as_bytearray())
        except BadRequest as error:
            log.warning("a document was refused: %s", error)
            return None
        except TelegramError as error:
            if wait_s is None:
                log.warning("a document could not be fetched: %s", error)
                return None
            await asyncio.sleep(wait_s)
        else:
            return data
    return None
