"""Tokens → mentions: trays, cells, crops, numbers with units, days, people, and cue words."""

from __future__ import annotations

from collections.abc import Callable

from bot.reading import days, names, places
from bot.reading.numbers import quantity
from bot.reading.scan import Mention, Scan
from bot.reading.slips import slip


def mentions_of(scan: Scan) -> list[Mention]:
    """Return the mentions of a message in order; signs are mentions of kind `sign`."""
    found: list[Mention] = []
    i = 0
    while i < len(scan.tokens):
        mention = _at(scan, i, found)
        found.append(mention)
        i = mention.last + 1
    return found


def _at(scan: Scan, i: int, before: list[Mention]) -> Mention:
    token = scan.tokens[i]
    if token.kind == "sign" and token.text not in '+-"&#°%@':
        return Mention("sign", token.text, i, i, token.text)
    for matcher in _MATCHERS:
        if (hit := matcher(scan, i)) is not None:
            size, tags = scan.phrase(i)
            if hit.kind == "num" and size > hit.last - i + 1 and (
                ("noun", "some_of") in tags or ("total", "few") in tags
            ):  # fmt: skip
                break
            hit.text = scan.text[scan.tokens[hit.first].start : scan.tokens[hit.last].end]
            return hit
    size, tags = scan.phrase(i)
    crop = names.crop(scan, i)
    if crop is not None and crop.last - i + 1 >= size:
        return crop
    if size:
        last = i + size - 1
        text = scan.text[token.start : scan.tokens[last].end]
        return Mention("word", text, i, last, text, tags)
    if token.kind == "sign":
        return Mention("sign", token.text, i, i, token.text)
    if token.kind == "word" and (near := slip(scan, i)) is not None:
        return near
    kind = "common" if any(token.text in lex.common for lex in scan.order) else "unknown"
    return Mention(kind, token.text, i, i, scan.text[token.start : token.end])


_MATCHERS: tuple[Callable[[Scan, int], Mention | None], ...] = (
    places.tray, places.rows, places.columns, places.shelf, places.cells, places.code,
    names.person, names.variety, days.day, days.relative, quantity,
)  # fmt: skip
