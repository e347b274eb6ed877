"""The group's place and habits."""

from __future__ import annotations

from dataclasses import replace

from bot.message import Button, Message
from bot.wording.voice import Voice, locale_of
from bot.wording.words import Words
from core.due.kinds import Channel
from core.group.garden import Site
from core.group.pauses import rests
from core.replies import site as r
from core.replies.base import Option
from core.requests import Lead


def site_said(reply: r.SiteSaid, voice: Voice) -> Message:
    """What was just set in one line; everything, when only looked at."""
    voice = settled(voice, reply.site) if reply.changed else voice
    if not reply.changed:
        change = Button(voice.say("Change something"), Lead(act="site"))
        return Message(text="\n".join(_all(reply, voice)), rows=((change,),))
    lines = [_line(reply, voice, part) for part in reply.changed]
    if reply.zone_before and "place" in reply.changed and "zone" not in reply.changed:
        lines.append(_line(reply, voice, "zone"))
    if reply.zone_before and "place" not in reply.changed:
        lines.append(voice.say("Dates already recorded stay as they are."))
    if reply.round_in_quiet:
        lines.append(
            voice.say(
                "That is within the quiet hours, so the round comes at {time}.",
                time=voice.clock(reply.site.quiet_to),
            )
        )
    return Message(text="\n".join(lines))


def settled(voice: Voice, site: Site) -> Voice:
    """Return the voice as the group's new settings have it; in private one's own stay."""
    if voice.private:
        return voice
    return replace(
        voice,
        language=site.language,
        fahrenheit=site.fahrenheit,
        inches=site.inches,
        zone=site.zone,
    )


def _line(reply: r.SiteSaid, voice: Voice, part: str) -> str:
    site = reply.site
    match part:
        case "place":
            return voice.say("Place: {place}.", place=place_text(voice, site.place or ""))
        case "zone":
            return voice.say(
                "Time zone: {zone}; it is {time} there now.",
                zone=site.zone,
                time=voice.clock(reply.local_time),
            )
        case "language" if site.each_language:
            return voice.say(
                "Each message is answered in its own language; the rest I say in {language}.",
                language=language_name(site.language),
            )
        case "language":
            return voice.say(
                "Language of the group: {language}.", language=language_name(site.language)
            )
        case "units":
            return voice.say("Units: {units}.", units=units_text(voice, site))
        case "round":
            return voice.say("The daily round comes at {time}.", time=voice.clock(site.round_at))
        case "quiet":
            return voice.say(
                "Quiet hours: {start} to {end}.",
                start=voice.clock(site.quiet_from),
                end=voice.clock(site.quiet_to),
            )
        case "channel":
            if rests(site.paused_until, voice.today):
                return channel_line(voice, Channel.PAUSED)
            return channel_line(voice, site.channel)
        case "brief" if site.brief:
            return voice.say(
                "Plain reports get a 👍 from me, and no words. To take one back: /undo"
            )
        case "brief":
            return voice.say("Every report is answered in words.")
        case _:
            return voice.say("The group is called {name}.", name=site.name)


def channel_line(voice: Voice, channel: str) -> str:
    """Return where the group hears of its work."""
    match Channel(channel):
        case Channel.BOTH:
            return voice.say("Reminders: each their own list in private, the rest in the group.")
        case Channel.GROUP:
            return voice.say("Reminders: all in the group.")
        case Channel.PRIVATE:
            return voice.say("Reminders: in private only.")
        case Channel.WEEKLY:
            return voice.say("Reminders: one list a week, on Mondays.")
        case Channel.PAUSED:
            return voice.say("Reminders: paused. A cold night is still told.")


def _all(reply: r.SiteSaid, voice: Voice) -> list[str]:
    site = reply.site
    lines = [voice.say("{group}: what is set", group=site.name)]
    if site.place:
        lines.append(_line(reply, voice, "place"))
    if "zone" not in reply.missing or site.zone != "UTC":
        lines.append(_line(reply, voice, "zone"))
    lines += [
        _line(reply, voice, part) for part in ("units", "language", "round", "quiet", "channel")
    ]
    if site.brief:
        lines.append(_line(reply, voice, "brief"))
    lines.append(
        voice.say("Last frost dates: known.")
        if reply.frost
        else voice.say("Last frost: not known.")
    )
    lines.append(
        voice.say(
            "{shelves}, {trays}.",
            shelves=voice.say_n("{n} shelf", "{n} shelves", reply.shelves),
            trays=voice.say_n("{n} tray", "{n} trays", reply.trays),
        )
    )
    if reply.missing:
        lines.append(
            voice.say(
                "Still to set: {steps}.",
                steps=voice.listed(step_name(voice, step) for step in reply.missing),
            )
        )
    lines.append(
        voice.say(
            "To change: /site place Chicago, /site zone America/Chicago, /site fahrenheit inches, "
            "/site language es, /site round 7:30 quiet 21:00-7:00, /site answers brief, "
            "/frost 28 April"
        )
    )
    return lines


def step_name(voice: Voice, step: str) -> str:
    """Return what a step of the first minute sets."""
    match step:
        case "place":
            return voice.say("place (/site place)")
        case "zone":
            return voice.say("time zone (/site zone)")
        case "units":
            return voice.say("units (/site celsius cm)")
        case "language":
            return voice.say("language (/site language)")
        case "frost":
            return voice.say("last frost (/frost)")
        case "shelf":
            return voice.say("a shelf (/shelf)")
        case _:
            return voice.say("a tray (/tray)")


def language_name(language: str) -> str:
    """Return a language's name in that language."""
    return locale_of(language, False).get_language_name(language) or language


def units_text(voice: Voice, site: Site) -> str:
    """Return the units in use."""
    return voice.say(
        "{temperature} and {length}",
        temperature="°F" if site.fahrenheit else "°C",
        length=voice.say("inches") if site.inches else voice.say("cm"),
    )


def place_text(voice: Voice, place: str) -> str:
    """Return a place with its country's name in the language."""
    *names, country = place.split(", ")
    return ", ".join([*names, voice.locale.territories.get(country, country)])


def places_found(reply: r.PlacesFound, voice: Voice) -> Message:
    """Which of several towns."""
    text = voice.say("There are several places called {name}. Which one?", name=_named(reply))
    if reply.values.get("more"):
        text += "\n" + voice.say(
            "None of these? Say it with its state or country: /site place Springfield, Ohio"
        )
    return Message(
        text=text,
        rows=tuple((Button(_option(voice, o), o.request),) for o in reply.options),
    )


def _named(reply: r.PlacesFound) -> str:
    return str(reply.options[0].values["name"])


def _option(voice: Voice, option: Option) -> str:
    values = option.values
    region = values["region"] if len(values["region"]) > 3 else ""
    country = voice.locale.territories.get(values["country"], values["country"])
    where = ", ".join(part for part in (values["name"], region, country) if part)
    people = voice.number(round(values["people"], -3), 0)
    return voice.say("{place} (about {people} people)", place=where, people=people)


WORDS: Words = {r.SiteSaid: site_said, r.PlacesFound: places_found}
