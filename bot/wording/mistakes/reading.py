"""What the reader asks for, and what it says when nothing was reported."""

from __future__ import annotations

from bot.message import Message
from bot.reading.problems import Asks, NothingTold
from bot.wording.pieces.buttons import due_button, help_button
from bot.wording.pieces.short import short
from bot.wording.voice import Voice
from bot.wording.words import Words


def asks(error: Asks, voice: Voice) -> Message:
    """Ask for the one piece that is missing."""
    typed = short(error.typed)
    if error.frame == "unread":
        return Message(
            text=voice.say(
                "“{typed}”: I could not read this part; it is not recorded.", typed=typed
            )
        )
    text = {
        "count": voice.say("“{typed}”: how many? Nothing is recorded yet.", typed=typed),
        "tray": voice.say("“{typed}”: which tray? Nothing is recorded yet.", typed=typed),
        "crop": voice.say("“{typed}”: which crop? Nothing is recorded yet.", typed=typed),
        "cells": voice.say(
            "“{typed}”: which cells, or how many? Nothing is recorded yet.", typed=typed
        ),
        "date": voice.say("“{typed}”: on which day? Nothing is recorded yet.", typed=typed),
        "place": voice.say(
            "“{typed}”: on which shelf or tray? Nothing is recorded yet.", typed=typed
        ),
        "unit": voice.say("“{typed}”: in which unit? Nothing is recorded yet.", typed=typed),
        "into": voice.say("“{typed}”: into what? Nothing is recorded yet.", typed=typed),
    }.get(error.asks) or voice.say(
        "“{typed}”: what is meant? Nothing is recorded yet.", typed=typed
    )
    return Message(text=text)


def nothing_told(error: NothingTold, voice: Voice) -> Message:
    """Say that nothing was recorded, and why."""
    match error.why:
        case "ahead" | "if":
            text = voice.say(
                "Nothing was recorded: that is still to come. Tell me when it is done."
            )
        case "request":
            text = voice.say(
                "Nothing was recorded: I cannot do that myself. Whoever does it can tell me, "
                "or press the button under the morning message."
            )
        case "not":
            text = voice.say("Nothing was recorded: that says what was not done.")
        case "thanks":
            return Message(text=voice.say("Gladly."))
        case "elsewhere":
            text = voice.say("Nothing was recorded: that is not about this group’s trays.")
        case "question":
            text = voice.say(
                "Nothing was recorded. If that is a question, I did not understand it: name a "
                "tray, a crop or what you see, or ask /help"
            )
        case _:
            text = voice.say(
                "Nothing was recorded: I could not read that. A sentence that works: "
                "watered T1, or: 12 up in T1"
            )
    return Message(text=text, rows=((due_button(voice), help_button(voice)),))


WORDS: Words = {Asks: asks, NothingTold: nothing_told}
