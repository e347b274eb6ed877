"""Signs are found in members' sentences, and nothing is found where none is meant."""

from __future__ import annotations

import functools
import tomllib
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from core.trade.crops.table import CROPS
from core.trouble.sentence import stem, words_of
from core.trouble.symptoms import SYMPTOMS, match_symptoms

SENTENCES = tomllib.loads(Path(__file__).with_name("symptom_sentences.toml").read_text("utf-8"))
SAID = [(row["sign"], text) for row in SENTENCES["sentence"] for text in row["said"]]
OFF = SENTENCES["off"]["said"]


@functools.cache
def crop_names() -> frozenset[str]:
    return frozenset(name for crop in CROPS.rows() for name in (crop.name, *crop.synonyms))


def found(text: str) -> list[str]:
    return [match.symptom.id for match in match_symptoms(text, ignore=crop_names())]


def test_the_table_of_sentences_is_long_enough_and_covers_every_sign() -> None:
    assert len({text for _, text in SAID}) >= 150
    assert len(set(OFF)) >= 40
    assert {sign for sign, _ in SAID} == {symptom.id for symptom in SYMPTOMS.rows()}


@pytest.mark.parametrize(("sign", "text"), SAID)
def test_a_members_sentence_finds_its_sign_first(sign: str, text: str) -> None:
    assert found(text)[:1] == [sign]


@pytest.mark.parametrize("text", OFF)
def test_off_topic_words_find_nothing(text: str) -> None:
    assert found(text) == []


def test_two_signs_in_one_sentence_are_both_found() -> None:
    assert set(found("tall and floppy and a bit purple")) >= {"leggy", "purple_leaves"}
    assert set(found("leaves are pale and there are gnats")) == {"pale", "fungus_gnats"}


@pytest.mark.parametrize(
    "text", ["not wilting", "they aren't wilting", "no wilting at all", "isn't droopy, isn't limp"]
)
def test_a_denied_sign_is_not_found(text: str) -> None:
    assert "wilting" not in found(text)


def test_a_sign_after_a_denied_one_is_found() -> None:
    assert found("not wilting but the leaves are pale") == ["pale"]


def test_a_crop_name_is_no_sign() -> None:
    assert match_symptoms("purple basil is up", ignore=["purple basil"]) == ()
    assert match_symptoms("purple basil is leggy", ignore=["purple basil"])[0].symptom.id == "leggy"


def test_tray_and_cell_names_change_nothing() -> None:
    plain = match_symptoms("leaves are curling")
    assert match_symptoms("T12 A1-B3 leaves are curling") == plain


@pytest.mark.parametrize("word", ["leggy", "wilting", "patchy", "mildew", "aphids", "algae"])
def test_one_slip_of_the_finger_is_forgiven(word: str) -> None:
    for i in range(1, len(word) - 1):
        swapped = word[:i] + word[i + 1] + word[i] + word[i + 2 :]
        assert found(swapped)[:1] == found(word)[:1], swapped


def test_scores_lie_between_nought_and_one_and_fall() -> None:
    scores = [m.score for m in match_symptoms("pale leggy and wilting with gnats and algae")]
    assert scores == sorted(scores, reverse=True)
    assert all(0 < score <= 1 for score in scores)


def test_forms_of_one_word_share_a_stem() -> None:
    assert len({stem(w) for w in ("droop", "droops", "drooping", "droopy", "drooped")}) == 1
    assert stem("leaf") == stem("leaves") == stem("leafs")


def test_negation_reaches_to_the_end_of_its_clause_only() -> None:
    words = {t.surface: t.word.denied for t in words_of("not wilting, but pale")}
    assert words == {"wilting": True, "pale": False}


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=300))
@example("\x00")
@example("'’`´")
@example("no no no no")
def test_no_text_crashes_and_every_text_gives_the_same_twice(text: str) -> None:
    assert match_symptoms(text) == match_symptoms(text)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sampled_from(["no", "not", "leaves", "yellow", ",", "stem", "up", "12"])))
def test_no_pile_of_table_words_crashes(words: list[str]) -> None:
    for match in match_symptoms(" ".join(words)):
        assert 0 < match.score <= 1


def test_names_left_out_may_hold_anything() -> None:
    assert match_symptoms("leggy (a+b", ignore=["(a+b", "", " "])[0].symptom.id == "leggy"
