"""The crop somebody means, found among the words of a line."""

from __future__ import annotations

import re
from itertools import islice

from bot.grammar.problems import CropNotKnown, CropNotSaid
from bot.grammar.text import NO_TYPO, Bag
from bot.grammar.unclear import Unclear
from bot.grammar.variety import claim_known, crop_of_variety
from core.folding import fold as folded
from core.trade.crops.names import fold, loose_forms
from core.trade.crops.table import CROPS, CropMatch, crop_by_id, find_crop

MOST_WORDS = 80  # of one line that are looked at for a crop
MOST_SLIPS = 20  # of them that are looked at for a misspelt one
LONGEST = 4  # words of one crop name
LEAST_TYPO = 4  # letters below which a slip is not read through
NEAR = 70.0  # similarity (0-100) for a crop to be offered as meant, not taken as meant


def take_crop(bag: Bag, *, slips: bool = True) -> str | None:
    """Claim the first crop named and return its id; raise Unclear for a shared name.

    With `slips` a misspelt name is read through and remembered as an echo. A variety of a lot
    here names its crop.
    """
    claim_known(bag)
    words = _words(bag)
    for start, end, text in _runs(words, bag.rest):
        match = exact(text)
        if match.crop or match.candidates:
            return _settle(bag, start, end, match)
    if (known := crop_of_variety(bag)) is not None:
        return known
    if not slips:
        return None
    for start, end, text in _runs(words[:MOST_SLIPS], bag.rest):
        if len(fold(text)) < LEAST_TYPO or any(w in NO_TYPO for w in folded(text).split()):
            continue
        if text.isdigit():
            continue
        match = find_crop(text)
        if match.typo and (match.crop or match.candidates):
            crop = _settle(bag, start, end, match)
            bag.echo(text, _read_as(text, match.name, crop, bag.context.language))
            return crop
    return None


def _read_as(typed: str, name: str, crop: str, language: str) -> str:
    """Return the crop's own name unless the name taken lies nearer to what was typed."""
    from rapidfuzz.distance import OSA

    row = crop_by_id(crop)
    if language == "es":
        return row.name_es
    own = row.name
    typed = folded(typed)
    nearer = OSA.distance(typed, own) <= OSA.distance(typed, folded(name))
    return own if nearer else name


def need_crop(bag: Bag) -> str:
    """Claim the crop; raise CropNotSaid, or CropNotKnown where words are left that name none."""
    crop = take_crop(bag)
    if crop is not None:
        return crop
    typed = " ".join(text for _, _, text in bag.left())
    if typed:
        raise CropNotKnown(typed=typed, nearest=nearest(typed))
    raise CropNotSaid(command=bag.command)


def exact(text: str) -> CropMatch:
    """Return the match of a whole known name, id, plural or loose word, without any slip."""
    key = folded(text)
    for crop in CROPS.rows():
        if crop.id == key:
            return CropMatch(crop=crop, name=crop.name)
    match = find_crop(text, slips=False)
    if match.crop:
        return match
    if len(text.split()) == 1:
        return match
    whole = {fold(form) for form in (match.name, *loose_forms(match.name))}
    return match if fold(text) in whole else CropMatch()


def nearest(text: str) -> tuple[str, ...]:
    """Return up to three crop ids whose names lie nearest, best first."""
    from rapidfuzz import fuzz, process

    names = {name: crop.id for crop in CROPS.rows() for name in (crop.name, *crop.synonyms)}
    hits = process.extract(
        folded(text[:60]), list(names), scorer=fuzz.ratio, score_cutoff=NEAR, limit=6
    )
    return tuple(dict.fromkeys(names[name] for name, _, _ in hits))[:3]


def _settle(bag: Bag, start: int, end: int, match: CropMatch) -> str:
    ids = (match.crop.id,) if match.crop else tuple(crop.id for crop in match.candidates)
    if len(ids) > 1:
        growing = tuple(one for one in ids if one in bag.context.growing)
        if len(growing) != 1:
            raise Unclear(kind="crop", start=start, end=end, options=growing or ids)
        ids = growing
    bag.mask(start, end)
    return ids[0]


def _words(bag: Bag) -> list[tuple[int, int]]:
    found = islice(re.finditer(r"[^\W\d_](?:[^\W_]|['_-](?=[^\W_]))*", bag.rest), MOST_WORDS)
    return [(m.start(), m.end()) for m in found]


def _runs(words: list[tuple[int, int]], text: str) -> list[tuple[int, int, str]]:
    """Return runs of neighbouring words, longest first, then in the order typed."""
    runs = []
    for size in range(min(LONGEST, len(words)), 0, -1):
        for first in range(len(words) - size + 1):
            start, end = words[first][0], words[first + size - 1][1]
            run = text[start:end]
            if re.fullmatch(r"[^\x00,;:.!?()\"]+", run):
                runs.append((start, end, run))
    return runs
