"""The API client: python-telegram-bot's Bot, with updates handed over unparsed.

Its own `get_updates` parses a whole batch at once, so that one update it cannot read would come
again for ever and hold up all behind it. Its `send_message` builds the whole message the platform
answers with, of which one number is kept.
"""

from __future__ import annotations

import os
import sys
from datetime import timedelta
from importlib.util import find_spec
from typing import Any, cast

import telegram

from bot.telegram.answers import Request

if find_spec("sniffio") is None:
    # The HTTP library looks for it several times a call. Where it is not installed every look
    # goes through all folders of the path, which takes longer than the rest of the call.
    sys.modules["sniffio"] = None  # type: ignore[assignment]

PUBLIC_API = "https://api.telegram.org"
CONNECT_S = 5.0
WRITE_S = 10.0
READ_S = 15.0  # sends: longer than this without an answer is an unknown outcome
UPLOAD_S = 30.0
POLL_S = 25  # how long the platform holds an empty getUpdates
CALL_LIMIT_S = CONNECT_S + UPLOAD_S + READ_S + 5  # no call takes longer
CONNECTIONS = 40

WANTED = (
    "message",
    "edited_message",
    "channel_post",
    "edited_channel_post",
    "callback_query",
    "my_chat_member",
    "chat_member",
)

NO_PREVIEW = {"is_disabled": True}

RawUpdate = dict[str, Any]


class Client(telegram.Bot):
    """The Bot, with `raw_updates`, `say` and `say_anew`."""

    async def raw_updates(self, offset: int | None, *, timeout_s: int = POLL_S) -> list[RawUpdate]:
        """Return unconfirmed updates as JSON values; everything before `offset` is confirmed.

        Raises telegram.error.TelegramError as every call does.
        """
        found = await self._post(
            "getUpdates",
            {"offset": offset, "limit": 100, "timeout": timeout_s, "allowed_updates": WANTED},
            read_timeout=READ_S + timeout_s,
        )
        return cast("list[RawUpdate]", found)

    async def say(self, text: str, **rest: Any) -> str | None:
        """Send a text; return the platform's id of the message. Nothing else of it is read.

        `rest` as for `send_message`, None left out. Raises TelegramError as every call does.
        """
        said = await self._post(
            "sendMessage", {"text": text, "link_preview_options": NO_PREVIEW, **rest}
        )
        number = said.get("message_id") if isinstance(said, dict) else None
        return None if number is None else str(number)

    async def say_anew(self, text: str, **rest: Any) -> None:
        """Change a text that was sent; `rest` as for `edit_message_text`. Nothing is read back.

        Raises TelegramError as every call does.
        """
        await self._post(
            "editMessageText", {"text": text, "link_preview_options": NO_PREVIEW, **rest}
        )


def make_client(token: str, api_url: str = PUBLIC_API) -> Client:
    """Return a client that has not called anything yet."""
    os.environ.setdefault("PTB_TIMEDELTA", "1")  # `retry_after` as a timedelta
    root = api_url.rstrip("/")
    limits: dict[str, Any] = {
        "connect_timeout": CONNECT_S,
        "write_timeout": WRITE_S,
        "read_timeout": READ_S,
        "pool_timeout": CONNECT_S,
    }
    return Client(
        token,
        base_url=f"{root}/bot",
        base_file_url=f"{root}/file/bot",
        request=Request(CONNECTIONS, media_write_timeout=UPLOAD_S, **limits),
        get_updates_request=Request(2, **limits),
    )


def seconds(wait: float | timedelta) -> float:
    """Return a platform's wait in seconds, however the client gives it."""
    return wait.total_seconds() if isinstance(wait, timedelta) else float(wait)
