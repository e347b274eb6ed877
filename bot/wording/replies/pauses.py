"""What is said when reminders rest or go on."""

from __future__ import annotations

from bot.message import Button, Message
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import requests as q
from core.replies import pauses as r


def pause_said(reply: r.PauseSaid, voice: Voice) -> Message:
    """What rests, until when, what is told all the same, and the way back."""
    if reply.off:
        return Message(text=_on_again(reply, voice))
    what = _what(reply, voice)
    text = (
        voice.say("No reminders {what} until you say /resume.", what=what)
        if reply.until is None
        else voice.say("No reminders {what} until {day}.", what=what, day=voice.day(reply.until))
    )
    lines = [
        text,
        voice.say("What is due is shown when you ask: /due"),
        voice.say("A cold night is still told while plants stand outside."),
    ]
    resume = q.SetPause(trays=reply.trays, who=None if not reply.who else _name(reply), off=True)
    return Message(text="\n".join(lines), rows=((Button(voice.say("Resume"), resume),),))


def _name(reply: r.PauseSaid) -> str:
    return "me" if reply.own else str(reply.who)


def _what(reply: r.PauseSaid, voice: Voice) -> str:
    if reply.trays:
        return voice.say("of {trays}", trays=voice.listed(reply.trays))
    if reply.who:
        return voice.say("for {name}", name=reply.who)
    return voice.say("for this group")


def _on_again(reply: r.PauseSaid, voice: Voice) -> str:
    if not reply.rested:
        return voice.say("There was no pause. Reminders come as before.")
    return voice.say("Reminders {what} go on.", what=_what(reply, voice))


WORDS: Words = {r.PauseSaid: pause_said}
