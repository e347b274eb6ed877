"""Who answers a question: a topic, the causes weighed, a choice of topics, or nobody here."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

from core.trouble.asked import Question
from core.trouble.diagnosis import Diagnosis
from core.trouble.kind import Kind, asks, asks_how, asks_meaning, kind_of
from core.trouble.topic_words import title_of
from core.trouble.topics import CLEAR, NEAR, Topic, TopicMatch, is_title, topics_of, unknown_share

TOLD, APART = 0.24, 0.05
"""A topic is told from so good a fit, so far before the next: right 84 times in 100 of the
questions learnt from, and the next ones stand below it as buttons."""

TOLD_ELSEWHERE = 0.38
"""The same where nothing in the sentence speaks of plants."""

LEAST_WORDS = 2
"""One word alone, "yellow", is no question that a topic answers, unless it is its title."""

OFFERED_ELSEWHERE = 0.22
"""How well a topic must fit there to be offered."""

DOUBTFUL = 2.5
"""Log ratio of the leading cause below which a question that asks how is offered topics."""

STRANGE, STRANGE_HERE = 0.5, 0.6
"""Share of words nobody has used here from which a question is taken to belong elsewhere."""

TROUBLE_FROM = 1.5
FIT_PULL = 10.0
ASKED_PULL = 1.0
USUAL_FIT = 0.2
"""The log ratio of the leading cause is held against how well a topic fits and whether the
sentence asks at all; fitted to the questions learnt from."""


class Answerer(StrEnum):
    """Who answers."""

    TOPIC = "topic"
    NEAR = "near"  # a choice of topics
    TROUBLE = "trouble"
    NOT_OURS = "not_ours"
    UNCLEAR = "unclear"


@dataclass(frozen=True, slots=True, kw_only=True)
class Routed:
    """Who answers a question.

    Attributes:
        topic: told; `near`: ids of others it may have meant, the likeliest first.
        belongs: where it belongs when it is not ours.
    """

    by: Answerer
    topic: Topic | None = None
    near: tuple[str, ...] = ()
    belongs: str | None = None


_WONDERS = re.compile(
    r"\b(?:(?:should|shall|do|does|can|could|must|may|will|would|is|are)\s"
    r"(?:i|we|it|they|you|this|that|there|my|our|the)"
    r"|(?:ok|okay|safe|worth|better)\s(?:to|if|for)"
    r"|how\s(?:do|to|much|many|long|often|high|deep|warm|far)"
    r"|what\s(?:do|should|can|size|kind|if)|when\s(?:do|should|can)"
    r"|se\spuede|puedo|debo|hay\sque|conviene|sirve|que\shago|como\sle)\b"
)

_WHY = re.compile(
    r"\b(?:why|what\shappened|what\scauses|help|whats?\s(?:is\s)?(?:wrong|happening|going\son|eating)"
    r"|what\sis\s(?:this|that|it)|por\s?que|que\s(?:les?\spas|tienen?))"
)
"""Asks for the cause, which is the question of somebody with trouble."""


def wonders(text: str, sentence: str) -> bool:
    """Say whether a message asks how or whether, anywhere in it, and not for a cause."""
    asked = "¿" in text or asks(sentence) or _WONDERS.search(sentence) is not None
    return asked and _WHY.search(sentence) is None


def routed(text: str, question: Question, diagnosis: Diagnosis) -> Routed:
    """Return who answers a question; pure, never raises on any text.

    Checked by: tests/core/trouble/test_route.py.
    """
    whose = kind_of(question.sentence, question.heard, diagnosis)
    found = topics_of(text)
    fit = found[0].score if found else 0.0
    if is_title(text):
        return _told(found)
    if len(title_of(text).split()) < LEAST_WORDS:
        fit = min(fit, TOLD_ELSEWHERE / 2)
    if whose.kind is Kind.NOT_OURS and whose.outside != "elsewhere":
        if fit < (CLEAR if whose.by_word else 1.0):  # not in the very words of a topic
            return Routed(by=Answerer.NOT_OURS, belongs=whose.outside)
    if fit >= CLEAR and (asks_meaning(question.sentence) or asks_how(question.sentence)):
        return _told(found)
    if _tells_of_trouble(text, question, diagnosis, whose.kind, fit):
        return Routed(by=Answerer.TROUBLE)
    elsewhere = whose.kind is Kind.NOT_OURS
    apart = fit - found[1].score if len(found) > 1 else fit
    enough = TOLD_ELSEWHERE if elsewhere else TOLD
    if (fit >= enough and apart >= APART) or fit >= CLEAR:
        return _told(found)
    near = tuple(match.topic.id for match in found if match.score >= NEAR)
    asked = wonders(text, question.sentence)
    if whose.kind is Kind.TROUBLE:
        doubtful = diagnosis.causes[0].support < DOUBTFUL
        if asked and doubtful and near:
            return Routed(by=Answerer.NEAR, near=near)
        return Routed(by=Answerer.TROUBLE)
    if unknown_share(text) >= (STRANGE if elsewhere else STRANGE_HERE):
        return Routed(by=Answerer.NOT_OURS, belongs=whose.outside or "elsewhere")
    if near and (fit >= OFFERED_ELSEWHERE if elsewhere else True):
        return Routed(by=Answerer.NEAR, near=near)
    if elsewhere:
        return Routed(by=Answerer.NOT_OURS, belongs=whose.outside or "elsewhere")
    return Routed(by=Answerer.UNCLEAR)


def _told(found: tuple[TopicMatch, ...]) -> Routed:
    sure = found[0].score >= CLEAR and (len(found) < 2 or found[0].score - found[1].score >= APART)
    others = () if sure else tuple(m.topic.id for m in found[1:] if m.score >= NEAR)
    return Routed(by=Answerer.TOPIC, topic=found[0].topic, near=others)


def _tells_of_trouble(
    text: str, question: Question, diagnosis: Diagnosis, kind: Kind, fit: float
) -> bool:
    lead = diagnosis.causes[0] if diagnosis.causes else None
    if kind is not Kind.TROUBLE or lead is None:
        return False
    asked = wonders(text, question.sentence)
    pull = lead.support - FIT_PULL * (fit - USUAL_FIT) - ASKED_PULL * asked
    return pull >= TROUBLE_FROM or not asked
