"""Whether a word is a real one, which is no slip of another: a general word list a language."""

from __future__ import annotations

import functools
import gzip
import json
from importlib import resources

from core.folding import plain

LANGUAGES = ("en", "es")
LEAST_SEEN = 20  # rarer entries of the list are themselves slips


@functools.cache
def _words() -> frozenset[str]:
    found: set[str] = set()
    folder = resources.files("spellchecker") / "resources"
    for language in LANGUAGES:
        packed = (folder / f"{language}.json.gz").read_bytes()
        listed = json.loads(gzip.decompress(packed))
        found |= {plain(word) for word, seen in listed.items() if seen >= LEAST_SEEN}
    return frozenset(found)


def is_real(word: str) -> bool:
    """Tell whether a folded word stands in a general list of English or Spanish words."""
    return word in _words()
