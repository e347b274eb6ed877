"""What a sentence speaks of: things seen, done and read, in English and Spanish alike.

Each row of `core/data/concepts.toml` is one such thing with the words for it. A sentence is
folded (no accents, no case, no signs), slips of the finger are mended towards the table's own
words, and every row whose pattern occurs is found, with the words that showed it. What the
sentence denies ("no spots") is not found but noted as denied.
"""

from __future__ import annotations

import functools
import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from rapidfuzz import process
from rapidfuzz.distance import OSA

from core.real_words import is_real
from core.trade.tables.registry import Complaint, ident, plain, register
from core.trouble.patterns import Sieve, expanded

MAX_CHARACTERS = 600  # longer messages are cut; a question fits in far less
SHORTEST_MENDED = 5  # letters a word must have before a slip in it is mended

_DENIALS = (
    r"(?:no|not|never|without|none|isnt|arent|wasnt|werent|dont|doesnt|didnt|cant|hasnt|havent|"
    r"aint|nor|sin|nunca|tampoco|ni|ningun|ninguna)"
)
_DENIED = re.compile(rf"\b{_DENIALS}(?: (?:any|the|a|very|so|too|all|much|de|la|el|los|las|se))?$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Concept:
    """One thing a sentence may speak of.

    Attributes:
        id: name the causes weigh it by.
        en, es: patterns, lower case without accents; `*`, `~` and `~~` as the table's head says.
    """

    id: str = ident()
    en: tuple[str, ...] = plain()
    es: tuple[str, ...] = plain()


def _check(rows: tuple[Concept, ...]) -> Iterator[Complaint]:
    for row in rows:
        for pattern in (*row.en, *row.es):
            fault = _fault_of(pattern)
            if fault:
                yield Complaint(row=row.id, field="en", values={"reason": f"{pattern}: {fault}"})


@functools.lru_cache(maxsize=16_384)
def _fault_of(pattern: str) -> str:
    """Return what is wrong with a pattern, or nothing; a table is checked more than once."""
    try:
        re.compile(expanded(pattern))
    except re.error as error:
        return str(error)
    return ""


CONCEPTS = register("concept", Concept, check=_check)


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """What a sentence speaks of: the words that showed each concept, and what it denies."""

    found: Mapping[str, str] = field(default_factory=dict)
    denied: frozenset[str] = frozenset()


def fold(text: str) -> str:
    """Return lower-case plain words with single blanks; apostrophes and accents gone."""
    plain_text = unicodedata.normalize("NFKD", text[:MAX_CHARACTERS]).lower()
    plain_text = "".join(c for c in plain_text if not unicodedata.combining(c))
    plain_text = re.sub(r"['’`´]", "", plain_text)
    plain_text = re.sub(r"(?<=\d)-(?=\d)|(?<=\d)–(?=\d)", " to ", plain_text)
    plain_text = re.sub(r"(?<![\w-])-(?=\d)|(?<=\d)[.,](?=\d)", lambda m: _kept(m[0]), plain_text)
    plain_text = re.sub(r"[^a-z0-9~^µ]+", " ", plain_text)
    plain_text = re.sub(r"([a-z])\1{2,}", r"\1\1", plain_text)
    return plain_text.replace("~", "-").replace("^", ".").strip()


def _kept(sign: str) -> str:
    return "~" if sign == "-" else "^"


def heard_in(text: str) -> Heard:
    """Return what a sentence speaks of; never raises on any text.

    Checked by: tests/core/trouble/test_concepts.py.
    """
    sentence = _mended(fold(text))
    found: dict[str, str] = {}
    denied: set[str] = set()
    for name, pattern in _patterns().possible(sentence):
        for match in pattern.finditer(sentence):
            if not match[0].strip():
                continue
            if _DENIED.search(sentence[: match.start()].rstrip()):
                denied.add(name)
                continue
            found[name] = match[0]
            break
    return Heard(found=found, denied=frozenset(denied - set(found)))


def _mended(sentence: str) -> str:
    return " ".join(_mended_word(word) for word in sentence.split())


@functools.lru_cache(maxsize=8192)
def _mended_word(word: str) -> str:
    """Return the table's word for one that is a slip away from it, else the word itself."""
    words = _words()
    if len(word) < SHORTEST_MENDED or not word.isalpha() or word in words.whole:
        return word
    if any(word.startswith(root) for root in words.roots_of.get(word[:3], ())) or is_real(word):
        return word
    near = process.extractOne(word, words.of_initial.get(word[0], ()), scorer=OSA.distance)
    if near is None:
        return word
    if word.startswith(near[0]) or near[0].startswith(word):
        return word  # another form of the word, no slip
    allowed = 1 if len(word) < 9 else 2
    return near[0] if near[1] <= allowed and abs(len(near[0]) - len(word)) <= 1 else word


@dataclass(frozen=True, slots=True)
class _Words:
    whole: frozenset[str]
    roots_of: Mapping[str, tuple[str, ...]]
    of_initial: Mapping[str, tuple[str, ...]]


@functools.cache
def _words() -> _Words:
    whole: set[str] = set()
    roots: dict[str, set[str]] = {}
    for row in CONCEPTS.rows():
        for pattern in (*row.en, *row.es):
            for word, open_end in re.findall(r"(?<![\\a-z])([a-z]{4,})(\*)?", pattern):
                whole.add(word)
                if open_end:
                    roots.setdefault(word[:3], set()).add(word)
    whole |= crop_words()
    initial: dict[str, list[str]] = {}
    for word in sorted(whole):
        if len(word) >= SHORTEST_MENDED:
            initial.setdefault(word[0], []).append(word)
    return _Words(
        frozenset(whole),
        {key: tuple(sorted(found)) for key, found in roots.items()},
        {key: tuple(found) for key, found in initial.items()},
    )


@functools.cache
def crop_words() -> frozenset[str]:
    """Return every word of a crop's names, folded."""
    from core.trade.crops.table import CROPS

    names: set[str] = set()
    for crop in CROPS.rows():
        for name in (crop.name, crop.name_es or "", *crop.synonyms):
            names.update(fold(name).split())
    return frozenset(names)


@functools.cache
def _patterns() -> Sieve[str]:
    return Sieve((row.id, (*row.en, *row.es)) for row in CONCEPTS.rows())
