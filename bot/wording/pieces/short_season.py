"""A season too short for a crop, in words."""

from __future__ import annotations

from bot.wording.voice import Voice


def short_season_line(crop: str, variety: str | None, days: int, voice: Voice) -> str:
    """Return that a crop does not ripen well before the autumn frost here, and the ways out."""
    return voice.say_n(
        "{crop}: the season here is {n} day too short for it to bear well before the frost. Ways "
        "out: a variety that ripens sooner, or a cover in spring and autumn.",
        "{crop}: the season here is {n} days too short for it to bear well before the frost. Ways "
        "out: a variety that ripens sooner, or a cover in spring and autumn.",
        days,
        crop=voice.crop(crop, variety),
    )
