"""`serve` by a wall clock that can be set while it runs, and with short leases.

`python -m tests.faults.serve_oddly`, settings by environment as for `python -m bot serve`.
CLOCK_FILE holds by how many seconds the clock is off; LEASE_S is how long a lease lasts.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path

from bot.delivery import holding
from bot.operate.clock import SystemClock


def main() -> int:
    """Serve until told to stop."""
    if lease := os.environ.get("LEASE_S"):
        holding.LEASE_S, holding.SPARE_S = float(lease), float(lease) / 5
    clock = os.environ.get("CLOCK_FILE")

    def now(_: SystemClock) -> datetime:
        off = 0.0
        if clock is not None:
            with suppress(OSError, ValueError):
                off = float(Path(clock).read_text(encoding="ascii"))
        return datetime.now(UTC) + timedelta(seconds=off)

    SystemClock.now = now  # type: ignore[method-assign]
    from bot.__main__ import main as run

    return run(["serve"])


if __name__ == "__main__":
    sys.exit(main())
