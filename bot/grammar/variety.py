"""A variety's name: the words beside the crop that mean nothing else."""

from __future__ import annotations

import re

from bot.grammar.names import take_quoted
from bot.grammar.problems import LeftOver
from bot.grammar.text import Bag
from core.folding import fold

_NEAR_MISS = 80.0  # similarity (0-100) at which a word is taken for a slip, not for a variety
_OWN_WORDS = (
    "yesterday today tomorrow monday tuesday wednesday thursday friday saturday sunday january "
    "february march april august september october november december cells column shelf tray "
    "seeds treated percent depth sowings sowing"
)
_GRAMMAR_WORDS = _OWN_WORDS.split()


def take_variety(bag: Bag, crop: str | None) -> str | None:
    """Claim a variety: quoted, after `variety`, or the words left right beside the crop.

    Raises LeftOver for a word that looks like a slip of a word the grammar knows.
    """
    quoted = take_quoted(bag)
    if quoted:
        return quoted
    found = bag.take(
        r"(?<!\w)(?:variety|var|cultivar|cv)\.?\s+([^\W\d_][\w'-]*(?:\s+[^\W\d_][\w'-]*){0,2})"
    )
    if found:
        return _checked(bag, found[1])
    if crop is None:
        return None
    hit = re.search(
        r"(?:^|(?<=\x00))[\s,'(]*([^\W\d_][\w'-]*(?:\s+[^\W_][\w'-]*){0,3})[\s,')]*(?=\x00|$|[,;])",
        bag.rest,
    )
    while hit:
        words = hit[1].split()
        if fold(words[0]) not in {
            "for",
            "in",
            "on",
            "at",
            "to",
            "by",
            "from",
            "and",
            "of",
            "with",
        }:
            bag.mask(hit.start(1), hit.end(1))
            return _checked(bag, hit[1].rstrip("'"))
        hit = re.compile(
            r"(?<=\x00)[\s,'(]*([^\W\d_][\w'-]*(?:\s+[^\W_][\w'-]*){0,3})[\s,')]*(?=\x00|$|[,;])"
        ).search(bag.rest, hit.end())
    return None


def _checked(bag: Bag, name: str) -> str:
    from rapidfuzz import fuzz

    for typed in name.split():
        if any(fuzz.ratio(fold(typed), known) >= _NEAR_MISS for known in _GRAMMAR_WORDS):
            raise LeftOver(command=bag.command, words=typed)
    return " ".join(name.split())
