"""Slips of the keyboard: what an unknown word, which is no real word, lies near to."""

from __future__ import annotations

import functools
import re

from bot.reading.lexicon import Lexicon, lexicons
from bot.reading.names import crop_names
from bot.reading.scan import Mention, Scan
from core.real_words import is_real


def slip(scan: Scan, i: int) -> Mention | None:
    """Return what an unknown word is a slip of: a crop growing or known, or a cue."""
    word = scan.tokens[i].text
    if len(word) < 4 or len(word) > 20:
        return None
    if any(word in lexicon.words for lexicon in scan.order) or is_real(word):
        return None
    near = _nearest(word, scan.language)
    if near is None:
        return None
    if near in crop_names():
        ids = crop_names()[near]
        growing = tuple(one for one in ids if one in scan.context.growing)
        return Mention("crop", growing or ids, i, i, slip=word)
    for lexicon in scan.order:
        size, tags = lexicon.at([near], 0)
        if size:
            return Mention("word", near, i, i, near, tags, slip=word)
    return None


_SLIPPABLE = ("done", "level", "kind", "weekday", "noun", "day", "total")


@functools.lru_cache(maxsize=2048)
def _nearest(word: str, language: str) -> str | None:
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    allowed = 1 if len(word) < 7 else 2
    lexicon = lexicons()[language]
    short = [
        words[0]
        for listed in lexicon.phrases.values()
        for words, tags in listed
        if len(words) == 1 and len(words[0]) > 2 and any(tag[0] in _SLIPPABLE for tag in tags)
    ]
    held = [cue for cue in short if _single(cue) == _single(word)]
    if len({_meaning(cue, lexicon) for cue in held}) == 1:
        return held[0]  # a key held too long: `drry`
    cues = [cue for cue in short if len(cue) > 3]
    names = [name for name in crop_names() if len(name) > 3]
    best: list[tuple[int, str]] = []
    for pool in (cues, names):
        for name, distance, _ in process.extract(
            word, pool, scorer=OSA.distance, score_cutoff=allowed, limit=4
        ):
            if name[0] == word[0] or len(word) > 5:
                best.append((distance, name))
    if not best:
        return None
    low = min(best)[0]
    nearest = list(dict.fromkeys(name for distance, name in best if distance == low))
    kinds = {crop_names().get(name, (name,)) for name in nearest}
    if len(kinds) > 1 and len({_meaning(name, lexicon) for name in nearest}) > 1:
        return None
    return nearest[0]


def _single(word: str) -> str:
    """Return a word with each run of one letter written once."""
    return re.sub(r"(.)\1+", r"\1", word)


def _meaning(word: str, lexicon: Lexicon) -> object:
    if word in crop_names():
        return crop_names()[word]
    tags = lexicon.at([word], 0)[1]
    return tuple(sorted(tag for tag in tags if tag[0] in ("done", "level", "noun")))
