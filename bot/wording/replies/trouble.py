"""Causes in plain words: likeliest first, what it rests on, what to check, what to do."""

from __future__ import annotations

from bot.message import Button, Message
from bot.wording.pieces.cautions import caution_lines, told
from bot.wording.pieces.evidence import reading_words
from bot.wording.pieces.signs import sign
from bot.wording.pieces.works import named
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import requests as r
from core.replies import trouble as t
from core.trouble.diagnosis import Cause
from core.trouble.questions import QUESTIONS
from core.trouble.rules import Strength

MOST_CAUSES = 3


def causes(reply: t.Causes, voice: Voice) -> Message:
    names = [sign(voice, name) for name in reply.symptoms[:3]]
    sowing, crop, tray = reply.about
    what = voice.listed(names)
    if sowing and crop:
        head = voice.say(
            "{signs}, {sowing} {crop}:", signs=what, sowing=sowing, crop=voice.crop(crop)
        )
    elif tray:
        head = voice.say("{signs}, {tray}:", signs=what, tray=tray)
    else:
        head = voice.say("{signs}:", signs=what)
    lines = [head[:1].upper() + head[1:]]
    if not reply.causes:
        lines.append(voice.say("What the records show speaks against every cause I know."))
    for number, cause in enumerate(reply.causes[:MOST_CAUSES], 1):
        lines += _cause(number, cause, voice, full=number == 1)
    cautions = [c for cause in reply.causes[:1] for c in cause.rule.cautions]
    lines += caution_lines(voice, cautions)
    rows: tuple[tuple[Button, ...], ...] = ()
    if reply.question is not None and reply.dialogue:
        question = QUESTIONS.by_id()[reply.question]
        lines.append(voice.say("To be surer: {question}", question=told(voice, question.text)))
        buttons = [
            Button(
                told(voice, option.text),
                r.Answer(dialogue=reply.dialogue, choice=option.code),
            )
            for option in question.options
        ]
        buttons.append(
            Button(voice.say("I don't know"), r.Answer(dialogue=reply.dialogue, choice="unknown"))
        )
        rows = tuple(tuple(buttons[i : i + 2]) for i in range(0, len(buttons), 2))
    return Message(text="\n".join(lines), rows=rows)


def _cause(number: int, cause: Cause, voice: Voice, *, full: bool) -> list[str]:
    rule = cause.rule
    name = told(voice, rule.cause)
    if cause.holds:
        how = {
            Strength.STRONG: voice.say("likely"),
            Strength.MODERATE: voice.say("quite possible"),
            Strength.WEAK: voice.say("possible"),
        }[rule.strength]
    else:
        how = voice.say("not settled")
    lines = [voice.say("{number}. {cause} ({how})", number=number, cause=name, how=how)]
    known = [words for used in cause.used if (words := reading_words(voice, used)) is not None]
    if known:
        lines.append(voice.say("   Because: {evidence}.", evidence=", ".join(known)))
    lines.append(voice.say("   Check: {check}", check=told(voice, rule.check)))
    if full or cause.holds:
        lines.append(voice.say("   Do: {remedy}", remedy=told(voice, rule.remedy)))
        if rule.caution:
            lines.append(voice.say("   Mind: {caution}", caution=told(voice, rule.caution)))
    if full:
        lines.append(_basis(cause, voice))
    return lines


def _basis(cause: Cause, voice: Voice) -> str:
    works = named(cause.rule.sources)
    if not works:
        return voice.say("   A rule of thumb.")
    match cause.rule.threshold_basis:
        case "published":
            return voice.say("   By: {sources}", sources=works)
        case "synthesis":
            return voice.say(
                "   By: {sources}; the limit is set between published figures", sources=works
            )
        case "common_practice":
            return voice.say("   By common practice; {sources}", sources=works)
        case _:
            return voice.say("   Rule of thumb; {sources}", sources=works)


def not_recognised(reply: t.NotRecognised, voice: Voice) -> Message:
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


WORDS: Words = {t.Causes: causes, t.NotRecognised: not_recognised, t.AnswerLate: late}
