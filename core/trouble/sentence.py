"""A member's sentence as words that can be compared: folded, stemmed, with negation marked."""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass

from core import folding

MAX_CHARACTERS = 600  # longer messages are cut; a question fits in far less
NEGATION_REACH = 3  # content words after a "not" that it turns round

_WORD = re.compile(r"[a-z]+|\d+|[.,;:!?]")
_PLACE = re.compile(  # names of trays and cells; and "up to", which is no shoot coming up
    r"\b(?:t|s|l|shelf|tray|lot)\s?\d{1,3}\b|\b[a-p]\d{1,2}(?:-[a-p]?\d{1,2})?\b|\bup to\b"
)
_DRAWN_OUT = re.compile(r"([a-z])\1{2,}")  # "leggyyy"
_NEGATIONS = frozenset(
    {"no", "not", "nothing", "never", "none", "nobody", "without", "zero", "cannot", "cant"}
    | {"wont", "dont", "doesnt", "didnt", "isnt", "arent", "wasnt", "werent", "havent"}
    | {"hasnt", "hadnt", "aint", "nor", "nuthin", "nothin", "neither"}
    | {"sin", "ningun", "ninguno", "ninguna", "nunca", "tampoco", "ni"}
)
_BREAKS = frozenset(
    {".", ",", ";", ":", "!", "?", "and", "but", "though", "although", "because", "while"}
    | {"then", "just", "y", "pero", "aunque", "porque"}
)
_DROPPED = frozenset(
    {"a", "an", "the", "this", "that", "these", "those", "my", "our", "your", "their", "his"}
    | {"her", "its", "it", "is", "are", "was", "were", "be", "been", "being", "am", "i", "we"}
    | {"you", "they", "he", "she", "me", "us", "them", "of", "in", "on", "at", "to", "for"}
    | {"from", "by", "as", "and", "or", "so", "if", "then", "than", "very", "really", "just"}
    | {"ve", "im", "ive", "u", "ur", "have", "has", "had", "do", "does", "did", "will", "would"}
    | {"can", "could", "there", "any", "please", "pls", "plz", "hi", "hello", "help", "anyone"}
    | {"about", "with", "get", "got", "getting", "gets", "what", "why", "how", "when", "where"}
    | {"s", "t", "re", "ll", "d", "m", "gonna", "yet", "here", "but"}
    | {"because", "while", "though", "although", "even", "which", "who", "also", "think"}
    | {"like", "look", "looks", "looking", "seem", "seems", "bit", "sort", "kind", "quite"}
    | {"rather", "theyre", "whats", "thats", "id", "lol", "idk", "bc", "cuz", "tho", "thx"}
    | {"el", "la", "los", "las", "un", "una", "unos", "unas", "lo", "al", "del", "de", "en", "mi"}
    | {"mis", "tus", "su", "sus", "se", "le", "les", "nos", "que", "hay", "esta", "estan", "este"}
    | {"estos", "estas", "son", "es", "ha", "han", "hemos", "he", "tengo", "tiene", "tienen", "muy"}
    | {"por", "con", "para", "como", "ya", "aun", "todavia", "pero", "y", "cuando", "donde", "a"}
)
_FILLERS = frozenset({"one", "seed", "seedl", "singl", "sign"})  # "not one seed came up"
_NUMBERS = {"1": "one", "2": "two", "3": "three", "4": "four"}


@dataclass(frozen=True, slots=True)
class Word:
    """One content word: its stem, and whether the sentence denies it."""

    stem: str
    denied: bool


@dataclass(frozen=True, slots=True)
class Token:
    """A word as it stands in a sentence.

    Attributes:
        word: what it is compared by.
        surface: as typed, folded.
        leads: it comes first after its "not".
        clause: number of the part of the sentence it stands in, from 0.
    """

    word: Word
    surface: str
    leads: bool
    clause: int


def fold(text: str) -> str:
    """Return lower-case plain letters: accents and apostrophes gone, at most 600 characters."""
    plain = folding.fold(text[:MAX_CHARACTERS])
    return _DRAWN_OUT.sub(r"\1", re.sub(r"['’`´]", "", plain))


def words_of(text: str) -> tuple[Token, ...]:
    """Return the content words of a text in order, names of trays and cells left out."""
    made: list[Token] = []
    reach = clause = 0
    for token in _WORD.findall(_PLACE.sub(" ", fold(text))):
        if token in _NEGATIONS:
            reach = NEGATION_REACH
        elif token in _BREAKS:
            reach = 0
            clause += 1
        elif token not in _DROPPED:
            surface = _NUMBERS.get(token, token)
            word = Word(stem=stem(surface), denied=reach > 0)
            leads = reach == NEGATION_REACH
            made.append(Token(word=word, surface=surface, leads=leads, clause=clause))
            reach -= reach > 0 and word.stem not in _FILLERS
    return tuple(made)


@functools.lru_cache(maxsize=4096)
def stem(word: str) -> str:
    """Return a crude stem: the same for `droop`, `droops`, `drooping` and `droopy`."""
    if word in _IRREGULAR:
        return _IRREGULAR[word]
    for ending in ("iness", "ness", "ion", "ing", "ish", "ies", "ied", "ed", "es", "ly", "s", "y"):
        root = word.removesuffix(ending)
        if root != word and len(root) >= 3 and not word.endswith("ss"):
            word = root + ("i" if ending in ("ies", "ied") else "")
            break
    if len(word) > 3 and word[-1] == word[-2] and word[-1] not in "sl":
        word = word[:-1]
    return word.removesuffix("e") if len(word) > 3 else word


_IRREGULAR = {
    "gone": "go",
    "going": "go",
    "goes": "go",
    "went": "go",
    "leaf": "leav",
    "leafs": "leav",
    "leave": "leav",
    "leaves": "leav",
    "came": "com",
    "comes": "com",
    "fell": "fall",
    "fallen": "fall",
    "grew": "grow",
    "grown": "grow",
    "froze": "freez",
    "frozen": "freez",
    "burnt": "burn",
    "eaten": "eat",
    "ate": "eat",
    "dug": "dig",
    "lost": "lose",
    "died": "die",
    "dying": "die",
    "dead": "die",
    "bitten": "bite",
    "mold": "mould",
    "moldy": "mould",
    "mouldy": "mould",
    "dried": "dry",
    "dries": "dry",
    "dryed": "dry",
    "gray": "grey",
    "color": "colour",
    "flies": "fly",
    "flys": "fly",
    "mice": "mouse",
    "stuck": "stick",
    "sprout": "sprout",
    "underneath": "under",
    "underside": "under",
    "undersides": "under",
    "toward": "towards",
    "bent": "bend",
    "broke": "break",
    "broken": "break",
    "chewed": "chew",
    "hull": "husk",
    "casing": "husk",
    "insects": "bug",
    "insect": "bug",
    "seedlings": "seedl",
    "seedling": "seedl",
    "plants": "seedl",
    "plant": "seedl",
    "babies": "seedl",
    "starts": "seedl",
    "sprouts": "sprout",
    "dirt": "soil",
    "compost": "soil",
    "mix": "soil",
    "medium": "soil",
    "fungi": "fungus",
    "yellowish": "yellow",
    "yellowy": "yellow",
    "bottoms": "bottom",
    "base": "base",
    "skinnier": "skin",
    "taller": "tall",
    "paler": "pal",
    "pale": "pal",
}
