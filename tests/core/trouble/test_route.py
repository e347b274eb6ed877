"""Who answers: a topic, the causes, a choice of topics, or nobody here."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.trouble.asked import read_question
from core.trouble.diagnosis import diagnose
from core.trouble.evidence import Evidence
from core.trouble.route import Answerer, Routed, routed, wonders
from core.trouble.topics import TOPICS


def route(text: str) -> Routed:
    question = read_question(text)
    return routed(text, question, diagnose(question.heard, Evidence()))


@pytest.mark.parametrize("row", TOPICS.rows(), ids=lambda row: row.id)
def test_the_title_of_a_topic_brings_it(row) -> None:
    for title in (row.words[0], row.words_es[0]):
        found = route(title)
        assert found.by is Answerer.TOPIC
        assert found.topic is not None


@pytest.mark.parametrize(
    "text",
    [
        "tomatoes in T1 are tall and floppy",
        "seedlings fell over at the soil line overnight",
        "why are the leaves of my basil yellow",
        "there are tiny flies over the trays",
        "las hojas de abajo se pusieron amarillas",
        "yellow between the veins",
        "something chews the stems off overnight",
        "seeds pushed up out of the soil",
        "algo corta los tallos de noche",
        "la tierra huele podrida",
    ],
)
def test_what_is_seen_is_weighed(text: str) -> None:
    assert route(text).by is Answerer.TROUBLE


@pytest.mark.parametrize(
    ("text", "topic"),
    [
        ("how deep do I sow lettuce", "sow_depth"),
        ("what is hardening off and do we have to do it", "whatis_hardening"),
        ("can i stop the heat mat now", "mat_off"),
        ("¿cada cuánto riego?", "water_how_often"),
    ],
)
def test_how_to_is_told(text: str, topic: str) -> None:
    found = route(text)
    assert found.by is Answerer.TOPIC
    assert found.topic is not None
    assert found.topic.id == topic


@pytest.mark.parametrize(
    "text",
    [
        "my peace lily has brown tips",
        "mould on the bathroom ceiling",
        "is a dark corner enough light for a snake plant",
        "light bulb in the kitchen keeps flickering",
        "who should I vote for",
        "what's the temperature in Madrid",
        "el limonero tira las hojas",
        "la pared tiene humedad",
        "our apple tree has spots on its leaves",
    ],
)
def test_words_of_seed_starting_do_not_make_a_question_ours(text: str) -> None:
    assert route(text).by is Answerer.NOT_OURS


def test_a_question_for_the_cause_does_not_ask_how() -> None:
    assert wonders("how deep do they go", "how deep do they go")
    assert not wonders("why do they go yellow", "why do they go yellow")


@given(st.text(max_size=200))
def test_any_text_is_brought_to_somebody(text: str) -> None:
    found = route(text)
    assert (found.by is Answerer.TOPIC) == (found.topic is not None)
    assert len(found.near) <= 3
