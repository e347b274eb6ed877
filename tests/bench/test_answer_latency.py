"""How long an answer that is written waits until its chat has it, with three processes. Printed.

Whichever process writes it, one of them sends: it hears of it from PostgreSQL. Counted from the
commit of what was reported, which is that of its answer.
"""

from __future__ import annotations

import sys
import time
from contextlib import ExitStack
from pathlib import Path
from statistics import median, quantiles

import pytest
from sqlalchemy import text

from core.records.database import Database, open_engine
from tests.faults.processes import Bot, ServerProcess
from tests.faults.scene import MARKER, Talk, set_up, wait
from tests.faults.tally import settle
from tests.postgres import PostgresServer

PROCESSES, CHATS, IN_GROUPS = 3, 30, 10
PER_S, LASTS_S = 4.0, 30.0  # the pace lets thirty a second go
MOST_MEDIAN_S = 0.1
_COMMITTED = text(
    "SELECT summary->>'text' AS said, pg_xact_commit_timestamp(xmin) AS at FROM acts "
    "WHERE kind = 'note'"
)


@pytest.mark.bench
@pytest.mark.postgres
def test_an_answer_reaches_its_chat_at_once_whoever_wrote_it(tmp_path: Path) -> None:
    own = PostgresServer({"track_commit_timestamp": "on"})
    try:
        _measured(own.new(), tmp_path)
    finally:
        own.stop()


def _measured(url: str, folder: Path) -> None:
    database = Database(open_engine(url))
    with ServerProcess() as server, ExitStack() as stack:
        scene = set_up(server, database, talkers=CHATS, in_groups=IN_GROUPS)
        bots = [Bot(server.url, url, folder / f"{n}.log") for n in range(PROCESSES)]
        for bot in bots:
            stack.callback(bot.close)
            bot.start()
        wait("serving", lambda: bool(server.ask("stats")["polling"]), 60, 0.05)
        talk = Talk(server, scene, PER_S)
        time.sleep(LASTS_S)
        talk.stop()
        settle(database, scene, 60)
        for bot in bots:
            bot.terminate()
        said = [entry for entry in server.said() if entry["sender"] == "bot"]
    heard_at = {
        marker: entry["at"] for entry in reversed(said) for marker in MARKER.findall(entry["text"])
    }
    with database.transaction() as session:
        rows = session.execute(_COMMITTED).all()
    database.close()
    written_at = {row.said: row.at.timestamp() for row in rows}
    waits = [heard_at[marker] - written_at[marker] for marker in scene.posted]
    whole = [heard_at[marker] - at for marker, at in scene.posted.items()]
    sys.stdout.write(
        f"\n{len(waits)} answers of {PROCESSES} processes: from writing to the chat p50 "
        f"{median(waits) * 1e3:.0f} ms, p95 {quantiles(waits, n=20)[-1] * 1e3:.0f} ms; from the "
        f"report on p50 {median(whole) * 1e3:.0f} ms\n"
    )
    assert median(waits) < MOST_MEDIAN_S
