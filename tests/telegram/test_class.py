"""A class reports all at once: everybody reads their answer soon, under the platform's own pace."""

from __future__ import annotations

import pytest

from bot.delivery.courier import LEASE
from bot.delivery.pace import Pace
from core.records import models as m
from tests.telegram.conftest import BOT, Bench

PUPILS, REPORTS = 24, 2
MOST_MESSAGES = 8  # fifteen seconds of one message each three, and the burst before


@pytest.mark.usefixtures("both_engines")
async def test_the_answers_of_a_class_go_together(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.server.pace.enabled = True
    front_end = await bench.start(pace=Pace())
    _ana, group = await bench.founded()
    pupils = [bench.server.add_user(f"P{n}") for n in range(PUPILS)]
    for pupil in pupils:
        pupil.join(group)
    before = len(bench.server.by_bot(group))
    held = front_end.holding.held
    with monkeypatch.context() as meanwhile:  # how fast this machine reads makes no difference
        meanwhile.setattr(front_end.holding, "held", lambda job: job != LEASE and held(job))
        for turn in range(REPORTS):
            for n, pupil in enumerate(pupils):
                pupil.say(group, f"/note{BOT} seen {turn} by p{n}.")
        await bench.until(lambda: not bench.server.updates.pending)
        await bench.until(lambda: {row.state for row in bench.rows(m.Inbox)} == {"done"})
    wanted = {f"seen {turn} by p{n}." for turn in range(REPORTS) for n in range(PUPILS)}

    def told() -> set[str]:
        texts = " ".join(entry.text for entry in bench.server.by_bot(group)[before:])
        return {words for words in wanted if words in texts}

    await bench.until(lambda: told() == wanted)
    said = bench.server.by_bot(group)[before:]
    assert len(said) <= MOST_MESSAGES
    assert not any(bench.server.pace.refused.values())
    await bench.until(lambda: all(row.state == "sent" for row in bench.rows(m.Outbox)))


async def test_an_answer_hangs_on_its_question_and_stays_in_its_topic(bench: Bench) -> None:
    await bench.start()
    ana, group = bench.a_group(forum=True)
    one, two = bench.server.add_topic(group, "One"), bench.server.add_topic(group, "Two")
    ana.say(group, f"/start{BOT}", topic=one.id)
    await bench.until(lambda: len(bench.server.by_bot(group)) == 1)
    for n in range(10):
        ana.say(group, f"/note{BOT} number {n}.", topic=(one, two)[n % 2].id)
    ana.say(group, f"/note{BOT} number 10.")
    await bench.until(lambda: "number 10." in bench.server.by_bot(group)[-1].text)
    for entry in bench.server.by_bot(group)[1:]:
        for n in range(11):
            if f"number {n}." in entry.text:
                assert entry.thread_id == (None if n == 10 else (one, two)[n % 2].id)
