"""Causes in plain words: the likeliest, what to check, what to do; the rest behind buttons."""

from __future__ import annotations

from bot.message import Button, Message
from bot.wording.pieces.cautions import caution_lines, told
from bot.wording.pieces.evidence import reading_words
from bot.wording.pieces.works import named
from bot.wording.replies.topics import topic_buttons
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import requests as r
from core.replies import trouble as t
from core.trouble.causes import CauseBasis
from core.trouble.diagnosis import Chance, Ranked
from core.trouble.questions import QUESTIONS

MOST_CAUSES = 3


def causes(reply: t.Causes, voice: Voice) -> Message:
    match reply.part:
        case "others":
            return Message(text="\n".join(_others(reply, voice)))
        case "why":
            return Message(text="\n".join(_why(reply, voice)))
        case "sources":
            return Message(text="\n".join(_sources(reply, voice)))
        case _:
            return _short(reply, voice)


def _short(reply: t.Causes, voice: Voice) -> Message:
    if not reply.causes:
        return not_recognised(t.NotRecognised(text=""), voice)
    first = reply.causes[0]
    cause = first.cause
    lines = []
    if reply.first_before is not None:
        if reply.first_before == cause.id:
            lines.append(voice.say("That changes nothing at the top."))
        else:
            lines.append(voice.say("That changes it:"))
    lines.append(_named(first, reply, voice))
    lines.append(voice.say("Check: {check}", check=told(voice, cause.check)))
    lines.append(voice.say("Do: {remedy}", remedy=told(voice, cause.remedy)))
    if cause.danger:
        lines[-2], lines[-1] = lines[-1], lines[-2]  # what to do comes before what to check
    if cause.caution:
        lines.append(voice.say("Mind: {caution}", caution=told(voice, cause.caution)))
    if cause.danger:
        lines += caution_lines(voice, cause.cautions)
    rows: list[tuple[Button, ...]] = []
    if reply.dialogue:
        if reply.question is not None:
            question = QUESTIONS.by_id()[reply.question]
            lines.append(voice.say("To be surer: {question}", question=told(voice, question.text)))
            rows += _options(reply, voice)
        rows.append(_parts(reply, voice))
    return Message(text="\n".join(lines), rows=tuple(rows))


def _named(first: Ranked, reply: t.Causes, voice: Voice) -> str:
    name = told(voice, first.cause.cause).rstrip(".")
    if first.cause.danger:
        return voice.say("⚠ {cause}.", cause=name)
    how = chance(first.chance, voice)
    if reply.sowing and reply.crop:
        return voice.say(
            "{sowing} {crop}: {cause} ({how}).",
            sowing=reply.sowing,
            crop=voice.crop(reply.crop),
            cause=name,
            how=how,
        )
    if reply.tray:
        return voice.say("{tray}: {cause} ({how}).", tray=reply.tray, cause=name, how=how)
    return voice.say("{cause} ({how}).", cause=name, how=how)


def chance(what: Chance, voice: Voice) -> str:
    """Return how probable a cause is, in words."""
    match what:
        case Chance.LIKELY:
            return voice.say("likely")
        case Chance.POSSIBLE:
            return voice.say("possible")
        case _:
            return voice.say("less likely")


def _options(reply: t.Causes, voice: Voice) -> list[tuple[Button, ...]]:
    assert reply.question is not None
    buttons = [
        Button(told(voice, option.text), r.Answer(dialogue=reply.dialogue, choice=option.code))
        for option in QUESTIONS.by_id()[reply.question].options
    ]
    buttons.append(
        Button(voice.say("I don't know"), r.Answer(dialogue=reply.dialogue, choice="unknown"))
    )
    return [tuple(buttons[i : i + 2]) for i in range(0, len(buttons), 2)]


def _parts(reply: t.Causes, voice: Voice) -> tuple[Button, ...]:
    names = {
        "others": voice.say("Other causes"),
        "why": voice.say("Why"),
        "sources": voice.say("Sources"),
    }
    shown = t.PARTS if len(reply.causes) > 1 else t.PARTS[1:]
    return tuple(
        Button(names[part], r.Answer(dialogue=reply.dialogue, choice=part)) for part in shown
    )


def _others(reply: t.Causes, voice: Voice) -> list[str]:
    lines = [voice.say("It could also be:")]
    for number, ranked in enumerate(reply.causes[1:MOST_CAUSES], 2):
        row = ranked.cause
        lines.append(
            voice.say(
                "{number}. {cause} ({how}).",
                number=number,
                cause=told(voice, row.cause).rstrip("."),
                how=chance(ranked.chance, voice),
            )
        )
        lines.append(voice.say("   Check: {check}", check=told(voice, row.check)))
        lines.append(voice.say("   Do: {remedy}", remedy=told(voice, row.remedy)))
    return lines if len(lines) > 1 else [voice.say("Nothing else comes near.")]


def _why(reply: t.Causes, voice: Voice) -> list[str]:
    if not reply.causes:
        return [voice.say("Nothing else comes near.")]
    first = reply.causes[0]
    lines = [told(voice, first.cause.cause)]
    if first.words:
        quoted = ", ".join(f"“{word}”" for word in first.words[:4])
        lines.append(voice.say("You wrote: {words}.", words=quoted))
    known = [words for used in first.used if (words := reading_words(voice, used)) is not None]
    if known:
        lines.append(voice.say("On record: {evidence}.", evidence=", ".join(known)))
    lines.append(
        voice.say(
            "So that it does not come again: {prevent}", prevent=told(voice, first.cause.prevent)
        )
    )
    return lines + caution_lines(voice, first.cause.cautions)


def _sources(reply: t.Causes, voice: Voice) -> list[str]:
    lines = []
    for ranked in reply.causes[:MOST_CAUSES]:
        name = told(voice, ranked.cause.cause).rstrip(".")
        lines.append(voice.say("{cause}: {basis}", cause=name, basis=_basis(ranked, voice)))
    return lines


def _basis(ranked: Ranked, voice: Voice) -> str:
    works = named(ranked.cause.sources)
    match ranked.cause.basis:
        case CauseBasis.PUBLISHED:
            return voice.say("by {sources}.", sources=works)
        case CauseBasis.SYNTHESIS:
            return voice.say("put together from {sources}.", sources=works)
        case CauseBasis.COMMON_PRACTICE:
            return voice.say("common practice.")
        case _ if works:
            return voice.say("from memory, beside {sources}.", sources=works)
        case _:
            return voice.say("from memory.")


def not_ours(reply: t.NotOurs, voice: Voice) -> Message:
    match reply.belongs:
        case "kitchen":
            where = voice.say("A cookery book, or whoever cooks, will know.")
        case "grown_plants":
            where = voice.say("A garden centre or your local garden advice service will know.")
        case "animals":
            where = voice.say("A vet or an animal welfare service will know.")
        case "people_and_place":
            where = voice.say("Ask your coordinator, or whoever looks after the place.")
        case _:
            where = voice.say("Ask your coordinator, or a person who knows that subject.")
    return Message(
        text=voice.say(
            "That is outside what I know: I only look after plants started from seed. {where}",
            where=where,
        )
    )


def _what_is_seen(reply: t.NotRecognised, voice: Voice) -> Message:
    """Ask for the sign where plants only look ill, with the commonest as buttons."""
    signs = (
        (voice.say("Fallen over"), "seedlings fallen over at the soil"),
        (voice.say("Pale or yellow"), "leaves pale and yellow"),
        (voice.say("Tall and thin"), "tall and thin, leaning to the light"),
        (voice.say("Wilting"), "wilting"),
        (voice.say("Spots or holes"), "spots on the leaves"),
        (voice.say("Fuzz or mould"), "white fuzz on the soil"),
        (voice.say("Not growing"), "not growing, stuck"),
    )
    buttons = [Button(label, r.Ask(text=text, where=reply.where)) for label, text in signs]
    return Message(
        text=voice.say("Sorry to hear that. What do you see? Tap the nearest, or write it."),
        rows=tuple(tuple(buttons[n : n + 2]) for n in range(0, len(buttons), 2)),
    )


def not_recognised(reply: t.NotRecognised, voice: Voice) -> Message:
    if reply.near:
        return Message(
            text=voice.say("I am not sure what you mean. One of these?"),
            rows=topic_buttons(reply.near, voice),
        )
    if reply.unwell:
        return _what_is_seen(reply, voice)
    return Message(
        text=voice.say(
            "I don't recognise a sign of trouble in that. Say what you see and where, "
            "for instance: /ask tomatoes in T1 are tall and floppy"
        )
    )


def late(reply: t.AnswerLate, voice: Voice) -> Message:
    return Message(
        text=voice.say("That question is closed, or was put to somebody else. Ask again: /ask ...")
    )


WORDS: Words = {
    t.Causes: causes,
    t.NotOurs: not_ours,
    t.NotRecognised: not_recognised,
    t.AnswerLate: late,
}
