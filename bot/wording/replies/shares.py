"""Wishes, and who gets what, in words."""

from __future__ import annotations

from bot.message import Button, Message
from bot.wording.pieces.cautions import caution_lines
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import requests as r
from core.replies import shares as k

MOST_LINES = 30
MOST_BUTTONS = 6


def wish(reply: k.WishSaid, voice: Voice) -> Message:
    """A wish noted; how it stands against what is alive."""
    crop = voice.crop(reply.crop, reply.variety)
    values = {"crop": crop, "who": reply.for_name}
    if not reply.plants:
        first = (
            voice.say("{crop} for {who}: no wish any more.", **values)
            if reply.for_name
            else voice.say("{crop}: your wish is withdrawn.", **values)
        )
    elif reply.for_name:
        first = voice.say_n(
            "Wish noted: {n} {crop} for {who}.", "Wish noted: {n} {crop} for {who}.",
            reply.plants, **values,
        )  # fmt: skip
    else:
        first = voice.say_n(
            "Wish noted: {n} {crop}.", "Wish noted: {n} {crop}.", reply.plants, **values
        )
    if reply.before is not None and reply.plants and reply.before != reply.plants:
        first = voice.say("{noted} Before: {before}.", noted=first, before=reply.before)
    lines = [first]
    if reply.alive:
        lines.append(
            voice.say(
                "Wished by all: {wished}. Alive: {alive}; sure enough to live: {expected}.",
                wished=reply.wished, alive=reply.alive, expected=reply.expected,
            )
        )  # fmt: skip
    else:
        lines.append(
            voice.say("Wished by all: {wished}. None is up yet.", wished=reply.wished)
        )  # fmt: skip
    rows = (
        (
            Button(voice.say("Undo"), reply.back),
            Button(voice.say("My share"), r.ShareOut(crop=reply.crop)),
        ),
    )
    return Message(text="\n".join(lines), rows=rows)


def wishes(reply: k.WishesSaid, voice: Voice) -> Message:
    """The wishes that stand, a line each."""
    if not reply.lines:
        return Message(
            text=voice.say("No wishes yet. Say what you would like: /wish 4 tomato")
            if reply.everybody
            else voice.say("You have no wish yet. Say what you would like: /wish 4 tomato")
        )
    lines = [
        voice.say_n(
            "{name}: {n} {crop}", "{name}: {n} {crop}",
            line.plants, name=line.name, crop=voice.crop(line.crop, line.variety),
        )
        for line in reply.lines[:MOST_LINES]
    ]  # fmt: skip
    if len(reply.lines) > MOST_LINES:
        rest = len(reply.lines) - MOST_LINES
        lines.append(voice.say_n("… and {n} more", "… and {n} more", rest))
    return Message(text="\n".join(lines), rows=((Button(voice.say("Share out"), r.ShareOut()),),))


def shared(reply: k.ShareSaid, voice: Voice) -> Message:
    """Each crop: what is there, who gets what, what is over; then the rule."""
    if not reply.crops:
        return Message(
            text=voice.say("Nobody has wished for plants yet. Anybody can: /wish 4 tomato")
            if reply.everybody
            else voice.say("You have no wish yet. Say what you would like: /wish 4 tomato")
        )
    lines: list[str] = []
    for one in reply.crops:
        lines += _crop(one, reply.everybody, voice)
    lines.append(
        voice.say(
            "Rule: the same for each, up to the wish; the rest by what is still wished; what is "
            "over goes to the common beds. What was taken counts."
        )
    )
    lines += caution_lines(voice, reply.hazards)
    rows: tuple[tuple[Button, ...], ...] = ()
    if len(reply.crops) == 1:
        buttons = [
            Button(
                voice.say_n(
                    "{n} handed to {name}", "{n} handed to {name}", part.now, name=part.name
                ),
                part.hand_out,
            )
            for part in reply.crops[0].parts
            if part.hand_out is not None
        ]
        rows = tuple((button,) for button in buttons[:MOST_BUTTONS])
    elif reply.everybody:
        rows = tuple(
            (Button(voice.crop(one.crop), r.ShareOut(crop=one.crop)),)
            for one in reply.crops[:MOST_BUTTONS]
        )
    return Message(text="\n".join(lines), rows=rows)


def _crop(one: k.CropShared, everybody: bool, voice: Voice) -> list[str]:
    crop = voice.crop(one.crop)
    if not one.alive:
        head = voice.say("{crop}: none is alive yet to share.", crop=crop)
    else:
        head = voice.say(
            "{crop}: {alive} alive, {expected} to share out ({sure} sure to live; {basis}).",
            crop=crop,
            alive=one.alive,
            expected=one.expected,
            sure=voice.percent(one.assurance),
            basis=_survival(one, voice),
        )
    lines = [head]
    lines += [_part(part, everybody, voice) for part in one.parts[:MOST_LINES]]
    if everybody and one.others:
        lines.append(
            voice.say(
                "Taken without a wish: {names}.",
                names=voice.listed(
                    voice.say_n("{name} {n}", "{name} {n}", n, name=name) for name, n in one.others
                ),
            )
        )
    if everybody and one.alive:
        lines.append(
            voice.say_n(
                "For the common beds: {n}.", "For the common beds: {n}.", one.surplus
            )
        )  # fmt: skip
    if not everybody and not one.parts:
        lines.append(
            voice.say("You have no wish for it: /wish 4 {crop}", crop=crop)
        )  # fmt: skip
    if one.alive or one.parts:
        lines.append(care(one.care, voice))
    return lines


def _survival(one: k.CropShared, voice: Voice) -> str:
    lost = voice.percent(1 - one.survival)
    if one.survival_of is None:
        return voice.say("{lost} lost on the way, rule of thumb", lost=lost)
    planted, of = one.survival_of
    return voice.say(
        "{lost} lost on the way by rule of thumb and your record, {planted} of {of} planted",
        lost=lost,
        planted=planted,
        of=of,
    )


def _part(part: k.PartSaid, everybody: bool, voice: Voice) -> str:
    values = {"name": part.name, "wished": part.wished, "taken": part.taken}
    if part.taken:
        return voice.say_n(
            "{name}: {n} to come (wished {wished}, has {taken})",
            "{name}: {n} to come (wished {wished}, has {taken})",
            part.now,
            **values,
        )
    return voice.say_n(
        "{name}: {n} (wished {wished})", "{name}: {n} (wished {wished})", part.now, **values
    )


def care(card: k.CareCard, voice: Voice) -> str:
    """Return the short care card: when to plant out, how far apart, the lowest safe night."""
    if card.plant_out is not None:
        when = voice.say("Plant out about {day}, by the frost dates", day=voice.day(card.plant_out))
    elif card.no_frost:
        when = voice.say("Plant out after the last frost (its date is not set: /frost 28 April)")
    else:
        when = voice.say("Plant out when nights are warm enough")
    night = voice.temp(card.night_c)
    lowest = (
        voice.say("nights not below {night} (of its class)", night=night)
        if card.night_by_class
        else voice.say("nights not below {night}", night=night)
    )
    if card.spacing_mm is None:
        return voice.say("{when}; {night}.", when=when, night=lowest)
    apart = voice.lengths(*card.spacing_mm)
    if not card.spacing_checked:
        return voice.say(
            "{when}; {apart} apart (rule of thumb); {night}.", when=when, apart=apart, night=lowest
        )
    return voice.say("{when}; {apart} apart; {night}.", when=when, apart=apart, night=lowest)


WORDS: Words = {k.WishSaid: wish, k.WishesSaid: wishes, k.ShareSaid: shared}
