"""Reactions and polls as the platform takes them."""

from __future__ import annotations

import json
from typing import Any

import pytest
import telegram

from tests.server import BotApiServer
from tests.server.chats import Chat
from tests.server.people import User

REFUSED = "Reaction_invalid"


def a_group(server: BotApiServer) -> tuple[User, Chat]:
    ana = server.add_user("Ana", started=True)
    return ana, server.add_group("Bench", creator=ana)


async def test_a_reaction_stands_on_the_message_it_is_of(
    server: BotApiServer, bot: telegram.Bot
) -> None:
    ana, group = a_group(server)
    said = ana.say(group, "/watered T1")
    assert await bot.set_message_reaction(group.id, said.id, "👍")
    (entry,) = server.by_bot(group)
    assert (entry.method, entry.text, entry.message_id) == ("setMessageReaction", "👍", said.id)
    assert said.reaction == "👍"
    assert await bot.set_message_reaction(group.id, said.id)
    assert said.reaction is None


async def test_what_the_platform_refuses_of_reactions(
    server: BotApiServer, bot: telegram.Bot
) -> None:
    ana, group = a_group(server)
    said = ana.say(group, "/watered T1")
    tick = json.dumps([{"type": "emoji", "emoji": "✅"}])
    with pytest.raises(telegram.error.BadRequest, match=REFUSED):
        await bot._post(
            "setMessageReaction",
            {"chat_id": group.id, "message_id": said.id, "reaction": tick},
        )
    with pytest.raises(telegram.error.BadRequest, match="not found"):
        await bot.set_message_reaction(group.id, 10_000, "👍")
    group.reactions = False
    with pytest.raises(telegram.error.BadRequest, match=REFUSED):
        await bot.set_message_reaction(group.id, said.id, "👍")


async def test_a_poll_is_voted_on_and_its_votes_are_told(
    server: BotApiServer, bot: telegram.Bot
) -> None:
    ana, group = a_group(server)
    await bot.send_poll(
        group.id, "Who can?", ["Sat", "Sun"], is_anonymous=False, allows_multiple_answers=True
    )
    (entry,) = server.by_bot(group)
    assert entry.text == "Who can?\n( ) Sat\n( ) Sun"
    ana.vote(entry, 0, 1)
    answers = [update async for update in _answers(bot)]
    assert answers[-1].option_ids == (0, 1)
    assert answers[-1].user is not None
    assert answers[-1].user.id == ana.id
    ended = await bot.stop_poll(group.id, entry.message_id)
    assert [option.voter_count for option in ended.options] == [1, 1]
    with pytest.raises(ValueError, match="no such choice"):
        ana.vote(entry, 0)


async def _answers(bot: telegram.Bot) -> Any:
    for update in await bot.get_updates(allowed_updates=["poll_answer"]):
        if update.poll_answer is not None:
            yield update.poll_answer


@pytest.mark.parametrize(
    ("question", "options", "complaint"),
    [
        ("", ["a", "b"], "question length"),
        ("Who?", ["a"], "2 to 12"),
        ("Who?", ["a", "a"], "different"),
        ("Who?", ["a", "b" * 101], "options length"),
    ],
)
async def test_what_the_platform_refuses_of_polls(
    server: BotApiServer, bot: telegram.Bot, question: str, options: list[str], complaint: str
) -> None:
    _, group = a_group(server)
    given = [{"text": option} for option in options]
    with pytest.raises(telegram.error.BadRequest, match=complaint):
        await bot._post(
            "sendPoll",
            {"chat_id": group.id, "question": question, "options": json.dumps(given)},
        )


async def test_a_question_may_force_a_reply_with_a_hint(
    server: BotApiServer, bot: telegram.Bot
) -> None:
    ana, group = a_group(server)
    asked = ana.say(group, "/frost")
    forced = telegram.ForceReply(selective=True, input_field_placeholder="28 April")
    await bot.send_message(group.id, "When?", reply_markup=forced, reply_to_message_id=asked.id)
    (entry,) = server.by_bot(group)
    assert entry.markup is not None
    assert entry.markup["input_field_placeholder"] == "28 April"
    markup = json.dumps({"force_reply": True, "input_field_placeholder": "x" * 65})
    with pytest.raises(telegram.error.BadRequest, match="placeholder"):
        await bot._post(
            "sendMessage", {"chat_id": group.id, "text": "When?", "reply_markup": markup}
        )
