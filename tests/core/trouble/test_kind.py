"""Whose question it is."""

from __future__ import annotations

import pytest

from core.trouble.concepts import fold
from core.trouble.kind import Kind, asks_meaning, kind_of_question, speaks_of_trouble


@pytest.mark.parametrize(
    "text",
    [
        "my cactus has gone pale",
        "the box hedge has yellow leaves",
        "how long does basil keep in the fridge",
        "my bonsai is droopy",
        "what time is the meeting",
        "mi orquídea no florece",
        "receta de pesto",
    ],
)
def test_what_is_not_about_seedlings_is_not_ours(text: str) -> None:
    assert kind_of_question(text).kind is Kind.NOT_OURS


@pytest.mark.parametrize(
    "text",
    [
        "tomatoes in T1 are tall and floppy",
        "4 of 30 dill came up",
        "barely any chives up",
        "onions: none after a month",
        "they all died overnight, the seedlings fell over",
        "las lechugas no nacen",
    ],
)
def test_trouble_with_seedlings_is_ours(text: str) -> None:
    assert kind_of_question(text).kind is Kind.TROUBLE


def test_any_text_is_taken() -> None:
    for text in ("", "?", "🌱" * 900, "\x00", "((((", "a" * 5000):
        assert kind_of_question(text).kind in set(Kind)


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("whats hardening off", True),
        ("what does damping off mean?", True),
        ("¿qué es endurecer?", True),
        ("what is wrong with T1", False),
        ("whats eating my kale", False),
        ("hardening off went badly", False),
    ],
)
def test_a_question_for_a_meaning_is_known(text: str, meaning: bool) -> None:
    assert asks_meaning(fold(text)) is meaning


def test_telling_trouble_from_other_words_looks_for_no_question(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Any line may be asked about so, fifty in one message: the dearest part is left out."""

    def never(*_: object) -> None:
        raise AssertionError("a question was looked for")

    monkeypatch.setattr("core.trouble.diagnosis._best_question", never)
    assert speaks_of_trouble("the seedlings are tall, thin and floppy")
    assert not speaks_of_trouble("see you on thursday")
