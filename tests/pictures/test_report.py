"""The season on one page."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from bot.papers.report import laid_out, page, told
from bot.pictures.model import Path, Text
from core.group.garden import Garden
from core.results.season_results import season_results
from tests.pictures.gardens import (
    CROPS,
    LONG,
    STAGES,
    TODAY,
    block,
    garden,
    happening,
    sample,
    sowing,
    voice,
)
from tests.pictures.laid_out import faults


def read(of: Garden, language: str = "en") -> PdfReader:
    spoken = voice(language)
    return PdfReader(io.BytesIO(page(of, told(of, of.sowings, spoken), spoken)))


def test_the_page_says_the_figures_and_what_they_rest_on() -> None:
    text = read(sample()).pages[0].extract_text()
    found = season_results(sample(), sample().sowings, TODAY)
    assert found.total is not None
    assert f"{found.total.up} of {found.total.seeds}" in text
    assert "L1 tomato (Amber Pip)" in "".join(p.extract_text() for p in read(sample()).pages)
    every = "".join(p.extract_text() for p in read(sample()).pages).replace("\n", " ")
    assert "19 times in 20" in every
    assert "7 CFR 201.31" in every


def test_the_ranges_drawn_are_those_reckoned() -> None:
    found = season_results(sample(), sample().sowings, TODAY)
    assert found.total is not None
    pages = laid_out(sample(), told(sample(), sample().sowings, voice()), voice())
    drawn = [
        piece.what
        for one in pages
        for piece in one.pieces
        if isinstance(piece, Path) and piece.what.startswith("range 0")
    ]
    for tally in (found.total, *(lot.tally for lot in found.lots)):
        assert f"range {tally.interval.low:.3f} {tally.interval.high:.3f}" in drawn


def test_only_those_who_agreed_are_named() -> None:
    def text(of: Garden) -> str:
        return "".join(p.extract_text() for p in read(of).pages)

    assert "2 members" in text(sample())
    assert "Robin" not in text(sample())
    assert "Ana" not in text(sample())
    members = sample().members
    agreed = replace(sample(), members={**members, 1: replace(members[1], thanks=True)})
    assert "To Robin, and to 1 more" in text(agreed)
    assert "Ana" not in text(agreed)


def test_the_year_before_stands_beside_this_one() -> None:
    before = sowing(9, "zinnia", block(0, 0, 9), stage="thinned", days_ago=400)
    of = replace(sample(), sowings=(*sample().sowings, before))
    text = "".join(p.extract_text() for p in read(of).pages)
    assert text.count("The year before") == 2
    assert "11 of 20" in text
    assert "The year before" not in read(sample()).pages[0].extract_text()


def test_every_cause_place_and_lot_is_listed_however_many_there_are() -> None:
    sowings = tuple(
        replace(
            (made := sowing(n, CROPS[n % 8], block(0, 0, 5), stage="thinned", lot=f"L{n}")),
            happenings=(*made.happenings, happening("lost", TODAY, count=1, cause=f"cause {n}")),
        )
        for n in range(1, 31)
    )
    text = "".join(p.extract_text() for p in read(garden(sowings)).pages)
    assert all(f"Cause {n}\n" in text for n in range(1, 31))
    assert all(f"L{n} " in text for n in range(1, 31))


def test_invented_data_is_said_to_be() -> None:
    demo = replace(sample(), site=replace(sample().site, demo=True))
    assert "Invented data" in read(demo).pages[0].extract_text()
    assert "Invented data" not in read(sample()).pages[0].extract_text()


def test_paper_follows_the_country_of_the_group() -> None:
    american = replace(sample(), site=replace(sample().site, zone="America/Chicago"))
    assert float(read(american).pages[0].mediabox.height) == pytest.approx(792)
    assert float(read(sample()).pages[0].mediabox.height) == pytest.approx(841.9, abs=0.1)


def test_a_group_that_sowed_nothing_gets_an_honest_page() -> None:
    text = read(garden()).pages[0].extract_text()
    assert "Nothing was sown in the last year." in text
    assert "What we want to remember" in text


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(
        st.tuples(st.sampled_from(CROPS), st.sampled_from(STAGES[1:]), st.integers(0, 30)),
        max_size=40,
    ),
    st.sampled_from(["en", "es"]),
)
def test_nothing_overlaps_or_leaves_the_paper_and_the_last_page_is_filled(
    grown: list[tuple[str, str, int]], language: str
) -> None:
    sowings = tuple(
        replace(
            sowing(
                n,
                crop,
                block(0, 0, 5),
                stage=stage,
                variety=f"{LONG} {n}",
                lot=f"L{lot}",
                tray=f"T{n % 9}",
            ),
            happenings=(
                *sowing(n, crop, block(0, 0, 5), stage=stage).happenings,
                happening("lost", TODAY, count=1, cause=f"{LONG} {n}"),
            ),
        )
        for n, (crop, stage, lot) in enumerate(grown, 1)
    )
    of = garden(sowings)
    spoken = voice(language)
    pages = laid_out(of, told(of, sowings, spoken), spoken)
    for one in pages:
        assert faults(one) == []
    foot = next(p for p in pages[-1].texts() if p.what == "foot").y
    lowest = max(
        max(y for _, y in piece.points) if isinstance(piece, Path) else piece.y
        for piece in pages[-1].pieces
        if not (isinstance(piece, Text) and piece.what == "foot")
    )
    assert foot - lowest < 100
