"""Buttons that many messages share."""

from __future__ import annotations

from bot.message import Button
from bot.wording.voice import Voice
from core import requests as r

Row = tuple[Button, ...]


def undo_row(voice: Voice, act_number: int) -> Row:
    """Return the row that takes a report back."""
    return (Button(voice.say("Undo"), r.Undo(report=f"R{act_number}")),)


def due_button(voice: Voice) -> Button:
    """Return the button that shows what is due."""
    return Button(voice.say("What is due"), r.Due())


def help_button(voice: Voice) -> Button:
    """Return the button that shows what can be said."""
    return Button(voice.say("What can I say"), r.Help())


def set_up_button(voice: Voice) -> Button:
    """Return the button that begins the guided set-up, or goes on with it."""
    return Button(voice.say("Set up"), r.Start(payload="setup"))
