"""The site's frost dates: what they are, which way a percentage runs, what they rest on."""

from __future__ import annotations

from bot.message import Button, Message
from bot.wording.pieces.frost_file import file_lines
from bot.wording.voice import Voice
from bot.wording.words import Words
from core.replies.frost import (
    FrostSaid,
    FrostSideSaid,
    LevelDate,
    MovedPlantOut,
)
from core.requests import Lead
from core.trade.statistics.intervals import LEVEL

MOST_MOVED = 6
FEW_SEASONS = 10
"""Fewer seasons without frost than this do not show that a place never freezes; own choice."""


def frost_said(reply: FrostSaid, voice: Voice) -> Message:
    """Return what stands, its basis, and what the change moved."""
    lines = [_headline(reply, voice)]
    if reply.last is not None:
        lines += _side_lines(reply.last, voice)
    if reply.first is not None:
        lines += _first_lines(reply.first, voice)
    if reply.file is not None:
        lines += file_lines(reply.file, voice)
    lines += _hemisphere_lines(reply, voice)
    lines += _moved_lines(reply.moved, voice)
    if reply.first_dropped:
        lines.append(
            voice.say(
                "The first-frost date that stood no longer fits and was taken out. "
                "Set it again with: /frost first 10 Oct"
            )
        )
    rows: list[tuple[Button, ...]] = []
    if not reply.changed:
        rows.append((Button(voice.say("Change a date"), Lead(act="frost")),))
    if reply.or_first is not None:
        rows.append((Button(voice.say("No: first frost of autumn"), reply.or_first),))
    if reply.changed and reply.put_back is not None:
        rows.append((Button(voice.say("Put the old dates back"), reply.put_back),))
    return Message(text="\n".join(line for line in lines if line), rows=tuple(rows))


def _headline(reply: FrostSaid, voice: Voice) -> str:
    last = reply.last
    if last is None:
        if reply.first is None or reply.first.usual is None:
            return voice.say(
                "No last-frost date is set for {place}. Set it, such as: /frost 28 April",
                place=reply.place,
            )
        return voice.say(
            "First frost of autumn at {place}: usually about {day}. The last frost of spring is "
            "still open: /frost 28 April",
            place=reply.place,
            day=voice.month_day(reply.first.usual),
        )
    if last.usual is None:
        if (last.n_seasons or 0) < FEW_SEASONS:
            return voice.say_n(
                "No frost at {place} in {n} season. That is too few to say it never freezes.",
                "No frost at {place} in {n} seasons. That is too few to say it never freezes.",
                last.n_seasons or 0,
                place=reply.place,
            )
        return voice.say_n(
            "No frost at {place} in {n} season: it does not freeze there.",
            "No frost at {place} in {n} seasons: it does not freeze there.",
            last.n_seasons or 0,
            place=reply.place,
        )
    day = voice.month_day(last.usual)
    if last.share < 0.995:
        return voice.say(
            "At {place} {share} of the years have frost; in those the last one is usually about "
            "{day}.",
            place=reply.place,
            share=voice.percent(last.share),
            day=day,
        )
    if reply.changed:
        return voice.say(
            "Noted for {place}: last frost of spring usually about {day}.",
            place=reply.place,
            day=day,
        )
    return voice.say(
        "Last frost of spring at {place}: usually about {day}.", place=reply.place, day=day
    )


def _side_lines(side: FrostSideSaid, voice: Voice) -> list[str]:
    if side.usual is None:
        lines = [
            voice.say(
                "So frost sets no date here; cold nights do. What nights a crop bears: /crop tomato"
            )
        ]
        if side.share_error is not None:
            lines.append(
                voice.say(
                    "From the file alone, a year with frost could still be as likely as {high}.",
                    high=voice.percent(side.share_error.high),
                )
            )
        return lines
    by_level = {round(level.level, 2): level for level in side.levels}
    late, early = by_level[0.1], by_level[0.9]
    lines = []
    if late.on is None:
        lines.append(voice.say("Frost is rarer than one year in ten, so no date has that chance."))
    elif early.on is None:
        lines.append(
            voice.say(
                "One year in ten still has frost on or after {late}.",
                late=voice.month_day(late.on),
            )
        )
    else:
        lines.append(
            voice.say(
                "One year in ten still has frost on or after {late}; nine in ten on or after "
                "{early}.",
                late=voice.month_day(late.on),
                early=voice.month_day(early.on),
            )
        )
    lines.append(_basis(side, voice))
    lines.append(_error(late, side.n_seasons or 0, voice))
    lines.append(_spread(side, voice))
    return lines


def _first_lines(side: FrostSideSaid, voice: Voice) -> list[str]:
    if side.usual is None:
        return []
    by_level = {round(level.level, 2): level for level in side.levels}
    safe = by_level[0.1].on
    if safe is None:
        return [
            voice.say(
                "First frost of autumn, in years that have one: about {day}.",
                day=voice.month_day(side.usual),
            )
        ]
    values = {"day": voice.month_day(side.usual), "safe": voice.month_day(safe)}
    if side.assumed_sd_days is not None and side.basis != "record":
        return [
            voice.say(
                "First frost of autumn about {day}; one year in ten by {safe} (spread assumed).",
                **values,
            )
        ]
    return [voice.say("First frost of autumn about {day}; one year in ten by {safe}.", **values)]


def _basis(side: FrostSideSaid, voice: Voice) -> str:
    frost = voice.temp(side.threshold_c)
    if side.basis == "levels":
        return voice.say(
            "By the dates given; frost is a low of {frost} or less at thermometer height.",
            frost=frost,
        )
    if side.basis == "typical_date" or side.n_seasons is None:
        return ""
    parts = [
        voice.say_n(
            "From {n} season of daily lows; frost is a low of {frost} or less.",
            "From {n} seasons of daily lows; frost is a low of {frost} or less.",
            side.n_seasons,
            frost=frost,
        )
    ]
    if side.n_without:
        parts.append(voice.say_n("{n} had no frost.", "{n} had no frost.", side.n_without))
    if side.n_set_aside:
        parts.append(
            voice.say_n(
                "{n} more set aside: too many days missing.",
                "{n} more set aside: too many days missing.",
                side.n_set_aside,
            )
        )
    return " ".join(parts)


def _error(late: LevelDate, seasons: int, voice: Voice) -> str:
    """What so many years can and cannot tell."""
    if late.on is None or late.chance is None:
        return ""
    return voice.say_n(
        "With {n} season the chance at {day} may be anything from {low} to {high} "
        "(sampling error, {sure} sure).",
        "With {n} seasons the chance at {day} may be anything from {low} to {high} "
        "(sampling error, {sure} sure).",
        seasons,
        day=voice.month_day(late.on),
        low=voice.percent(late.chance.low),
        high=voice.percent(late.chance.high),
        sure=voice.percent(LEVEL),
    )


def _spread(side: FrostSideSaid, voice: Voice) -> str:
    if side.assumed_sd_days is None:
        return ""
    days = voice.number(side.assumed_sd_days, 0)
    if side.basis == "record":
        return voice.say(
            "Too few years with frost to tell how much it varies: {days} days either way are "
            "assumed.",
            days=days,
        )
    if side.spread_by_region:
        return voice.say(
            "From one date alone, so how much it varies is assumed: {days} days either way, as at "
            "US weather stations of that region, 1981–2010. Better: dates for 10 and 90 %, or a "
            "file of daily lows.",
            days=days,
        )
    return voice.say(
        "From one date alone, so how much it varies is assumed ({days} days either way, as in "
        "Toronto 1991–2020). Better: dates for 10 and 90 %, or a file of daily lows.",
        days=days,
    )


def _hemisphere_lines(reply: FrostSaid, voice: Voice) -> list[str]:
    if reply.hemisphere is None:
        return []
    north = reply.hemisphere == "north"
    if reply.against_place:
        return [
            voice.say(
                "Mind: the file's winter is that of the other half of the world than {place}. "
                "Is it of your site?",
                place=reply.place,
            )
        ]
    match reply.hemisphere_told_by, north:
        case "file", True:
            return [voice.say("Reckoned for north of the equator, as the file's winter shows.")]
        case "file", False:
            return [voice.say("Reckoned for south of the equator, as the file's winter shows.")]
        case "dates", True:
            return [voice.say("Reckoned for north of the equator, as the dates show.")]
        case "dates", False:
            return [voice.say("Reckoned for south of the equator, as the dates show.")]
        case _, False:
            return [
                voice.say(
                    "Reckoned for south of the equator, where {place} lies.", place=reply.place
                )
            ]
    return []  # north by its place: nothing a person there would doubt


def _moved_lines(moved: tuple[MovedPlantOut, ...], voice: Voice) -> list[str]:
    lines = []
    for one in moved[:MOST_MOVED]:
        crop = voice.crop(one.crop)
        if one.before is None:
            lines.append(
                voice.say(
                    "{sowing} {crop}: plant out about {after}.",
                    sowing=one.sowing,
                    crop=crop,
                    after=voice.day(one.after),
                )
            )
        else:
            lines.append(
                voice.say(
                    "{sowing} {crop}: planting out moves from {before} to {after}.",
                    sowing=one.sowing,
                    crop=crop,
                    before=voice.day(one.before),
                    after=voice.day(one.after),
                )
            )
    if len(moved) > MOST_MOVED:
        lines.append(
            voice.say_n(
                "{n} more sowing moves too: /due",
                "{n} more sowings move too: /due",
                len(moved) - MOST_MOVED,
            )
        )
    return lines


WORDS: Words = {FrostSaid: frost_said}
