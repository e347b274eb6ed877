"""A message being read: its tokens, what settles them, and a thing named in it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from bot.grammar.context import GrammarContext
from bot.reading.lexicon import Lexicon, Tag, language_of, lexicons
from bot.reading.tokens import Token, tokens_of


@dataclass(slots=True)
class Mention:
    """One thing named: what kind, its value, and the tokens it stands in.

    Attributes:
        kind: tray, cells, shelf, sowing, lot, report, crop, variety, person, day, num, unit kinds,
            word (of a table) or unknown.
        tags: the table entries of a word.
        slip: what was typed, where it was read through a slip.
    """

    kind: str
    value: Any
    first: int
    last: int
    text: str = ""
    tags: frozenset[Tag] = frozenset()
    slip: str = ""
    prep: str = ""

    def has(self, section: str, key: str | None = None) -> bool:
        """Whether the words stand in a table section, under a key if given."""
        return any(tag[0] == section and (key is None or tag[1] == key) for tag in self.tags)

    def keys(self, section: str) -> list[str]:
        return sorted(tag[1] for tag in self.tags if tag[0] == section)


@dataclass(slots=True)
class Scan:
    """A message being read: its tokens, and what settles them."""

    text: str
    tokens: list[Token]
    words: list[str]
    context: GrammarContext
    language: str
    order: list[Lexicon] = field(default_factory=list)
    quotes: list[tuple[int, str]] = field(default_factory=list)  # what was quoted, and where

    def phrase(self, i: int) -> tuple[int, frozenset[Tag]]:
        """Return the longest phrase of the message's language at `i`, else of another's."""
        for lexicon in self.order:
            size, tags = lexicon.at(self.words, i)
            if size and (lexicon is self.order[0] or not self.common(self.words[i]) or size > 1):
                return size, tags
        return 0, frozenset()

    def common(self, word: str) -> bool:
        return word in self.order[0].common

    def ordinal(self, i: int) -> tuple[int, int]:
        """Return the number an ordinal word at `i` means and the token after it; 0 for none."""
        for lexicon in self.order:
            for size in (2, 1):
                if number := lexicon.ordinals.get(" ".join(self.words[i : i + size])):
                    return number, i + size
        return 0, i

    def is_(self, i: int, section: str, key: str) -> int:
        """Return how many tokens at `i` are a word of one table entry."""
        if i >= len(self.words):
            return 0
        for lexicon in self.order:
            for words, tags in lexicon.phrases.get(self.words[i], ()):
                if (section, key) in tags and tuple(self.words[i : i + len(words)]) == words:
                    return len(words)
        return 0


def scan_of(text: str, context: GrammarContext) -> Scan:
    """Return a cleaned message with its tokens and language."""
    for lexicon in lexicons().values():
        for sign, frame in lexicon.emoji.items():
            if sign in text and frame != "none":
                word = {"watered": "watered", "up": "up", "lost": "lost"}[frame]
                text = text.replace(sign, f" {word} ")
    tokens = tokens_of(text)
    words = [token.text for token in tokens]
    language = language_of(words, context.language)
    order = sorted(lexicons().values(), key=lambda one: one.language != language)
    return Scan(text, tokens, words, context, language, order)
