"""Reactions and polls: what is said of a message without saying anything.

Source: Bot API reference, setMessageReaction (a bot may set one reaction on a message), sendPoll
(a question of 1-300 characters, 2-12 options of 1-100), PollAnswer. The words of the refusals are
from memory.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable

from tests.server.chats import Json, World
from tests.server.contract import ApiError
from tests.server.pace import Pace
from tests.server.polls import shown
from tests.server.sending import Sending, open_chat

REACTIONS = frozenset("👍👎🔥👏🤔🎉🙏👌👀🤝✍🫡💯")
"""Of those that are published, the ones served here."""
QUESTION_MAX, OPTION_MAX, OPTIONS = 300, 100, range(2, 13)

_POLL_IDS = itertools.count(8_000_000_000_001)


class Marks:
    """setMessageReaction, sendPoll and stopPoll of one bot."""

    def __init__(
        self, world: World, sending: Sending, pace: Pace, monotonic: Callable[[], float]
    ) -> None:
        self.world, self._sending = world, sending
        self._pace, self._monotonic = pace, monotonic

    def react(self, p: Json) -> bool:
        """Set the bot's reaction on a message; an empty list takes it away."""
        chat = open_chat(self.world, p["chat_id"])
        message = chat.messages.get(p["message_id"])
        if message is None or message.deleted:
            raise ApiError(400, "Bad Request: message to react not found")
        reactions = p.get("reaction", [])
        if len(reactions) > 1:
            raise ApiError(400, "Bad Request: REACTIONS_TOO_MANY")
        emoji = reactions[0]["emoji"] if reactions else ""
        if emoji and (emoji not in REACTIONS or not chat.reactions):
            raise ApiError(400, "Bad Request: REACTION_INVALID")
        message.reaction = emoji or None
        self.world.record("setMessageReaction", "bot", message, emoji)
        return True

    def send_poll(self, p: Json) -> Json:
        """Send a question with answers to choose from."""
        chat, data = self._sending.place(p)
        texts = [option["text"] for option in p["options"]]
        if not 1 <= len(p["question"]) <= QUESTION_MAX:
            raise ApiError(400, "Bad Request: poll question length must be 1-300")
        if len(texts) not in OPTIONS:
            raise ApiError(400, "Bad Request: poll must have from 2 to 12 options")
        if any(not 1 <= len(text) <= OPTION_MAX for text in texts):
            raise ApiError(400, "Bad Request: poll options length must be 1-100")
        if len(set(texts)) < len(texts):
            raise ApiError(400, "Bad Request: poll options must be different")
        data["poll"] = {
            "id": str(next(_POLL_IDS)),
            "question": p["question"],
            "options": [
                {"persistent_id": str(n), "text": text, "voter_count": 0}
                for n, text in enumerate(texts)
            ],
            "total_voter_count": 0,
            "is_closed": False,
            "is_anonymous": p.get("is_anonymous", True),
            "type": p.get("type", "regular"),
            "allows_multiple_answers": p.get("allows_multiple_answers", False),
            "allows_revoting": True,
            "members_only": False,
        }
        self._pace.take(chat.id, chat.is_group, self._monotonic())
        message = self.world.add_message(chat, data, by_bot=True)
        chat.last_bot = "ours"
        self.world.record("sendPoll", "bot", message, shown(message))
        return message.data

    def stop_poll(self, p: Json) -> Json:
        """End a poll; return it as it stands."""
        chat = open_chat(self.world, p["chat_id"])
        message = chat.messages.get(p["message_id"])
        if message is None or "poll" not in message.data or not message.by_bot:
            raise ApiError(400, "Bad Request: message with poll to stop not found")
        if message.data["poll"]["is_closed"]:
            raise ApiError(400, "Bad Request: poll has already been closed")
        message.data["poll"]["is_closed"] = True
        self.world.record("stopPoll", "bot", message, shown(message))
        return dict(message.data["poll"])
