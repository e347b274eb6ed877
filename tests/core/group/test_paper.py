"""Which paper a group prints on."""

from __future__ import annotations

from dataclasses import replace

import pytest

from core.group.paper import paper_of
from core.trade.label_grids import Paper
from tests.pictures.gardens import garden


@pytest.mark.parametrize(
    ("place", "zone", "inches", "paper"),
    [
        ("Duluth, Minnesota, US", "UTC", False, Paper.LETTER),
        ("Toronto, 08, CA", "UTC", False, Paper.LETTER),
        ("Madrid, 29, ES", "America/Chicago", True, Paper.A4),
        (None, "America/Mexico_City", False, Paper.LETTER),
        (None, "Europe/Madrid", True, Paper.A4),
        (None, "America/Argentina/Buenos_Aires", False, Paper.A4),
        (None, "UTC", True, Paper.LETTER),
        (None, "UTC", False, Paper.A4),
    ],
)
def test_paper_by_place_then_clock_then_units(
    place: str | None, zone: str, inches: bool, paper: Paper
) -> None:
    site = replace(garden().site, place=place, zone=zone, inches=inches)
    assert paper_of(site) is paper
