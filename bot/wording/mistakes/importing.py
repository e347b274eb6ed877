"""What cannot be read in."""

from __future__ import annotations

from bot.message import Message
from bot.wording.pieces.short import short
from bot.wording.voice import Voice
from bot.wording.words import Words
from core.group.records_file import RecordsUnreadable


def _unreadable(error: RecordsUnreadable, voice: Voice) -> Message:
    name = short(error.name)
    match error.reason:
        case "size":
            said = voice.say("{name} holds more than I read in one go.", name=name)
        case "not_empty":
            said = voice.say(
                "{name} is an export, and this group has records already: I read one into an empty "
                "group only. Add me to a new group chat and send it there.",
                name=name,
            )
        case "gone":
            said = voice.say("That table was written or let go already. Send it again: /import")
        case "damaged":
            said = voice.say(
                "{name}: a row does not fit ({where}), so nothing was written. Send the ZIP of "
                "/export unchanged.",
                name=name,
                where=error.where,
            )
        case "heads":
            said = voice.say(
                "{name}: I miss one of the columns crop, tray, cells, sown in its first row.",
                name=name,
            )
        case _:
            said = voice.say(
                "{name} is no export of mine. Send the ZIP of /export, or a CSV table.", name=name
            )
    return Message(text=said)


WORDS: Words = {RecordsUnreadable: _unreadable}
"""How each mistake is told."""
