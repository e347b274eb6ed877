"""What cannot be compared, and what to do instead."""

from __future__ import annotations

from bot.message import Message
from bot.wording.voice import Voice
from bot.wording.words import Words
from core.results import trial as t


def _crops_differ(error: t.CropsDiffer, voice: Voice) -> Message:
    return Message(
        text=voice.say(
            "Only the same crop can be compared; these are {left} and {right}. "
            "Try: /compare L1 vs L2 {crop}",
            left=voice.listed(voice.crop(crop) for crop in error.left[:4]),
            right=voice.listed(voice.crop(crop) for crop in error.right[:4]),
            crop=voice.crop(error.left[0]),
        )
    )


def _overlap(error: t.SidesOverlap, voice: Voice) -> Message:
    return Message(
        text=voice.say_n(
            "{sowings} stands on both sides. Name two different lots, trays or sowings, "
            "such as /compare S1 vs S2",
            "{sowings} stand on both sides. Name two different lots, trays or sowings, "
            "such as /compare S1 vs S2",
            len(error.sowings),
            sowings=voice.listed(error.sowings[:6]),
        )
    )


def _not_counted(error: t.NobodyCounted, voice: Voice) -> Message:
    return Message(
        text=voice.say(
            "Nobody has counted {sowings} yet. Count what shows: /up 12 {first}",
            sowings=voice.listed(error.sowings[:6]),
            first=error.sowings[0],
        )
    )


WORDS: Words = {
    t.CropsDiffer: _crops_differ,
    t.SidesOverlap: _overlap,
    t.NobodyCounted: _not_counted,
}
