"""When something should show, and what that rests on."""

from __future__ import annotations

from bot.wording.voice import Voice
from core.replies.reports import WindowSaid


def window_lines(voice: Voice, window: WindowSaid | None) -> list[str]:
    """Return one or two lines: the window with its basis, or why there is none."""
    if window is None:
        return []
    flags = set(window.flags)
    temp = voice.temp(window.temp_c) if window.temp_c is not None else ""
    if window.p10 is None or window.p50 is None or window.p90 is None:
        if "too_cold" in flags:
            return [voice.say("Will not come up at {temp}: too cold. Warm the mix.", temp=temp)]
        if "too_hot" in flags:
            return [voice.say("Will not come up at {temp}: too hot. Cool the mix.", temp=temp)]
        if window.p10 is None:
            return [voice.say("There are no figures for how long this crop takes to come up.")]
    assert window.p10 is not None
    if window.p90 is None:
        dates = voice.say(
            "Up from {first} on, if it stays warm enough.", first=voice.day(window.p10)
        )
    elif window.p50 is None:
        dates = voice.say(
            "Up between {first} and {last}.",
            **voice.span(window.p10, window.p90),
        )
    else:
        dates = voice.say(
            "Up between {first} and {last}, most likely about {middle}.",
            first=voice.day(window.p10),
            middle=voice.day(window.p50),
            last=voice.day(window.p90),
        )
    lines = [dates, _basis(voice, window, temp)]
    if "few_come_up" in flags:
        lines.append(voice.say("At that temperature few of the seeds come up."))
    if flags & {"below_tested", "above_tested"} and window.basis != "catalogue":
        lines.append(voice.say("Nobody has tested that temperature: take the dates loosely."))
    elif "near_limit" in flags:
        lines.append(voice.say("That is near this crop's limit: a degree matters."))
    return [line for line in lines if line]


def _basis(voice: Voice, window: WindowSaid, temp: str) -> str:
    match window.basis, window.temp_basis:
        case "catalogue", _:
            return voice.say("By a range of days; no temperature is known.")
        case "site", "logged":
            return voice.say(
                "By this site's own record at {temp}, from your readings and what is usual.",
                temp=temp,
            )
        case "site", _:
            return voice.say("By this site's own record, at {temp}.", temp=temp)
        case "guide", "assumed":
            return voice.say(
                "By a guide's days, taken to {temp} as its relatives grow; the temperature is "
                "assumed: read the mix and tell me, /temp",
                temp=temp,
            )
        case "guide", _:
            return voice.say("By a guide's days, taken to {temp} as its relatives grow.", temp=temp)
        case "memory", "assumed":
            return voice.say(
                "By days from memory (unverified), taken to {temp} as its relatives grow; the "
                "temperature is assumed: read the mix and tell me, /temp",
                temp=temp,
            )
        case "memory", _:
            return voice.say(
                "By days from memory (unverified), taken to {temp} as its relatives grow.",
                temp=temp,
            )
        case _, "logged":
            return voice.say(
                "By the temperature table at {temp}, from your readings and what is usual.",
                temp=temp,
            )
        case _, "usual":
            return voice.say("By the temperature table at the shelf's usual {temp}.", temp=temp)
        case "none", _:
            return ""
        case _:
            return voice.say(
                "By the temperature table at {temp}, which is assumed: "
                "read the mix and tell me, /temp",
                temp=temp,
            )
