"""What every answer to a report shares."""

from __future__ import annotations

from bot.message import Message
from bot.wording.pieces.buttons import undo_row
from bot.wording.pieces.cautions import caution_lines
from bot.wording.voice import Voice
from core.replies.base import Wrote


def wrote(reply: Wrote, voice: Voice, lines: list[str]) -> Message:
    """Return the message of a recorded report: its lines, cautions, and Undo."""
    if reply.for_name:
        lines[0] = voice.say("{said} For {name}.", said=lines[0], name=reply.for_name)
    lines += caution_lines(voice, reply.cautions)
    return Message(text="\n".join(lines), rows=(undo_row(voice, reply.act),))


def day_said(voice: Voice, day: object) -> str:
    from datetime import date, timedelta

    assert isinstance(day, date)
    if day == voice.today:
        return voice.say("today")
    if day == voice.today - timedelta(days=1):
        return voice.say("yesterday")
    if day == voice.today + timedelta(days=1):
        return voice.say("tomorrow")
    return voice.day(day)
