"""What is said of reminders that members asked for."""

from __future__ import annotations

from bot.message import Button, Message
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import requests as q
from core.replies import reminders as r


def reminder_set(reply: r.ReminderSet, voice: Voice) -> Message:
    """Whom I remind, when and of what, and the way back."""
    values = {"day": voice.day(reply.on), "text": reply.text}
    if reply.own:
        text = voice.say("I will remind you on {day}: {text}", **values)
    elif reply.who is not None:
        text = voice.say("I will remind {name} on {day}: {text}", name=reply.who, **values)
    else:
        text = voice.say("I will remind whoever is on duty on {day}: {text}", **values)
    back = q.EndReminder(reminder=reply.id)
    return Message(text=text, rows=((Button(voice.say("Take it back"), back),),))


def reminder_ended(reply: r.ReminderEnded, voice: Voice) -> Message:
    """That it is done, or that nobody is reminded of it."""
    if reply.again:
        return Message(text=voice.say("That was settled already: {text}", text=reply.text))
    if reply.done:
        return Message(text=voice.say("Done: {text}", text=reply.text))
    return Message(text=voice.say("Nobody will be reminded: {text}", text=reply.text))


WORDS: Words = {r.ReminderSet: reminder_set, r.ReminderEnded: reminder_ended}
