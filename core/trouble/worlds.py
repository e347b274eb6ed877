"""Words of other worlds: by them a question is known not to be about the group's seedlings."""

from __future__ import annotations

import functools
import re
from collections.abc import Collection
from dataclasses import dataclass

from core.trade.tables.registry import ident, plain, register
from core.trouble.concepts import fold


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """General vocabulary of one subject that is not the group's.

    Attributes:
        belongs: id of outside.toml: where such a question belongs.
        words, words_es: in the singular, or whole phrases.
        weak: those of them that the trade uses as well; they count only where nothing in the
            sentence speaks of plants.
    """

    id: str = ident()
    belongs: str = plain()
    words: tuple[str, ...] = plain()
    words_es: tuple[str, ...] = plain()
    weak: tuple[str, ...] = plain(default=())


WORLDS = register("world", World, file="worlds.toml")


@dataclass(frozen=True, slots=True, kw_only=True)
class Elsewhere:
    """The other world a sentence speaks of.

    Attributes:
        belongs: id of outside.toml.
        sure: by a word that the trade does not use.
        words: as they stand in the sentence; of those not sure, all of them.
    """

    belongs: str
    sure: bool
    words: tuple[str, ...]


def world_of(sentence: str) -> Elsewhere | None:
    """Return the other world that a folded sentence speaks of, the surest; never raises.

    Checked by: tests/core/trouble/test_worlds.py.
    """
    words = sentence.split()
    weak: list[tuple[str, str]] = []
    taken: set[int] = set()
    table, longest = _table()
    for size in range(longest, 0, -1):
        for at in range(len(words) - size + 1):
            said = " ".join(words[at : at + size])
            entry = next((table[one] for one in _forms(said) if one in table), None)
            if entry is None or taken & set(range(at, at + size)):
                continue
            belongs, sure = entry
            if sure:
                return Elsewhere(belongs=belongs, sure=True, words=(said,))
            weak.append((belongs, said))
            taken |= set(range(at, at + size))
    if not weak:
        return None
    return Elsewhere(belongs=weak[0][0], sure=False, words=tuple(said for _, said in weak))


def _forms(said: str) -> Collection[str]:
    """Return a word as it stands, and what it may be the plural of."""
    found = [said]
    if re.search(r"[a-z]{3}s$", said):
        found.append(said[:-1])
    if re.search(r"[a-z]{3}es$", said):
        found.append(said[:-2])
    if re.search(r"[a-z]{2}ies$", said):
        found.append(said[:-3] + "y")
    return found


@functools.cache
def _table() -> tuple[dict[str, tuple[str, bool]], int]:
    """Return where each word belongs and whether for sure, and the most words of an entry."""
    table: dict[str, tuple[str, bool]] = {}
    for row in WORLDS.rows():
        weak = set(row.weak)
        for word in (*row.words, *row.words_es, *row.weak):
            table.setdefault(fold(word), (row.belongs, word not in weak))
    return table, max(len(word.split()) for word in table)
