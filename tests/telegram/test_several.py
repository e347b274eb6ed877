"""Several processes on one PostgreSQL database: each job is done by one, and by another soon."""

from __future__ import annotations

import os
import signal
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import update

from core.records import models as m
from tests.faults.processes import TOKEN, Bot
from tests.server.chats import Chat
from tests.telegram.conftest import BOT, Bench

pytestmark = [pytest.mark.postgres, pytest.mark.usefixtures("on_postgres")]

JOBS = {"intake", "courier", "heartbeat"}


@pytest.fixture
def two(bench: Bench, tmp_path: Path) -> Iterator[tuple[Bot, Bot]]:
    """Two `serve` processes of one token on one database."""
    bench.server.token = TOKEN
    url = bench.database.engine.url.set(drivername="postgresql")
    with ExitStack() as stack:
        bots = []
        for number in range(2):
            bot = Bot(
                bench.server.url,
                url.render_as_string(hide_password=False),
                tmp_path / f"serve-{number}.log",
            )
            bot.start()
            stack.callback(bot.close)
            bots.append(bot)
        yield bots[0], bots[1]


def holders(bench: Bench) -> dict[str, int]:
    """Return job → process id, of those held now."""
    return {
        lease.name: int(lease.holder.split(":")[1])
        for lease in bench.rows(m.Lease)
        if lease.holder is not None
    }


async def all_held_by(bench: Bench, pid: Callable[[int], bool]) -> None:
    await bench.until(
        lambda: (held := holders(bench)).keys() == JOBS and all(map(pid, held.values())),
    )


async def started(bench: Bench, two: tuple[Bot, Bot]) -> tuple[Chat, int]:
    """Wait until both serve and a group is founded; return it, and whose the jobs are."""
    ana, group = bench.a_group()
    ana.say(group, f"/start{BOT}")
    await bench.until(lambda: bench.server.by_bot(group))
    await all_held_by(bench, lambda pid: True)
    (pid,) = set(holders(bench).values())
    assert pid in {bot.process.pid for bot in two}
    return group, pid


def fall_due(bench: Bench) -> None:
    """Let the group's hour come, and have it looked at by whoever has the heartbeat."""
    with bench.database.transaction() as session:
        session.execute(
            update(m.Group).values(
                looked_at=None, next_look_at=datetime.now(UTC) - timedelta(seconds=1)
            )
        )


def said(bench: Bench, group: Chat) -> Counter[str]:
    return Counter(entry.text.splitlines()[0] for entry in bench.server.by_bot(group))


@pytest.mark.parametrize(
    "how", [signal.SIGKILL, signal.SIGSTOP], ids=["killed", "hangs, and goes on later"]
)
async def test_the_jobs_of_one_are_taken_over_and_nothing_is_said_twice(
    bench: Bench, two: tuple[Bot, Bot], how: signal.Signals
) -> None:
    group, first = await started(bench, two)
    ana = next(user for user in bench.server.users.values() if user.username == "ana_t")
    rows = [bench.put(group, f"before {n}") for n in range(3)]
    await bench.until(lambda: all(bench.row(row).state == "sent" for row in rows))

    os.kill(first, how)
    fall_due(bench)
    ana.say(group, f"/tray{BOT} T1 72")
    rows += [bench.put(group, f"after {n}") for n in range(3)]
    await all_held_by(bench, lambda pid: pid != first)
    await bench.until(
        lambda: (
            all(bench.row(row).state == "sent" for row in rows)
            and bench.rows(m.Tray)
            and all(group.looked_at for group in bench.rows(m.Group))
        ),
    )
    if how is signal.SIGSTOP:
        os.kill(first, signal.SIGCONT)
        assert all(bot.runs for bot in two)
        rows.append(bench.put(group, "at last"))
        await bench.until(lambda: bench.row(rows[-1]).state == "sent")
        assert first not in holders(bench).values()
    await bench.until(lambda: all(row.state == "sent" for row in bench.rows(m.Outbox)))
    assert len(bench.server.by_bot(group)) == len(bench.rows(m.Outbox))
    counts = said(bench, group)
    assert all(counts[f"{when} {n}"] == 1 for when in ("before", "after") for n in range(3))
    assert max(counts.values()) == 1
    assert [row.code for row in bench.rows(m.Tray)] == ["T1"]
