"""A line with several meanings: asked with a button for each; a slip read through: said."""

from __future__ import annotations

import dataclasses
import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from babel.dates import format_date, format_skeleton

from bot.grammar import Echo, Line
from bot.grammar.quantities import LUX_PER_FOOT_CANDLE
from bot.message import Button, Message
from bot.wording.pieces.short import short
from bot.wording.voice import Voice
from core.requests import Potted, Request, SetFrost

_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_LIGHT = ("ppfd", "lux", "height_mm", "hours")


def clarify(line: Line, voice: Voice) -> Message:
    """Return the question that an ambiguous line leaves open, a button for each meaning."""
    labels = [_label(choice, line, voice) for choice in line.choices]
    typed = short(line.typed)
    if len(line.choices) == 1:
        text = voice.say("“{typed}”: is {label} meant?", typed=typed, label=labels[0])
    else:
        text = {
            "date": voice.say("“{typed}”: which day is meant?", typed=typed),
            "crop": voice.say("“{typed}”: which crop is meant?", typed=typed),
            "unit": voice.say("“{typed}”: in which unit?", typed=typed),
            "member": voice.say("“{typed}”: who is meant?", typed=typed),
            "tray": voice.say("“{typed}”: which tray is meant?", typed=typed),
            "place": voice.say("“{typed}”: which shelf is meant?", typed=typed),
            "into": voice.say("“{typed}”: into what? Pots or another tray?", typed=typed),
        }.get(line.choice_kind) or voice.say("“{typed}”: which is meant?", typed=typed)
    message = Message(
        text=text,
        rows=tuple(
            (Button(label, choice),) for label, choice in zip(labels, line.choices, strict=True)
        ),
    )
    return echoed(message, line.echoes, voice)


def echoed(message: Message, echoes: Sequence[Echo], voice: Voice) -> Message:
    """Return the message with a last line that says what each slip was read as."""
    if not echoes:
        return message
    pairs = [
        voice.say("“{typed}” as {read}", typed=short(echo.typed), read=echo.read)
        for echo in dict.fromkeys(echoes)
    ]
    said = voice.say("(read {slips})", slips=voice.listed(pairs))
    return replace(message, text=f"{message.text}\n{said}")


def _label(choice: Request, line: Line, voice: Voice) -> str:
    """Return what sets a choice apart from the others, in words."""
    mine = dict(_flat(choice))
    others = [dict(_flat(other)) for other in line.choices if other != choice]
    apart = {
        name: value
        for name, value in mine.items()
        if value is not None and any(other.get(name) != value for other in others)
    }
    if not apart and mine.get("crop") is not None:
        apart = {"crop": mine["crop"]}
    years = {v.year for every in (mine, *others) for v in every.values() if isinstance(v, date)}
    with_year = years != {voice.today.year} and not isinstance(choice, SetFrost)
    words = [_word(name, value, line.typed, with_year, voice) for name, value in apart.items()]
    if line.choice_kind == "into" and isinstance(choice, Potted) and choice.into_tray is None:
        return voice.say("pots")
    kept = [word for word in dict.fromkeys(words) if word]  # one day may be first and last
    return ", ".join(kept) if kept else Button("", choice).command


def _flat(value: Any) -> Iterator[tuple[str, Any]]:
    """Yield the fields of a request, those of the values inside it too."""
    for field in dataclasses.fields(value):
        inner = getattr(value, field.name)
        if dataclasses.is_dataclass(inner) and not isinstance(inner, type):
            yield from _flat(inner)
        elif isinstance(inner, tuple) and inner and dataclasses.is_dataclass(inner[0]):
            for number, one in enumerate(inner):
                yield from ((f"{name}#{number}", deep) for name, deep in _flat(one))
        else:
            yield field.name, inner


def _word(name: str, value: Any, typed: str, with_year: bool, voice: Voice) -> str:
    plain = name.partition("#")[0]
    if isinstance(value, date):
        if with_year:
            return format_date(value, format="long", locale=voice.locale)
        return str(format_skeleton("MMMMd", value, locale=voice.locale))
    if plain == "crop":
        return voice.crop(str(value))
    if plain == "temp_c":
        return _temp(float(value), typed, voice)
    if plain in _LIGHT:
        return _light(plain, float(value), typed, voice)
    if isinstance(value, bool):
        return ""
    if isinstance(value, int | float):
        return voice.number(value)
    if isinstance(value, tuple):
        return " ".join(str(one) for one in value)
    return str(value)


def _typed_numbers(typed: str) -> list[float]:
    return [float(found.replace(",", ".")) for found in _NUMBER.findall(typed)]


def _is_typed(value: float, typed: str) -> bool:
    numbers = _typed_numbers(typed)
    return any(math.isclose(abs(value), number, abs_tol=0.011) for number in numbers)


def _temp(temp_c: float, typed: str, voice: Voice) -> str:
    """Return a temperature in the unit in which it shows the figure typed."""
    temp_f = temp_c * 9 / 5 + 32
    if _is_typed(temp_c, typed):
        return f"{voice.number(temp_c)} °C"
    if _is_typed(temp_f, typed):
        return f"{voice.number(temp_f)} °F"
    return voice.temp_exact(temp_c)


def _light(name: str, value: float, typed: str, voice: Voice) -> str:
    if name == "hours":
        return voice.say("{n} hours a day", n=voice.number(value))
    if name == "height_mm":
        return voice.say("{length} above the plants", length=voice.length(value))
    if name == "ppfd":
        return f"{voice.number(value)} µmol"
    if not _is_typed(value, typed) and "," not in typed:
        candles = value / LUX_PER_FOOT_CANDLE
        if _is_typed(candles, typed):
            return voice.say("{n} foot-candles", n=voice.number(candles))
    return f"{voice.number(value)} lx"
