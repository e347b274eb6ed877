"""The season on one page."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from bot.papers.report import page
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


def read(of: Garden, language: str = "en") -> PdfReader:
    found = season_results(of, of.sowings, TODAY)
    return PdfReader(io.BytesIO(page(of, found, voice(language))))


def test_the_page_says_the_figures_and_what_they_rest_on() -> None:
    text = read(sample()).pages[0].extract_text()
    found = season_results(sample(), sample().sowings, TODAY)
    assert found.total is not None
    assert f"of {found.total.seeds} seeds came up" in text
    assert f"{found.total.share:.0%}" in text
    assert "L1 tomato (Amber Pip)" in text
    assert "95% Wilson interval" in text
    assert "7 CFR 201.31" in text


def test_no_member_is_named() -> None:
    text = read(sample()).pages[0].extract_text()
    assert "2 members" in text
    assert "Robin" not in text
    assert "Ana" not in text


def test_invented_data_is_said_to_be() -> None:
    demo = replace(sample(), site=replace(sample().site, demo=True))
    assert "Invented data" in read(demo).pages[0].extract_text()
    assert "Invented data" not in read(sample()).pages[0].extract_text()


def test_paper_follows_the_units_of_the_group() -> None:
    american = replace(sample(), site=replace(sample().site, inches=True))
    assert float(read(american).pages[0].mediabox.height) == pytest.approx(792)
    assert float(read(sample()).pages[0].mediabox.height) == pytest.approx(841.9, abs=0.1)


def test_a_group_that_sowed_nothing_gets_an_honest_page() -> None:
    text = read(garden()).pages[0].extract_text()
    assert "nothing was sown" in text
    assert "none yet" in text


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(
        st.tuples(st.sampled_from(CROPS), st.sampled_from(STAGES[1:]), st.integers(0, 30)),
        max_size=40,
    ),
    st.sampled_from(["en", "es"]),
)
def test_it_is_always_one_page_and_nothing_runs_off_its_foot(
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
    found = read(garden(sowings), language)
    assert len(found.pages) == 1
    heights = []

    def visit(text: str, _: object, matrix: list[float], font: object, size: float) -> None:
        if text.strip():
            heights.append(matrix[5])

    found.pages[0].extract_text(visitor_text=visit)
    assert min(heights) > 16 / 25.4 * 72 - 4  # the lower margin
