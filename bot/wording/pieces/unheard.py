"""One line for what has no words: how to say it instead."""

from __future__ import annotations

from bot.incoming import PICTURE, VOICE
from bot.message import Button, Message
from bot.wording.voice import Voice
from core.requests import Nothing, SetSite


def unheard(kind: str, voice: Voice) -> Message:
    """Return what to do instead of a voice note, a picture without a line, or a sticker."""
    if kind == VOICE:
        return Message(
            text=voice.say(
                "I cannot listen to voice notes. Write it, or let your keyboard take dictation: "
                "12 up in T1"
            )
        )
    if kind == PICTURE:
        return Message(
            text=voice.say(
                "I cannot see pictures. Tell me what they show, under the picture or as a "
                "message: pale leaves in T2"
            )
        )
    return Message(text=voice.say("I read words only. What can be said: /help"))


def placed(place: str, voice: Voice) -> Message:
    """Ask whether a town near the location sent is the garden's place."""
    return Message(
        text=voice.say("That is near {place}. Is the garden there?", place=place),
        rows=(
            (
                Button(voice.say("Yes, it is there"), SetSite(place=place)),
                Button(voice.say("No"), Nothing()),
            ),
        ),
    )


def nowhere(voice: Voice) -> Message:
    """Say that no town of the list is near."""
    return Message(
        text=voice.say("I know no town near there. Write the nearest one: /site place Chicago")
    )
