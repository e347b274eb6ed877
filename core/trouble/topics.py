"""How to do something, what a word means, when and how many: topics, found by their words."""

from __future__ import annotations

import functools
import math
import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from core.trade.tables.registry import ident, plain, register, text
from core.trouble.concepts import fold
from core.trouble.kind import asks_how

ROOT_LETTERS = 5  # of a word, by which its forms are taken together
ANSWER_WEIGHT = 0.5  # of a word that only the answer holds
ASKED_WEIGHT = 0.8  # of a word that somebody asked it with
WORDS_WEIGHT = 1.0  # of a word that names the topic

_SMALL = frozenset(
    word
    for line in (
        "a,an,the,i,we,you,they,he,she,it,my,our,your,their,this,that,these,those,is,are,was",
        "be,been,am,do,does,did,to,of,in,on,at,for,with,and,or,but,so,if,as,from,by,me,us",
        "them,its,im,ive,can,will,would,should,have,has,had,just,please,what,how,when,why",
        "which,who,much,many,de,la,el,los,las,un,una,y,o,que,en,con,por,para,se,me,mi,es,al",
        "need,needs,go,goes,get,gets,got,some,any,then,there,here,now,us,one,ones",
        "del,lo,le,les,si,no,su,como,cuando,cual,cuanto,hay,esta,estan,ya,muy",
        "pongo,pone,echo,doy,va,van,vamos,puedo,debo,tengo,tenemos,hago,eso,esto,mis,nos,mas,pero",
    )
    for word in line.split(",")
)


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

CLEAR = 0.42  # share of a question's words a topic must hold to be answered at once
NEAR = 0.2  # to be offered


@dataclass(frozen=True, slots=True, kw_only=True)
class TopicMatch:
    """A topic and how well a question fits it: share of its words it holds, 0..1."""

    topic: Topic
    score: float


def topics_of(question: str, most: int = 3) -> tuple[TopicMatch, ...]:
    """Return the topics a question fits best, best first; none when no word is shared.

    Checked by: tests/core/trouble/test_topics.py.
    """
    named = _by_title().get(_title(question))
    if named is not None:
        return (TopicMatch(topic=TOPICS.by_id()[named], score=1.0),)
    index = _index()
    weights = {root: index.rarity.get(root, index.unknown) for root in _roots(question)}
    whole = sum(weights.values())
    if whole == 0:
        return ()
    scored = [
        (sum(weight * vector.get(root, 0.0) for root, weight in weights.items()) / whole, name)
        for name, vector in index.vectors.items()
    ]
    scored.sort(key=lambda entry: (-entry[0], entry[1]))
    table = TOPICS.by_id()
    return tuple(TopicMatch(topic=table[n], score=s) for s, n in scored[:most] if s > 0)


def asks_for_figures(text: str) -> bool:
    """Say whether a message asks for a measure or moment that the group's own figures answer."""
    if not asks_how(fold(text)):
        return False
    found = topics_of(text, most=1)
    return bool(found) and found[0].score >= CLEAR and found[0].topic.figures != ""


@functools.cache
def _by_title() -> Mapping[str, str]:
    titles: dict[str, str] = {}
    for row in TOPICS.rows():
        for words in (*row.words, *row.words_es):
            titles.setdefault(_title(words), row.id)
    return titles


_ASKED = frozenset(
    word
    for line in ("how,what,when,why,which,who,much,many", "como,cuando,cual,cuanto,cuanta,que")
    for word in line.split(",")
)
"""Small words that say what is asked; a title is matched with them."""


def _title(sentence: str) -> str:
    """Return a sentence without its place and the small words that ask nothing."""
    words = _PLACE.sub(" ", fold(sentence)).split()
    return " ".join(word for word in words if word in _ASKED or word not in _SMALL)


@dataclass(frozen=True, slots=True)
class _Index:
    rarity: Mapping[str, float]
    unknown: float
    vectors: Mapping[str, Mapping[str, float]]


_PLACE = re.compile(
    r"\b(?:t\d{1,3}|(?:shelf|rack|estante|repisa|balda) (?:[a-z]|\d{1,2}|[a-z]\d{1,2}))\b"
)
"""Where it is asked about says nothing of what is asked."""

_SHORTENED = re.compile(r"\b(what|how|when|where|who)s\b")
"""`what's` as it stands without its apostrophe."""


def _roots(sentence: str) -> list[str]:
    """Return the words of a sentence by their beginnings; small words are left out."""
    said = _PLACE.sub(" ", _SHORTENED.sub(r"\1 is", fold(sentence)))
    words = re.findall(r"[a-z0-9]+", said)
    return [word[:ROOT_LETTERS] for word in words if word not in _SMALL]


@functools.cache
def _index() -> _Index:
    rows = TOPICS.rows()
    vectors: dict[str, dict[str, float]] = {}
    for row in rows:
        vector: dict[str, float] = {}
        for sentence, weight in (
            *((one, ANSWER_WEIGHT) for one in (row.answer, row.answer_es)),
            *((one, ASKED_WEIGHT) for one in row.asked),
            *((one, WORDS_WEIGHT) for one in (*row.words, *row.words_es, row.id.replace("_", " "))),
        ):
            for root in _roots(sentence):
                vector[root] = max(vector.get(root, 0.0), weight)
        vectors[row.id] = vector
    spread = Counter(root for vector in vectors.values() for root in vector)
    rarity = {root: math.log((len(rows) + 1) / n) for root, n in spread.items()}
    # what a topic says in many words must not win by their number
    for name, vector in vectors.items():
        size = math.sqrt(sum(w * w for w in vector.values()))
        vectors[name] = {root: w * (1.0 + 5.0 / (5.0 + size)) / 2 for root, w in vector.items()}
    return _Index(rarity, math.log(len(rows) + 1) / 2, vectors)
