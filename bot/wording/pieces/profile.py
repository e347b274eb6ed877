"""What a stranger reads of the bot before the first word: its profile."""

from __future__ import annotations

from bot.wording.voice import Voice

DESCRIPTION_MOST, SHORT_MOST = 512, 120
"""Characters a messenger takes; published of setMyDescription and setMyShortDescription."""


def description(voice: Voice) -> str:
    """Return what an empty chat with the bot says."""
    return "\n".join(
        (
            voice.say("I look after seedling trays with your group: a class, a garden, a family."),
            voice.say(
                "Tell me in your own words what you sowed, watered or counted. I say what is due, "
                "and warn you before a cold night."
            ),
            voice.say("I keep names and reports, and nothing else you say. Begin with /start"),
        )
    )


def short_description(voice: Voice) -> str:
    """Return what the bot's own page says under its name."""
    return voice.say("Seedlings together: who sows, what is thirsty, when to plant out.")
