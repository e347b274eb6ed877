"""One form of words for looking them up: no case, width, accents, dotted or dotless i."""

from __future__ import annotations

import unicodedata

_SAME = {"ı": "i", "İ": "i", "ſ": "s"}  # small letters that a pattern matches by another letter


LONGEST_NAME = 40
_QUOTES = str.maketrans({**dict.fromkeys('"“”„‟«»″‘’‚‛′`´', "'"), "\\": "/"})


def name_of(text: str) -> str:
    """Return a name as it is kept and shown: what a button can carry and a member can type.

    Quotes are of one kind, signs without a width are gone, blanks are single.
    """
    seen = "".join(
        " " if unicodedata.category(sign) in ("Zs", "Zl", "Zp", "Cc") else sign
        for sign in text.translate(_QUOTES)
        if unicodedata.category(sign) not in ("Cf", "Cs", "Co", "Cn")
    )
    return " ".join(seen.split())[:LONGEST_NAME].strip()


def plain(text: str) -> str:
    """Return text in small letters without accents, sign for sign, so that positions hold."""
    if text.isascii():
        return text.lower()
    return "".join(_sign(sign) for sign in text)


def _sign(sign: str) -> str:
    if sign.isascii():
        return sign.lower()
    base = unicodedata.normalize("NFD", sign)[0]
    return _SAME.get(base) or base.lower()[:1] or sign


def fold(text: str) -> str:
    """Return what two spellings of the same words share; its blanks are single."""
    if not text.isascii():
        text = unicodedata.normalize("NFKD", text.replace("İ", "i").casefold())
        text = "".join("i" if c == "ı" else c for c in text if not unicodedata.combining(c))
        text = text.casefold()
    return " ".join(text.lower().split())
