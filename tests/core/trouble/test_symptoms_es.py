"""Signs are found in Spanish sentences, and nothing is found where none is meant."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from core.trade.crops.table import CROPS
from core.trouble.symptoms import SYMPTOMS, match_symptoms

SENTENCES = tomllib.loads(Path(__file__).with_name("symptom_sentences_es.toml").read_text("utf-8"))
SAID = [(row["sign"], text) for row in SENTENCES["sentence"] for text in row["said"]]
NAMES = frozenset(name for crop in CROPS.rows() for name in (crop.name_es, *crop.names_es))
COMMONEST = {
    "no_emergence", "patchy_emergence", "slow_emergence", "damping_off", "leggy", "purple_leaves",
    "yellow_cotyledons", "pale", "leaf_curl", "green_on_soil", "white_fuzz", "fungus_gnats",
    "wilting",
}  # fmt: skip


def found(text: str) -> list[str]:
    return [match.symptom.id for match in match_symptoms(text, ignore=NAMES)]


def test_the_commonest_signs_have_spanish_wordings_and_sentences_of_their_own() -> None:
    wordings = {row.id: row.phrases_es for row in SYMPTOMS.rows() if row.phrases_es}
    assert set(wordings) >= COMMONEST
    assert sum(len(wordings[sign]) for sign in COMMONEST) >= 60
    assert {sign for sign, _ in SAID} >= COMMONEST
    assert len(SAID) >= 60
    assert not {text for _, text in SAID} & {p for row in wordings.values() for p in row}


@pytest.mark.parametrize(("sign", "text"), SAID)
def test_a_spanish_sentence_finds_its_sign_first(sign: str, text: str) -> None:
    assert found(text)[:1] == [sign]


@pytest.mark.parametrize("text", SENTENCES["off"]["said"])
def test_spanish_words_off_the_matter_find_nothing(text: str) -> None:
    assert found(text) == []
