"""Words on the season's page for the school or committee."""

from __future__ import annotations

from bot.wording.voice import Voice
from core.results.season_results import LotResult, PlaceResult, SeasonResults, SpeedResult, Tally


def title(group: str, voice: Voice) -> str:
    """Return the heading of the page."""
    return voice.say("{group}: what came of our seedlings", group=group)


def below(found: SeasonResults, members: int, voice: Voice) -> str:
    """Return the line under the heading."""
    people = voice.say_n("{n} member", "{n} members", members)
    if found.since is None:
        return voice.say("{people}; nothing was sown in the last year.", people=people)
    return voice.say(
        "{people}; sowings from {since} to {until}",
        people=people,
        since=voice.plain_day(found.since),
        until=voice.plain_day(voice.today),
    )


def figures(found: SeasonResults, alive: int, voice: Voice) -> list[tuple[str, str]]:
    """Return the four large figures with what they are of."""
    up = voice.say("none yet") if found.total is None else voice.percent(found.total.share)
    seeds = 0 if found.total is None else found.total.seeds
    return [
        (up, voice.say_n("of {n} seed came up", "of {n} seeds came up", seeds)),
        (voice.number(alive, 0), voice.say("seedlings growing now")),
        (voice.number(found.planted, 0), voice.say("planted out or handed out")),
        (voice.number(found.lost, 0), voice.say("lost")),
    ]


def left_out(found: SeasonResults, voice: Voice) -> str:
    """Return which sowings the figures leave out."""
    parts = []
    if found.coming:
        parts.append(voice.say_n("{n} still coming up", "{n} still coming up", found.coming))
    if found.not_counted:
        parts.append(voice.say_n("{n} nobody counted", "{n} nobody counted", found.not_counted))
    if not parts:
        return ""
    return voice.say("Sowings left out: {parts}.", parts=voice.listed(parts))


def lot_name(result: LotResult, voice: Voice) -> str:
    """Return a lot's row head."""
    crop = voice.crop(result.crop, result.variety)
    return voice.say("{lot} {crop}", lot=result.lot, crop=crop) if result.lot else crop


def counted(tally: Tally, voice: Voice) -> str:
    """Return `18 of 24, 75%`."""
    return voice.say(
        "{up} of {seeds}, {share}",
        up=tally.up,
        seeds=tally.seeds,
        share=voice.percent(tally.share),
    )


def place_name(result: PlaceResult, voice: Voice) -> str:
    """Return where a crop stood."""
    crop = voice.crop(result.crop)
    match result.kind, result.place:
        case "mat", "yes":
            return voice.say("{crop} on a heat mat", crop=crop)
        case "mat", _:
            return voice.say("{crop} without a mat", crop=crop)
        case "tray", _:
            return voice.say("{crop} in {place}", crop=crop, place=result.place)
        case _, None:
            return voice.say("{crop} on no shelf", crop=crop)
        case _:
            return voice.say("{crop} on shelf {place}", crop=crop, place=result.place)


def speed(result: SpeedResult, voice: Voice) -> str:
    """Return how fast a crop came up."""
    mean = voice.number(result.mean_days, 1)
    if result.half_days is None:
        return voice.say("mean {mean} days after sowing", mean=mean)
    half = voice.number(result.half_days, 1)
    return voice.say("mean {mean} days after sowing, half by {half}", mean=mean, half=half)


def loss(plants: int, sowings: int, voice: Voice) -> str:
    """Return what one cause took."""
    parts = []
    if plants:
        parts.append(voice.say_n("{n} plant", "{n} plants", plants))
    if sowings:
        parts.append(
            voice.say_n("{n} sowing before it showed", "{n} sowings before they showed", sowings)
        )
    return voice.listed(parts)


def basis(found: SeasonResults, voice: Voice) -> str:
    """Return what the figures rest on."""
    said = voice.say(
        "By the group's own counts. Bar: share that came up; thin line: where the true share "
        "likely lies (95% Wilson interval)."
    )
    authorities = {result.authority for result in found.lots} - {None}
    if not authorities:
        return said
    if "federal" in authorities:
        return voice.say(
            "{said} Mark: least germination of seed sold in the US, 7 CFR 201.31 or state rules.",
            said=said,
        )
    return voice.say("{said} Mark: least germination by rules of US states.", said=said)
