"""The loader of the data tables: every fault is found, all at once, with its file and row."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from pathlib import Path

import pytest

from bot.wording.faults import fault_line
from core.trade.tables import registry as tables
from core.trade.tables.registry import (
    Complaint,
    Fault,
    Problem,
    ident,
    number,
    plain,
    read_rows,
    ref,
    text,
)

SOURCES = ("BOOK-1", "BOOK-2", "common-practice", "common practice")
IDS = {"crop": ("tomato", "basil")}


class Shade(StrEnum):
    SUN = "sun"
    SHADE = "shade"


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    after_days: int = number(lo=0, hi=10)
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    id: str = ident()
    crop: str = ref("crop", also=("any",))
    temp_min_c: float = number(lo=-20, hi=60)
    temp_max_c: float = number(lo=-20, hi=60)
    shade: Shade = Shade.SUN
    names: tuple[str, ...] = text(pattern=r"[a-z ]+", default=())
    pair: tuple[int, str] | None = None
    starts_on: date | None = None
    heated: bool = False
    when: Mapping[str, object] = plain(default={})
    windows: tuple[Window, ...] = ()
    expected: int = 0
    source: str


GOOD = """
[[row]]
id = "first"
crop = "tomato"
temp_min_c = 5
temp_max_c = 20.5
source = "BOOK-1, table 2; common practice"
"""


def check(rows: tuple[Row, ...]) -> Iterable[Complaint]:
    for row in rows:
        if row.expected != len(row.names):
            values = {"example": row.names, "expected": row.expected, "given": len(row.names)}
            yield Complaint(row=row.id, problem=Problem.BAD_EXAMPLE, values=values)


def read(folder: Path, content: str) -> tuple[tuple[Row, ...], tuple[Fault, ...]]:
    path = folder / "rows.toml"
    path.write_text(content, encoding="utf-8")
    return read_rows(path, "row", Row, known_sources=SOURCES, known_ids=IDS, check=check)


def test_a_good_row_becomes_typed_values(tmp_path: Path) -> None:
    extra = """
shade = "shade"
names = ["a", "b c"]
expected = 2
pair = [3, "x"]
starts_on = 2031-02-28
heated = true
when = { state = "open", days = { at_least = 3 } }
windows = [{ after_days = 2, label = "w" }]
"""
    rows, faults = read(tmp_path, GOOD + extra)
    assert faults == ()
    (row,) = rows
    assert row.temp_min_c == 5.0
    assert isinstance(row.temp_min_c, float)
    assert row.shade is Shade.SHADE
    assert row.names == ("a", "b c")
    assert row.pair == (3, "x")
    assert row.starts_on == date(2031, 2, 28)
    assert row.when == {"state": "open", "days": {"at_least": 3}}
    assert row.windows == (Window(after_days=2, label="w"),)


BROKEN = [
    ("unknown key", 'shad = "sun"', "shad", Problem.UNKNOWN_KEY),
    ("wrong type", "heated = 1", "heated", Problem.WRONG_TYPE),
    ("a truth value is no number", "expected = true", "expected", Problem.WRONG_TYPE),
    ("a fraction is no whole number", "expected = 1.5", "expected", Problem.WRONG_TYPE),
    ("a text is no list", 'names = "a"', "names", Problem.WRONG_TYPE),
    ("a text is no date", 'starts_on = "2031-02-28"', "starts_on", Problem.WRONG_TYPE),
    ("list of the wrong length", "pair = [3]", "pair", Problem.WRONG_TYPE),
    ("list item of the wrong type", "names = [3]", "names[0]", Problem.WRONG_TYPE),
    ("not a choice", 'shade = "dusk"', "shade", Problem.NOT_A_CHOICE),
    ("pattern", 'names = ["A!"]', "names[0]", Problem.BAD_PATTERN),
    (
        "nested out of range",
        'windows = [{ after_days = 11, label = "w" }]',
        "windows[0].after_days",
        Problem.OUT_OF_RANGE,
    ),
    (
        "nested missing key",
        "windows = [{ after_days = 1 }]",
        "windows[0].label",
        Problem.MISSING_KEY,
    ),
    ("bad example", "expected = 1", "", Problem.BAD_EXAMPLE),
]


@pytest.mark.parametrize(
    ("extra", "field", "problem"), [b[1:] for b in BROKEN], ids=[b[0] for b in BROKEN]
)
def test_an_added_line_that_is_wrong_is_found(
    tmp_path: Path, extra: str, field: str, problem: Problem
) -> None:
    _, faults = read(tmp_path, GOOD + extra)
    assert [(f.file, f.row, f.field, f.problem) for f in faults] == [
        ("rows.toml", "first", field, problem)
    ]


CHANGED = [
    ("missing key", 'crop = "tomato"', "", "first", "crop", Problem.MISSING_KEY),
    ("missing id", 'id = "first"', "", "#1", "id", Problem.MISSING_KEY),
    ("bad id", 'id = "first"', 'id = "First!"', "First!", "id", Problem.BAD_PATTERN),
    ("too low", "= 5", "= -21", "first", "temp_min_c", Problem.OUT_OF_RANGE),
    ("too high", "= 20.5", "= 60.5", "first", "temp_max_c", Problem.OUT_OF_RANGE),
    ("not a number", "= 20.5", "= nan", "first", "temp_max_c", Problem.OUT_OF_RANGE),
    ("low above high", "= 5", "= 21", "first", "temp_min_c", Problem.LOW_ABOVE_HIGH),
    ("unknown reference", '"tomato"', '"tomatoe"', "first", "crop", Problem.UNKNOWN_REFERENCE),
    ("unknown source", "BOOK-1", "BOOK-9", "first", "source", Problem.UNKNOWN_SOURCE),
    (
        "second source unknown",
        "common practice",
        "hearsay",
        "first",
        "source",
        Problem.UNKNOWN_SOURCE,
    ),
    (
        "missing source",
        'source = "BOOK-1, table 2; common practice"',
        "",
        "first",
        "source",
        Problem.MISSING_SOURCE,
    ),
    (
        "empty source",
        '"BOOK-1, table 2; common practice"',
        '""',
        "first",
        "source",
        Problem.MISSING_SOURCE,
    ),
]


@pytest.mark.parametrize(
    ("old", "new", "row", "field", "problem"), [c[1:] for c in CHANGED], ids=[c[0] for c in CHANGED]
)
def test_a_changed_line_that_is_wrong_is_found(
    tmp_path: Path, old: str, new: str, row: str, field: str, problem: Problem
) -> None:
    assert old in GOOD
    rows, faults = read(tmp_path, GOOD.replace(old, new))
    assert rows == ()
    assert [(f.file, f.row, f.field, f.problem) for f in faults] == [
        ("rows.toml", row, field, problem)
    ]


def test_an_id_used_twice_is_found(tmp_path: Path) -> None:
    rows, faults = read(tmp_path, GOOD + GOOD)
    assert len(rows) == 1
    assert [(f.row, f.problem) for f in faults] == [("first", Problem.DUPLICATE_ID)]


def test_a_text_that_is_not_toml_is_found(tmp_path: Path) -> None:
    _, faults = read(tmp_path, GOOD + "temp = = 3")
    (fault,) = faults
    assert (fault.file, fault.problem) == ("rows.toml", Problem.TOML_SYNTAX)
    assert "line 8" in str(fault.values["reason"])


@pytest.mark.parametrize(
    ("content", "problem"),
    [("", Problem.MISSING_TABLE), ("row = 3", Problem.NOT_A_TABLE)],
)
def test_a_file_without_the_table_is_found(tmp_path: Path, content: str, problem: Problem) -> None:
    _, faults = read(tmp_path, content)
    assert [f.problem for f in faults] == [problem]


def test_bytes_that_are_not_utf_8_are_found(tmp_path: Path) -> None:
    path = tmp_path / "rows.toml"
    path.write_bytes(b"# \xff")
    _, faults = read_rows(path, "row", Row, known_sources=SOURCES)
    assert [f.problem for f in faults] == [Problem.TOML_SYNTAX]


def test_a_missing_file_is_found(tmp_path: Path) -> None:
    _, faults = read_rows(tmp_path / "rows.toml", "row", Row, known_sources=SOURCES)
    assert [f.problem for f in faults] == [Problem.UNREADABLE_FILE]


def test_all_faults_are_reported_at_once(tmp_path: Path) -> None:
    worse = GOOD.replace("first", "second").replace("BOOK-1", "BOOK-9").replace("= 5", '= "5"')
    rows, faults = read(tmp_path, worse + "shad = 1\nheated = 3\n" + GOOD)
    assert [row.id for row in rows] == ["first"]
    assert sorted((f.row, f.problem) for f in faults) == [
        ("second", Problem.UNKNOWN_KEY),
        ("second", Problem.UNKNOWN_SOURCE),
        ("second", Problem.WRONG_TYPE),
        ("second", Problem.WRONG_TYPE),
    ]


def test_a_misspelt_key_is_met_with_the_nearest(tmp_path: Path) -> None:
    _, faults = read(tmp_path, GOOD + 'shad = "sun"')
    assert faults[0].values["nearest"] == "shade"
    assert fault_line(faults[0]) == "rows.toml: first, shad: unknown key (nearest: shade)"


@pytest.mark.parametrize("problem", list(Problem))
def test_every_problem_has_a_line_even_without_values(problem: Problem) -> None:
    line = fault_line(Fault(file="rows.toml", row="first", field="crop", problem=problem))
    assert line.startswith("rows.toml: first, crop: ")
    assert len(line) > len("rows.toml: first, crop: ") + 5


# Tables of words people say, which hold no figure of the trade.
WORDS_ONLY = {
    "alike", "deed", "world",
    "source", "variable", "cue", "concept", "finding", "outside", "question", "looked_up", "unwell",
}  # fmt: skip


def new_faults(folder: Path) -> tuple[Fault, ...]:
    """Return the faults of a changed copy that the shipped tables do not have."""
    shipped = [fault_line(f) for f in tables.check_all()]
    return tuple(f for f in tables.check_all(folder) if fault_line(f) not in shipped)


def shipped_copy(folder: Path) -> None:
    for path in tables.data_directory().iterdir():
        if path.name.endswith(".toml"):
            (folder / path.name).write_bytes(path.read_bytes())


def test_the_shipped_tables_have_no_fault() -> None:
    assert [fault_line(f) for f in tables.check_all()] == []


SHIPPED_BREAKS = [
    ("crops.toml", 'id = "tomato"', 'id = "tomato"\nweight = 3', "tomato", Problem.UNKNOWN_KEY),
    ("crops.toml", 'standard = "okra"', 'standard = "ocra"', "okra", Problem.UNKNOWN_REFERENCE),
    (
        "crops.toml",
        'emergence_table = "okra"',
        'emergence_table = "ocra"',
        "okra",
        Problem.UNKNOWN_REFERENCE,
    ),
    (
        "crops.toml",
        'synonyms = ["love apple"]',
        'synonyms = ["aubergine"]',
        "tomato",
        Problem.NAME_COLLIDES,
    ),
    ("emergence.toml", "days = [49,", "days = [", "lettuce", Problem.INCONSISTENT),
    ("standards.toml", "min_percent = 60", "min_percent = 600", "artichoke", Problem.OUT_OF_RANGE),
    ("trays.toml", "cols = 6", "cols = 7", "18", Problem.INCONSISTENT),
    ("trays.toml", "ml_per_cell = 110.9", "", "50", Problem.INCONSISTENT),
    (
        "sources.toml",
        'aliases = ["HM54"]',
        'aliases = ["HM-COMB"]',
        "HM1954",
        Problem.NAME_COLLIDES,
    ),
]


@pytest.mark.parametrize(
    ("file", "old", "new", "row", "problem"),
    SHIPPED_BREAKS,
    ids=[f"{b[0]}-{b[4]}-{b[3]}" for b in SHIPPED_BREAKS],
)
def test_a_break_in_a_shipped_table_names_file_and_row(
    tmp_path: Path, file: str, old: str, new: str, row: str, problem: Problem
) -> None:
    shipped_copy(tmp_path)
    content = (tmp_path / file).read_text(encoding="utf-8")
    assert old in content
    (tmp_path / file).write_text(content.replace(old, new, 1), encoding="utf-8")
    faults = new_faults(tmp_path)
    assert (file, row, problem) in {(f.file, f.row, f.problem) for f in faults}


def test_a_removed_source_is_missed_by_every_row_that_names_it(tmp_path: Path) -> None:
    shipped_copy(tmp_path)
    path = tmp_path / "sources.toml"
    content = path.read_text(encoding="utf-8")
    path.write_text(content.replace('key = "TRAY-GHM"', 'key = "TRAY-XXX"'), encoding="utf-8")
    faults = new_faults(tmp_path)
    assert {f.row for f in faults} == {"50", "72", "72_insert", "72_deep", "98", "128", "200"}
    assert {f.problem for f in faults} == {Problem.UNKNOWN_SOURCE}


def test_a_file_nobody_reads_and_a_table_nobody_knows_are_faults(tmp_path: Path) -> None:
    shipped_copy(tmp_path)
    (tmp_path / "stray.toml").write_text("[[stray]]\n", encoding="utf-8")
    with (tmp_path / "trays.toml").open("a", encoding="utf-8") as file:
        file.write("[[trai]]\n")
    found = {(f.file, f.problem) for f in new_faults(tmp_path)}
    assert found == {
        ("stray.toml", Problem.UNCLAIMED_FILE),
        ("trays.toml", Problem.UNKNOWN_TABLE),
    }


def test_breaks_in_several_shipped_tables_are_reported_together(tmp_path: Path) -> None:
    shipped_copy(tmp_path)
    for file in ("crops.toml", "trays.toml", "standards.toml"):
        with (tmp_path / file).open("a", encoding="utf-8") as handle:
            handle.write("wrong = 1\n")
    (tmp_path / "emergence.toml").write_text("[[", encoding="utf-8")
    files = {f.file for f in new_faults(tmp_path)}
    assert files == {"crops.toml", "trays.toml", "standards.toml", "emergence.toml"}


def test_every_row_of_every_table_names_a_known_source() -> None:
    tables.check_all()
    known = tables.registered()["source"].rows()
    keys = {name for s in known for name in (s.key, *s.aliases)}
    seen = 0
    for table in tables.registered().values():
        if table.name in WORDS_ONLY:
            continue
        for row in table.rows():
            value = getattr(row, "source", None) or getattr(row, "sources", None)
            assert value, (table.name, row)
            assert set(tables.source_keys(value)) <= keys, (table.name, row)
            seen += 1
    assert seen > 250


def test_a_name_registered_for_another_row_type_is_refused() -> None:
    with pytest.raises(ValueError, match="already registered"):
        tables.register("crop", Row)


def test_loading_a_broken_table_raises_with_every_fault(tmp_path: Path) -> None:
    broken = tables.TablesBroken((Fault(file="a.toml", problem=Problem.TOML_SYNTAX),) * 2)
    assert len(broken.faults) == 2
    assert "a.toml" in str(broken)
