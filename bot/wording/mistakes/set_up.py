"""Words for what goes wrong in set-up and duty: what stood, and what to say instead."""

from __future__ import annotations

from bot.message import Message
from bot.wording.pieces.lamps import lamp_name
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import set_up_errors as e


def place_unknown(error: e.PlaceUnknown, voice: Voice) -> Message:
    text = voice.say("I know no place called {place}.", place=error.place[:60])
    if error.nearest:
        names = voice.listed(error.nearest, "or")
        text += " " + voice.say("Did you mean {names}?", names=names)
    return Message(
        text=text
        + "\n"
        + voice.say(
            "Only towns of over 5,000 people are in my list: name the nearest, "
            "or set the zone: /site zone Europe/Madrid"
        )
    )


def zone_unknown(error: e.ZoneUnknown, voice: Voice) -> Message:
    if error.nearest:
        names = voice.listed(error.nearest, "or")
        return Message(
            text=voice.say(
                "There is no time zone {zone}. Did you mean {names}?", zone=error.zone, names=names
            )
        )
    return Message(
        text=voice.say(
            "There is no time zone {zone}. Say it like this: /site zone Europe/Madrid",
            zone=error.zone,
        )
    )


def language_unknown(error: e.LanguageUnknown, voice: Voice) -> Message:
    return Message(
        text=voice.say(
            "I speak English and Spanish only, not {language}: /site language en, or es",
            language=error.language,
        )
    )


def tray_size_missing(error: e.TraySizeMissing, voice: Voice) -> Message:
    return Message(
        text=voice.say_n(
            "{trays} is new: how many cells? For instance /tray {tray} 72 or /tray {tray} 6x12. "
            "Standard sizes: {sizes}.",
            "{trays} are new: how many cells? For instance /tray {tray} 72 or /tray {tray} 6x12. "
            "Standard sizes: {sizes}.",
            len(error.trays),
            trays=", ".join(error.trays),
            tray=error.trays[0],
            sizes=", ".join(str(size) for size in error.sizes),
        )
    )


def tray_size_unknown(error: e.TraySizeUnknown, voice: Voice) -> Message:
    return Message(
        text=voice.say(
            "{cells} cells is no standard size ({sizes}). "
            "Say rows x columns instead: /tray T1 6x12",
            cells=error.cells,
            sizes=", ".join(str(size) for size in error.sizes),
        )
    )


def tray_in_use(error: e.TrayInUse, voice: Voice) -> Message:
    living = voice.listed(f"{code} {voice.crop(crop)}" for code, crop in error.sowings)
    if error.retiring:
        return Message(
            text=voice.say(
                "{tray} still holds {living}: plant it out, pot it up or report it lost first.",
                tray=error.tray,
                living=living,
            )
        )
    return Message(
        text=voice.say(
            "{tray} holds {living}, so its size stays. Give the other tray a new code.",
            tray=error.tray,
            living=living,
        )
    )


def shelf_full(error: e.ShelfFull, voice: Voice) -> Message:
    return Message(
        text=voice.say(
            "Shelf {shelf} has {places} places, and that would make {asked} trays. "
            "More places: /shelf {shelf} {asked} places",
            shelf=error.shelf,
            places=error.places,
            asked=error.asked,
        )
    )


def lamp_unknown(error: e.LampUnknown, voice: Voice) -> Message:
    return Message(
        text=voice.say(
            "I know no lamp {lamp}. I know: {names}.",
            lamp=error.lamp,
            names=voice.listed(lamp_name(voice, lamp) for lamp in error.known),
        )
    )


def lot_crop_missing(error: e.LotCropMissing, voice: Voice) -> Message:
    return Message(
        text=voice.say("Which crop is it? For instance: /lot tomato Amber Pip 2025 10 of 10")
    )


def duty_unclear(error: e.DutyUnclear, voice: Voice) -> Message:
    if error.reason == "no_closure":
        return Message(text=voice.say("Nothing is closed then. See what is: /closed"))
    who = voice.listed(error.who)
    if error.reason == "none":
        return Message(text=voice.say("{who} has no such duty. See the rota: /duty", who=who))
    return Message(
        text=voice.say("On which days? For instance: /duty {who} mon wed, or a date", who=who)
    )


def dates_reversed(error: e.DatesReversed, voice: Voice) -> Message:
    first, last = voice.plain_day(error.first), voice.plain_day(error.last)
    if error.past:
        return Message(text=voice.say("{first} to {last} is over already.", first=first, last=last))
    return Message(
        text=voice.say(
            "{first} to {last} runs backwards. Say the first day first.", first=first, last=last
        )
    )


def not_on_duty(error: e.NotOnDuty, voice: Voice) -> Message:
    if not error.days:
        return Message(text=voice.say("You have no duty in the coming weeks. See the rota: /duty"))
    days = voice.listed((voice.day(day) for day in error.days), "or")
    if error.day is None:
        return Message(text=voice.say("Which day? You have {days}: /swap thursday", days=days))
    return Message(
        text=voice.say(
            "You are not on duty on {day}. You have {days}.", day=voice.day(error.day), days=days
        )
    )


def swap_gone(error: e.SwapGone, voice: Voice) -> Message:
    match error.reason:
        case "taken" if error.by is not None:
            return Message(text=voice.say("{name} has taken that day already.", name=error.by))
        case "taken":
            return Message(text=voice.say("That day has been taken already."))
        case "own":
            return Message(text=voice.say("That is your own day: somebody else has to take it."))
        case "past":
            return Message(text=voice.say("That day is over."))
        case _:
            return Message(text=voice.say("That offer is not there any more. See the rota: /duty"))


def away_then(error: e.AwayThen, voice: Voice) -> Message:
    return Message(
        text=voice.say(
            "{name} is away on {day}. Back earlier? /away off", name=error.name,
            day=voice.day(error.day),
        )
    )  # fmt: skip


def calendar_unreadable(error: e.CalendarUnreadable, voice: Voice) -> Message:
    match error.reason:
        case "past":
            return Message(text=voice.say("{name} holds only days that are over.", name=error.name))
        case "empty":
            return Message(text=voice.say("{name} holds no events.", name=error.name))
        case "size":
            return Message(
                text=voice.say(
                    "{name} holds more than I can read: some series in it is very long. "
                    "Export one school year, or say the days: /closed 21 Dec - 3 Jan",
                    name=error.name,
                )
            )
        case _:
            return Message(
                text=voice.say(
                    "{name} is not a calendar file I can read. Export it as iCalendar (.ics), "
                    "or say the days: /closed 21 Dec - 3 Jan",
                    name=error.name,
                )
            )


def last_coordinator(error: e.LastCoordinator, voice: Voice) -> Message:
    return Message(
        text=voice.say(
            "{name} is the only coordinator. Make another one first: /member Ana coordinator",
            name=error.name,
        )
    )


WORDS: Words = {
    e.PlaceUnknown: place_unknown,
    e.ZoneUnknown: zone_unknown,
    e.LanguageUnknown: language_unknown,
    e.TraySizeMissing: tray_size_missing,
    e.TraySizeUnknown: tray_size_unknown,
    e.TrayInUse: tray_in_use,
    e.ShelfFull: shelf_full,
    e.LampUnknown: lamp_unknown,
    e.LotCropMissing: lot_crop_missing,
    e.DutyUnclear: duty_unclear,
    e.DatesReversed: dates_reversed,
    e.NotOnDuty: not_on_duty,
    e.SwapGone: swap_gone,
    e.AwayThen: away_then,
    e.CalendarUnreadable: calendar_unreadable,
    e.LastCoordinator: last_coordinator,
}
