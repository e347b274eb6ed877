"""Every mistake a person can mend has words: one line, what stands, what to type instead."""

from __future__ import annotations

import importlib
import pkgutil
import re
from collections.abc import Iterator
from datetime import date
from types import ModuleType

import pytest

import bot
import core
from bot.grammar import GrammarContext, parse
from bot.grammar import problems as p
from bot.message import Message
from bot.wording.mistakes.gathered import WORDS
from bot.wording.speak import excuse
from bot.wording.voice import Voice
from core import errors as e
from core.errors import UserError

TODAY = date(2027, 3, 1)
ENGLISH = Voice(today=TODAY)
AMERICAN = Voice(today=TODAY, fahrenheit=True, inches=True)
SPANISH = Voice(today=TODAY, language="es", private=True)
VOICES = (ENGLISH, AMERICAN, SPANISH)

DAYS = {"given": date(2027, 4, 9), "today": TODAY, "earliest": date(2027, 2, 1)}
EXAMPLES: tuple[UserError, ...] = (
    e.TrayUnknown(tray="T9", known=("T1", "T2", "T3")),
    e.TrayUnknown(tray="T9"),
    e.ShelfUnknown(shelf="Z", known=("A",)),
    e.ShelfUnknown(shelf="", known=("A", "B")),
    e.ShelfUnknown(shelf=""),
    e.LotUnknown(lot="L9", known=("L1",)),
    e.LotUnknown(lot="l1", known=("L1",)),
    e.LotUnknown(lot="L9"),
    e.SowingUnknown(sowing="S9", known=("S1",)),
    e.SowingUnknown(sowing="S9"),
    e.NoSuchSowing(crop="tomato", tray="T1", cells="A1-B3"),
    e.NoSuchSowing(crop="tomato", tray="T1"),
    e.NoSuchSowing(crop="tomato"),
    e.NoSuchSowing(tray="T1", cells="A1"),
    e.NoSuchSowing(tray="T1"),
    e.NoSuchSowing(),
    e.MemberUnknown(name="Ana", known=("Ben", "Robin")),
    e.MemberUnknown(name="Ana"),
    e.ReportUnknown(report="R99"),
    *(e.NameTaken(kind=kind, name="A") for kind in ("tray", "shelf", "lot", "member", "odd")),
    e.CellOutside(tray="T1", cell="Z9", rows=6, cols=12),
    e.CellsTaken(tray="T1", cells="A1", sowing="S3", crop="tomato", free="B1-F12"),
    e.CellsTaken(tray="T1", cells="A1", sowing="S3", crop="tomato", free=""),
    e.CellsEmpty(tray="T1", cells="A1"),
    e.CellsEmpty(tray="", cells=""),
    e.NoRoom(tray="T1", asked=12, free=3),
    e.NoRoom(tray="T1", asked=12, free=1),
    e.NoRoom(tray="T1", asked=12, free=0),
    e.CountFalls(sowing="S1", last=7, given=5),
    *(
        e.CountTooHigh(sowing="S1", given=9, most=most, of=of)
        for of in ("seeds", "up", "alive", "cells")
        for most in (0, 1, 8)
    ),
    e.ValueAbsurd(quantity="temp", given=80.0, lo=-5.0, hi=55.0, unit="c"),
    e.ValueAbsurd(quantity="hours", given=30.0, lo=0.5, hi=24.0, unit="h"),
    e.ValueAbsurd(quantity="lux", given=9e9, lo=0, hi=150_000, unit="lx"),
    e.ValueAbsurd(quantity="height", given=9000, lo=0, hi=3000, unit="mm"),
    e.DateInFuture(given=DAYS["given"], today=TODAY),
    e.DateTooOld(given=DAYS["given"], earliest=DAYS["earliest"], what="S1"),
    e.DateTooOld(given=DAYS["given"], earliest=DAYS["earliest"], what="today"),
    e.NoGroupHere(),
    e.WhichGroup(groups=((1, "Bench"), (2, "Class"))),
    e.NotMember(),
    e.CoordinatorsOnly(coordinators=("Ana", "Ben")),
    e.CoordinatorsOnly(),
    e.WhoAreYou(),
    e.NothingToUndo(),
    *(e.UndoTooLate(report="R1", because=because) for because in ("rests", "other", "old")),
    e.NoFrostYet(),
    e.TookTooLong(),
    e.CountAboveLater(sowing="S1", given=20, stands=12, on=date(2027, 3, 10)),
    e.ButtonOld(),
    e.RightsUnknown(),
    e.NoTraysYet(),
    e.NoPlan(),
    *(
        e.FrostFileUnreadable(reason=reason, columns=columns)
        for reason in ("empty", "no_date_column", "no_minimum_column", "dates", "no_values", "x")
        for columns in ((), ("a", "b\nc", *"defghijkl"))
    ),
    e.FrostFileUnitUnknown(column="TMIN", lowest=-3.5, highest=71.0),
    e.FrostFileDatesAmbiguous(example="03/04/2020"),
    e.FrostFileManyStations(column="STATION", stations=("one", "two")),
    e.FrostDatesOrder(side="last", given=((0.1, date(2027, 4, 1)), (0.5, date(2027, 5, 1)))),
    e.FrostDatesOrder(side="first", given=((0.1, date(2027, 4, 1)),)),
    e.FrostDateOffSeason(side="last", given=date(2027, 10, 10)),
    e.FrostDateOffSeason(side="first", given=date(2027, 4, 10)),
    e.NoSeasonsInRecord(days=1),
    e.NoSeasonsInRecord(days=40),
    e.HemisphereUnknown(),
    e.PlantOutDateNeeded(crop="tomato", n_seasons=30),
    e.CropTimesMissing(crop="tomato", fields=("weeks_sow_to_plantout_min",)),
    p.NotUnderstood(),
    p.EmptyMessage(),
    p.TooLong(length=4000, limit=1000),
    p.TooManyLines(kept=50, dropped=1),
    p.TooManyLines(kept=50, dropped=12),
    p.CommandUnknown(typed="sew", nearest=("sow", "share")),
    p.CommandUnknown(typed="x" * 500),
    p.CropNotSaid(command="sow"),
    p.CropNotKnown(typed="tomatero", nearest=("tomato",)),
    p.CropNotKnown(typed="brick"),
    p.NumberNotSaid(command="temp"),
    p.NumberOdd(command="sow", given=99.0, lo=1, hi=20),
    p.TrayNotSaid(command="sow", cells="A1-B3"),
    p.TrayNotSaid(command="sow"),
    p.OneTrayAtATime(trays=("T1", "T2"), cells="A1"),
    p.CellsNotSaid(command="sow"),
    *(
        p.WhatNotSaid(command="temp", needs=needs)
        for needs in ("reading", "level", "text", "notice", "choice", "sets", "name", "date", "x")
    ),
    p.LeftOver(command="sow", words="{odd} words"),
    p.DateNotUnderstood(typed="31 April"),
    p.TimeNotUnderstood(typed="25:00"),
    p.UnitClash(command="temp", typed="68F 20C"),
    p.FrostPercentOdd(given=30.0),
    p.FrostOrder(),
)


def modules(package: ModuleType) -> Iterator[str]:
    """Every module of a package; the migrations run only inside Alembic."""
    for found in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
        if ".migrations" not in found.name and not found.name.endswith("__main__"):
            yield found.name


def kinds(base: type[UserError]) -> Iterator[type[UserError]]:
    for kind in base.__subclasses__():
        yield kind
        yield from kinds(kind)


def test_every_mistake_has_words() -> None:
    for package in (core, bot):
        for name in modules(package):
            importlib.import_module(name)
    ours = {
        kind for kind in kinds(UserError) if kind.__module__.partition(".")[0] in ("core", "bot")
    }
    assert len(ours) > 50
    assert sorted(k.__qualname__ for k in ours - set(WORDS)) == []


def test_the_examples_reach_every_mistake_of_the_errors_and_the_grammar() -> None:
    worded = {kind for kind in WORDS if kind.__module__ in ("core.errors", "bot.grammar.problems")}
    assert sorted(k.__name__ for k in worded - {type(one) for one in EXAMPLES}) == []


@pytest.mark.parametrize("error", EXAMPLES, ids=lambda error: type(error).__name__)
def test_a_mistake_is_answered_in_one_line_in_every_voice(error: UserError) -> None:
    for voice in VOICES:
        said = excuse(error, voice)
        assert isinstance(said, Message)
        assert said.text.strip() == said.text != ""
        assert "\n" not in said.text
        assert len(said.text) <= 240, said.text
        assert not re.search(r"\b(wrong|invalid|illegal|mistake|error|fault)\b", said.text.lower())
        for row in said.rows:
            for button in row:
                assert button.label
                assert button.command.startswith("/")


def test_a_mistake_says_what_stands_and_what_to_type() -> None:
    said = excuse(e.TrayUnknown(tray="T9", known=("T1", "T2", "T3")), ENGLISH).text
    assert said == "There is no tray T9. Trays here: T1, T2, T3. Try: /trays"
    said = excuse(e.CountFalls(sowing="S1", last=7, given=5), ENGLISH).text
    assert said.startswith("S1 already stands at 7")
    said = excuse(e.CellOutside(tray="T1", cell="Z9", rows=6, cols=12), ENGLISH).text
    assert "A1 to F12" in said
    assert "Z9" in said


def test_figures_stand_in_the_units_of_the_listener() -> None:
    absurd = e.ValueAbsurd(quantity="temp", given=80.0, lo=-5.0, hi=55.0, unit="c")
    assert "80 °C" in excuse(absurd, ENGLISH).text
    assert "176 °F" in excuse(absurd, AMERICAN).text
    assert "23 °F to 131 °F" in excuse(absurd, AMERICAN).text


def test_what_a_mistake_tells_to_type_can_be_read() -> None:
    context = GrammarContext(
        today=TODAY, trays=("T1", "T2"), shelves=("A",), lots=("L1",), members=("Ana", "Ben")
    )
    tried = 0
    for error in EXAMPLES:
        text = excuse(error, ENGLISH).text
        lead = r"(?:Try|such as|example|To sow there|To sow|First|take it back with): (/[^.)]+)"
        for typed in re.findall(lead, text):
            tried += 1
            for line in parse(typed, context):
                assert line.problem is None, (typed, line.problem)
    assert tried > 40


def test_several_groups_are_offered_as_buttons() -> None:
    said = excuse(e.WhichGroup(groups=((1, "Bench"), (2, "Class"))), ENGLISH)
    assert [row[0].label for row in said.rows] == ["Bench", "Class"]
    assert said.rows[1][0].command == "/me group 2"
