"""Read the platform's answers: what is no JSON is an error in few words.

Something in between may answer instead: a proxy, or a provider that wants a log-in. The client
library writes such a page into the log whole, below a traceback, and into its error.
"""

from __future__ import annotations

import json
from typing import Any

from telegram.error import TelegramError
from telegram.request import HTTPXRequest

UNREADABLE = "the answer is no JSON"


class Request(HTTPXRequest):
    """The library's request, which does not repeat what it cannot read."""

    @staticmethod
    def parse_json_payload(payload: bytes) -> dict[str, Any]:
        """Return an answer's fields; raise TelegramError where there are none."""
        found = _fields(payload)
        if found is None:
            raise TelegramError(UNREADABLE)
        return found

    async def do_request(self, *args: Any, **kwargs: Any) -> tuple[int, bytes]:
        """As the library's; of a refusal that cannot be read the status is left."""
        code, payload = await super().do_request(*args, **kwargs)
        if code >= 300 and _fields(payload) is None:
            payload = b"{}"
        return code, payload


def _fields(payload: bytes) -> dict[str, Any] | None:
    try:
        found = json.loads(payload.decode("utf-8", "replace"))
    except (ValueError, RecursionError):
        return None
    return found if isinstance(found, dict) else None
