"""How to do something, what a word means, when and how many: topics, found by their words."""

from __future__ import annotations

import functools
import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from core.trade.tables.registry import ident, plain, register, text
from core.trouble.concepts import fold
from core.trouble.kind import asks_how
from core.trouble.topic_words import features, known_words, strange_share, title_of

ANSWER_WEIGHT = 0.4  # of a word that only the answer holds
WORDING_WEIGHT = 0.8  # of a word that somebody asked it with
WORDS_WEIGHT = 1.0  # of a word that names the topic
WHOLE_SHARE = 0.8
"""How much the words of a topic taken together count against the one wording nearest to it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Topic:
    """One thing members ask when nothing is wrong.

    Attributes:
        id: unique; its first part names the field ("water", "light", ...).
        kind: what is asked.
        figures: which figures of the group stand before the answer: light, water, up (what has
            come up, or is to), warm, depth, or "" for none.
        answer, answer_es: the answer in each language, two or three sentences.
        words, words_es: words that name it, the first its title; asked: whole questions of members.
        sources: keys of sources.toml.
    """

    id: str = ident()
    kind: str = text(pattern=r"[a-z_]+")
    figures: str = text(pattern=r"(light|water|up|warm|depth)?", default="")
    answer: str = plain()
    answer_es: str = plain()
    words: tuple[str, ...] = plain()
    words_es: tuple[str, ...] = plain()
    asked: tuple[str, ...] = plain(default=())
    sources: tuple[str, ...] = text()


TOPICS = register("topic", Topic)

CLEAR = 0.42  # how well a topic must fit to be told whatever comes next to it; own choice
NEAR = 0.14  # to be offered; own choice


@dataclass(frozen=True, slots=True, kw_only=True)
class TopicMatch:
    """A topic and how well a question fits it: share of its words it holds, 0..1."""

    topic: Topic
    score: float


def topics_of(question: str, most: int = 3) -> tuple[TopicMatch, ...]:
    """Return the topics a question fits best, best first; none when no word is shared.

    Checked by: tests/core/trouble/test_topics.py.
    """
    table = TOPICS.by_id()
    named = _by_title().get(title_of(question))
    if named is not None:
        return (TopicMatch(topic=table[named], score=1.0),)
    scored = sorted(_scores(question).items(), key=lambda pair: (-pair[1], pair[0]))
    return tuple(TopicMatch(topic=table[name], score=s) for name, s in scored[:most] if s > 0)


def asks_for_figures(text: str) -> bool:
    """Say whether a message asks for a measure or moment that the group's own figures answer."""
    if not asks_how(fold(text)):
        return False
    found = topics_of(text, most=1)
    return bool(found) and found[0].score >= CLEAR and found[0].topic.figures != ""


def is_title(text: str) -> bool:
    """Say whether a message is the title of a topic, as its button says it."""
    return text.strip() in _buttons()


@functools.cache
def _buttons() -> frozenset[str]:
    return frozenset(title for row in TOPICS.rows() for title in (row.words[0], row.words_es[0]))


def unknown_share(text: str) -> float:
    """Return the share of a message's longer words that nobody has used of plants here, 0..1."""
    index = _index()
    return strange_share(text, index.rarity)


@functools.cache
def _by_title() -> Mapping[str, str]:
    titles: dict[str, str] = {}
    for row in TOPICS.rows():
        for words in (*row.words, *row.words_es):
            titles.setdefault(title_of(words), row.id)
    return titles


@dataclass(frozen=True, slots=True)
class _Index:
    """Topics by what counts in their words.

    Attributes:
        rarity: weight of a feature, by how few topics have it; `unknown` of one that none has.
        vectors: topic → feature → weight; wordings: topic → each wording, with its length.
        known: words towards which slips are mended.
    """

    rarity: Mapping[str, float]
    unknown: float
    vectors: Mapping[str, Mapping[str, float]]
    wordings: Mapping[str, tuple[tuple[Mapping[str, float], float], ...]]
    known: Mapping[str, tuple[str, ...]]

    def weight(self, feature: str) -> float:
        return self.rarity.get(feature, self.unknown)

    def length(self, found: Mapping[str, float]) -> float:
        return math.sqrt(sum((w * self.weight(f)) ** 2 for f, w in found.items())) or 1.0


def _scores(question: str) -> dict[str, float]:
    """Return how well each topic fits a question, 0..1."""
    index = _index()
    asked = features(question, index.known)
    weights = {feature: w * index.weight(feature) for feature, w in asked.items()}
    whole = sum(weights.values()) or 1.0
    length = index.length(asked)
    scores = {}
    for name, vector in index.vectors.items():
        together = sum(w * vector.get(feature, 0.0) for feature, w in weights.items()) / whole
        nearest = max(
            (
                sum(w * one.get(f, 0.0) * index.weight(f) for f, w in weights.items()) / own
                for one, own in index.wordings[name]
            ),
            default=0.0,
        )
        scores[name] = WHOLE_SHARE * together + (1 - WHOLE_SHARE) * nearest / length
    return scores


@functools.cache
def _index() -> _Index:
    rows = TOPICS.rows()
    vectors: dict[str, dict[str, float]] = {}
    wordings: dict[str, list[dict[str, float]]] = {}
    counts = functools.cache(features)  # each wording is asked for twice
    for row in rows:
        vector: dict[str, float] = {}
        wordings[row.id] = [counts(one) for one in (*row.asked, *row.words, *row.words_es)]
        for sentence, weight in (
            *((one, ANSWER_WEIGHT) for one in (row.answer, row.answer_es)),
            *((one, WORDING_WEIGHT) for one in row.asked),
            *((one, WORDS_WEIGHT) for one in (*row.words, *row.words_es, row.id.replace("_", " "))),
        ):
            for feature, w in counts(sentence).items():
                vector[feature] = max(vector.get(feature, 0.0), weight * w)
        vectors[row.id] = vector
    spread = Counter(feature for vector in vectors.values() for feature in vector)
    rarity = {feature: math.log((len(rows) + 1) / n) for feature, n in spread.items()}
    # what a topic says in many words must not win by their number
    for name, vector in vectors.items():
        size = math.sqrt(sum(w * w for w in vector.values()))
        vectors[name] = {f: w * (1.0 + 5.0 / (5.0 + size)) / 2 for f, w in vector.items()}
    bare = _Index(rarity, math.log(len(rows) + 1) / 2, vectors, {}, {})
    return _Index(
        rarity,
        bare.unknown,
        vectors,
        {name: tuple((one, bare.length(one)) for one in found) for name, found in wordings.items()},
        known_words(
            one
            for row in rows
            for one in (row.answer, row.answer_es, *row.asked, *row.words, *row.words_es)
        ),
    )
