"""A crop's dates here with the chance of frost, and the list of crops."""

from __future__ import annotations

from bot.message import Button, Message
from bot.wording.pieces.chances import chance_line
from bot.wording.pieces.crop_card import crop_said
from bot.wording.pieces.short_season import short_season_line
from bot.wording.voice import Voice
from bot.wording.words import Words
from core.replies.dates import CropDates, CropList, CropSaid, DatesWithoutFrost, GrowingNow
from core.requests import CropInfo
from core.trade.dates.resow import ResowBasis
from core.trade.dates.schedule import AnchorBasis, DateWindow, WeeksBasis

MOST_GROWING = 4


def crop_dates(reply: CropDates, voice: Voice) -> Message:
    """Return the dates in the order they come, the chance of frost, and what they rest on."""
    dates = reply.schedule
    crop = voice.crop(reply.crop)
    lines = [_headline(reply, voice)]
    if dates.indoors is not None:
        lines.append(
            voice.say(
                "Sow indoors {day} ({window}).",
                day=voice.day(dates.indoors.sow.target),
                window=_window(dates.indoors.sow, voice),
            )
        )
        if dates.indoors.large:
            least, most = (voice.number(weeks) for weeks in dates.indoors.weeks)
            lines.append(
                voice.say(
                    "Sown early, for large plants of {least} to {most} weeks: the season is tight "
                    "for it.",
                    least=least,
                    most=most,
                )
            )
        if dates.indoors.pot_up_on is not None:
            lines.append(voice.say("Pot up about {day}.", day=voice.day(dates.indoors.pot_up_on)))
        lines.append(
            voice.say_n(
                "Harden off from {day}, {n} day.",
                "Harden off from {day}, {n} days.",
                dates.indoors.harden_days,
                day=voice.day(dates.indoors.harden_from),
            )
        )
        lines.append(
            voice.say(
                "Plant out {day} ({window}).",
                day=voice.day(dates.indoors.plant_out.target),
                window=_window(dates.indoors.plant_out, voice),
            )
        )
        lines.append(
            chance_line(dates.indoors.chance, voice.day(dates.indoors.plant_out.target), voice)
        )
    if dates.outdoors is not None:
        lines.append(
            voice.say(
                "Sow outdoors {day} ({window}); up {up} at the soonest.",
                day=voice.day(dates.outdoors.sow.target),
                window=_window(dates.outdoors.sow, voice),
                up=voice.day(dates.outdoors.up_on),
            )
        )
        told = dates.indoors is not None and dates.indoors.chance == dates.outdoors.chance
        if not told:
            up_on = voice.day(dates.outdoors.up_on)
            lines.append(chance_line(dates.outdoors.chance, up_on, voice))
    lines += _held(reply, voice)
    if dates.indoors is not None:
        lines.append(_cold(reply.lowest_night_c, reply.soil_c, voice))
    elif reply.soil_c is not None:
        lines.append(
            voice.say("Whatever the date: soil of {soil} or more.", soil=voice.temp(reply.soil_c))
        )
    lines += _ends(reply, voice)
    lines.append(_resow(reply, voice))
    lines.append(_basis(reply, voice))
    lines += growing_lines(reply.growing, voice)
    if reply.planned:
        lines.append(
            voice.say(
                "In the plan: sow {days}.",
                days=voice.listed(voice.day(day) for day in reply.planned[:MOST_GROWING]),
            )
        )
    return Message(
        text="\n".join(line for line in lines if line),
        rows=((Button(voice.say("About {crop}", crop=crop), CropInfo(crop=reply.crop)),),),
    )


def _headline(reply: CropDates, voice: Voice) -> str:
    dates = reply.schedule
    values = {
        "crop": _cap(voice.crop(reply.crop, reply.variety)),
        "place": reply.place,
        "day": voice.month_day(dates.anchor),
    }
    if dates.anchor_basis is AnchorBasis.SEASONS_WITH_FROST:
        first = voice.say(
            "{crop} at {place}, by a last frost about {day} in the years that freeze.", **values
        )
    elif dates.anchor_basis is AnchorBasis.DATE_GIVEN:
        first = voice.say("{crop} at {place}, by planting out on {day}.", **values)
    else:
        first = voice.say("{crop} at {place}, by a last frost usually about {day}.", **values)
    match reply.season:
        case "both":
            return voice.say("{first} It can be sown now.", first=first)
        case "indoors":
            return voice.say("{first} It can be sown indoors now.", first=first)
        case "outdoors":
            return voice.say("{first} It can be sown outdoors now.", first=first)
        case "over":
            return voice.say(
                "{first} The sowing dates of {year} are over.", first=first, year=dates.year
            )
        case _:
            return first


def _cap(name: str) -> str:
    return name[:1].upper() + name[1:]


def _window(window: DateWindow, voice: Voice) -> str:
    if window.earliest == window.latest:
        return voice.say("that day")
    return voice.say(
        "any day from {first} to {last}",
        first=voice.month_day(window.earliest),
        last=voice.month_day(window.latest),
    )


def _held(reply: CropDates, voice: Voice) -> list[str]:
    dates = reply.schedule
    if dates.held_days <= 0:
        return []
    if reply.risk is not None:
        return [
            voice.say_n(
                "Held back {n} day: you accept a chance of frost of {level}.",
                "Held back {n} days: you accept a chance of frost of {level}.",
                dates.held_days,
                level=voice.percent(reply.risk),
            )
        ]
    return [
        voice.say_n(
            "Held back {n} day: a crop of its class waits until the chance of frost is {level} or "
            "less.",
            "Held back {n} days: a crop of its class waits until the chance of frost is {level} or "
            "less.",
            dates.held_days,
            level=voice.percent(dates.level),
        )
    ]


def _cold(night_c: float, soil_c: float | None, voice: Voice) -> str:
    if soil_c is None:
        return voice.say(
            "Whatever the date: nights of {night} or more when just out.", night=voice.temp(night_c)
        )
    return voice.say(
        "Whatever the date: nights of {night} or more when just out, soil of {soil} or more.",
        night=voice.temp(night_c),
        soil=voice.temp(soil_c),
    )


def _ends(reply: CropDates, voice: Voice) -> list[str]:
    """Return what ends the dates, and the stretch of the year after them."""
    now = reply.schedule.stretch
    if now is None:
        return []
    lines = []
    if reply.schedule.short_days:
        lines.append(short_season_line(reply.crop, reply.variety, reply.schedule.short_days, voice))
    if now.ends_by == "heat":
        lines.append(
            voice.say(
                "After {day} the heat is likely to spoil it (rule of thumb).",
                day=voice.month_day(now.last),
            )
        )
    elif now.ends_by == "autumn_frost" and reply.maturity is not None:
        low, high = reply.maturity
        days = (
            voice.number(low) if low == high else voice.say("{low} to {high}", low=low, high=high)
        )
        said = voice.say(
            "Planted by {day} it ripens before the autumn frost: {days} days to maturity.",
            day=voice.month_day(now.last),
            days=days,
        )
        if reply.maturity_unverified:
            said = voice.say("{said} (A rule of thumb, unverified.)", said=said)
        elif reply.packet is not None:
            said = voice.say("{said} (By the packet of {lot}.)", said=said, lot=reply.packet)
        lines.append(said)
    for later in reply.schedule.stretches:
        if later.first > now.last:
            lines.append(
                voice.say(
                    "Again for autumn: in the ground from {first} to {last}.",
                    first=voice.month_day(later.first),
                    last=voice.month_day(later.last),
                )
            )
    return lines


def _resow(reply: CropDates, voice: Voice) -> str:
    resow = reply.resow
    if resow is None:
        return ""
    day = voice.day(resow.on)
    if resow.basis is ResowBasis.DAYS_TO_MATURITY and resow.ripe_by is not None:
        return voice.say(
            "Sow again by {day} at the latest to ripen by the autumn frost ({ripe}).",
            day=day,
            ripe=voice.month_day(resow.ripe_by),
        )
    outdoors = reply.schedule.outdoors
    if resow.basis is ResowBasis.PLANT_OUT_WINDOW and outdoors is not None:
        return voice.say(
            "If it fails, sow again indoors by {day} or outdoors by {out}.",
            day=day,
            out=voice.day(outdoors.sow.latest),
        )
    if resow.basis is ResowBasis.PLANT_OUT_WINDOW:
        return voice.say(
            "If it fails, sow again by {day}: the youngest plants for the last planting-out date.",
            day=day,
        )
    return voice.say("If it fails, sow again by {day}, the last outdoor sowing date.", day=day)


def _basis(reply: CropDates, voice: Voice) -> str:
    parts = []
    if reply.frost_basis == "typical_date":
        parts.append(voice.say("Chances rest on one frost date and an assumed spread."))
    elif reply.frost_basis == "levels":
        parts.append(voice.say("Chances rest on the frost dates given."))
    elif reply.spread_assumed:
        parts.append(voice.say("Too few frosts on record: their spread is assumed."))
    if reply.schedule.weeks_basis is WeeksBasis.HARDINESS_CLASS:
        parts.append(voice.say("The weeks are those of its hardiness class."))
    elif reply.weeks_unverified:
        parts.append(voice.say("The crop's weeks are a rule of thumb, unverified."))
    return " ".join(parts)


def growing_lines(growing: tuple[GrowingNow, ...], voice: Voice) -> list[str]:
    """Return a line for each sowing of the crop that is growing now."""
    lines = []
    for one in growing[:MOST_GROWING]:
        values = {
            "sowing": one.sowing,
            "tray": one.tray or voice.say("pots"),
            "sown": voice.day(one.sown_on),
        }
        if one.plant_out_on is None:
            lines.append(voice.say("Growing: {sowing} in {tray}, sown {sown}.", **values))
        else:
            lines.append(
                voice.say(
                    "Growing: {sowing} in {tray}, sown {sown}; plant out about {out}.",
                    **values,
                    out=voice.day(one.plant_out_on),
                )
            )
    if len(growing) > MOST_GROWING:
        lines.append(
            voice.say_n(
                "{n} more growing: /trays",
                "{n} more growing: /trays",
                len(growing) - MOST_GROWING,
            )
        )
    return lines


def without_frost(reply: DatesWithoutFrost, voice: Voice) -> Message:
    """Return what sets the date where frost does not."""
    crop = voice.crop(reply.crop)
    lines = [
        voice.say("{crop} at {place}: frost sets no date here.", crop=_cap(crop), place=reply.place)
    ]
    if reply.n_seasons is not None:
        lines.append(
            voice.say_n(
                "No frost in {n} season on record.",
                "No frost in {n} seasons on record.",
                reply.n_seasons,
            )
        )
    lines.append(_cold(reply.lowest_night_c, reply.soil_c, voice))
    if reply.weeks is not None:
        lines.append(
            voice.say(
                "Choose the planting-out day by that, and sow {least} to {most} weeks before it.",
                least=voice.number(reply.weeks[0]),
                most=voice.number(reply.weeks[1]),
            )
        )
    lines += growing_lines(reply.growing, voice)
    return Message(
        text="\n".join(lines),
        rows=((Button(voice.say("About {crop}", crop=crop), CropInfo(crop=reply.crop)),),),
    )


def crop_list(reply: CropList, voice: Voice) -> Message:
    """Return every crop by kind, and how to ask about one."""
    kinds = {
        "vegetable": voice.say("Vegetables"),
        "herb": voice.say("Herbs"),
        "flower": voice.say("Flowers"),
    }
    count = sum(len(crops) for _, crops in reply.kinds)
    lines = [
        voice.say_n(
            "{n} crop is known. More about one: /crop tomato",
            "{n} crops are known. More about one: /crop tomato",
            count,
        )
    ]
    for kind, crops in reply.kinds:
        names = sorted((voice.crop(crop) for crop in crops), key=str.casefold)
        lines.append(voice.say("{kind}: {crops}.", kind=kinds[kind], crops=", ".join(names)))
    return Message(text="\n".join(lines))


WORDS: Words = {
    CropDates: crop_dates,
    DatesWithoutFrost: without_frost,
    CropSaid: crop_said,
    CropList: crop_list,
}
