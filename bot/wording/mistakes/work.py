"""What takes more work than one request may."""

from __future__ import annotations

from bot.message import Message
from bot.wording.voice import Voice
from bot.wording.words import Words
from core.errors import TookTooLong


def _too_long(error: TookTooLong, voice: Voice) -> Message:
    return Message(
        text=voice.say(
            "That took too long to work out, so I stopped; nothing was recorded. Send less at "
            "once, such as a shorter file."
        )
    )


WORDS: Words = {TookTooLong: _too_long}
