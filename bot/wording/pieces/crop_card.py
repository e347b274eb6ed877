"""What the table says of one crop, in a dozen short lines."""

from __future__ import annotations

from collections.abc import Callable

from bot.message import Button, Message
from bot.wording.pieces.cautions import caution_lines
from bot.wording.pieces.works import brief
from bot.wording.voice import Voice
from core.replies.dates import CropSaid, UpIn
from core.requests import When
from core.trade.crops.row import Crop, GerminationLight, HardinessClass, Method, Pretreatment
from core.trade.crops.table import crop_by_id
from core.trade.emergence.reconciled import curve_of


def crop_said(reply: CropSaid, voice: Voice) -> Message:
    """Return the crop's figures, its cautions, the sources, and what is unverified."""
    crop = crop_by_id(reply.crop)
    lines = [
        _headline(crop, voice),
        _depth(crop, voice),
        before_sowing(crop, voice),
        _up_in(reply.up_in, voice),
        _mix(crop, voice),
        _method(crop, voice),
        _out(reply, crop, voice),
        _cold(reply, voice),
        _seed(crop, voice),
        *caution_lines(voice, reply.cautions),
        _unverified(reply, voice),
        _sources(reply, voice),
    ]
    return Message(
        text="\n".join(line for line in lines if line),
        rows=((Button(voice.say("Dates here"), When(crop=reply.crop)),),),
        fold=tuple(line for line in lines[-2:] if line),
    )


def _headline(crop: Crop, voice: Voice) -> str:
    name = voice.crop(crop.id)
    return voice.say(
        "{crop} ({latin}): {hardiness}.",
        crop=name[:1].upper() + name[1:],
        latin=crop.scientific_name,
        hardiness=hardiness(crop.hardiness_class, voice),
    )


def hardiness(kind: HardinessClass, voice: Voice) -> str:
    """Return a hardiness class and what it bears, in words."""
    return {
        HardinessClass.VERY_HARDY: voice.say("very hardy, bears hard frost once hardened"),
        HardinessClass.HARDY: voice.say("hardy, bears frost once hardened"),
        HardinessClass.HALF_HARDY: voice.say("half-hardy, bears a light frost once hardened"),
        HardinessClass.TENDER: voice.say("tender, killed by frost"),
        HardinessClass.VERY_TENDER: voice.say("very tender, checked by cool nights"),
    }[kind]


def _range(low: float, high: float, say: Callable[[float], str], voice: Voice) -> str:
    if say(low) == say(high):
        return say(low)
    return voice.say("{low} to {high}", low=say(low), high=say(high))


def _depth(crop: Crop, voice: Voice) -> str:
    least, most = crop.sow_depth_mm_min, crop.sow_depth_mm_max
    light = crop.germination_light
    if light is GerminationLight.LIGHT or most == 0:
        return voice.say("Sow on the surface and do not cover: it comes up in light.")
    if least is None or most is None:
        if light is GerminationLight.DARK:
            return voice.say("Keep the tray dark until it shows.")
        return ""
    depth = voice.lengths(least, most)
    if light is GerminationLight.LIGHT_COVER:
        return voice.say("Sow {depth} deep under a thin cover.", depth=depth)
    if light is GerminationLight.DARK:
        return voice.say("Sow {depth} deep and keep it dark until it shows.", depth=depth)
    return voice.say("Sow {depth} deep, covered.", depth=depth)


def before_sowing(crop: Crop, voice: Voice) -> str:
    """Return what the seed needs before it is sown; empty when nothing."""
    if not crop.pretreatment:
        return ""
    hours = voice.number(crop.soak_hours) if crop.soak_hours else ""
    chill = ""
    if crop.chill_weeks_min is not None and crop.chill_weeks_max is not None:
        chill = _range(crop.chill_weeks_min, crop.chill_weeks_max, voice.number, voice)
    words = {
        Pretreatment.SOAK: voice.say("soak {hours} hours", hours=hours)
        if hours
        else voice.say("soak"),
        Pretreatment.NICK: voice.say("nick the seed coat"),
        Pretreatment.SCARIFY: voice.say("roughen the seed coat"),
        Pretreatment.CHILL: voice.say("chill {weeks} weeks", weeks=chill)
        if chill
        else voice.say("chill"),
        Pretreatment.CHILL_MOIST: voice.say("chill moist {weeks} weeks", weeks=chill)
        if chill
        else voice.say("chill moist"),
        Pretreatment.CRACK_HUSK: voice.say("crack the husk"),
        Pretreatment.VERNALISE: voice.say("the young plant needs some cool weeks"),
    }
    steps = voice.listed(words[step] for step in crop.pretreatment)
    if crop.pretreatment_optional:
        return voice.say("Before sowing, if you like: {steps}.", steps=steps)
    return voice.say("Before sowing: {steps}.", steps=steps)


def _up_in(up_in: UpIn, voice: Voice) -> str:
    temp = voice.temp(up_in.temp_c)
    if up_in.shelf is None:
        where = temp
    else:
        where = {
            "read": voice.say("{temp} (read on shelf {shelf})", temp=temp, shelf=up_in.shelf),
            "usual": voice.say("{temp} (shelf {shelf}'s usual)", temp=temp, shelf=up_in.shelf),
            "assumed": voice.say(
                "{temp} (assumed for shelf {shelf})", temp=temp, shelf=up_in.shelf
            ),
        }[up_in.temp_basis]
    if up_in.low is None or up_in.high is None:
        return voice.say("Will not come up well at {where}.", where=where)
    days = _range(up_in.low, up_in.high, lambda n: voice.number(n, 0), voice)
    values = {"days": days, "where": where}
    return {
        "site": voice.say("Up in {days} days at {where}, by this site's own record.", **values),
        "table": voice.say("Up in {days} days at {where}, by the published tables.", **values),
        "guide": voice.say("Up in {days} days at {where}, by a published guide.", **values),
        "memory": voice.say("Up in {days} days at {where}, from memory.", **values),
    }[up_in.basis]


def _mix(crop: Crop, voice: Voice) -> str:
    curve = curve_of(crop.id)
    at = curve.limits
    values = {
        "best": _range(at.best_lo, at.best_hi, voice.temp, voice),
        "limits": _range(at.least, at.most, voice.temp, voice),
    }
    if curve.family_default:
        return voice.say(
            "Mix for germination: best about {best}, limits about {limits} (as its relatives).",
            **values,
        )
    return voice.say("Mix for germination: best {best}, limits {limits}.", **values)


def _method(crop: Crop, voice: Voice) -> str:
    parts = []
    least, most = crop.weeks_sow_to_plantout_min, crop.weeks_sow_to_plantout_max
    if crop.method is Method.DIRECT:
        parts.append(voice.say("Usually sown where it will grow."))
    elif crop.method is Method.EITHER:
        parts.append(voice.say("Sown in trays or where it will grow."))
    if least is not None and most is not None:
        weeks = _range(least, most, voice.number, voice)
        parts.append(voice.say("In trays {weeks} weeks from sowing to planting out.", weeks=weeks))
    if crop.resents_root_disturbance:
        parts.append(voice.say("Its roots dislike being moved: one cell or pot each."))
    elif crop.pot_up and crop.method is not Method.DIRECT:
        parts.append(voice.say("Pot up once true leaves show."))
    return " ".join(parts)


def _out(reply: CropSaid, crop: Crop, voice: Voice) -> str:
    low, high = reply.weeks_vs_last_frost
    when = weeks_vs_frost(low, high, voice)
    if crop.method is Method.DIRECT:
        said = voice.say("Sow out {when}.", when=when)
    else:
        said = voice.say("Plant out {when}.", when=when)
    if reply.weeks_by_class:
        said = voice.say("{said} (Weeks of its hardiness class.)", said=said)
    if crop.spacing_cm_min is None or crop.spacing_cm_max is None:
        return said
    apart = voice.lengths(crop.spacing_cm_min * 10, crop.spacing_cm_max * 10)
    return voice.say("{said} {apart} apart.", said=said, apart=apart)


def weeks_vs_frost(low: float, high: float, voice: Voice) -> str:
    """Return weeks around the average last frost in words; negative = before it."""
    if high <= 0:
        first, last = abs(high), abs(low)
        if last == 0:
            return voice.say("about the average last frost")
        return voice.say(
            "{weeks} weeks before the average last frost",
            weeks=_range(first, last, voice.number, voice),
        )
    if low >= 0:
        return voice.say(
            "{weeks} weeks after the average last frost",
            weeks=_range(low, high, voice.number, voice),
        )
    return voice.say(
        "from {before} weeks before to {after} weeks after the average last frost",
        before=voice.number(-low),
        after=voice.number(high),
    )


def _cold(reply: CropSaid, voice: Voice) -> str:
    crop = crop_by_id(reply.crop)
    night = voice.temp(reply.lowest_night_c)
    if reply.night_by_class:
        said = voice.say("Coldest night when just out: {night} (of its class).", night=night)
    else:
        said = voice.say("Coldest night when just out: {night}.", night=night)
    if crop.min_soil_plantout_c is None:
        return said
    return voice.say(
        "{said} Soil: {soil} or more.", said=said, soil=voice.temp(crop.min_soil_plantout_c)
    )


def _seed(crop: Crop, voice: Voice) -> str:
    if crop.storage_years is None:
        return ""
    return voice.say(
        "Seed keeps about {years} years, cool and dry.", years=voice.number(crop.storage_years)
    )


def _unverified(reply: CropSaid, voice: Voice) -> str:
    names = {
        "hardiness_class": voice.say("hardiness"),
        "sow_depth_mm_min": voice.say("depth"),
        "germination_light": voice.say("light or cover"),
        "pretreatment": voice.say("treatment before sowing"),
        "emergence_days_min": voice.say("days to come up"),
        "germ_opt_lo_c": voice.say("germination temperature"),
        "weeks_sow_to_plantout_min": voice.say("weeks in the tray"),
        "plantout_weeks_vs_last_frost_min": voice.say("weeks around the frost"),
        "min_night_new_c": voice.say("coldest night"),
        "min_soil_plantout_c": voice.say("soil"),
        "spacing_cm_min": voice.say("spacing"),
        "storage_years": voice.say("storage"),
    }
    by_table = reply.up_in is not None and reply.up_in.basis in ("table", "site")
    shown = [
        names[name] for name in reply.unverified if not (name == "emergence_days_min" and by_table)
    ]
    if not shown:
        return ""
    return voice.say("Rule of thumb, unverified: {names}.", names=voice.listed(shown))


def _sources(reply: CropSaid, voice: Voice) -> str:
    if not reply.sources:
        return ""
    named = "; ".join(brief(citation) for citation in reply.sources)
    if not reply.more_sources:
        return voice.say("Sources: {named}.", named=named)
    return voice.say_n(
        "Sources: {named}, and {n} more.",
        "Sources: {named}, and {n} more.",
        reply.more_sources,
        named=named,
    )
