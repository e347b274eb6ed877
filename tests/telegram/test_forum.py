"""A forum group: the same words, all of them in the topic where the bot was spoken to."""

from __future__ import annotations

import pytest

from tests.conversations.play_telegram import TelegramPlayer
from tests.conversations.script import HERE, differences, perform, read


@pytest.mark.parametrize("name", ["first_minute", "unanswered_rises_once"])
def test_a_script_reads_the_same_in_a_forum_topic(name: str) -> None:
    script = read(HERE / f"{name}.chat")
    player = TelegramPlayer(forum=True)
    try:
        passages = perform(script, player)
        group = [entry for entry in player.server.transcript if entry.by_bot and entry.chat_id < 0]
    finally:
        player.close()
    assert not differences(script, passages), "\n\n".join(differences(script, passages))
    assert len(group) > 5
    assert {entry.thread_id for entry in group} == {player.topic}
