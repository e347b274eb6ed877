"""Sheets for the wall and tags: what stands on them, and that nothing overlaps or is cut."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from bot.papers import pdf, sheets, tags
from bot.papers.page import Page
from bot.pictures.model import Box, Code
from bot.wording.pieces.cautions import caution_lines
from core.group.garden import ClosureOf, DutyOf, Garden, LotOf, MemberOf, TrayOf
from core.handlers.shares import care_card
from core.replies.sheets import Tag
from core.trade.cautions import crop_cautions
from core.trade.crops.table import CROPS as CROP_ROWS
from core.trade.label_grids import PAPER_MM, Paper
from tests.core.group.test_to_sow import entry
from tests.pictures.gardens import CROPS, STAGES, TODAY, block, garden, sample, sowing, voice
from tests.pictures.laid_out import cut, faults, words

A4 = PAPER_MM[Paper.A4]
FORTY = "Señora Esperanza del Huerto Grande y Más"
SHEETS = {"week": sheets.week, "sowing": sheets.sowing, "rota": sheets.rota}


def busy() -> Garden:
    plan = {
        "sowings": [
            entry(1, "tomato", 2, 30, shelf="A"),
            entry(2, "lettuce", 8, 20, variety="Oak, red"),
        ]
    }
    return replace(
        sample(),
        plan=plan,
        trays={**sample().trays, "T2": TrayOf(id=2, code="T2", rows=6, cols=12, shelf="A")},
        lots={"L1": LotOf(id=1, code="L1", crop="tomato", variety="Amber Pip")},
        duties=(
            DutyOf(id=1, member=1, weekdays=(0, 2, 4)),
            DutyOf(id=2, member=2, weekdays=(1, 3)),
        ),
        closures=(
            ClosureOf(id=1, first=date(2027, 4, 9), last=date(2027, 4, 12), label="Spring break"),
        ),
    )


def text_of(pages: tuple[Page, ...]) -> str:
    found = PdfReader(io.BytesIO(pdf.painted(pages, "x")))
    return "\n".join(page.extract_text() for page in found.pages)


def test_the_fortnight_says_who_what_and_when_with_boxes() -> None:
    pages = sheets.week(busy(), A4, voice(bot_name="bench_bot"))
    said = text_of(pages)
    for words_said in ("Mon 5 Apr", "Robin", "Sow tomato, 30 cells", "Closed: Spring break"):
        assert words_said in said, words_said
    boxes = [p for page in pages for p in page.pieces if isinstance(p, Box) and p.what == "tick"]
    jobs = [t for page in pages for t in page.texts() if t.what == "job"]
    assert 5 < len(boxes) <= len(jobs)
    (code,) = [p for p in pages[0].pieces if isinstance(p, Code)]
    assert code.text == "https://t.me/bench_bot"


def test_no_work_is_asked_for_on_days_nobody_can_get_in() -> None:
    pages = sheets.week(busy(), A4, voice())
    rows: dict[str, list[str]] = {}
    day = ""
    for text in pages[0].texts():
        if text.what == "day":
            day = text.text
        if text.what == "job":
            rows.setdefault(day, []).append(text.text)
    for closed in ("Fri 9 Apr", "Sat 10 Apr", "Sun 11 Apr", "Mon 12 Apr"):
        assert rows[closed] == ["Closed: Spring break"]
    assert any("lettuce" in job for job in rows["Tue 13 Apr"])


def test_a_sowing_sheet_says_which_packet_tray_depth_and_how_many() -> None:
    said = text_of(sheets.sowing(busy(), A4, voice(bot_name="bench_bot")))
    assert "To sow until Fri 16 Apr: 2 packets" in said
    for part in ("L1 tomato", "T1 A7-B12", "30 cells of 2 seeds", "60; 6 mm deep", "on top"):
        assert part in said.replace("\n", " "), part


def test_the_rota_has_everybody_for_four_weeks() -> None:
    (page,) = sheets.rota(busy(), A4, voice())
    assert page.width > page.height
    assert [t.text for t in page.texts() if t.what == "who"].count("Robin") >= 7


def test_a_tag_speaks_the_familys_language_and_warns() -> None:
    of = busy()
    made = [
        Tag(
            crop="tomato", variety=None, name="Ruiz", language="es", plants=2, tray="T1",
            care=care_card(of, "tomato", TODAY), cautions=("tomato",),
        )
    ]  # fmt: skip
    made = [replace(made[0], cautions=())]
    said = text_of(tags.laid_out(made, A4, voice(bot_name="bench_bot")))
    assert "Tomate" in said
    assert "Ruiz: 2 plantas" in said
    assert "12 may" in " ".join(said.split())


@pytest.mark.parametrize("paper", [Paper.A4, Paper.LETTER])
@pytest.mark.parametrize("language", ["en", "es"])
def test_every_caution_of_a_crop_stands_whole_on_its_tag(paper: Paper, language: str) -> None:
    """What has no room at the end of a care card is care in general, never a caution."""
    of, kinds = garden(), {frozenset(crop.hazards): crop for crop in CROP_ROWS.rows()}
    assert len(kinds) > 5
    for crop in kinds.values():
        warned = tuple(row.id for row in crop_cautions(h.value for h in crop.hazards))
        tag = Tag(
            crop=crop.id, variety=FORTY, name=FORTY, language=language, plants=12, tray="T1",
            care=care_card(of, crop.id, TODAY), cautions=warned,
        )  # fmt: skip
        own = replace(voice(bot_name="bench_bot"), language=language)
        said = " ".join(text_of(tags.laid_out([tag], PAPER_MM[paper], own)).split())
        for line in caution_lines(own, warned):
            assert " ".join(line.removeprefix("⚠").split()) in said, (crop.id, line)


NAMES = st.sampled_from(["Ana", FORTY, "X" * 40])


@st.composite
def gardens(draw: st.DrawFn) -> Garden:
    rows = draw(st.integers(1, 60))
    varieties = st.sampled_from([None, "Amber Pip", FORTY])
    sown = tuple(
        sowing(
            n, draw(st.sampled_from(CROPS)), block(n % 26, 0, 3),
            stage=draw(st.sampled_from(STAGES)),
            variety=draw(varieties), tray=f"T{n % 7 + 1}", days_ago=draw(st.integers(3, 60)),
        )
        for n in range(1, rows + 1, 2)
    )  # fmt: skip
    plan = [
        entry(n, draw(st.sampled_from(CROPS)), draw(st.integers(-20, 30)), n % 70 + 1,
              variety=draw(varieties), plant_out="2027-06-01", harden_from="2027-04-10")
        for n in range(2, rows + 1, 2)
    ]  # fmt: skip
    members = {
        n: MemberOf(id=n, name=draw(NAMES), person=n, coordinator=n == 1) for n in range(1, 9)
    }
    duties = tuple(
        DutyOf(id=n, member=n, weekdays=tuple(sorted(draw(st.sets(st.integers(0, 6))))))
        for n in members
    )
    closures = tuple(
        ClosureOf(id=n, first=TODAY + timedelta(days=n), last=TODAY + timedelta(days=n + 2),
                  label=draw(st.sampled_from([None, FORTY])))
        for n in draw(st.sets(st.integers(0, 25), max_size=3))
    )  # fmt: skip
    of = garden(sown, rows=26, cols=12, plan={"sowings": plan}, duties=duties, closures=closures)
    trays = {f"T{n}": TrayOf(id=n, code=f"T{n}", rows=26, cols=12, shelf="A") for n in range(1, 8)}
    return replace(of, trays=trays, members=members)


@pytest.mark.parametrize("kind", SHEETS)
@pytest.mark.parametrize("language", ["en", "es"])
@settings(max_examples=34, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(of=gardens())
def test_nothing_overlaps_leaves_the_paper_or_is_cut(of: Garden, language: str, kind: str) -> None:
    spoken = replace(
        voice(language, bot_name="bench_bot"),
        people={number: member.name for number, member in of.members.items()},
    )
    made = SHEETS[kind](of, A4, spoken)
    for page in made:
        assert faults(page) == []
        assert cut(page) == []
    assert words(made)


@settings(max_examples=34, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(st.tuples(st.sampled_from(CROPS), NAMES, st.sampled_from([None, FORTY])), max_size=20),
    st.sampled_from(["en", "es"]),
)
def test_no_word_of_a_tag_overlaps_or_is_cut(
    wished: list[tuple[str, str, str | None]], language: str
) -> None:
    of = garden()
    made = [
        Tag(
            crop=crop, variety=variety, name=name, language=language, plants=12, tray="T1",
            care=care_card(of, crop, TODAY), cautions=(),
        )
        for crop, name, variety in wished
    ]  # fmt: skip
    for page in tags.laid_out(made, PAPER_MM[Paper.LETTER], voice(bot_name="bench_bot")):
        assert faults(page) == []
        assert cut(page) == []
