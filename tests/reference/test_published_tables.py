"""The shipped figures against the published tables they come from, retyped independently.

The figures are in published_tables.toml, each group with the work it was read in.
"""

from __future__ import annotations

import re
import tomllib
from collections import defaultdict
from pathlib import Path
from typing import Any

import pytest

from core.trade.crops.emergence_table import EMERGENCE, TEMPS_F, Outcome, emergence_row
from core.trade.crops.standards import STANDARDS, Authority, SeedGroup, standard
from core.trade.crops.table import GerminationLight, crop_by_id

PUBLISHED: dict[str, Any] = tomllib.loads(
    Path(__file__).with_name("published_tables.toml").read_text(encoding="utf-8")
)


def items(group: str) -> list[str]:
    """Return the entries of a group, parted by `;` or line ends."""
    entries = re.split(r"[;\n]", PUBLISHED[group]["rows"])
    return [entry.strip() for entry in entries if entry.strip()]


def lines(group: str) -> list[list[str]]:
    return [line.split() for line in PUBLISHED[group]["rows"].strip().splitlines()]


def celsius(temp_f: float) -> float:
    return (temp_f - 32) * 5 / 9


def test_the_emergence_table_has_the_published_vegetables_and_temperatures() -> None:
    assert list(TEMPS_F) == PUBLISHED["emergence_days"]["temps_f"]
    published = {line[0] for line in lines("emergence_days")}
    assert published == {row.id for row in EMERGENCE.rows()}
    assert published == {line[0] for line in lines("emergence_percent")}
    assert len(published) == 24


@pytest.mark.parametrize("line", lines("emergence_days"), ids=lambda line: line[0])
def test_days_to_emergence_are_those_published(line: list[str]) -> None:
    meaning = {"NG": (Outcome.NONE, None), "-": (Outcome.UNTESTED, None)}
    expected = [meaning.get(c) or (Outcome.VALUE, int(c)) for c in line[1:]]
    points = emergence_row(line[0]).points()
    assert [(p.outcome, p.days) for p in points] == expected
    assert [p.temp_c for p in points] == pytest.approx([0, 5, 10, 15, 20, 25, 30, 35, 40])


@pytest.mark.parametrize("line", lines("emergence_percent"), ids=lambda line: line[0])
def test_percent_of_seedlings_is_that_published(line: list[str]) -> None:
    for cell, point in zip(line[1:], emergence_row(line[0]).points(), strict=True):
        match = re.fullmatch(r"(\d+)(?:\((\d+)\))?", cell)
        assert match is not None
        percent, days = int(match[1]), match[2]
        if percent > 0:
            assert point.percent == percent
        else:  # 0 beside days is a missing value; 0 for an untested temperature means nothing
            unknown = days is not None or point.outcome is Outcome.UNTESTED
            assert point.percent == (None if unknown else 0)
        if days is not None and (line[0], point.temp_c) != ("asparagus", 35.0):  # 19 against 20
            assert point.days == int(days)


def kinds(group: str) -> dict[str, int]:
    pairs = (entry.rsplit(" ", 1) for entry in items(group))
    return {name: int(percent) for name, percent in pairs}


def test_the_federal_standards_are_those_published() -> None:
    shipped = {s.kind: s.min_percent for s in STANDARDS.rows() if s.authority is Authority.FEDERAL}
    assert shipped == kinds("federal_standards")
    assert len(shipped) == 68


def test_the_state_standards_of_herbs_are_those_published() -> None:
    herbs = [s for s in STANDARDS.rows() if s.group is SeedGroup.HERB_OR_VEGETABLE]
    assert {s.kind: s.min_percent for s in herbs} == kinds("state_standards")


def test_the_state_standards_of_flowers_are_those_published() -> None:
    flowers = [s for s in STANDARDS.rows() if s.group is SeedGroup.FLOWER]
    assert {s.id: s.min_percent for s in flowers} == kinds("flower_standards")


@pytest.mark.parametrize(
    ("crop_id", "percent"),
    [("tomato", 75), ("summer_squash", 75), ("okra", 50), ("basil", 70), ("celosia", 65)],
)
def test_a_crop_leads_to_its_standard(crop_id: str, percent: int) -> None:
    standard_id = crop_by_id(crop_id).standard
    assert standard_id is not None
    assert standard(standard_id).min_percent == percent


def guides() -> dict[str, list[tuple[str, int, int]]]:
    found: dict[str, list[tuple[str, int, int]]] = defaultdict(list)
    for entry in items("weeks"):
        crop_id, source, least, most = entry.split()
        found[crop_id].append((source, int(least), int(most)))
    return found


@pytest.mark.parametrize(("crop_id", "ranges"), guides().items(), ids=guides())
def test_weeks_in_the_tray_are_the_outer_range_of_the_guides(
    crop_id: str, ranges: list[tuple[str, int, int]]
) -> None:
    crop = crop_by_id(crop_id)
    shipped = (crop.weeks_sow_to_plantout_min, crop.weeks_sow_to_plantout_max)
    assert shipped == (min(r[1] for r in ranges), max(r[2] for r in ranges))
    assert {r[0] for r in ranges} & set(crop.sources)
    assert "weeks_sow_to_plantout_min" not in crop.from_memory


@pytest.mark.parametrize("entry", items("germination_days"))
def test_days_to_germination_of_flowers_are_those_published(entry: str) -> None:
    crop_id, least, most = entry.split()
    crop = crop_by_id(crop_id)
    assert (crop.emergence_days_min, crop.emergence_days_max) == (int(least), int(most))


@pytest.mark.parametrize("entry", items("light"))
def test_light_for_germination_is_that_published(entry: str) -> None:
    crop_id, code = entry.split()
    codes = {"L": "light", "LC": "light_cover", "C": "cover"}
    assert crop_by_id(crop_id).germination_light is GerminationLight(codes[code])


def plantout_weeks(crop_id: str) -> tuple[float, float]:
    crop = crop_by_id(crop_id)
    first, last = crop.plantout_weeks_vs_last_frost_min, crop.plantout_weeks_vs_last_frost_max
    assert first is not None
    assert last is not None
    return first, last


@pytest.mark.parametrize("group", ["very_hardy", "frost_tolerant", "warm_loving"])
def test_planting_out_spans_the_published_weeks_of_its_class(group: str) -> None:
    least, most = PUBLISHED["plantout"][group]
    for crop_id in PUBLISHED["plantout"][f"{group}_crops"].split():
        first, last = plantout_weeks(crop_id)
        assert first <= least, crop_id
        assert last >= most, crop_id


def test_a_tender_crop_goes_out_on_the_frost_free_date_at_the_earliest() -> None:
    for crop_id in PUBLISHED["plantout"]["tender_crops"].split():
        assert plantout_weeks(crop_id)[0] == PUBLISHED["plantout"]["tender_first"], crop_id


def test_a_warm_loving_vegetable_goes_out_before_no_frost_free_date() -> None:
    for crop_id in PUBLISHED["plantout"]["warm_loving_crops"].split():
        assert plantout_weeks(crop_id)[0] >= 0, crop_id


@pytest.mark.parametrize("entry", items("soil"))
def test_the_least_soil_for_planting_is_that_published(entry: str) -> None:
    crop_id, temp_f = entry.split()
    assert crop_by_id(crop_id).min_soil_plantout_c == pytest.approx(
        celsius(float(temp_f)), abs=0.05
    )
