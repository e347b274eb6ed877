"""What is done beside a chat in place of a message: words to one person, a mark, buttons off.

Each can be done again without harm. What cannot be done any more is said as a message where
something would be lost with it: a mistake, and the answer that a mark stands for.
"""

from __future__ import annotations

from typing import Any

from telegram.error import BadRequest, TelegramError

from bot.delivery.job import Job, Json, Outcome, Result
from bot.message import ALERT
from bot.telegram.client import Client
from bot.telegram.outcomes import outcome_of


async def beside(client: Client, job: Job, what: Json) -> Result | None:
    """Do what a job asks for beside its chat; None = it is to be said as a message."""
    try:
        said_else = await _done(client, job, what)
    except TelegramError as error:
        if not isinstance(error, BadRequest):
            return Result(job=job, outcome=outcome_of(error, job.sending.tries))
        said_else = "mark" in what or what.get("alone", [""])[0] == ALERT
    return None if said_else else Result(job=job, outcome=Outcome(kind="sent"))


async def _done(client: Client, job: Job, what: Json) -> bool:
    """Return whether a message is needed after all; raise TelegramError as every call does."""
    sending, text = job.sending, job.parts[0].text
    chat: dict[str, Any] = {"chat_id": int(sending.chat)}
    if "alone" in what:
        how, press, _ = what["alone"]
        await client.answer_callback_query(press, text, show_alert=how == ALERT)
    elif "spent" in what:
        await client.edit_message_reply_markup(message_id=int(what["spent"]), **chat)
    elif sending.reply_to is None or not sending.reply_to.isdecimal():
        return True  # a mark needs a message to stand on
    else:
        await client.set_message_reaction(
            message_id=int(sending.reply_to), reaction=what["mark"], **chat
        )
    return False
