"""Patterns of words as the tables write them, and which of many may be in a sentence at all.

A pattern that begins with `leaf` can only be found where a word begins with `leaf`, so most of a
table need not be tried on a sentence. What cannot be told for sure counts as beginning with
anything.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Generic, TypeVar

LETTERS = 6  # of a word's beginning that are looked at; own choice
DIGIT = "0"  # stands for any digit
Key = TypeVar("Key")

_PLAIN = re.compile(r"[a-z]+|\d|\\d")
_OPTIONAL = re.compile(r"\?|\*|\{0?,")


def pattern_of(patterns: Iterable[str]) -> re.Pattern[str]:
    """Return one regular expression for patterns as the table writes them, on folded text."""
    joined = "|".join(expanded(pattern) for pattern in patterns)
    return re.compile(rf"(?<![\w.-])(?:{joined})(?!\w)")


def expanded(pattern: str) -> str:
    """Return the regular expression of one pattern; whole words are left to `pattern_of`."""
    text = pattern.replace(r"\w*", "\x00").replace(r"\w+", "\x01").replace(r"\b", "\x02")
    text = re.sub(r"(?<=[a-z0-9])\*", r"[a-z]*", text)
    text = text.replace(" ~~ ", r"(?: \w+){0,7}? ").replace(" ~ ", r"(?: \w+){0,3}? ")
    return text.replace("\x00", r"\w*").replace("\x01", r"\w+").replace("\x02", r"\b")


class Sieve(Generic[Key]):
    """Rows of patterns, of which those are tried that may be in a sentence.

    Args:
        rows: (what stands for the row, its patterns), in the order in which they are tried.
    """

    def __init__(self, rows: Iterable[tuple[Key, tuple[str, ...]]]) -> None:
        self._rows: list[tuple[Key, re.Pattern[str]]] = []
        self._always: list[int] = []
        self._beginning: dict[str, list[int]] = {}
        for number, (key, patterns) in enumerate(rows):
            self._rows.append((key, pattern_of(patterns)))
            beginnings = beginnings_of(patterns)
            if beginnings is None:
                self._always.append(number)
            for letters in beginnings or ():
                self._beginning.setdefault(letters, []).append(number)

    def possible(self, sentence: str) -> Iterator[tuple[Key, re.Pattern[str]]]:
        """Yield the rows whose patterns may be in a folded sentence, in their order."""
        numbers = set(self._always)
        for letters in beginnings_in(sentence):
            numbers.update(self._beginning.get(letters, ()))
        for number in sorted(numbers):
            yield self._rows[number]

    def first_in(self, sentence: str) -> tuple[Key, re.Match[str]] | None:
        """Return the first row that is in a folded sentence, and where."""
        for key, pattern in self.possible(sentence):
            if (hit := pattern.search(sentence)) is not None:
                return key, hit
        return None


def beginnings_in(sentence: str) -> frozenset[str]:
    """Return all that a pattern in a folded sentence may begin with."""
    found: set[str] = set()
    for word in sentence.split():
        if word[0].isdigit():
            found.add(DIGIT)
        found.update(word[:n] for n in range(1, LETTERS + 1))
    return frozenset(found)


def beginnings_of(patterns: Iterable[str]) -> frozenset[str] | None:
    """Return the beginnings of which a sentence must hold one for any of the patterns to be in it.

    None = the patterns may be in any sentence. Checked by: tests/core/trouble/test_concepts.py.

    Args:
        patterns: as concepts.toml writes them.
    """
    found: set[str] = set()
    for pattern in patterns:
        own = _of_one(pattern)
        if own is None:
            return None
        found |= own
    return frozenset(found)


def _of_one(pattern: str) -> set[str] | None:
    pieces = _split(pattern)
    if len(pieces) > 1:
        return _united(pieces)
    if pattern.startswith("(") and not re.match(r"\(\?(?!:)", pattern):
        end = _closing(pattern)
        inner, rest = pattern[1:end].removeprefix("?:"), pattern[end + 1 :]
        own = _united(_split(inner))
        optional = _OPTIONAL.match(rest)
        if own is None or optional is None:
            return own
        after = _of_one(re.sub(r"^(?:[?*]|\{[^}]*\})\??", "", rest))
        return None if after is None else own | after
    hit = _PLAIN.match(pattern)
    if hit is None:
        return None
    rest = pattern[hit.end() :]
    if not hit[0].isalpha():
        return None if _OPTIONAL.match(rest) else {DIGIT}
    # `leaf*` is a word that begins with `leaf`; `colou?r` need not have its u
    letters = hit[0][:-1] if re.match(r"\?|\{0?,", rest) else hit[0]
    return {letters[:LETTERS]} if letters else None


def _united(patterns: Iterable[str]) -> set[str] | None:
    found = beginnings_of(patterns)
    return None if found is None else set(found)


def _split(pattern: str) -> list[str]:
    """Return the alternatives of a pattern, cut at the signs `|` outside its groups."""
    pieces, depth, start = [], 0, 0
    for at, sign in _signs(pattern):
        depth += {"(": 1, ")": -1}.get(sign, 0)
        if sign == "|" and depth == 0:
            pieces.append(pattern[start:at])
            start = at + 1
    return [*pieces, pattern[start:]]


def _closing(pattern: str) -> int:
    """Return where the group ends with which a pattern begins."""
    depth = 0
    for at, sign in _signs(pattern):
        depth += {"(": 1, ")": -1}.get(sign, 0)
        if depth == 0:
            return at
    raise ValueError(pattern)


def _signs(pattern: str) -> Iterable[tuple[int, str]]:
    """Yield the signs of a pattern that no backslash stands before."""
    at = 0
    while at < len(pattern):
        if pattern[at] != "\\":
            yield at, pattern[at]
            at += 1
        else:
            at += 2
