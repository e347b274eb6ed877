"""What an answer of the platform, or the lack of one, means for a message: a kind of
`bot/delivery/job.py`.

The order of the tests matters: to the client library a refused request is a kind of network
error, and any 404 reads as a token refused.
"""

from __future__ import annotations

import httpx
from telegram.error import (
    BadRequest,
    ChatMigrated,
    Conflict,
    Forbidden,
    InvalidToken,
    NetworkError,
    RetryAfter,
    TelegramError,
    TimedOut,
)

from bot.delivery.job import Outcome
from bot.telegram.client import seconds

MARGIN_S = 0.1  # the platform's seconds are whole ones
BACKOFF_S = (1.0, 2.0, 4.0, 8.0, 15.0, 30.0, 60.0)

_NOT_WRITTEN = (
    httpx.ConnectError,
    httpx.ConnectTimeout,
    httpx.PoolTimeout,
    httpx.UnsupportedProtocol,
    httpx.ProxyError,
)
_GONE = (
    "chat not found",
    "group chat was deactivated",
    "group chat was deleted",
    "not enough rights to send",
    "have no rights to send",
    "chat_write_forbidden",
    "need administrator rights",
    "peer_id_invalid",
    "user is deactivated",
)
_NO_THREAD = ("message thread not found", "topic_closed", "topic_deleted")
_BAD_FILE = ("wrong file identifier", "can't use file of type", "file_reference")
_BAD_PHOTO = ("photo_invalid_dimensions", "image_process_failed", "photo_save_file_invalid")


def outcome_of(error: TelegramError, tries: int) -> Outcome:
    """Return what an error means for a message tried `tries` times (>= 1)."""
    reason = error.message
    lower = reason.lower()
    backoff = BACKOFF_S[min(tries, len(BACKOFF_S)) - 1]
    match error:
        case RetryAfter():
            return Outcome(kind="wait", wait_s=seconds(error.retry_after) + MARGIN_S, reason="429")
        case ChatMigrated():
            return Outcome(kind="moved", to=error.new_chat_id)
        case Forbidden():
            return Outcome(kind="gone", reason=reason)
        case InvalidToken() | Conflict():
            return Outcome(kind="away", reason="the token was refused", wait_s=BACKOFF_S[-1])
        case BadRequest():
            return _refused(reason, lower)
    cause = error.__cause__
    if isinstance(cause, _NOT_WRITTEN):
        return Outcome(kind="away", reason=type(cause).__name__, wait_s=backoff)
    if isinstance(error, TimedOut) or not isinstance(cause, TelegramError | None):
        return Outcome(kind="unknown", reason=type(cause).__name__, wait_s=backoff)
    if "entity too large" in lower:
        return Outcome(kind="refused", reason=reason)
    if isinstance(error, NetworkError):  # answered with 5xx: not handled
        return Outcome(kind="wait", reason=reason, wait_s=backoff)
    return Outcome(kind="unknown", reason=reason, wait_s=backoff)


def _refused(reason: str, lower: str) -> Outcome:
    for kind, words in (
        ("no_thread", _NO_THREAD),
        ("bad_file", _BAD_FILE),
        ("bad_photo", _BAD_PHOTO),
        ("gone", _GONE),
    ):
        if any(word in lower for word in words):
            return Outcome(kind=kind, reason=reason)
    return Outcome(kind="refused", reason=reason)
