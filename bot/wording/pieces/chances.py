"""The chance of frost on or after a day, in words."""

from __future__ import annotations

from bot.wording.voice import Voice
from core.trade.frost.dates import FrostChance
from core.trade.statistics.intervals import LEVEL

NEVER = 0.0005
"""A chance at or below this is said as hardly ever."""

SURE = 0.995
"""A chance at or above this is said as nearly every year."""


def chance_line(chance: FrostChance, day: str, voice: Voice) -> str:
    """Return the chance of frost on or after a day, with its sampling error where known."""
    share = voice.percent(chance.fitted)
    years = chance.one_year_in
    if chance.fitted <= NEVER or years is None:
        said = voice.say("Frost on or after {day}: hardly ever.", day=day)
    elif chance.fitted >= SURE:
        said = voice.say("Frost on or after {day}: nearly every year.", day=day)
    elif chance.fitted >= 0.4:
        said = voice.say("Frost on or after {day}: {share} of years.", day=day, share=share)
    else:
        said = voice.say(
            "Frost on or after {day}: {share} of years, about one year in {n}.",
            day=day,
            share=share,
            n=voice.number(years, 0),
        )
    if chance.fitted_interval is None:
        return said
    return voice.say_n(
        "{said} By {n} season that could be {low} to {high} (sampling error, {sure} sure).",
        "{said} By {n} seasons that could be {low} to {high} (sampling error, {sure} sure).",
        chance.n_seasons or 0,
        said=said,
        low=voice.percent(chance.fitted_interval.low),
        high=voice.percent(chance.fitted_interval.high),
        sure=voice.percent(LEVEL),
    )
