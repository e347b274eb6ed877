"""Names of lamp kinds."""

from __future__ import annotations

from bot.wording.voice import Voice


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
