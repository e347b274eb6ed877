"""Mistakes about figures and days: counts that cannot be, absurd values, dates."""

from __future__ import annotations

from bot.message import Message
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import errors as e


def _count_falls(error: e.CountFalls, voice: Voice) -> Message:
    return Message(
        text=voice.say(
            "{sowing} already stands at {last}, so {given} was not taken. "
            "Give the total, or take that one back: /undo",
            sowing=error.sowing,
            last=error.last,
            given=error.given,
        )
    )


def _above_later(error: e.CountAboveLater, voice: Voice) -> Message:
    return Message(
        text=voice.say(
            "{sowing} stands at {stands} on {day}, so {given} before that was not taken. "
            "If {stands} is too low, take it back first: /undo",
            sowing=error.sowing,
            stands=error.stands,
            given=error.given,
            day=voice.day(error.on),
        )
    )


def _count_high(error: e.CountTooHigh, voice: Voice) -> Message:
    values, most = {"sowing": error.sowing, "given": error.given}, error.most
    if error.of == "seeds":
        return Message(
            text=voice.say_n(
                "{sowing} has {n} seed, so {given} cannot be up. Try: /up {n} {sowing}",
                "{sowing} has {n} seeds, so {given} cannot be up. Try: /up {n} {sowing}",
                most,
                **values,
            )
        )
    if error.of == "cells":
        return Message(
            text=voice.say_n(
                "{sowing} has {n} cell, not {given}. See it: /trays",
                "{sowing} has {n} cells, not {given}. See it: /trays",
                most,
                **values,
            )
        )
    if error.of == "up" or most == 0:
        return Message(
            text=voice.say(
                "{sowing} shows no seedling in the records yet. First: /up {given} {sowing}",
                **values,
            )
        )
    return Message(
        text=voice.say_n(
            "{sowing} has {n} plant alive in the records, not {given}. "
            "Give {n}, or if more are up say that first, such as: /up 3 more {sowing}",
            "{sowing} has {n} plants alive in the records, not {given}. "
            "Give up to {n}, or if more are up say that first, such as: /up 3 more {sowing}",
            most,
            **values,
        )
    )


def quantity(value: float, unit: str, voice: Voice) -> str:
    """Return a value with its unit in the units of the listener."""
    if unit == "c":
        return voice.temp_exact(value)
    if unit == "mm":
        return voice.length(value)
    if unit == "year":
        return str(int(value))
    shown = {"h": "h", "lx": "lx", "umol": "µmol", "ppm": "ppm", "percent": "%"}.get(unit, unit)
    return f"{voice.number(value)} {shown}".strip()


def _absurd(error: e.ValueAbsurd, voice: Voice) -> Message:
    return Message(
        text=voice.say(
            "{given} is outside what is recorded here ({low} to {high}), so nothing was noted. "
            "Send it again with its unit, such as 68F or 20C.",
            given=quantity(error.given, error.unit, voice),
            low=quantity(error.lo, error.unit, voice),
            high=quantity(error.hi, error.unit, voice),
        )
        if error.unit == "c"
        else voice.say(
            "{given} is outside what is recorded here ({low} to {high}), so nothing was noted. "
            "Send it again with the figure as read.",
            given=quantity(error.given, error.unit, voice),
            low=quantity(error.lo, error.unit, voice),
            high=quantity(error.hi, error.unit, voice),
        )
    )


def _future(error: e.DateInFuture, voice: Voice) -> Message:
    return Message(
        text=voice.say(
            "{day} has not come yet (today is {today}). Report it then, or name a day up to today.",
            day=voice.plain_day(error.given),
            today=voice.plain_day(error.today),
        )
    )


def _too_old(error: e.DateTooOld, voice: Voice) -> Message:
    if error.what in ("", "today"):
        return Message(
            text=voice.say(
                "{day} is before {earliest}, the earliest day for this. Name a later day.",
                day=voice.plain_day(error.given),
                earliest=voice.plain_day(error.earliest),
            )
        )
    return Message(
        text=voice.say(
            "{day} is before {what} began ({earliest}). Name that day or a later one.",
            day=voice.plain_day(error.given),
            what=error.what,
            earliest=voice.plain_day(error.earliest),
        )
    )


WORDS: Words = {
    e.CountFalls: _count_falls,
    e.CountAboveLater: _above_later,
    e.CountTooHigh: _count_high,
    e.ValueAbsurd: _absurd,
    e.DateInFuture: _future,
    e.DateTooOld: _too_old,
}
