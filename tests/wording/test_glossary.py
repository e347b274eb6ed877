"""The catalogue keeps to the words of the trade; each has its source."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from bot.wording.extract import read
from core.trade.tables.glossary import TERMS, Term, plain_letters

# Phrases that use the English word in another sense, or name the thing by a pronoun or otherwise.
OTHERWISE: dict[str, set[str]] = {
    "heat_mat": {"On a capillary mat that hangs into water; try it two days before."},
}
OTHER_BEGINNINGS = {"mix": "Bleach is for adults", "frost": "Then say /frost"}
PLACES = re.compile(r"\{\w+\}|/[a-z]+(?: [\w/.:%-]+)*")


def pairs() -> list[tuple[str, str]]:
    """Return every English form with its Spanish one, commands and places taken out."""
    found = []
    for message in read("es"):
        if message.id:
            english = (message.id,) if isinstance(message.id, str) else tuple(message.id)
            spanish = (
                (message.string,) if isinstance(message.string, str) else tuple(message.string)
            )
            found += list(zip(english, spanish, strict=True))
    return found


PAIRS = pairs()


def uses(term: Term, english: str) -> bool:
    text = PLACES.sub(" ", english).lower().replace("-", " ")
    if english.startswith(OTHER_BEGINNINGS.get(term.id, "\0")):
        return False
    for other in TERMS.rows():
        if other.id != term.id:
            for form in other.en_forms:
                text = text.replace(form, " ") if " " in form else text
    return any(re.search(rf"(?<!\w){form}(?!\w)", text) for form in term.en_forms)


@pytest.mark.parametrize("term", TERMS.rows(), ids=lambda term: term.id)
def test_a_translation_uses_the_glossarys_word(term: Term) -> None:
    used = [(english, spanish) for english, spanish in PAIRS if uses(term, english)]
    assert used
    wrong = [
        (english, spanish)
        for english, spanish in used
        if not any(stem in plain_letters(spanish) for stem in term.es_stems)
        and english not in OTHERWISE.get(term.id, set())
    ]
    assert wrong == []


def test_no_exception_is_left_over() -> None:
    terms = TERMS.by_id()
    english = {one for one, _ in PAIRS}
    for name, phrases in OTHERWISE.items():
        assert phrases <= english, name
        assert all(uses(terms[name], phrase) for phrase in phrases), name


def test_words_used_elsewhere_are_not_mixed_in() -> None:
    mixed = [
        (term.id, word, spanish)
        for term in TERMS.rows()
        for word in term.es_elsewhere
        for _, spanish in PAIRS
        if re.search(rf"(?<!\w){re.escape(plain_letters(word))}(?!\w)", plain_letters(spanish))
    ]
    assert [row for row in mixed if not row[2].startswith("La lejía (cloro)")] == []


def test_two_terms_with_one_form_are_a_fault(tmp_path: Path) -> None:
    row = '[[term]]\nid = "{0}"\nen = "sow"\nes = "{1}"\nen_forms = ["sow"]\nes_stems = ["sembr"]\n'
    text = row.format("a", "sembrar") + 'source = "from memory"\n'
    text += row.format("b", "echar") + 'source = "from memory"\n'
    (tmp_path / "glossary.toml").write_text(text)
    (tmp_path / "sources.toml").write_text(
        '[[source]]\nkey = "MEMORY"\ncitation = "-"\nstatus = "from_memory"\n'
        'aliases = ["from memory"]\n'
    )
    _, faults = TERMS.read(tmp_path)
    assert {(fault.row, fault.field) for fault in faults} == {("b", "en_forms"), ("b", "es_stems")}
