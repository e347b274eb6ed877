"""The Spanish catalogue says every phrase of the code, and nothing else."""

from __future__ import annotations

import re
import string
from collections import Counter
from datetime import date
from typing import Any

import pytest

from bot.grammar.commands import WORDS
from bot.wording.catalogue import translations
from bot.wording.extract import path_of, read, table_phrases, template, updated
from bot.wording.voice import Voice

CATALOGUE = read("es")
PHRASES = [message for message in CATALOGUE if message.id]
SAID = template()
TABLES = {phrase for phrase in table_phrases() if phrase}
SAME = {
    # alike in both languages, or a figure with its unit
    "R{act}  {what}",
    "A4", "No", "cm", "no", "{lux} lx", "{ppfd} µmol m⁻² s⁻¹", "{n} x {lamp}",
    "R{act}  {what}, {who}, {day}",
}  # fmt: skip
COMMAND = re.compile(r"(?<![\w/])/([a-z]+)")


def forms(value: Any) -> tuple[str, ...]:
    """Return a message's forms: one, or singular and plural."""
    return (value,) if isinstance(value, str) else tuple(value)


def fields(text: str) -> set[str]:
    """Return the names of the places to fill."""
    return {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}


def key(message: Any) -> str:
    return forms(message.id)[0]


def test_the_catalogue_is_exactly_what_the_extractor_writes() -> None:
    assert path_of("es").read_text("utf-8") == updated("es")


def test_every_phrase_of_the_code_and_the_tables_is_there_and_no_other() -> None:
    kept = {key(message) for message in PHRASES}
    said = {key(message) for message in SAID if message.id}
    assert said - kept == set(), "run: python -m bot.wording.extract"
    assert kept - said == set(), "run: python -m bot.wording.extract"
    assert len(kept) > 1500
    assert kept >= TABLES


def test_every_phrase_has_a_translation_and_none_is_fuzzy() -> None:
    assert [key(m) for m in PHRASES if not all(forms(m.string or ""))] == []
    assert [key(m) for m in PHRASES if m.fuzzy] == []


def test_plural_phrases_have_both_forms_and_others_have_one() -> None:
    assert CATALOGUE.num_plurals == 2
    assert [key(m) for m in PHRASES if len(forms(m.string)) != len(forms(m.id))] == []


def test_a_translation_has_the_places_of_its_phrase() -> None:
    wrong = [
        key(message)
        for message in PHRASES
        if key(message) not in TABLES
        for english, spanish in zip(forms(message.id), forms(message.string), strict=True)
        if fields(english) != fields(spanish)
    ]
    assert wrong == []


def test_a_translation_keeps_the_commands_and_they_exist() -> None:
    wrong = [
        (key(message), spanish)
        for message in PHRASES
        for english, spanish in zip(forms(message.id), forms(message.string), strict=True)
        if Counter(COMMAND.findall(english)) != Counter(COMMAND.findall(spanish))
    ]
    assert wrong == []
    typed = {word for m in PHRASES for text in forms(m.string) for word in COMMAND.findall(text)}
    assert typed <= set(WORDS)


def test_a_translation_begins_and_ends_like_its_phrase() -> None:
    def ends(text: str) -> tuple[str, str, str]:
        last = text.rstrip()[-1:]
        return (
            text[: len(text) - len(text.lstrip())],
            text[len(text.rstrip()) :],
            last if last in ".:?;…" else "",
        )

    wrong = [
        (english, spanish)
        for message in PHRASES
        for english, spanish in zip(forms(message.id), forms(message.string), strict=True)
        if ends(english) != ends(spanish) and "ñ" not in spanish[-3:]
    ]
    assert wrong == []


def test_nothing_is_left_in_english() -> None:
    def words(text: str) -> str:
        return re.sub(r"[\W\d_]+", " ", re.sub(r"\{\w+\}|/\w+", " ", text)).strip()

    left = [
        english
        for message in PHRASES
        for english, spanish in zip(forms(message.id), forms(message.string), strict=True)
        if english == spanish and words(english) and english not in SAME
    ]
    assert left == []


def test_questions_and_exclamations_open_as_spanish_ones_do() -> None:
    wrong = [
        spanish
        for message in PHRASES
        for spanish in forms(message.string)
        if spanish.count("?") != spanish.count("¿") or spanish.count("!") != spanish.count("¡")
    ]
    assert wrong == []


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_phrase_can_be_said(language: str) -> None:
    voice = Voice(today=date(2027, 3, 1), language=language)
    for message in PHRASES:
        if key(message) in TABLES:
            assert translations(language).gettext(key(message))
            continue
        english = forms(message.id)
        values = dict.fromkeys(set().union(*map(fields, english)), "7")
        if len(english) == 1:
            said = [voice.say(english[0], **values)]
        else:
            values.pop("n", None)
            said = [voice.say_n(english[0], english[1], n, **values) for n in (0, 1, 2, 21)]
        for text in said:
            assert text
            assert "{" not in text


def test_spanish_counts_one_apart_from_none_and_many() -> None:
    voice = Voice(today=date(2027, 3, 1), language="es")
    assert [voice.say_n("{n} seed", "{n} seeds", n) for n in (0, 1, 2)] == [
        "0 semillas", "1 semilla", "2 semillas",
    ]  # fmt: skip
