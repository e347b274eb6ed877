"""`serve` as it is, only without the pace: how fast it is when the platform's limits do not bind.

`python -m tests.bench.unpaced`, settings by environment as for `python -m bot serve`.
"""

from __future__ import annotations

import asyncio
import os
import sys

from bot.delivery.pace import Pace
from bot.operate.clock import SystemClock
from bot.operate.open_database import open_database
from bot.operate.settings import load
from bot.telegram.client import make_client
from bot.telegram.quiet_log import quieten
from bot.telegram.serve import serve_until_told
from core.records import delivery


def main() -> int:
    """Serve until told to stop."""
    settings = load(os.environ, need_token=True)
    assert settings.telegram_bot_token is not None
    quieten()
    delivery.chats_of = lambda *_: []  # no answers go as one message: they are counted
    database = open_database(settings.database_url)
    client = make_client(settings.telegram_bot_token, settings.telegram_api_url)
    try:
        told = serve_until_told(database, client, SystemClock(), pace=Pace(unlimited=True))
        return 0 if asyncio.run(told) else 1
    finally:
        database.close()


if __name__ == "__main__":
    sys.exit(main())
