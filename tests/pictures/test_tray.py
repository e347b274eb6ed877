"""The tray map."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.pictures import tray
from bot.pictures.cell_signs import SIGNS, Tally
from bot.pictures.model import Drawing, Mark, Path
from core.errors import TrayUnknown
from core.group.garden import Garden
from core.group.growing import follow
from tests.pictures.drawings import keeps_the_rules
from tests.pictures.gardens import (
    LONG,
    TODAY,
    block,
    garden,
    gardens,
    happening,
    sample,
    sowing,
    voice,
)

CALM = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def drawn(of: Garden, language: str = "en") -> Drawing:
    return tray.drawing(of, "T1", voice(language))


def words(drawing: Drawing, what: str) -> list[str]:
    return [text.text for text in drawing.texts() if text.what.startswith(what)]


@CALM
@given(gardens(), st.sampled_from(["en", "es"]))
def test_no_words_overlap_or_leave_the_picture_whatever_grows(of: Garden, language: str) -> None:
    keeps_the_rules(drawn(of, language))


@CALM
@given(gardens())
def test_every_cell_is_drawn_once_and_by_its_sowing(of: Garden) -> None:
    picture = drawn(of)
    t1 = of.trays["T1"]
    cells = picture.boxes("cell ") + picture.boxes("free ")
    assert len(cells) == t1.rows * t1.cols
    assert len({box.what.split()[1] for box in cells}) == len(cells)
    for one in of.sowings:
        growing = follow(one)
        mine = {b.what.split()[1] for b in picture.boxes("cell ") if b.what.split()[2] == one.code}
        alive = growing.stage.value != "finished"
        assert mine == ({c.label for c in growing.cells} if alive else set())


@CALM
@given(gardens())
def test_the_signs_of_a_sowing_add_up_to_its_cells_and_are_what_is_said(of: Garden) -> None:
    picture = drawn(of)
    signs = [p.shape for p in picture.pieces if isinstance(p, Mark) and p.what == "sign"]
    expected: dict[str, int] = dict.fromkeys(SIGNS, 0)
    for one in of.sowings:
        growing = follow(one)
        if growing.stage.value != "finished" and growing.tray == "T1":
            pairs = Tally.of(one, growing).pairs()
            assert sum(n for _, n in pairs) == len(growing.cells)
            for state, n in pairs:
                expected[state] += n
    assert {s: signs.count(sign) for s, sign in SIGNS.items()} == expected
    for state, n in expected.items():
        if n:
            said = {
                "up": f"{n} with a plant", "moved": f"{n} moved on",
                "lost": f"{n} cell lost" if n == 1 else f"{n} cells lost",
                "wait": f"{n} sown, not up", "none": f"{n} nothing came",
            }[state]  # fmt: skip
            assert said in picture.caption


def test_cells_tell_what_lives_what_is_lost_and_what_moved_on() -> None:
    one = sowing(1, "tomato", block(0, 0, 9), stage="thinned", per_cell=1, up=8)
    more = (
        happening("lost", TODAY, count=2),
        happening("planted", TODAY, count=1),
    )
    one = replace(one, happenings=(*one.happenings, *more))
    picture = drawn(garden((one,)))
    states = [b.what.split()[-1] for b in picture.boxes("cell ")]
    assert states == ["up"] * 5 + ["moved"] + ["lost"] * 2 + ["none"] * 2


def test_twelve_of_forty_up_leaves_twenty_eight_cells_waiting() -> None:
    one = sowing(1, "celery", block(0, 0, 9, 4), stage="up", per_cell=1, up=12)
    picture = drawn(garden((one,)))
    states = [b.what.split()[-1] for b in picture.boxes("cell ")]
    assert (states.count("up"), states.count("wait")) == (12, 28)


def test_each_block_is_named_once_over_its_first_cell() -> None:
    picture = drawn(sample())
    assert words(picture, "name ")[0] == "S1 tomato (Amber Pip)"
    assert len(words(picture, "name ")) == 5


@CALM
@given(gardens())
def test_no_stem_of_a_name_runs_through_another_name(of: Garden) -> None:
    picture = drawn(of)
    stems = [p for p in picture.pieces if isinstance(p, Path) and p.what == "stem"]
    for text in picture.texts():
        if text.what.startswith("name "):
            for stem in stems:
                x, (top, bottom) = stem.points[0][0], sorted(y for _, y in stem.points)
                crossed = min(bottom, text.y + text.h) - max(top, text.y)
                assert not (text.x < x < text.x + text.w and crossed > 2), text


def test_rows_and_columns_keep_their_names_however_narrow() -> None:
    picture = drawn(garden((sowing(1, "tomato", block(0, 0, 39, 3)),), rows=26, cols=40))
    assert words(picture, "row") == [chr(65 + n) for n in range(26)]
    assert words(picture, "column")[0] == "1"
    assert len(words(picture, "column")) < 40


def test_a_long_name_is_cut_with_dots() -> None:
    picture = drawn(garden((sowing(1, "pepper", block(0, 0, 3), variety=LONG),)))
    assert [t.endswith("…") for t in words(picture, "name ")] == [True]
    assert LONG in picture.caption


def test_the_days_work_of_the_tray_stands_below() -> None:
    of = sample()
    picture = drawn(of)
    assert words(picture, "work")[0] == "To do today"
    assert len(words(picture, "work")) > 1
    empty = drawn(garden())
    assert words(empty, "work") == ["Nothing to do today."]


def test_the_caption_says_the_same_in_words() -> None:
    said = drawn(sample()).caption
    assert "tomato (Amber Pip) in A1-B6: 12 with a plant; thinned" in said
    assert "basil in F1-F3: 3 sown, not up" in said
    assert "Shelf A, 72 cells" in said


def test_a_tray_that_is_gone_is_said_so() -> None:
    with pytest.raises(TrayUnknown):
        tray.drawing(sample(), "T9", voice())
