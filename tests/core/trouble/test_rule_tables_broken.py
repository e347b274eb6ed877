"""A fault in a trouble-shooting table is reported with its file, row and field."""

from __future__ import annotations

import shutil
from importlib.resources import as_file, files
from pathlib import Path

import pytest

import core.trouble.evidence
from core.trade.tables.registry import Fault, Problem, Table, TablesBroken
from core.trouble.questions import QUESTIONS
from core.trouble.rules import RULES
from core.trouble.symptoms import SYMPTOMS

TABLES = {"rules.toml": RULES, "symptoms.toml": SYMPTOMS, "questions.toml": QUESTIONS}


@pytest.fixture
def tables(tmp_path: Path) -> Path:
    with as_file(files("core").joinpath("data")) as shipped:
        return Path(shutil.copytree(shipped, tmp_path / "data"))


def faults(folder: Path, file: str, old: str, new: str) -> tuple[Fault, ...]:
    path = folder / file
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")
    table: Table[object] = TABLES[file]
    return table.read(folder)[1]


@pytest.mark.parametrize(
    ("file", "old", "new", "row", "field"),
    [
        ("rules.toml", "fires = { dli = 7.9 }", "fires = { dli = 8 }", "leggy-low-dli", "fires"),
        ("rules.toml", "silent = { dli = 8 }", "silent = { dli = 3 }", "leggy-low-dli", "silent"),
        ("rules.toml", "silent = { dli = 8 }", "silent = { }", "leggy-low-dli", "silent"),
        (
            "rules.toml",
            "when = { dli = { below = 8 } }",
            "when = { dli = { under = 8 } }",
            "leggy-low-dli",
            "when",
        ),
        (
            "rules.toml",
            "when = { dli = { below = 8 } }",
            "when = { dlight = { below = 8 } }",
            "leggy-low-dli",
            "when",
        ),
        ("rules.toml", 'symptom = "leggy"', 'symptom = "lego"', "leggy-low-dli", "symptom"),
        ("rules.toml", '"RUNK07"', '"RUNK99"', "leggy-low-dli", "sources"),
        (
            "symptoms.toml",
            "seed_swollen = false",
            "seed_swollen = 3",
            "hard_seed",
            "implies.seed_swollen",
        ),
        (
            "questions.toml",
            "set = { mix_temp_c = 8 }",
            "set = { mix_temp_c = 800 }",
            "mix_temp",
            "options",
        ),
    ],
)
def test_a_broken_row_is_named(
    tables: Path, file: str, old: str, new: str, row: str, field: str
) -> None:
    found = faults(tables, file, old, new)
    assert [(fault.file, fault.row, fault.field) for fault in found] == [(file, row, field)]


def test_an_example_on_the_wrong_side_says_what_was_expected(tables: Path) -> None:
    (found,) = faults(tables, "rules.toml", "silent = { dli = 8 }", "silent = { dli = 3 }")
    assert found.problem is Problem.BAD_EXAMPLE
    assert found.values == {"example": "silent", "expected": False, "given": True}


def test_faults_of_the_variables_are_not_raised_while_other_tables_are_checked(
    tables: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Broken:
        def by_id(self) -> None:
            raise TablesBroken(())

    monkeypatch.setattr(core.trouble.evidence, "VARIABLES", Broken())
    for table in TABLES.values():
        assert table.read(tables)[1] == ()
