"""Lines about what was planted out: the first cold nights, and watering in."""

from __future__ import annotations

from bot.wording.voice import Voice
from core.due.items import Item

ROW_COVER_C = 1.1
"""A floating row cover holds at least 2 °F, 2 to 4 of them (CSU-722)."""


def cover(items: list[Item], voice: Voice) -> list[str]:
    low = voice.temp(float(items[0].values["low_c"]))
    lines = [
        voice.say(
            "{low} expected tonight: before dark, cover outside {what}.",
            low=low,
            what=_plants(items, voice),
        )
    ]
    short = max(float(item.values["limit_c"]) - float(item.values["low_c"]) for item in items)
    if short > ROW_COVER_C:
        lines.append(
            voice.say(
                "A row cover alone holds only a degree or two: put dry sheets or blankets over "
                "it, down to the soil, and take them off in the morning."
            )
        )
    else:
        lines.append(
            voice.say("A row cover down to the soil is enough; open it when the day is warm.")
        )
    return lines


def bed(items: list[Item], voice: Voice) -> list[str]:
    return [
        voice.say(
            "Just planted out, water at the root if the soil is dry: {what}.",
            what=_plants(items, voice),
        )
    ]


def _plants(items: list[Item], voice: Voice) -> str:
    counts: dict[tuple[str | None, str | None, str | None], int] = {}
    for item in items:  # what was planted out on several days is one
        key = (item.sowing, item.crop, item.variety)
        counts[key] = counts.get(key, 0) + int(item.values["count"])
    return voice.listed(
        voice.say_n(
            "{sowing} {crop}, {n} plant",
            "{sowing} {crop}, {n} plants",
            count,
            sowing=sowing,
            crop=voice.crop(crop or "", variety),
        )
        for (sowing, crop, variety), count in counts.items()
    )
