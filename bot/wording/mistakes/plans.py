"""What keeps a season plan from being made."""

from __future__ import annotations

from bot.grammar.files import PlanFileUnclear
from bot.message import Message
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import plan_errors as e


def _too_late(error: e.PlanTooLate, voice: Voice) -> Message:
    dates = [
        voice.say("{crop} until {day}", crop=voice.crop(crop, variety), day=voice.day(day))
        for crop, variety, day in error.crops
    ]
    return Message(
        text=voice.say(
            "Too late this season: the last dates to sow were {dates}. Outdoor dates: /when {id}",
            dates=voice.listed(dates),
            id=error.crops[0][0],
        )
    )


def _poor(error: e.SeedTooPoor, voice: Voice) -> Message:
    crop = voice.crop(error.crop)
    if error.lot:
        return Message(
            text=voice.say(
                "Lot {lot} hardly comes up any more: no number of cells gives the {crop} wanted. "
                "With fresh seed: /lot {id}",
                lot=error.lot,
                crop=crop,
                id=error.crop,
            )
        )
    return Message(
        text=voice.say("No number of cells gives the {crop} wanted. Ask for fewer.", crop=crop)
    )


def _unsettled(error: e.PlanUnsettled, voice: Voice) -> Message:
    return Message(
        text=voice.say_n(
            "With {n} crop I found no answer in time. Try a shorter list.",
            "With {n} crops I found no answer in time. Try a shorter list.",
            error.crops,
        )
    )


def _file(error: PlanFileUnclear, voice: Voice) -> Message:
    if error.rows is not None:
        return Message(
            text=voice.say(
                "The file has {rows} rows; a plan takes one a crop, sixty at most. Send a shorter "
                "list, such as: tomato,24",
                rows=voice.number(error.rows),
            )
        )
    if not error.names:
        return Message(
            text=voice.say(
                "The file lists nothing to plan. One row a crop: name, plants and, if wanted, "
                "sowings and variety, such as: tomato,24"
            )
        )
    shown = [name[:24] for name in error.names[:8]]
    return Message(
        text=voice.say_n(
            "{n} row names no crop that is clear to me: {names}. Mend it and send the file again; "
            "names: /crop",
            "{n} rows name no crop that is clear to me: {names}. Mend them and send the file "
            "again; names: /crop",
            len(error.names),
            names=voice.listed(shown),
        )
    )


def _no_line(error: e.PlanLineMissing, voice: Voice) -> Message:
    lines = [voice.crop(crop, variety) for crop, variety in error.known]
    return Message(
        text=voice.say(
            "The plan has no line of {crop}. It has: {lines}.",
            crop=voice.crop(error.crop, error.variety), lines=voice.listed(lines),
        )
    )  # fmt: skip


WORDS: Words = {
    PlanFileUnclear: _file,
    e.PlanTooLate: _too_late,
    e.SeedTooPoor: _poor,
    e.PlanUnsettled: _unsettled,
    e.PlanLineMissing: _no_line,
}
