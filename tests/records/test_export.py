"""The files of an export, opened again with pandas."""

from __future__ import annotations

import csv
import io
import zipfile
from datetime import UTC, datetime, timedelta

import pandas as pd
import pytest

from bot.papers.export import export_zip
from bot.wording.drawn.export_readme import readme
from bot.wording.voice import Voice
from core.records import models as m
from core.records.export import FORMULA_STARTS, export_files, safe
from core.requests import (
    Light,
    Moist,
    Moisture,
    Note,
    SetLot,
    SetShelf,
    SetTray,
    Sow,
    Temp,
    Undo,
    Up,
    Where,
)
from core.trade.statistics.intervals import wilson_interval
from tests.core.handlers.one_group import OneGroup

AT = datetime(2027, 3, 1, 12, tzinfo=UTC)
T1 = Where(trays=("T1",))


def season() -> OneGroup:
    group = OneGroup(AT)
    group.ask(SetShelf(code="A", lamp="white_led"))
    group.ask(SetTray(codes=("T1", "T2"), cells=72, shelf="A"))
    group.ask(SetLot(crop="tomato", variety="Amber, Pip"))
    group.ask(Sow(lot="L1", where=T1, cell_count=12, seeds_per_cell=2, for_whom="bench 2"))
    group.ask(Sow(crop="basil", variety="=HYPERLINK(0)", where=Where(trays=("T2",)), cell_count=3))
    group.at += timedelta(days=8)
    group.ask(Temp(temp_c=21.5, where=T1))
    group.ask(Light(ppfd=180.0, where=T1))
    group.ask(Moist(level=Moisture.DRY, where=T1))
    group.ask(Note(text="-2+3 looks odd", where=T1))
    group.ask(Up(count=18, where=Where(sowing="S1")))
    group.ask(Temp(temp_c=39.0, where=T1))
    group.ask(Undo(last=True))
    return group


def tables(group: OneGroup, member: int | None = None) -> dict[str, pd.DataFrame]:
    with group.database.transaction() as session:
        values = {"group_id": group.ids[0], "member_id": member}
        content = export_zip(session, values, group.at)
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert archive.testzip() is None
        assert "README.txt" in archive.namelist()
        return {
            name: pd.read_csv(archive.open(name), encoding="utf-8-sig")
            for name in archive.namelist()
            if name.endswith(".csv")
        }


def test_the_sowings_come_back_as_they_were_sown() -> None:
    sowings = tables(season())["sowings.csv"].set_index("sowing")
    assert list(sowings.index) == ["S1", "S2"]
    first = sowings.loc["S1"]
    assert (first.crop, first.variety, first.lot, first.tray) == (
        "tomato",
        "Amber, Pip",
        "L1",
        "T1",
    )
    assert (first.cell_count, first.seeds) == (12, 24)
    assert pd.Timestamp(first.sown_on) == pd.Timestamp("2027-03-01")


def test_the_results_are_the_counts_with_their_interval() -> None:
    results = tables(season())["results.csv"].set_index("sowing")
    interval = wilson_interval(18, 24)
    first = results.loc["S1"]
    assert (first.seeds, first.up, first.up_share) == (24, 18, 0.75)
    assert first.low_95 == pytest.approx(interval.low, abs=1e-4)
    assert first.high_95 == pytest.approx(interval.high, abs=1e-4)
    assert pd.isna(results.loc["S2"].up)  # never counted is not nought


def test_readings_carry_their_units_and_what_was_taken_back_is_marked() -> None:
    readings = tables(season())["readings.csv"]
    temps = readings[readings.quantity == "temperature"]
    assert list(temps.value.astype(float)) == [21.5, 39.0]
    assert list(temps.taken_back) == ["no", "yes"]
    assert set(temps.unit) == {"degC"}
    light = readings[readings.quantity == "ppfd"].iloc[0]
    assert (float(light.value), light.unit) == (180.0, "umol m-2 s-1")
    assert list(readings[readings.quantity == "moisture"].value) == ["dry"]


def test_no_cell_begins_as_a_formula() -> None:
    group = season()
    with group.database.transaction() as session:
        files = export_files(session, group.ids[0], None)
    cells = [
        cell
        for name, text in files.items()
        if name.endswith(".csv")
        for row in csv.reader(io.StringIO(text))
        for cell in row
    ]
    assert "'=HYPERLINK(0)" in cells
    assert not [cell for cell in cells if cell.startswith(FORMULA_STARTS)]


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM", "\t=1", "\r=1", "\n=1"])
def test_text_that_leads_with_a_formulas_sign_is_neutralised(text: str) -> None:
    assert safe(text) == f"'{text}"


@pytest.mark.parametrize("value", ["T1", "a=b", "", 3, -4.5])
def test_other_cells_stay_as_they_are(value: object) -> None:
    assert safe(value) == value


def test_a_member_gets_only_what_they_said_or_did() -> None:
    group = season()
    with group.database.transaction() as session:
        member = m.Member(
            group_id=group.ids[0], person_id=None, name="Bo", coordinator=False, joined_at=AT,
            left_at=None,
        )  # fmt: skip
        session.add(member)
        session.flush()
        other = member.id
    for frame in tables(group, other).values():
        assert frame.empty
    mine = tables(group, group.ids[1])
    assert len(mine["sowings.csv"]) == 2


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_file_is_described_in_the_readme(language: str) -> None:
    group = season()
    with group.database.transaction() as session:
        files = export_files(session, group.ids[0], None)
    described = readme(Voice(today=group.at.date(), language=language))
    assert len(files) == 4 + 15
    for name in files:
        assert name in described
