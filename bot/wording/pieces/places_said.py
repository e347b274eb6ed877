"""Where trays and sowings stand, and what is in them, as lines."""

from __future__ import annotations

from bot.wording.pieces.deed_lines import what_of
from bot.wording.voice import Voice
from core.replies.looked_up import Found, LookedUpSaid


def stands(one: Found, voice: Voice) -> str:
    """Return where one tray or sowing stands."""
    what = what_of(one, voice)
    if one.place == "pots":
        where = voice.say("in loose pots")
    elif one.shelf is None:
        where = voice.say("on no shelf by the records")
    elif one.mat:
        where = voice.say("on shelf {shelf}, which has a heat mat", shelf=one.shelf)
    else:
        where = voice.say("on shelf {shelf}", shelf=one.shelf)
    if one.crop is None:
        where = voice.say("{where}, {inside}", where=where, inside=_inside(one, voice))
    if one.on is not None:
        who = one.by or voice.who(one.did)
        return voice.say(
            "{what}: {where}; moved by {who}, {day}.",
            what=what, where=where, who=who, day=voice.day(one.on),
        )  # fmt: skip
    return voice.say("{what}: {where}.", what=what, where=where)


def _inside(one: Found, voice: Voice) -> str:
    if not one.crops:
        return voice.say("empty")
    return voice.say("with {crops}", crops=voice.listed([voice.crop(c) for c in one.crops]))


def stock_of_shelf(reply: LookedUpSaid, voice: Voice) -> list[str]:
    """Return the trays of a shelf, or of all, with what is in each."""
    if not reply.found:
        return [voice.say("No tray stands there.")]
    n = len(reply.found) + reply.more
    if reply.whom is not None:
        first = voice.say_n(
            "Shelf {shelf}: {n} tray.", "Shelf {shelf}: {n} trays.", n, shelf=reply.whom
        )
        return [first, *(f"{one.tray}: {_inside(one, voice)}." for one in reply.found)]
    return [voice.say_n("{n} tray:", "{n} trays:", n), *(stands(one, voice) for one in reply.found)]


def contents(reply: LookedUpSaid, voice: Voice) -> list[str]:
    """Return what stands in a tray: crop, cells, lot and year of the seed, day of sowing."""
    if not reply.found:
        return [voice.say("{trays}: empty.", trays=voice.listed(reply.trays))]
    return [_content(one, voice) for one in reply.found]


def _content(one: Found, voice: Voice) -> str:
    said = what_of(one, voice)
    if one.n:
        said = voice.say_n("{what}: {n} cell", "{what}: {n} cells", one.n, what=said)
    else:
        said = voice.say("{what}: loose pots", what=said)
    if one.lot is None:
        said = voice.say("{said}, no lot noted", said=said)
    elif one.packed_for is None:
        said = voice.say("{said}, lot {lot}", said=said, lot=one.lot)
    else:
        said = voice.say(
            "{said}, lot {lot} packed for {year}", said=said, lot=one.lot, year=one.packed_for
        )
    if one.on is None:
        return voice.say("{said}.", said=said)
    return voice.say("{said}, sown {day}.", said=said, day=voice.day(one.on))
