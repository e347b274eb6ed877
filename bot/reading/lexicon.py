"""The words of every language, read from `words/*.toml`: a third language is a third file."""

from __future__ import annotations

import functools
import tomllib
from collections import defaultdict
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from bot.reading.tokens import words_of
from core.folding import plain

_WORDS = Path(__file__).parent / "words"
Tag = tuple[str, str]  # section and key of the table: ("done", "sow")


@dataclass(frozen=True, slots=True)
class Lexicon:
    """One language.

    Attributes:
        language: ISO 639-1 code.
        common: frequent words that carry no meaning of their own here.
        phrases: first word → phrases as words with their tags, longest first.
        numbers: number words.
        ordinals: words of days of a month: `twenty fifth`.
        went: words of a loss that may tell of a way, and the words after them that do.
        patterns: sentences of set-up as regular expressions, NAMES standing for names.
        asides: words that begin a circumstance: `with the club`, `before assembly`.
    """

    language: str
    common: frozenset[str]
    phrases: dict[str, list[tuple[tuple[str, ...], frozenset[Tag]]]]
    numbers: dict[str, int]
    words: frozenset[str]
    emoji: dict[str, str] = field(default_factory=dict)
    asides: frozenset[str] = frozenset()
    ordinals: dict[str, int] = field(default_factory=dict)
    patterns: dict[str, list[str]] = field(default_factory=dict)
    went: tuple[frozenset[str], frozenset[str]] = (frozenset(), frozenset())

    def is_if(self, word: str) -> bool:
        """Whether a word alone makes a condition: `if`, `whether`."""
        return any(words == (word,) and ("mood", "if") in tags
                   for words, tags in self.phrases.get(word, ()))  # fmt: skip

    def is_on(self, word: str, after: list[str]) -> bool:
        """Whether a word that may tell of a loss tells of a way here: `gone` before `home`."""
        return word in self.went[0] and bool(after) and after[0] in self.went[1]

    def at(self, words: list[str], start: int) -> tuple[int, frozenset[Tag]]:
        """Return how many words the longest phrase at `start` has, and its tags; 0 = none."""
        for phrase, tags in self.phrases.get(words[start], ()):
            if tuple(words[start : start + len(phrase)]) == phrase:
                return len(phrase), tags
        return 0, frozenset()


@functools.cache
def lexicons() -> dict[str, Lexicon]:
    """Return every language there is a table for."""
    found = {}
    for path in sorted(_WORDS.glob("*.toml")):
        table = tomllib.loads(path.read_text(encoding="utf-8"))
        found[str(table["language"])] = _lexicon(table)
    return found


def _lexicon(table: dict[str, Any]) -> Lexicon:
    tagged: dict[tuple[str, ...], set[Tag]] = defaultdict(set)
    numbers: dict[str, int] = {}
    emoji: dict[str, str] = {}
    ordinals: dict[str, int] = {}
    for section, entries in table.items():
        if section in ("language", "common", "aside", "pattern", "went", "ending"):
            continue
        for key, text in entries.items():
            for phrase in _listed(text):
                words = tuple(words_of(phrase))
                if section == "number":
                    numbers[" ".join(words)] = int(key)
                if section == "ordinal":
                    ordinals[" ".join(words)] = int(key)
                    continue
                if section == "emoji":
                    emoji[phrase] = key
                elif words:
                    tagged[words].add((section, key))
    for ending, others in table.get("ending", {}).items():
        for other in _listed(others):
            for words in [one for one in tagged if any(word.endswith(ending) for word in one)]:
                spoken = tuple(
                    word.removesuffix(ending) + other if word.endswith(ending) else word
                    for word in words
                )
                tagged[spoken] |= tagged[words]
    phrases: dict[str, list[tuple[tuple[str, ...], frozenset[Tag]]]] = defaultdict(list)
    for words, tags in tagged.items():
        phrases[words[0]].append((words, frozenset(tags)))
    for listed in phrases.values():
        listed.sort(key=lambda pair: -len(pair[0]))
    common = frozenset(plain(word) for word in _listed(table["common"]["words"]))
    known = frozenset(word for words in tagged for word in words) | common
    return Lexicon(
        language=table["language"], common=common, phrases=dict(phrases), numbers=numbers,
        words=known, emoji=emoji, ordinals=ordinals,
        asides=frozenset(_listed(table["aside"]["words"])),
        patterns=table.get("pattern", {}),
        went=(
            frozenset(_listed(table["went"]["words"])), frozenset(_listed(table["went"]["on"])),
        ),
    )  # fmt: skip


def _listed(text: str) -> list[str]:
    return [plain(one.strip()) for one in text.split(",") if one.strip()]


def language_of(words: list[str], usual: str) -> str:
    """Return the language whose everyday words a message uses most; `usual` where none tells."""
    scores = {
        code: sum(1 for word in words if word in lexicon.common) * 2
        + sum(1 for word in words if word in lexicon.words)
        for code, lexicon in lexicons().items()
    }
    best = max(scores.values(), default=0)
    leaders = [code for code, score in scores.items() if score == best]
    return usual if usual in leaders or not leaders or best == 0 else leaders[0]
