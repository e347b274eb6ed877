"""What of a sentence counts when a topic is looked for: roots, things meant, pairs."""

from __future__ import annotations

import functools
import re
from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass

from rapidfuzz import process
from rapidfuzz.distance import OSA

from core.trade.tables.registry import ident, plain, register
from core.trouble.concepts import crop_words, fold, heard_in

ROOT_LETTERS = 5  # of a word, by which its forms are taken together; own choice
ALIKE_WEIGHT = 1.0  # of a thing meant, whatever the word for it
HEARD_WEIGHT = 0.8  # of a thing that concepts.toml knows
PAIR_WEIGHT = 0.5  # of two words side by side
ASKED_WEIGHT = 0.3  # of the question word
SHORTEST_MENDED = 4  # letters a word must have before a slip in it is mended

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

_ASKED = frozenset(
    word
    for line in ("how,what,when,why,which,who,much,many", "como,cuando,cual,cuanto,cuanta,que")
    for word in line.split(",")
)
"""Small words that say what is asked; a title is matched with them."""

_SLIPS = dict(
    pair.split("=")
    for line in (
        "wat=what wats=whats wen=when wher=where hw=how wich=which lite=light lites=lights",
        "fone=phone rite=right nite=night offen=often k=que ke=que ken=quien xq=porque q=que",
    )
    for pair in line.split()
)
"""Written as it sounds, which is no slip of the finger."""

_PLACE = re.compile(
    r"\b(?:t\d{1,3}|(?:shelf|rack|estante|repisa|balda) (?:[a-z]|\d{1,2}|[a-z]\d{1,2}))\b"
)
"""Where it is asked about says nothing of what is asked."""

_SHORTENED = re.compile(r"\b(what|how|when|where|who)s\b")
"""`what's` as it stands without its apostrophe."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Alike:
    """Words that stand for one thing, in either language; a `*` at the end is any ending."""

    id: str = ident()
    words: tuple[str, ...] = plain()


ALIKE = register("alike", Alike, file="alike.toml")


def title_of(sentence: str) -> str:
    """Return a sentence without its place and the small words that ask nothing."""
    words = _PLACE.sub(" ", fold(sentence)).split()
    return " ".join(word for word in words if word in _ASKED or word not in _SMALL)


def words_in(sentence: str) -> list[str]:
    """Return the words of a sentence, without its place."""
    said = _PLACE.sub(" ", _SHORTENED.sub(r"\1 is", fold(sentence)))
    return [_SLIPS.get(word, word) for word in re.findall(r"[a-z0-9]+", said)]


def features(sentence: str, known: Mapping[str, tuple[str, ...]] | None = None) -> dict[str, float]:
    """Return what counts of a sentence, with its weight.

    Args:
        known: words by their first letter towards which slips are mended; None mends none.
    """
    found: dict[str, float] = {}
    before = None
    words = words_in(sentence)
    for word in words:
        if word in _ASKED:
            found[f"?{word}"] = ASKED_WEIGHT
        if word in _SMALL:
            continue
        plain_word = word if known is None else _mended(word, known)
        root = plain_word[:ROOT_LETTERS]
        found[root] = 1.0
        for thing in _things(plain_word):
            found[f"@{thing}"] = ALIKE_WEIGHT
        if before is not None:
            found[f"{before} {root}"] = PAIR_WEIGHT
        before = root
    for concept in heard_in(sentence).found:
        found[f"%{concept}"] = HEARD_WEIGHT
    return found


def strange_share(sentence: str, roots: Container[str]) -> float:
    """Return the share of the longer words of a sentence that are no word of the trade, 0..1."""
    words = [w for w in words_in(sentence) if w not in _SMALL and len(w) >= SHORTEST_MENDED]
    if not words:
        return 0.0
    strange = sum(
        1
        for word in words
        if not (_things(word) or word[:ROOT_LETTERS] in roots or word in crop_words())
    )
    return strange / len(words)


def known_words(sentences: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """Return the longer words of sentences by their first letter."""
    by_letter: dict[str, dict[str, None]] = {}
    for sentence in sentences:
        for word in words_in(sentence):
            if len(word) >= SHORTEST_MENDED:
                by_letter.setdefault(word[0], {})[word] = None
    return {letter: tuple(words) for letter, words in by_letter.items()}


def _mended(word: str, known: Mapping[str, tuple[str, ...]]) -> str:
    if len(word) < SHORTEST_MENDED or _things(word):
        return word
    words = known.get(word[0], ())
    if any(other.startswith(word[:ROOT_LETTERS]) for other in words):
        return word
    near = process.extractOne(word, words, scorer=OSA.distance)
    allowed = 1 if len(word) < 8 else 2
    return near[0] if near is not None and near[1] <= allowed else word


@functools.lru_cache(maxsize=8192)
def _things(word: str) -> frozenset[str]:
    whole, begun = _alike()
    found = set(whole.get(word, ()))
    for beginning, things in begun.items():
        if word.startswith(beginning):
            found |= things
    return frozenset(found)


@functools.cache
def _alike() -> tuple[Mapping[str, set[str]], Mapping[str, set[str]]]:
    whole: dict[str, set[str]] = {}
    begun: dict[str, set[str]] = {}
    for row in ALIKE.rows():
        for word in row.words:
            table = begun if word.endswith("*") else whole
            table.setdefault(word.rstrip("*"), set()).add(row.id)
    return whole, begun
