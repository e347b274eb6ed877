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
    return [
        voice.say(
            "Look at {trays} for what took plants in {tray}. All well? /note {first} all well",
            trays=voice.listed(list(item.values["trays"])),
            tray=item.tray,
            first=item.values["trays"][0],
        )
        for item in items
    ]


def well(items: list[Item], voice: Voice) -> list[str]:
    return [
        voice.say_n(
            "{trays} is complete: a plant in every cell sown. Well done, all of you.",
            "{trays} are complete: a plant in every cell sown. Well done, all of you.",
            len(items),
            trays=voice.listed([item.tray or "" for item in items]),
        )
    ]
