"""Words on the season's page for the school or committee."""

from __future__ import annotations

from collections.abc import Sequence

from bot.wording.voice import Voice
from core.results.course import Course
from core.results.season_results import LotResult, PlaceResult, SeasonResults, SpeedResult, Tally


def title(group: str, voice: Voice) -> str:
    """Return the heading of the page."""
    return voice.say("{group}: what came of our seedlings", group=group)


def sentence(whole: Course | None, voice: Voice) -> str:
    """Return what came of it all, in one sentence."""
    if whole is None:
        return voice.say("Nothing was sown in the last year.")
    seeds = voice.say_n("{n} seed", "{n} seeds", whole.seeds)
    if not whole.up:
        return voice.say("We sowed {seeds}; what comes of them is still to be seen.", seeds=seeds)
    went = []
    if whole.planted:
        went.append(voice.say_n("{n} is planted out", "{n} are planted out", whole.planted))
    if whole.given:
        homes = voice.say_n("{n} home", "{n} homes", whole.homes)
        went.append(
            voice.say_n("{n} went to {homes}", "{n} went to {homes}", whole.given, homes=homes)
        )
    if whole.left:
        went.append(voice.say_n("{n} is still growing", "{n} are still growing", whole.left))
    if not went:
        return voice.say("We sowed {seeds}, and {up} came up.", seeds=seeds, up=whole.up)
    return voice.say(
        "We sowed {seeds}, and {up} came up: {went}.",
        seeds=seeds,
        up=whole.up,
        went=voice.listed(went),
    )


def below(group: str, found: SeasonResults, members: int, voice: Voice) -> str:
    """Return the line under the heading."""
    people = voice.say_n("{n} member", "{n} members", members)
    if found.since is None:
        return voice.say("{group}; {people}", group=group, people=people)
    return voice.say(
        "{group}; {people}; sowings from {since} to {until}",
        group=group,
        people=people,
        since=voice.plain_day(found.since),
        until=voice.plain_day(voice.today),
    )


def page_of(voice: Voice) -> str:
    """Return how a page's number is written."""
    return voice.say("{page} of {pages}", page="{page}", pages="{pages}")


def steps(whole: Course, voice: Voice) -> list[tuple[int, str]]:
    """Return the counts from seed to garden with what each is."""
    return [
        (whole.seeds, voice.say("seeds sown")),
        (whole.up, voice.say("came up")),
        (whole.potted, voice.say("potted up")),
        (whole.planted + whole.given, voice.say("planted out or given")),
    ]


def count_heads(voice: Voice) -> list[str]:
    """Return the heads of the columns of counts, in the order of report.COUNTS."""
    return [
        voice.say("seeds"),
        voice.say("up"),
        voice.say("potted"),
        voice.say("planted"),
        voice.say("given"),
        voice.say("homes"),
        voice.say("lost"),
        voice.say("growing"),
    ]


def of_seeds(tally: Tally, voice: Voice) -> str:
    """Return `18 of 24`."""
    return voice.say("{up} of {seeds}", up=tally.up, seeds=tally.seeds)


def range_key(found: SeasonResults, voice: Voice) -> str:
    """Return how the small ranges are read."""
    said = voice.say(
        "Dot: the share of seeds that came up. Thick line: where it likely lies for such seed; "
        "few seeds, long line."
    )
    if any(lot.least is not None for lot in found.lots):
        return voice.say(
            "{said} Upright stroke: the least seed of its kind should show.", said=said
        )
    return said


def thanks(named: Sequence[str], others: int, voice: Voice) -> str:
    """Return thanks to those who agreed to be named, and to the others without a name."""
    if named and others:
        return voice.say_n(
            "To {names}, and to {n} more who sowed, watered and counted.",
            "To {names}, and to {n} more who sowed, watered and counted.",
            others,
            names=voice.listed(named, "unit"),
        )
    if named:
        return voice.say("To {names}, who sowed, watered and counted.", names=voice.listed(named))
    if others:
        return voice.say_n(
            "To the one who sowed, watered and counted.",
            "To all {n} who sowed, watered and counted.",
            others,
        )
    return ""


def left_out(found: SeasonResults, voice: Voice) -> str:
    """Return which sowings the figures leave out."""
    parts = []
    if found.coming:
        parts.append(voice.say_n("{n} still coming up", "{n} still coming up", found.coming))
    if found.not_counted:
        parts.append(voice.say_n("{n} nobody counted", "{n} nobody counted", found.not_counted))
    if found.cut_short:
        parts.append(
            voice.say_n("{n} lost while coming up", "{n} lost while coming up", found.cut_short)
        )
    if not parts:
        return ""
    return voice.say("Sowings left out: {parts}.", parts=voice.listed(parts))


def lot_name(result: LotResult, voice: Voice) -> str:
    """Return a lot's row head."""
    crop = voice.crop(result.crop, result.variety)
    return voice.say("{lot} {crop}", lot=result.lot, crop=crop) if result.lot else crop


def place_name(result: PlaceResult, voice: Voice) -> str:
    """Return where a crop stood."""
    crop = voice.crop(result.crop)
    match result.kind, result.place:
        case "mat", "yes":
            return voice.say("{crop} on a heat mat", crop=crop)
        case "mat", _:
            return voice.say("{crop} without a mat", crop=crop)
        case "per_cell", number:
            return voice.say_n(
                "{crop}, {n} seed a cell", "{crop}, {n} seeds a cell", int(number or 0), crop=crop
            )
        case "variety", _:
            return voice.crop(result.crop, result.place)
        case "tray", _:
            return voice.say("{crop} in {place}", crop=crop, place=result.place)
        case _, None:
            return voice.say("{crop} on no shelf", crop=crop)
        case _:
            return voice.say("{crop} on shelf {place}", crop=crop, place=result.place)


def speed(result: SpeedResult, voice: Voice) -> str:
    """Return how fast a crop came up."""
    mean = voice.number(result.mean_days, 0)
    if result.half_days is None:
        return voice.say("about {mean} days after sowing", mean=mean)
    half = voice.number(result.half_days, 1)
    return voice.say("about {mean} days after sowing, half by {half}", mean=mean, half=half)


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
        "By the group's own counts. A thick line holds the true share 19 times in 20 if each seed "
        "is on its own; sowings of one tray resemble each other, so it is somewhat wider."
    )
    authorities = {result.authority for result in found.lots} - {None}
    if not authorities:
        return said
    if "federal" in authorities:
        return voice.say(
            "{said} Least: seed sold in the US, 7 CFR 201.31 or state rules.",
            said=said,
        )
    return voice.say("{said} Least: rules of US states.", said=said)
