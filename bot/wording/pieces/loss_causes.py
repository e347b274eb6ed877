"""What plants were lost by, in words: the causes the reader knows, and any other as it was told."""

from __future__ import annotations

from bot.wording.voice import Voice


def cause_said(cause: str, voice: Voice) -> str:
    """Return the cause of a loss in the language; what a member wrote stays as it is."""
    known = {
        "damping off": voice.say("damping off"),
        "slugs": voice.say("slugs or snails"),
        "mice": voice.say("mice"),
        "cat": voice.say("a cat"),
        "dried out": voice.say("dried out"),
        "cold": voice.say("cold"),
        "heat": voice.say("heat"),
        "rot": voice.say("rot"),
        "broken": voice.say("broken"),
        "aphids": voice.say("aphids"),
        "gnats": voice.say("gnats"),
        "birds": voice.say("birds"),
        "dog": voice.say("a dog"),
        "ants": voice.say("ants"),
    }
    return known.get(cause, cause)
