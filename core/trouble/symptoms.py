"""Which signs a sentence speaks of.

Each sign has wordings in `core/data/symptoms.toml`. A sentence is compared word by word with
every wording: words may be misspelt, in any order and with others between them, but what the
sentence denies ("not wilting") only matches a wording that denies it too ("not growing"). Rare
words weigh more than common ones.
"""

from __future__ import annotations

import functools
import math
import re
from collections import Counter
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from rapidfuzz import process
from rapidfuzz.distance import OSA

from core.trade.stage import TrayStage
from core.trade.tables.registry import Complaint, Problem, ident, plain, register, text
from core.trouble.evidence import variables_if_sound
from core.trouble.sentence import Token, Word, fold, words_of

MIN_COVERAGE = 0.78  # share of a wording's weight that the sentence must hold
MIN_WEIGHT = 2.5  # weight the matched words must have together
MAX_STRAY = 4  # words that may stand between the first and last matched word
OUT_OF_ORDER = 0.9  # words found in another order than in the wording
ACROSS_CLAUSES = 0.8  # words found on either side of a comma, an "and" or a "but"
MIN_PHRASES = 8
BARE_SCORE = 0.3  # below any wording
MOST_BARE = 200  # characters read for single words


@dataclass(frozen=True, slots=True, kw_only=True)
class Symptom:
    """A sign that members report.

    Attributes:
        id: name used by the rules.
        stages: stages in which it is usually seen; empty for any.
        implies: readings that follow from the sign itself.
        phrases: wordings, at least eight, as typed in a hurry.
        phrases_es: Spanish wordings; accents do not matter.
        bare_words: single words that name the sign once it is clear which plants are meant.
    """

    id: str = ident()
    stages: tuple[TrayStage, ...] = plain(default=())
    implies: Mapping[str, Any] = plain(default={})
    phrases: tuple[str, ...] = text()
    phrases_es: tuple[str, ...] = plain(default=())
    bare_words: tuple[str, ...] = plain(default=())

    @property
    def wordings(self) -> tuple[str, ...]:
        """Every wording, whatever its language."""
        return (*self.phrases, *self.phrases_es)


def _check_symptoms(rows: tuple[Symptom, ...]) -> Iterator[Complaint]:
    known = variables_if_sound()
    for row in rows:
        if len(set(row.phrases)) < MIN_PHRASES:
            values = {"given": len(set(row.phrases)), "lo": MIN_PHRASES, "hi": None}
            yield Complaint(
                row=row.id, field="phrases", problem=Problem.OUT_OF_RANGE, values=values
            )
        for phrase in row.wordings:
            if not words_of(phrase):
                yield Complaint(row=row.id, field="phrases", values={"empty": phrase})
        for name, value in row.implies.items():
            variable = None if known is None else known.get(name)
            if known is not None and (variable is None or not variable.accepts(value)):
                yield Complaint(row=row.id, field=f"implies.{name}", values={"given": value})


SYMPTOMS = register("symptom", Symptom, check=_check_symptoms)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainWords:
    """Everyday words one slip away from a sign's word, which mean themselves."""

    id: str = ident()
    words: tuple[str, ...] = text(pattern="[a-z]+")


PLAIN_WORDS = register("plain_words", PlainWords, file="symptoms.toml")


@dataclass(frozen=True, slots=True, kw_only=True)
class SymptomMatch:
    """A sign found in a sentence; `score` in 0..1 grows with how much of it was said."""

    symptom: Symptom
    score: float
    phrase: str


@dataclass(frozen=True, slots=True)
class _Wording:
    symptom: Symptom
    phrase: str
    tokens: tuple[Token, ...]
    weight: float


@dataclass(frozen=True, slots=True)
class _Index:
    wordings: tuple[_Wording, ...]
    weights: Mapping[Word, float]
    stems: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Said:
    """A word of the sentence and the known words it may stand for."""

    token: Token
    choices: tuple[Word, ...]


@dataclass(frozen=True, slots=True)
class _Hit:
    wording: _Wording
    rank: float
    places: frozenset[int]


def match_symptoms(sentence: str, *, ignore: Collection[str] = ()) -> tuple[SymptomMatch, ...]:
    """Return the signs a sentence speaks of, best first; empty when none is recognised.

    Args:
        sentence: plain words; at most its first 600 characters are read.
        ignore: crop, variety or tray names that are no sign ("purple basil").

    Never raises on any text. Checked by: tests/core/trouble/test_symptoms.py.
    """
    said = _said(_without(sentence, ignore))
    best: dict[str, _Hit] = {}
    where: dict[Word, list[int]] = {}
    for i, spoken in enumerate(said):
        for word in spoken.choices:
            where.setdefault(word, []).append(i)
    for wording in _index().wordings:
        hit = _try_wording(wording, said, where)
        old = best.get(wording.symptom.id)
        if hit is not None and (old is None or hit.rank > old.rank):
            best[wording.symptom.id] = hit
    hits = sorted(best.values(), key=lambda hit: -hit.rank)
    kept = [hit for hit in hits if not any(_swallowed(hit, by) for by in hits)]
    return tuple(
        SymptomMatch(
            symptom=hit.wording.symptom, score=round(hit.rank, 4), phrase=hit.wording.phrase
        )
        for hit in kept
    )


def match_bare(sentence: str) -> tuple[SymptomMatch, ...]:
    """Return the signs that single words name, in the order said: `tall`, `yellow`, `droopy`.

    Only for a sentence about plants that are known, and in which `match_symptoms` found nothing:
    alone such a word is no sign. A negated word is none. Never raises on any text.
    """
    found: dict[str, SymptomMatch] = {}
    for token in words_of(sentence[:MOST_BARE]):
        symptom = _bare().get(token.surface)
        if symptom is not None and not token.word.denied:
            found.setdefault(
                symptom.id,
                SymptomMatch(symptom=symptom, score=BARE_SCORE, phrase=token.surface),
            )
    return tuple(found.values())


@functools.cache
def _bare() -> Mapping[str, Symptom]:
    return {fold(word): row for row in SYMPTOMS.rows() for word in row.bare_words}


def _without(sentence: str, names: Collection[str]) -> str:
    """Return the sentence with whole names taken out, save names that are a sign's own word."""
    pattern = _names_pattern(frozenset(names))
    return fold(sentence) if pattern is None else pattern.sub(" ", fold(sentence))


@functools.lru_cache(maxsize=16)
def _names_pattern(names: frozenset[str]) -> re.Pattern[str] | None:
    usable = {fold(name).strip() for name in names} - {""} - _sign_words()
    folded = sorted(usable, key=lambda name: (-len(name), name))
    if not folded:
        return None
    return re.compile(rf"\b(?:{'|'.join(map(re.escape, folded))})(?:e?s)?\b")


def _said(sentence: str) -> tuple[_Said, ...]:
    return tuple(_Said(token, _known_words(token)) for token in words_of(sentence))


def _known_words(token: Token) -> tuple[Word, ...]:
    index, word = _index(), token.word
    if word in index.weights:
        return (word,)
    allowed = _typos(word.stem)
    if allowed == 0 or token.surface in _plain_words():
        return ()
    found = process.extract(
        word.stem, index.stems, scorer=OSA.distance, score_cutoff=allowed, limit=4
    )
    close = (Word(name, word.denied) for name, _, _ in found if name[0] == word.stem[0])
    return tuple(w for w in close if w in index.weights)


def _typos(word: str) -> int:
    """Return how many slips of the finger are forgiven in a word of this length."""
    return 0 if len(word) < 5 else 1 if len(word) < 8 else 2


def _try_wording(
    wording: _Wording, said: tuple[_Said, ...], where: Mapping[Word, list[int]]
) -> _Hit | None:
    """Match a wording's words with the sentence's, each at most once, within a short stretch."""
    if len(wording.tokens) == 1:
        return _try_single(wording, said)
    weights = _index().weights
    words = [token.word for token in wording.tokens]
    places = [where.get(word, []) for word in words]
    if sum(weights[w] for w, p in zip(words, places, strict=True) if p) < (
        MIN_COVERAGE * wording.weight
    ):
        return None
    anchor = max(range(len(words)), key=lambda n: weights[words[n]])
    best: _Hit | None = None
    for start in places[anchor]:
        hit = _from_anchor(wording, said, places, start)
        if hit is not None and (best is None or hit.rank > best.rank):
            best = hit
    return best


def _from_anchor(
    wording: _Wording, said: tuple[_Said, ...], places: list[list[int]], start: int
) -> _Hit | None:
    weights = _index().weights
    used: list[int] = []
    weight = 0.0
    reach = len(wording.tokens) + MAX_STRAY
    for token, where in zip(wording.tokens, places, strict=True):
        near = [i for i in where if i not in used and abs(i - start) <= reach]
        if near:
            used.append(min(near, key=lambda i: abs(i - start)))
            weight += weights[token.word]
    if not used or max(used) - min(used) >= reach:
        return None
    factor = 1.0 if used == sorted(used) else OUT_OF_ORDER
    if len({said[i].token.clause for i in used}) > len({t.clause for t in wording.tokens}):
        factor *= ACROSS_CLAUSES
    return _hit(wording, weight, used, factor)


def _try_single(wording: _Wording, said: tuple[_Said, ...]) -> _Hit | None:
    """Match a wording of one word: the form counts too ("patchy" is a sign, "patch" is not)."""
    wanted = wording.tokens[0]
    for i, spoken in enumerate(said):
        if wanted.word.denied and not spoken.token.leads:
            continue
        if wanted.word in spoken.choices or spoken.token.word.denied == wanted.word.denied:
            if _same_form(spoken.token, wanted):
                return _hit(wording, wording.weight, [i], 1.0)
    return None


def _same_form(spoken: Token, wanted: Token) -> bool:
    a, b = spoken.surface, wanted.surface
    if a == b:
        return True
    if a in _plain_words() or a[0] != b[0] or a.startswith(b) or b.startswith(a):
        return False
    return OSA.distance(a, b) <= min(_typos(a), _typos(b))


def _hit(wording: _Wording, weight: float, used: list[int], factor: float) -> _Hit | None:
    coverage = weight / wording.weight
    if coverage < MIN_COVERAGE or weight < MIN_WEIGHT:
        return None
    rank = factor * coverage**2 * weight / (weight + 4.0)
    return _Hit(wording, rank, frozenset(used))


def _swallowed(hit: _Hit, by: _Hit) -> bool:
    """Say whether a hit only rests on words that a better hit uses together with others."""
    return hit.places < by.places and by.rank > hit.rank


@functools.cache
def _sign_words() -> frozenset[str]:
    """Return the words of all wordings as written; "sprouts" is a vegetable and a sign."""
    return frozenset(t.surface for wording in _index().wordings for t in wording.tokens)


@functools.cache
def _plain_words() -> frozenset[str]:
    return frozenset(word for row in PLAIN_WORDS.rows() for word in row.words)


@functools.cache
def _index() -> _Index:
    """Return all wordings with the weight of each word: rarer among the signs, heavier."""
    rows = SYMPTOMS.rows()
    phrases = [(row, phrase, words_of(phrase)) for row in rows for phrase in row.wordings]
    spread: Counter[Word] = Counter()
    for row in rows:
        spread.update({t.word for owner, _, tokens in phrases if owner is row for t in tokens})
    weights = {word: 1.0 + math.log(len(rows) / n) for word, n in spread.items()}
    wordings = tuple(
        _Wording(row, phrase, tokens, sum(weights[t.word] for t in tokens))
        for row, phrase, tokens in phrases
    )
    stems = tuple(dict.fromkeys(word.stem for word in weights))
    return _Index(wordings, weights, stems)
