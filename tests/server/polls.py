"""A poll as a chat shows it, and the votes cast."""

from __future__ import annotations

from tests.server.chats import Chat, Json, Message, World


def shown(message: Message) -> str:
    """Return a poll as a chat shows it: the question, then a line an option."""
    poll = message.data["poll"]
    return "\n".join([poll["question"], *(f"( ) {o['text']}" for o in poll["options"])])


def vote(world: World, chat: Chat, message: Message, user: Json, chosen: list[int]) -> None:
    """Record what a person chose, and queue what the bot hears of it."""
    poll = message.data["poll"]
    if poll["is_closed"] or not set(chosen) <= set(range(len(poll["options"]))):
        raise ValueError("no such choice")
    if len(chosen) > 1 and not poll["allows_multiple_answers"]:
        raise ValueError("one choice only")
    message.votes[user["id"]] = chosen
    for number, option in enumerate(poll["options"]):
        option["voter_count"] = sum(number in ballot for ballot in message.votes.values())
    poll["total_voter_count"] = sum(bool(ballot) for ballot in message.votes.values())
    if not poll["is_anonymous"]:
        answer = {
            "poll_id": poll["id"],
            "user": user,
            "option_ids": chosen,
            "option_persistent_ids": [poll["options"][n]["persistent_id"] for n in chosen],
        }
        world.updates.push("poll_answer", answer, chat.id)
