"""Crops, varieties and people, as people name them."""

from __future__ import annotations

import functools

from bot.reading.lexicon import lexicons
from bot.reading.numbers import number_at
from bot.reading.scan import Mention, Scan
from bot.reading.tokens import tokens_of
from core.real_words import is_real
from core.trade.crops.names import fold as letters
from core.trade.crops.names import loose_forms, sure_keys
from core.trade.crops.table import CROPS

LONGEST_NAME = 4


@functools.cache
def crop_names() -> dict[str, tuple[str, ...]]:
    found: dict[str, list[str]] = {}
    for crop in CROPS.rows():
        for key in (*sure_keys(crop), letters(crop.id)):
            found.setdefault(key, []).append(crop.id)
    for crop in CROPS.rows():
        for name in crop.shared_names:
            for form in loose_forms(name):
                found.setdefault(letters(form), []).append(crop.id)
    for lexicon in lexicons().values():
        for listed in lexicon.phrases.values():
            for words, tags in listed:
                for section, key in tags:
                    if section == "crop":
                        found.setdefault(letters("".join(words)), []).append(key)
    return {key: tuple(dict.fromkeys(ids)) for key, ids in found.items()}


def crop(scan: Scan, i: int) -> Mention | None:
    if scan.tokens[i].kind != "word":
        return None
    for size in range(min(LONGEST_NAME, len(scan.tokens) - i), 0, -1):
        if any(token.kind != "word" for token in scan.tokens[i : i + size]):
            continue
        name = letters("".join(scan.words[i : i + size]))
        ids = crop_names().get(name)
        if not ids or len(name) < 3:
            continue
        growing = tuple(one for one in ids if one in scan.context.growing)
        return Mention("crop", growing if growing else ids, i, i + size - 1)
    return _shortened(scan, i)


SHORTEST, LONGEST_SHORTHAND = 3, 6  # letters of a name, words of a message


def _shortened(scan: Scan, i: int) -> Mention | None:
    """Read `tom` and `lett` as the one crop growing here whose name begins so."""
    word = scan.words[i]
    short = len(scan.words) <= LONGEST_SHORTHAND
    if len(word) < SHORTEST or scan.phrase(i)[0] or (is_real(word) and not short):
        return None
    if any(word in lexicon.common for lexicon in scan.order):
        return None
    start = letters(word)
    hits = {
        crop
        for name, ids in crop_names().items()
        if name.startswith(start)
        for crop in ids
        if crop in scan.context.growing
    }
    return Mention("crop", tuple(hits), i, i) if len(hits) == 1 else None


def variety(scan: Scan, i: int) -> Mention | None:
    for name, crop in scan.context.varieties:
        words = [token.text for token in tokens_of(name)]
        if words and scan.words[i : i + len(words)] == words:
            return Mention("variety", (name, crop), i, i + len(words) - 1)
        if len(words) > 1 and scan.words[i : i + 1] == words[:1] and i + 1 < len(scan.words):
            from rapidfuzz.distance import OSA

            if OSA.distance(scan.words[i + 1], words[1]) == 1 and len(words) == 2:
                typed = " ".join(scan.words[i : i + 2])
                return Mention("variety", (name, crop), i, i + 1, slip=typed)
    return None


_BANDS = {"bench", "table", "group", "team", "class", "mesa", "grupo", "equipo", "clase", "banca", "banco"}  # fmt: skip  # noqa: E501


def person(scan: Scan, i: int) -> Mention | None:
    for name in scan.context.members:
        words = [token.text for token in tokens_of(name)]
        if words and scan.words[i : i + len(words)] == words:
            after = i + len(words)
            if scan.words[after : after + 2] == ["'", "s"]:
                after += 2
            return Mention("person", name, i, after - 1)
        if words and scan.words[i].removesuffix("'s") == words[0] and len(words) == 1:
            return Mention("person", name, i, i)
    if scan.words[i] in _BANDS and (got := number_at(scan, i + 1)) is not None:
        if got[0].denominator == 1:
            return Mention("person", f"{scan.words[i]} {got[0]}", i, got[1] - 1)
    return None
