"""Letters: which there are, how wide, and how what is missing is written."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfbase.ttfonts import TTFont

from bot.pictures import fonts


def test_the_faces_have_every_letter_they_are_said_to_have() -> None:
    for bold in (False, True):
        has = TTFont(f"held-{bold}", str(fonts.path(bold))).face.charToGlyph
        assert sorted(chr(code) for code in fonts.COVERED if code not in has) == []


def test_spanish_and_units_are_covered() -> None:
    for text in ("áéíóúüñÁÉÍÓÚÜÑ¿¡ºª", "21 °C, 180 µmol/m²/s, 5–7 × 2 …", "«” ’"):
        assert fonts.covered(text) == text


def test_what_the_faces_lack_loses_its_mark_or_becomes_a_line_to_write_on() -> None:
    assert fonts.covered("Łódź, Šárka, Ivănescu, Nguyễn") == "Łódź, Šárka, Ivănescu, Nguyễn"
    assert fonts.covered("Ольга, Ελένη") == "Ольга, Ελένη"
    assert fonts.covered("トマト tomato 🍅") == "____ tomato "
    assert fonts.covered("ليلى 小明") == "____ ____"
    assert fonts.covered("ḋot") == "dot"
    assert fonts.covered("a\u202fb\nc, −2 ≤ 3") == "a b c, –2 <= 3"


def test_no_name_is_written_with_question_marks() -> None:
    assert "?" not in fonts.covered("ليلى 小明 தமிழ் 한국")


def test_the_licence_is_shipped_beside_the_faces() -> None:
    words = (fonts.path().parent / "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in words
    assert "NotoSans-Regular.ttf" in words


@given(st.text(max_size=60), st.floats(8, 24), st.floats(20, 366), st.booleans())
def test_a_cut_text_fits_and_is_whole_where_it_can_be(
    text: str, size: float, most: float, bold: bool
) -> None:
    shown = fonts.cut(text, size, most, bold)
    whole = fonts.covered(text)
    assert fonts.width(shown, size, bold) <= most or shown == fonts.CUT
    assert shown == whole or shown.endswith(fonts.CUT)


@given(st.text(max_size=200), st.integers(1, 5))
def test_wrapped_lines_fit_and_lose_no_word_unless_cut(text: str, lines: int) -> None:
    found = fonts.wrapped(text, 12.5, 200, lines)
    assert len(found) <= lines
    assert all(fonts.width(line, 12.5) <= 200 for line in found)
    if not any(line.endswith(fonts.CUT) for line in found):
        assert " ".join(found) == " ".join(fonts.covered(text).split())
