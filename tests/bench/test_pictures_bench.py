"""Time of each picture once warm, from the records to the bytes."""

from __future__ import annotations

import time
from datetime import UTC, datetime
from statistics import median
from typing import Any

import pytest

from bot.papers import attachments as at
from bot.terminal.demo import seed
from tests.databases import new_database

NOW = datetime(2027, 4, 3, 8, tzinfo=UTC)
MOST_MS = 150.0
WANTED: tuple[tuple[str, dict[str, Any]], ...] = (
    ("tray", {"tray": "T1"}),
    ("curve", {"sowings": ["S1", "S2", "S3", "S4", "S5"]}),
    ("season", {}),
    ("space", {}),
    ("log", {"shelf": "A"}),
    ("labels", {"trays": ["T1", "T2", "T3", "T4"], "grid": "a4-cut", "bot_name": "bench_bot"}),
    ("report", {}),
)


@pytest.mark.bench
def test_each_picture_takes_less_than_its_time_once_warm() -> None:
    database = new_database()
    seed(database, NOW)
    slow = []
    for what, values in WANTED:
        attachment = {"what": what, "values": {"group_id": 1, **values}}
        size = len(at.content(database, attachment, NOW))
        walls, busy = [], []
        for _ in range(9):
            wall, cpu = time.perf_counter(), time.process_time()
            at.content(database, attachment, NOW)
            walls.append((time.perf_counter() - wall) * 1000)
            busy.append((time.process_time() - cpu) * 1000)
        print(
            f"{what}: {size / 1024:.0f} KB; wall {median(walls):.0f} ms (best {min(walls):.0f}); "
            f"processor {median(busy):.0f} ms"
        )
        if what in at.PICTURES and min(walls) > MOST_MS:
            slow.append((what, min(walls)))
    assert slow == []
