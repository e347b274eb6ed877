"""Words become findings: slips are mended, denials noted, both languages heard."""

from __future__ import annotations

import pytest

from core.trouble.concepts import fold, heard_in


@pytest.mark.parametrize(
    ("text", "finding"),
    [
        ("they are lankier than last week", "tall"),
        ("paler every day", "pale"),
        ("4 of 30 came up", "few_up"),
        ("barely any up", "few_up"),
        ("none after a month", "not_up"),
        ("seedlings just sitting there", "stall"),
        ("lamp two feet up", "lamp_high"),
        ("lights on from 9 to 5", "hours_short"),
        ("the lid still on", "lid_on"),
        ("the mat still on", "mat_on"),
        ("never fed", "never_fed"),
        ("seed of 2015", "old_seed_w"),
        ("pots are heavy", "wet"),
        ("en el alféizar de la ventana", "window"),
        ("nunca abonamos", "never_fed"),
        ("pushed in far too deep", "deep"),
        ("yelow leaves", "yellow"),
    ],
)
def test_words_become_findings(text: str, finding: str) -> None:
    assert finding in heard_in(text).found


def test_what_is_denied_is_not_found() -> None:
    heard = heard_in("no spots on them")
    assert "spots" not in heard.found
    assert "spots" in heard.denied


def test_a_range_and_a_minus_are_told_apart() -> None:
    assert fold("18-20C") == "18 to 20c"
    assert fold("it was -3 out") == "it was -3 out"
