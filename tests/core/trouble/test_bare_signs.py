"""A single word names a sign once it is said of what; alone it does not."""

import pytest

from core.trouble.symptoms import SYMPTOMS, match_bare, match_symptoms


@pytest.mark.parametrize(
    ("sentence", "sign"),
    [
        ("tomatoes are tall", "leggy"),
        ("basil is yellow", "pale"),
        ("T1 droopy!!", "wilting"),
        ("the pepper leaves went purple", "purple_leaves"),
        ("mould in T3", "white_fuzz"),
        ("albahaca amarilla", "pale"),
    ],
)
def test_a_bare_word_names_a_sign(sentence: str, sign: str) -> None:
    assert [match.symptom.id for match in match_bare(sentence)][:1] == [sign]


@pytest.mark.parametrize("sentence", ["basil is not yellow", "tomatoes never looked better", ""])
def test_what_is_denied_or_fine_names_none(sentence: str) -> None:
    assert match_bare(sentence) == ()


def test_a_bare_word_belongs_to_one_sign() -> None:
    words = [word for row in SYMPTOMS.rows() for word in row.bare_words]
    assert words
    assert len(words) == len(set(words))


def test_without_plants_named_a_bare_word_stays_no_sign() -> None:
    assert match_symptoms("yellow") == ()
    assert match_symptoms("she looks tall") == ()
