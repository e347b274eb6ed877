"""Lines of what is said once: a warm spell, the last day to sow again, a tray that is complete."""

from __future__ import annotations

from bot.wording.voice import Voice
from core.due.items import Item


def warm(items: list[Item], voice: Voice) -> list[str]:
    return [
        voice.say(
            "It has turned warm: expect about twice the usual water in {trays}. Look in the "
            "morning and again in the afternoon.",
            trays=voice.listed(list(item.values["trays"])),
        )
        for item in items
    ]


def resow(items: list[Item], voice: Voice) -> list[str]:
    return [
        voice.say(
            "Today is the last day to sow {crop} again in place of {sowing}, which was lost.",
            crop=voice.crop(item.crop or "", item.variety),
            sowing=item.sowing,
        )
        for item in items
    ]


def beside(items: list[Item], voice: Voice) -> list[str]:
    return [_beside(list(item.values["trays"]), item.tray or "", voice) for item in items]


def _beside(trays: list[str], tray: str, voice: Voice) -> str:
    if trays == [tray]:
        return voice.say(
            "Look at what is left in {tray}: what took plants there spreads. "
            "All well? /note {tray} all well",
            tray=tray,
        )
    return voice.say(
        "Look at {trays} for what took plants in {tray}. All well? /note {first} all well",
        trays=voice.listed(trays),
        tray=tray,
        first=trays[0],
    )


def well(items: list[Item], voice: Voice) -> list[str]:
    return [
        voice.say_n(
            "{trays} is complete: a plant in every cell sown. Well done, all of you.",
            "{trays} are complete: a plant in every cell sown. Well done, all of you.",
            len(items),
            trays=voice.listed([item.tray or "" for item in items]),
        )
    ]
