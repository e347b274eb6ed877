"""Killed at any moment, the bot loses nothing, records nothing twice and repeats next to nothing.

The full run is marked `bench` and prints its figures; the small one is the same with fewer kills.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from core.records.database import Database
from tests.faults.killing import kill_one, kill_one_of_several
from tests.faults.processes import ServerProcess
from tests.faults.scene import set_up
from tests.faults.tally import Tally

CHATS, IN_GROUPS = 50, 20
PER_S = 5.0  # reports; what goes out between two kills must not fall behind for ever
FULL, SMALL_ONE, SMALL_SEVERAL = 300, 6, 4


def _check(found: Tally) -> None:
    sys.stdout.write(f"\n{found.line}\n")
    assert found.reports > 0
    assert found.notices > 0
    assert found.lost == []
    assert found.doubled == []
    assert found.unanswered == []
    assert found.notices_lost == []
    assert found.notices_doubled == 0
    assert found.stray == []
    assert found.disordered == []
    assert found.after_kill.keys() <= set(range(FULL))  # nothing is repeated without a kill
    assert max(found.after_kill.values(), default=0) <= 1
    assert found.parked == 0
    assert found.impatient == 0


@pytest.mark.parametrize(
    "kills", [SMALL_ONE, pytest.param(FULL, marks=pytest.mark.bench)], ids=["few", "full"]
)
def test_one_process_on_sqlite(on_sqlite: tuple[str, Database], tmp_path: Path, kills: int) -> None:
    url, database = on_sqlite
    with ServerProcess("--paced") as server:
        scene = set_up(
            server,
            database,
            talkers=CHATS,
            in_groups=IN_GROUPS,
            rounds=max(5, kills * 5 // 6),
            first_round_s=2.0,
            round_every_s=3.0 if kills > SMALL_ONE else 1.0,
        )
        found = kill_one(
            server, database, url, scene, tmp_path, kills=kills, reports_per_s=PER_S, seed=1
        )
    sys.stdout.write(f"\nSQLite, one process, {kills} kills")
    _check(found)


@pytest.mark.postgres
@pytest.mark.parametrize(
    "kills", [SMALL_SEVERAL, pytest.param(FULL, marks=pytest.mark.bench)], ids=["few", "full"]
)
def test_three_processes_on_postgresql(
    on_postgresql: tuple[str, Database], tmp_path: Path, kills: int
) -> None:
    url, database = on_postgresql
    with ServerProcess("--paced") as server:
        scene = set_up(
            server,
            database,
            talkers=CHATS,
            in_groups=IN_GROUPS,
            rounds=max(5, kills * 3 // 5),
            first_round_s=2.0,
            round_every_s=3.0 if kills > SMALL_SEVERAL else 1.0,
        )
        found = kill_one_of_several(
            server,
            database,
            url,
            scene,
            tmp_path,
            processes=3,
            kills=kills,
            reports_per_s=PER_S,
            every_s=(0.3, 2.5),
            seed=2,
        )
    sys.stdout.write(f"\nPostgreSQL, three processes, {kills} kills")
    _check(found)
