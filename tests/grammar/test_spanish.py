"""Spanish command words: one meaning each, for every command, whatever the speaker's language."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.grammar import parse
from bot.grammar.commands import COMMANDS, WORDS, command_of
from bot.grammar.spanish import as_english, words_of
from bot.grammar.spanish_rules import OF_COMMAND
from bot.grammar.spanish_words import COMMAND_WORDS, KEPT, LED
from core.folding import plain
from core.trade.crops.row import CROPS, Crop
from tests.grammar.test_never_crashes import check
from tests.grammar.test_phrasings import CONTEXT, ROWS

SPANISH = replace(CONTEXT, language="es")
TAUGHT = [command for command in COMMANDS if command.section != "buttons"]


@pytest.mark.parametrize("command", TAUGHT, ids=lambda command: command.word)
def test_every_command_that_people_type_has_a_spanish_word(command) -> None:
    assert words_of(command)


def test_no_spanish_word_stands_for_two_commands_or_is_an_english_one() -> None:
    said = Counter(plain(word) for words in COMMAND_WORDS.values() for word in words)
    assert [word for word, times in said.items() if times > 1] == []
    assert set(said) & set(WORDS) == set()
    assert all(command_of(word) is not None for word in (*COMMAND_WORDS, *OF_COMMAND))
    assert set(said) >= KEPT | LED


@pytest.mark.parametrize("typed", [row[0] for row in ROWS])
def test_a_line_means_the_same_to_one_whose_language_is_spanish(typed: str) -> None:
    def read(context):
        return [(one.request, type(one.problem), one.choices) for one in parse(typed, context)]

    assert read(SPANISH) == read(CONTEXT)


@pytest.mark.parametrize(
    "line",
    [
        "watered T1 for Ana yesterday",
        "/note T1: hoy regado por Ana",
        "note regado, seco, ayer",
        "/ask por qué están secas las hojas",
        "sow tomato Fila T1 A1-B3",
    ],
)
def test_english_lines_and_free_text_stay_as_typed(line: str) -> None:
    assert as_english(line, CONTEXT) == line


def test_names_and_quoted_words_are_never_put_into_english() -> None:
    domingo = replace(SPANISH, members=("Domingo", "Luz Mayo"))
    assert as_english("siembra tomate T1 A1 para Luz Mayo", domingo).endswith("for Luz Mayo")
    assert as_english("regado T1 para Domingo", domingo) == "watered T1 for Domingo"
    line = as_english('siembra tomate "Todo Sol" T1 A1 ayer', domingo)
    assert line == 'sow tomate "Todo Sol" T1 A1 yesterday'


@pytest.mark.parametrize(
    ("typed", "english"),
    [
        ("regado T1 anteayer", "watered T1 day before yesterday"),
        ("regado T1 el lunes pasado", "watered T1 last mon"),
        ("regado T1 el miércoles", "watered T1 wed"),
        ("regado T1 hace una semana", "watered T1 1 weeks ago"),
        ("ausente dentro de 3 días", "away in 3 days"),
        ("ausente el próximo viernes", "away next fri"),
        ("turno Ana todos los sábados", "duty Ana every sat"),
        ("heladas 3 de mayo de 2027", "frost 3 may 2027"),
        ("heladas 3 ene", "frost 3 jan"),
        ("heladas 12 dic", "frost 12 dec"),
        ("heladas 15 ago", "frost 15 aug"),
        ("heladas 1 sept", "frost 1 sep"),
    ],
)
def test_days_and_months_are_read(typed: str, english: str) -> None:
    assert as_english(typed, CONTEXT) == english


@pytest.mark.parametrize("crop", CROPS.rows(), ids=lambda crop: crop.id)
def test_every_spanish_crop_name_can_be_sown(crop: Crop) -> None:
    for name in (crop.name_es, *crop.names_es):
        (line,) = parse(f"siembra {name} T1 A1-A2 ayer", SPANISH)
        found = [line.request] if line.request else line.choices
        assert crop.id in {one.crop for one in found}, name
        assert all(one.variety is None and one.on is not None for one in found), name


SCRAPS = [
    *(word for words in COMMAND_WORDS.values() for word in words), "T1", "T2", "A1-B3", "A1 a B3",
    "fila B", "columna 3", "todo", "todas las bandejas", "12", "tres", "una por celda", "ayer",
    "hace dos semanas", "dentro de 999 días", "el 31 de abril", "del 3 al 10 de mayo",
    "del 30 al 2 de ene",
    "tomate", "de tomate", "por babosas", "a Ana", "para mesa 2", "seca", "en su punto",
    "20 grados", "mínima", "a", "de", "el", "y", "no", "\ue000", '"ayer"', '"', "¿", "?", "/", ",",
]  # fmt: skip


@settings(max_examples=400, deadline=None)
@given(
    scraps=st.lists(st.sampled_from(SCRAPS), max_size=10),
    language=st.sampled_from(["en", "es"]),
)
def test_any_pile_of_spanish_words_gets_one_outcome(scraps: list[str], language: str) -> None:
    check(" ".join(scraps), replace(CONTEXT, language=language))
