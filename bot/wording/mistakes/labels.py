"""What cannot be printed, and what can."""

from __future__ import annotations

from bot.message import Message
from bot.wording.voice import Voice
from bot.wording.words import Words
from core.trade.label_grids import LabelGridUnknown


def _grid(error: LabelGridUnknown, voice: Voice) -> Message:
    known = [grid.replace("x", " × ") for grid in error.known]
    return Message(
        text=voice.say(
            "I know no label sheet of {grid}. There are {known}, columns × rows; or plain paper "
            "with cut lines: /labels",
            grid=error.grid.replace("x", " × "),
            known=voice.listed(known),
        )
    )


WORDS: Words = {LabelGridUnknown: _grid}
