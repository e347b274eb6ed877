"""Frost dates and files of daily minima that cannot be used as they came."""

from __future__ import annotations

from bot.message import Message
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import errors as e

MOST_COLUMNS = 8


def _line(text: str) -> Message:
    return Message(text=text)


def _columns(columns: tuple[str, ...]) -> str:
    shown = ", ".join(" ".join(one.split())[:24] for one in columns[:MOST_COLUMNS])
    return f"{shown} …" if len(columns) > MOST_COLUMNS else shown


def _unreadable(error: e.FrostFileUnreadable, voice: Voice) -> Message:
    columns = _columns(error.columns) or "-"
    phrases = {
        "empty": voice.say(
            "The file holds no rows. Send CSV with a date and a daily minimum in each row."
        ),
        "no_date_column": voice.say(
            "No column of dates found (columns: {columns}). Call it “date” and send it again.",
            columns=columns,
        ),
        "no_minimum_column": voice.say(
            "No column of daily minima found (columns: {columns}). Call it “tmin_c” or “tmin_f” "
            "and send it again.",
            columns=columns,
        ),
        "dates": voice.say(
            "The dates could not be read. Write them like 2020-04-03 and send it again."
        ),
        "no_values": voice.say(
            "The column of minima holds no numbers (columns: {columns}). Send CSV with a number "
            "a day.",
            columns=columns,
        ),
    }
    return _line(
        phrases.get(error.reason)
        or voice.say("The file could not be read. Send CSV with a date and a minimum a day.")
    )


def _unit(error: e.FrostFileUnitUnknown, voice: Voice) -> Message:
    return _line(
        voice.say(
            "Is “{column}” in °C or °F? It runs from {low} to {high}. Send the file again with "
            "the words: /frost C, or: /frost F",
            column=" ".join(error.column.split())[:24],
            low=voice.number(error.lowest),
            high=voice.number(error.highest),
        )
    )


def _ambiguous(error: e.FrostFileDatesAmbiguous, voice: Voice) -> Message:
    return _line(
        voice.say(
            "Dates such as {example} may be day first or month first all through the file. "
            "Write them like 2020-04-03 and send it again.",
            example=error.example[:24],
        )
    )


def _stations(error: e.FrostFileManyStations, voice: Voice) -> Message:
    return _line(
        voice.say_n(
            "The file holds {n} place (column {column}: {names}). Send one with yours alone.",
            "The file holds {n} places (column {column}: {names}). Send one with yours alone.",
            len(error.stations),
            column=error.column,
            names=_columns(error.stations),
        )
    )


def _order(error: e.FrostDatesOrder, voice: Voice) -> Message:
    if error.side == "first":
        return _line(
            voice.say(
                "Of the first-frost dates the smaller chance is the earlier date, and two "
                "different dates are needed. An example: /frost first 10 Oct"
            )
        )
    return _line(
        voice.say(
            "Of the last-frost dates the smaller chance is the later date, and they must differ. "
            "An example: /frost 10% 15 May 50% 28 Apr 90% 9 Apr"
        )
    )


def _seasons(error: e.NoSeasonsInRecord, voice: Voice) -> Message:
    return _line(
        voice.say_n(
            "The file has {n} day with a minimum: no winter and spring complete enough to count. "
            "Send some years of daily minima.",
            "The file has {n} days with a minimum: no winter and spring complete enough to count. "
            "Send some years of daily minima.",
            error.days,
        )
    )


def _hemisphere(error: e.HemisphereUnknown, voice: Voice) -> Message:
    return _line(
        voice.say(
            "The minima show no clear winter, so spring cannot be told from autumn. Say where the "
            "site is (such as: /site Lima) and send the file again."
        )
    )


def _plant_out(error: e.PlantOutDateNeeded, voice: Voice) -> Message:
    return _line(
        voice.say(
            "Frost sets no date for {crop} here. What nights it bears, and how long it takes: "
            "/crop {id}",
            crop=voice.crop(error.crop),
            id=error.crop,
        )
    )


def _times(error: e.CropTimesMissing, voice: Voice) -> Message:
    return _line(
        voice.say(
            "For {crop} the table does not say how many weeks it takes to planting out, so no "
            "dates can be told. What it does say: /crop {id}",
            crop=voice.crop(error.crop),
            id=error.crop,
        )
    )


def _season(error: e.FrostDateOffSeason, voice: Voice) -> Message:
    day = voice.month_day(error.given)
    if error.side == "first":
        return _line(
            voice.say(
                "{day} falls outside autumn here, so it was not taken for the first frost. "
                "For the last frost of spring: /frost {iso}",
                day=day,
                iso=error.given.isoformat(),
            )
        )
    return _line(
        voice.say(
            "{day} falls outside spring here, so it was not taken for the last frost. "
            "For the first frost of autumn: /frost first {iso}",
            day=day,
            iso=error.given.isoformat(),
        )
    )


WORDS: Words = {
    e.FrostFileUnreadable: _unreadable,
    e.FrostFileUnitUnknown: _unit,
    e.FrostFileDatesAmbiguous: _ambiguous,
    e.FrostFileManyStations: _stations,
    e.FrostDatesOrder: _order,
    e.NoSeasonsInRecord: _seasons,
    e.HemisphereUnknown: _hemisphere,
    e.PlantOutDateNeeded: _plant_out,
    e.CropTimesMissing: _times,
    e.FrostDateOffSeason: _season,
}
