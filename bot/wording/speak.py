"""Find the words for a reply: `core/replies/<subject>.py` is worded by `replies/<subject>.py` here.

Each subject module hands out `WORDS`, reply type → function of (reply, voice) → Message. It is
imported when first needed, so that start-up stays short.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Mapping
from typing import Any

from bot.message import Message
from bot.wording.voice import Voice
from core.errors import UserError
from core.replies.base import Reply

Words = Mapping[type, Callable[[Any, Voice], Message]]


def speak(reply: Reply, voice: Voice) -> Message:
    """Return the message for a reply."""
    subject = type(reply).__module__.rpartition(".")[2]
    words: Words = importlib.import_module(f"bot.wording.replies.{subject}").WORDS
    return words[type(reply)](reply, voice)


def excuse(error: UserError, voice: Voice) -> Message:
    """Return the message for a mistake the person can mend."""
    words: Words = importlib.import_module("bot.wording.mistakes.gathered").WORDS
    return words[type(error)](error, voice)
