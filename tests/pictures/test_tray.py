"""The tray map."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.pictures import tray
from bot.pictures.model import Box, Drawing
from bot.pictures.palette import STAGES
from bot.pictures.sheet import SMALL
from core.errors import TrayUnknown
from core.group.garden import Garden
from core.group.growing import follow
from tests.pictures.drawings import keeps_the_rules
from tests.pictures.gardens import LONG, block, garden, gardens, sample, sowing, voice

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
        mine = {
            b.what.split()[1] for b in picture.boxes("cell ") if b.what.endswith(f" {one.code}")
        }
        alive = growing.stage.value != "finished"
        assert mine == ({c.label for c in growing.cells} if alive else set())


@given(st.lists(st.text(max_size=12), max_size=50))
def test_letters_are_all_different(names: list[str]) -> None:
    found = tray.letters(names)
    assert len(set(found)) == len(names)
    assert all(len(sign) == 1 for sign in found)


def test_a_sowing_takes_a_letter_of_its_own_name_where_one_is_left() -> None:
    assert tray.letters(["tomato", "tomato", "basil", "Ñandú"]) == ["T", "M", "B", "N"]


def test_cells_differ_by_pattern_for_stage_and_by_fill_for_crop() -> None:
    picture = drawn(sample())
    by_code: dict[str, Box] = {b.what.split()[-1]: b for b in picture.boxes("cell ")}
    assert {code: box.pattern for code, box in by_code.items()} == {
        "S1": STAGES["thinned"], "S2": STAGES["hardening"], "S3": STAGES["up"],
        "S4": STAGES["potted"], "S5": STAGES["sown"],
    }  # fmt: skip
    assert len(set(STAGES.values())) == len(STAGES)
    assert by_code["S1"].fill == by_code["S4"].fill  # both tomato
    assert len({by_code[code].fill for code in ("S1", "S2", "S3", "S5")}) == 4


def test_each_cell_wide_enough_carries_its_letter() -> None:
    picture = drawn(sample())
    assert len(words(picture, "sign ")) == len(picture.boxes("cell "))
    assert all(t.size >= SMALL for t in picture.texts() if t.what.startswith("sign "))


@CALM
@given(gardens())
def test_letters_and_numbers_of_cells_are_never_cut(of: Garden) -> None:
    picture = drawn(of)
    signs = dict.fromkeys(words(picture, "sign"))
    assert all(sign in tray.SPARE for sign in signs)
    assert all(number.isdecimal() for number in words(picture, "column"))


def test_cells_too_narrow_for_a_letter_get_none_but_rows_and_columns_keep_their_names() -> None:
    picture = drawn(garden((sowing(1, "tomato", block(0, 0, 39, 3)),), rows=26, cols=40))
    assert words(picture, "row") == [chr(65 + n) for n in range(26)]
    assert words(picture, "column")[0] == "1"
    assert len(words(picture, "column")) < 40
    assert not words(picture, "sign A2")


def test_a_long_name_is_cut_with_dots() -> None:
    picture = drawn(garden((sowing(1, "pepper", block(0, 0, 3), variety=LONG),)))
    assert any(t.endswith("…") for t in words(picture, "legend"))
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
    assert "tomato (Amber Pip) in A1-B6: thinned" in said
    assert "basil in F1-F3: not up yet" in said
    assert "Shelf A, 72 cells" in said


def test_a_tray_that_is_gone_is_said_so() -> None:
    with pytest.raises(TrayUnknown):
        tray.drawing(sample(), "T9", voice())
