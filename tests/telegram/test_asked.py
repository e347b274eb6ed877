"""Words that are asked for, and words that fold away, as the platform has them."""

from __future__ import annotations

import pytest

from tests.telegram.conftest import BOT, Bench

pytestmark = pytest.mark.usefixtures("both_engines")


async def test_a_question_opens_a_field_with_a_hint_for_whoever_is_asked(bench: Bench) -> None:
    await bench.start()
    ana, group = await bench.founded()
    for number, words in enumerate(("/tray{} T1 72", "/sow{} tomato T1 A1-A6"), 2):
        ana.say(group, words.format(BOT))
        await bench.until(lambda n=number: len(bench.server.by_bot(group)) == n, timeout=20)
    first = bench.server.by_bot(group)[-1]
    said = ana.say(group, "tomatoes came up", reply_to=first)
    await bench.until(lambda: len(bench.server.by_bot(group)) == 4, timeout=20)
    asked = bench.server.by_bot(group)[-1]
    assert asked.reply_to == said.id
    assert asked.markup is not None
    assert asked.markup["selective"]
    assert asked.markup["input_field_placeholder"] == "12 tomato"
    ana.say(group, "5", reply_to=asked)
    await bench.until(lambda: len(bench.server.by_bot(group)) == 5, timeout=20)
    assert bench.server.by_bot(group)[-1].text.startswith("S1 tomato: 5 of 6 up, today")


async def test_sources_fold_away_and_the_words_stay(bench: Bench) -> None:
    await bench.start()
    ana, group = await bench.founded()
    ana.say(group, f"/crop{BOT} tomato")
    await bench.until(lambda: len(bench.server.by_bot(group)) == 2, timeout=20)
    entry = bench.server.by_bot(group)[-1]
    folded = [mark for mark in entry.entities if mark["type"] == "expandable_blockquote"]
    words = entry.text.encode("utf-16-le")
    lines = [words[2 * m["offset"] :][: 2 * m["length"]].decode("utf-16-le") for m in folded]
    assert any(line.startswith("Sources: ") for line in lines)
    assert set(lines) <= set(entry.text.split("\n"))
