"""Names of lamp kinds, and what was read of a light."""

from __future__ import annotations

from typing import Protocol

from bot.wording.voice import Voice


class Read(Protocol):
    """What a report and its answer both hold of a light."""

    @property
    def lux(self) -> float | None: ...
    @property
    def ppfd(self) -> float | None: ...
    @property
    def height_mm(self) -> float | None: ...
    @property
    def hours(self) -> float | None: ...


def light_parts(read: Read, voice: Voice) -> list[str]:
    """Return each figure that was told of a light."""
    parts = []
    if read.lux is not None:
        parts.append(voice.say("{lux} lx", lux=voice.number(read.lux, 0)))
    if read.ppfd is not None:
        parts.append(voice.say("{ppfd} µmol m⁻² s⁻¹", ppfd=voice.number(read.ppfd, 0)))
    if read.height_mm is not None:
        parts.append(voice.say("lamp {height} above", height=voice.length(read.height_mm)))
    if read.hours is not None:
        parts.append(voice.say("{hours} h a day", hours=voice.number(read.hours)))
    return parts


def lamp_name(voice: Voice, lamp: str) -> str:
    """Return the name of a lamp kind of core/data/lamps.toml; its id where none is known."""
    match lamp:
        case "window":
            return voice.say("window light, no lamp")
        case "sunlight":
            return voice.say("sunlight")
        case "blue_sky":
            return voice.say("daylight without sun")
        case "cool_white_fluorescent":
            return voice.say("fluorescent tubes")
        case "cool_white_fluorescent_4":
            return voice.say("four fluorescent tubes")
        case "white_led":
            return voice.say("white LED")
        case "red_blue_led":
            return voice.say("red and blue LED")
        case "high_pressure_sodium":
            return voice.say("high-pressure sodium")
        case "high_pressure_sodium_double":
            return voice.say("double-ended high-pressure sodium")
        case "metal_halide":
            return voice.say("metal halide")
        case "ceramic_metal_halide_4200k":
            return voice.say("ceramic metal halide, 4200 K")
        case "ceramic_metal_halide_3100k":
            return voice.say("ceramic metal halide, 3100 K")
        case "incandescent":
            return voice.say("incandescent bulb")
        case _:
            return lamp
