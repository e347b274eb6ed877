"""A message as small plain words with their places in it."""

from __future__ import annotations

import re
from dataclasses import dataclass

from core.folding import plain

MOST_TOKENS = 320
_TOKEN = re.compile(
    r"(?P<frac>(?<![\d/])(?:\d+[ -])?\d{1,2}/\d{1,2}(?![\d/]))"
    r"|(?P<date>\d{4}-\d\d-\d\d|\d{1,2}/\d{1,2}/\d{2,4})"
    r"|(?P<code>(?<![^\W_])[^\W\d_]\d{1,4}(?![^\W_]))"
    r"|(?P<num>\d{1,3}(?:,\d{3})+(?!\d)|\d+(?:[.,]\d+)?)"
    r"|(?P<own>'s(?![^\W_]))"
    r"|(?P<word>[^\W\d_]+(?:'(?!s(?![^\W_]))[^\W\d_]+)*"
    r"(?:(?<=[^\W\d_]{2})-(?=[^\W\d_]{2})[^\W\d_]+)*)"
    r"|(?P<arrow>->)"
    r"|(?P<sign>\.{2,}|[^\s\w]|_)"
)


@dataclass(frozen=True, slots=True)
class Token:
    """One word, number, code or sign, small and without accents."""

    text: str
    kind: str
    start: int
    end: int


def tokens_of(text: str) -> list[Token]:
    """Return the tokens of a cleaned text."""
    flat = plain(text)
    found = []
    for hit in _TOKEN.finditer(flat):
        found.append(Token(hit[0], hit.lastgroup or "sign", hit.start(), hit.end()))
        if len(found) >= MOST_TOKENS:
            break
    return found


def words_of(phrase: str) -> list[str]:
    """Return the words of a phrase as `tokens_of` would part them."""
    return [token.text for token in tokens_of(phrase)]
