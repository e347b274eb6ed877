"""Where plants stand outside on a day of hardening off."""

from __future__ import annotations

from bot.wording.voice import Voice


def exposure(voice: Voice, code: str) -> str:
    """Return where plants stand on a hardening day."""
    match code:
        case "shade":
            return voice.say("shade, out of the wind")
        case "early_sun":
            return voice.say("an hour or two of early sun, then shade")
        case "morning_sun":
            return voice.say("morning sun")
        case "full_sun":
            return voice.say("full sun")
        case _:
            return voice.say("full sun, overnight too if it stays warm enough")
