"""Topics are found by their words, and by the questions members asked."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path

import pytest

from core.trouble.topics import TOPICS, Topic, topics_of

ASKING = Path(__file__).parents[2] / "asking"


def rows(half: str) -> Iterator[tuple[str, str]]:
    with (ASKING / f"howto_{half}.tsv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file, delimiter="\t", quoting=csv.QUOTE_NONE):
            yield row["topic"].replace("-", "_"), row["text"]


@pytest.mark.parametrize("row", TOPICS.rows(), ids=lambda row: row.id)
def test_a_topic_is_answered_in_both_languages_and_short(row: Topic) -> None:
    assert row.answer
    assert row.answer_es
    assert len(row.answer) <= 350


def test_there_are_topics_enough() -> None:
    assert len(TOPICS.rows()) >= 150


def test_learnt_questions_find_their_topic() -> None:
    asked = list(rows("learn"))
    right = sum(topics_of(text)[0].topic.id == topic for topic, text in asked)
    assert right / len(asked) >= 0.97


def test_sealed_questions_find_their_topic_as_often_as_measured() -> None:
    asked = list(rows("sealed"))
    found = [(topic, [m.topic.id for m in topics_of(text)]) for topic, text in asked]
    assert sum(ids[:1] == [topic] for topic, ids in found) / len(found) >= 0.38
    assert sum(topic in ids for topic, ids in found) / len(found) >= 0.54
