"""Keep the token out of every log line, and the chatter of the libraries out of the log.

The HTTP client logs each address, and the token is part of it; the API client logs what is said
and by whom. Both are silenced below warnings. The token itself is cut out where log records are
made, before any handler sees them, tracebacks included.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import Any

CHATTER = (
    "httpx", "httpcore", "telegram", "apscheduler", "asyncio", "tzlocal", "sqlalchemy", "psycopg",
    "tornado", "PIL",
)  # fmt: skip
HIDDEN = "[token]"

Factory = Callable[..., logging.LogRecord]


def quieten() -> None:
    """Let the libraries speak of warnings only, whatever the level of the log."""
    for name in CHATTER:
        logging.getLogger(name).setLevel(logging.WARNING)


def hide(token: str) -> Callable[[], None]:
    """Cut the token out of all log records from now on; return what ends that."""
    secrets = [token, token.replace(":", "%3A"), token.partition(":")[2]]
    before: Factory = logging.getLogRecordFactory()
    formatter = logging.Formatter()

    def clean(text: str) -> str:
        for secret in secrets:
            if secret:
                text = text.replace(secret, HIDDEN)
        return text

    def make(*args: Any, **kwargs: Any) -> logging.LogRecord:
        record = before(*args, **kwargs)
        message = record.getMessage()
        cleaned = clean(message)
        if cleaned != message:
            record.msg, record.args = cleaned, None
        if record.exc_info and record.exc_info[0] is not None:
            record.exc_text = clean(formatter.formatException(record.exc_info))
        return record

    def end() -> None:
        if logging.getLogRecordFactory() is make:
            logging.setLogRecordFactory(before)

    logging.setLogRecordFactory(make)
    return end
