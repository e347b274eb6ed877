"""A report and a heartbeat take as long in a large database as in a small one.

Run with --bench -s. The databases are measured in turns, so that whatever else the machine does
slows all of them alike.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import timedelta
from functools import partial
from pathlib import Path

import pytest

from bot.talk.heartbeat import beat
from core.records.database import Database
from tests.bench import grown
from tests.bench.grown import (
    DUE,
    NOW,
    SOWINGS,
    copy_group,
    copy_history,
    let_fall_due,
    report,
    spread,
)
from tests.databases import new_database, new_url

pytestmark = pytest.mark.bench

SIZES = (10**3, 10**4, 10**5, 10**6)  # sowings
PAST = 10**5  # finished sowings of one group
MOST_SLOWDOWN = 1.5
MOST_RSS_MB = 150
ROUNDS = 25
BEATS = 5


def timed(call: Callable[[], object]) -> float:
    """Return how long a call takes; ms."""
    began = time.perf_counter()
    call()
    return 1000 * (time.perf_counter() - began)


def measure(grown_ones: dict[int, Database], copies: Callable[[int, int], list[int]]) -> None:
    """Print the table, and hold every row to the first."""
    reports: dict[int, list[float]] = {size: [] for size in grown_ones}
    beats: dict[int, list[float]] = {size: [] for size in grown_ones}
    for number in range(ROUNDS):
        for size, database in grown_ones.items():
            copy = copies(size, ROUNDS)[number]
            for words in ("/watered T1", "/up 3 S1"):
                key = f"{number}-{words}"
                spent = timed(partial(report, database, key, copy, words, NOW))
                if number >= 2:  # the first ones load what is loaded once
                    reports[size].append(spent)
    for number in range(BEATS):
        now = NOW + timedelta(days=1 + number)
        for size, database in grown_ones.items():
            due = copies(size, DUE)
            let_fall_due(database, due, now)
            beats[size].append(timed(partial(beat, database, now)))
    print(f"\n{'sowings':>9} {'report, ms':>22} {'heartbeat of ' + str(DUE) + ' groups, ms':>30}")
    print(f"{'':>9} {'median':>8} {'p95':>6} {'x':>6} {'median':>18} {'x':>6}")
    slowest = 0.0
    first = min(grown_ones)
    for size in grown_ones:
        a, b = statistics.median(reports[size]), statistics.median(beats[size])
        ratio_a = a / statistics.median(reports[first])
        ratio_b = b / statistics.median(beats[first])
        p95 = statistics.quantiles(reports[size], n=20)[-1]
        print(f"{size:>9} {a:>8.1f} {p95:>6.1f} {ratio_a:>6.2f} {b:>18.0f} {ratio_b:>6.2f}")
        slowest = max(slowest, ratio_a, ratio_b)
    assert slowest <= MOST_SLOWDOWN


@pytest.fixture
def of_size(both_engines: str, tmp_path: Path) -> Callable[[int], Database]:
    def make(size: int) -> Database:
        database = new_database(new_url(tmp_path))
        grown.found(database)
        spent = timed(lambda: copy_group(database, size // SOWINGS - 1))
        print(f"{both_engines}: {size} sowings in {spent / 1000:.0f} s")
        return database

    return make


def test_many_groups_slow_nothing_down(of_size: Callable[[int], Database]) -> None:
    measure({size: of_size(size) for size in SIZES}, spread)


def test_a_long_past_slows_its_own_group_nothing_down(both_engines: str, tmp_path: Path) -> None:
    made: dict[int, Database] = {}
    for past in (SOWINGS, PAST):
        database = new_database(new_url(tmp_path))
        grown.found(database)
        copy_group(database, DUE - 1)
        if past > SOWINGS:
            copy_history(database, past // grown.FINISHED, beyond=DUE)
        made[past] = database
    measure(made, lambda size, count: [0] * count)


SERVING = """
import sys
from datetime import timedelta
import bot.telegram.serve  # all that a running bot has loaded
from bot.talk.heartbeat import beat
from core.records.database import Database, open_engine
from tests.bench.grown import DUE, NOW, let_fall_due, report, spread

database = Database(open_engine(sys.argv[1]))
size = int(sys.argv[2])
for number, copy in enumerate(spread(size, 50)):
    for words in ("/watered T1", "/up 3 S1"):
        report(database, f"m{number}-{words}", copy, words, NOW)
let_fall_due(database, spread(size, DUE), NOW + timedelta(days=1))
assert beat(database, NOW + timedelta(days=1)) >= DUE
database.close()
with open("/proc/self/status") as status:  # ru_maxrss would hold the parent's as well
    print(next(int(line.split()[1]) / 1024 for line in status if line.startswith("VmHWM")))
"""


def test_memory_stays_small_in_the_largest(of_size: Callable[[int], Database]) -> None:
    database = of_size(SIZES[-1])
    url = database.engine.url.render_as_string(hide_password=False)
    done = subprocess.run(
        [sys.executable, "-c", SERVING, url, str(SIZES[-1])],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    most_mb = float(done.stdout.split()[-1])
    print(f"\nmost memory with {SIZES[-1]} sowings: {most_mb:.0f} MB")
    assert most_mb < MOST_RSS_MB
