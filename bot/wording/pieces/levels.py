"""Moisture as people call it, in words."""

from __future__ import annotations

from bot.wording.voice import Voice


def level_said(voice: Voice, level: str) -> str:
    """Return a level of moisture: dry, right or wet."""
    match level:
        case "dry":
            return voice.say("dry")
        case "wet":
            return voice.say("wet")
        case _:
            return voice.say("right")
