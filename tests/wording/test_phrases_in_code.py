"""Phrases are said through the catalogue, and core says none."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.wording.literals import ROOT, loose_literals

WORDING = sorted(
    path
    for folder in ("bot/wording", "bot/pictures", "bot/papers")
    for path in (ROOT / folder).glob("*.py")
)
CORE = sorted(path for path in (ROOT / "core").rglob("*.py") if "migrations" not in path.parts)
FOR_OPERATORS = {"bot/wording/faults.py"}  # `traywarden check`, in English like its log
LONGEST_WORD = 12  # characters of a literal that may be a key or a sign
A_COMMAND = re.compile(r"/\w+( [\w/]+)*")  # what to type is the same in every language
FORMAL = re.compile(r"-//.*//EN|.*%[YHMmd].*")  # an iCalendar product id; a date's pattern
THREE_WORDS = re.compile(r"[A-Za-z]{2,}[,.;:]? [A-Za-z]+[,.;:]? [A-Za-z]{2,}")
SQL = re.compile(r"SELECT \w+ FROM |\w+ (IS|AND) [\w ]+$")
CORE_MAY = {
    # patterns that read what others wrote
    "core/trade/closure_file.py": "(?<!",
    "core/trade/frost/headers.py": ("min air", "bureau of", "(?P<sep>"),
    "core/trouble/evidence_text.py": ("(?P<n>", "mes y medio"),
    "core/group/spreadsheet.py": ("seeds per cell", "seeds a cell", "semillas por celda"),
    "core/trouble/days_asked.py": ("\\b(?:", "day before yesterday"),
    "core/trouble/deeds.py": ("how (?:long", "(?:cuando|que dia"),
    # a note beside the records, for operators
    "core/records/delivery.py": "the outcome is unknown",
    "core/trade/light/daylight.py": "FAO-56",  # a source
    "core/records/export.py": "mg per litre",  # a unit in a file's column
}


@pytest.mark.parametrize("path", WORDING, ids=lambda path: path.name)
def test_every_phrase_goes_through_the_catalogue(path: Path) -> None:
    if str(path.relative_to(ROOT)) in FOR_OPERATORS:
        return
    loose = [
        str(literal)
        for literal in loose_literals(path)
        if len(literal.text) > LONGEST_WORD
        and " " in literal.text.strip()
        and not literal.marked
        and not A_COMMAND.fullmatch(literal.text)
        and not FORMAL.fullmatch(literal.text)
        and path.name != "extract.py"
    ]
    assert loose == []


@pytest.mark.parametrize("path", CORE, ids=lambda path: str(path.relative_to(ROOT)))
def test_core_holds_no_phrase(path: Path) -> None:
    may = CORE_MAY.get(str(path.relative_to(ROOT)), ())
    phrases = [
        str(literal)
        for literal in loose_literals(path)
        if THREE_WORDS.search(literal.text)
        and not literal.text.startswith(may or "\0")
        and not SQL.match(literal.text)
    ]
    assert phrases == []


def test_the_search_finds_a_loose_phrase(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tests.wording.literals.ROOT", tmp_path)
    module = tmp_path / "module.py"
    module.write_text(
        '"""A docstring of several words."""\n'
        'def words(voice):\n    raise ValueError("not for people to read")\n'
        'GOOD = voice.say("Said as it should be")\nBAD = "Said without the catalogue"\n'
    )
    assert [one.text for one in loose_literals(module)] == ["Said without the catalogue"]
