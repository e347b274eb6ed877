"""A count of seedlings: what it says of the lot and the place."""

from __future__ import annotations

from bot.message import Message
from bot.wording.pieces.windows import window_lines
from bot.wording.replies.reports.wrote import day_said, wrote
from bot.wording.voice import Voice
from core.replies import reports as r


def counted(reply: r.CountRecorded, voice: Voice) -> Message:
    crop = voice.crop(reply.crop)
    if reply.up == 0:
        lines = [
            voice.say(
                "{sowing} {crop}: nothing up yet, {day}.",
                sowing=reply.sowing,
                crop=crop,
                day=day_said(voice, reply.on),
            )
        ]
        lines += window_lines(voice, reply.window)
        return wrote(reply, voice, lines)
    lines = [
        voice.say(
            "{sowing} {crop}: {up} of {seeds} up, {day} ({share}, likely {low}–{high}).",
            sowing=reply.sowing,
            crop=crop,
            up=reply.up,
            seeds=reply.seeds,
            day=day_said(voice, reply.on),
            share=voice.percent(reply.up / reply.seeds),
            low=voice.percent(reply.low),
            high=voice.percent(reply.high),
        )
    ]
    if reply.first:
        lines.append(
            voice.say(
                "The first are up: cover off, heat mat off, lamp close above them, on for "
                "14–16 hours a day (rule of thumb)."
            )
        )
    if reply.again:
        lines.append(
            voice.say("Few so far, but one count tells little. Count again in three days.")
        )
    if reply.standard is not None and reply.verdict is not None:
        minimum = voice.percent(reply.standard)
        match reply.verdict:
            case "below":
                lines.append(
                    voice.say(
                        "That is fewer than a lot at the seed standard of {minimum} would give: "
                        "the lot or the place is weak. Ask: /ask",
                        minimum=minimum,
                    )
                )
                lines += _give_up(reply, voice)
            case "above":
                lines.append(
                    voice.say("Better than the seed standard of {minimum}.", minimum=minimum)
                )
            case _ if reply.up / reply.seeds < reply.standard:
                lines.append(
                    voice.say(
                        "Under the seed standard of {minimum}, but from {n} seeds that is "
                        "no evidence of a bad lot.",
                        minimum=minimum,
                        n=reply.seeds,
                    )
                )
    return wrote(reply, voice, lines)


def _give_up(reply: r.CountRecorded, voice: Voice) -> list[str]:
    """Say until when to wait for more, and how long a resowing still makes the season."""
    lines = []
    if reply.give_up_on is not None and reply.give_up_on >= voice.today:
        day = voice.day(reply.give_up_on)
        lines.append(voice.say("Wait until {day}; few come after that.", day=day))
    elif reply.give_up_on is not None:
        lines.append(voice.say("Few more will come: sow the empty cells again, or let them be."))
    if reply.resow_by is not None and reply.resow_by >= voice.today:
        lines.append(
            voice.say("A resowing makes the season until {day}.", day=voice.day(reply.resow_by))
        )
    elif reply.resow_by is not None:
        lines.append(
            voice.say(
                "Too late to resow for this season: the last date was {day}.",
                day=voice.day(reply.resow_by),
            )
        )
    return lines
