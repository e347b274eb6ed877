"""Change a message that was sent: what it says, and its buttons, where it stands.

A change is made again as often as it takes: the platform refuses one that changes nothing, and
that is as good as done. So is one of a message that somebody deleted meanwhile.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from telegram.error import BadRequest, TelegramError

from bot.delivery.job import Job, Outcome, Result
from bot.telegram.client import Client
from bot.telegram.outcomes import outcome_of
from bot.telegram.parts import entities, keyboard

AS_GOOD_AS_DONE = (
    "message is not modified",
    "message to edit not found",
    "message can't be edited",
    "message_id_invalid",
)
"""What the platform says of such a change; from memory, the first three as the test server says
them."""


async def change(client: Client, job: Job) -> Result:
    """Change the message that a job names; every failure is a result, too.

    Buttons that are not named any more go. A text too long for one message ends where its first
    part does.
    """
    sending, part = job.sending, job.parts[0]
    assert sending.changes is not None
    job = replace(job, parts=(part,))
    values: dict[str, Any] = {
        "chat_id": int(sending.chat),
        "message_id": int(sending.changes),
        "entities": entities(part, job.people) or None,
        "reply_markup": keyboard(job.buttons),
    }
    try:
        await client.say_anew(part.text, **values)
    except TelegramError as error:
        if not (isinstance(error, BadRequest) and _settled(error)):
            return Result(job=job, outcome=outcome_of(error, sending.tries))
    return Result(job=job, outcome=Outcome(kind="sent"), message=sending.changes)


def _settled(error: TelegramError) -> bool:
    said = error.message.casefold()
    return any(words in said for words in AS_GOOD_AS_DONE)
