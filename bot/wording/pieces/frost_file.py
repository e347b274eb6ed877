"""What was read from a file of daily lows, and what was set aside."""

from __future__ import annotations

from bot.wording.voice import Voice
from core.replies.frost import FrostFileSaid


def file_lines(file: FrostFileSaid, voice: Voice) -> list[str]:
    """Return the span and unit of a file, and a line for each thing set aside."""
    lines = [
        voice.say(
            "{name}: {first} to {last}, read as {unit} ({told}).",
            name=file.name or voice.say("The file"),
            first=voice.plain_day(file.first_on),
            last=voice.plain_day(file.last_on),
            unit=_unit(file.unit, voice),
            told=_told(file.unit_told_by, voice),
        )
    ]
    if file.absurd_count:
        shown = [
            voice.say("{day} ({temp})", day=voice.plain_day(day), temp=voice.temp_exact(min_c))
            for day, min_c, _ in file.absurd
        ]
        lines.append(
            voice.say_n(
                "{n} value no thermometer would show was set aside: {values}.",
                "{n} values no thermometer would show were set aside: {values}.",
                file.absurd_count,
                values=", ".join(shown) + (" …" if file.absurd_count > len(shown) else ""),
            )
        )
    if file.days_missing:
        lines.append(
            voice.say_n(
                "{n} day has no value.",
                "{n} days have no value.",
                file.days_missing,
            )
        )
    left = file.rows_doubled + file.rows_unreadable
    if left:
        lines.append(
            voice.say_n(
                "{n} row was left out (a day twice, or no date).",
                "{n} rows were left out (a day twice, or no date).",
                left,
            )
        )
    return lines


def _unit(unit: str, voice: Voice) -> str:
    if unit == "tenths_celsius":
        return voice.say("tenths of °C")
    return "°F" if unit == "fahrenheit" else "°C"


def _told(told_by: str, voice: Voice) -> str:
    return {
        "given": voice.say("as you said"),
        "heading": voice.say("by the column's heading"),
        "units_row": voice.say("by the row of units"),
        "layout": voice.say("by the file's layout"),
        "values": voice.say("by the values themselves"),
    }[told_by]
