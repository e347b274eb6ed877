"""With one call in four failing, in every way the server knows, nothing is lost or done twice."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from core.records import models as m
from tests.telegram.conftest import BOT, Bench

GROUPS, NOTES = 24, 6  # so many that faults fall due however many answers go as one message
RATE = 0.25

pytestmark = pytest.mark.usefixtures("both_engines")


@pytest.mark.parametrize("seed", [1, 2])
async def test_nothing_is_lost_or_recorded_twice(bench: Bench, seed: int) -> None:
    bench.server.faults.fraction(RATE, seed=seed, retry_after_s=1, hang_s=0.3)
    groups = []
    for n in range(GROUPS):
        user = bench.server.add_user(f"P{n}")
        groups.append((user, bench.server.add_group(f"Group {n}", creator=user)))
    await bench.start()
    for user, group in groups:
        user.say(group, f"/start{BOT}")
        for n in range(NOTES):
            user.say(group, f"/note{BOT} number {n}")
    awaited = GROUPS * (NOTES + 1)
    await bench.until(lambda: len(bench.rows(m.Outbox, m.Outbox.state == "sent")) == awaited)
    bench.server.faults.clear()
    assert sum(bench.server.faults.injected.values()) >= 10
    assert {row.state for row in bench.rows(m.Inbox)} == {"done"}
    notes = Counter((row.group_id, str(row.summary)) for row in bench.rows(m.Act))
    assert len(notes) == GROUPS * NOTES
    assert set(notes.values()) == {1}
    for _, group in groups:
        said = bench.server.by_bot(group)
        heard: list[str] = []
        again = 0
        for entry in said:
            answers = re.findall(r"Hello!|number \d", entry.text)
            assert answers
            again += any(answer in heard for answer in answers)
            heard += [answer for answer in answers if answer not in heard]
        # each answer, in the order of what was said; those that waited go as one message
        assert heard == ["Hello!", *(f"number {n}" for n in range(NOTES))]
        assert again <= sum(entry.reply_lost for entry in said)  # again only if its answer was lost
    assert bench.server.pace.early == 0
