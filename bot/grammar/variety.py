"""A variety's name: the words beside the crop that mean nothing else."""

from __future__ import annotations

import re
from collections.abc import Mapping

from bot.grammar.names import take_quoted
from bot.grammar.problems import LeftOver
from bot.grammar.text import NO_TYPO, Bag
from core.folding import fold
from core.trade.crops.table import find_crop

_NEAR_MISS = 80.0  # similarity (0-100) at which a word is taken for a slip, not for a variety
_OWN_WORDS = (
    "yesterday today tomorrow monday tuesday wednesday thursday friday saturday sunday january "
    "february march april august september october november december cells column shelf tray "
    "seeds treated percent depth sowings sowing"
)
_GRAMMAR_WORDS = _OWN_WORDS.split()


_TOKEN = re.compile(r"[^\W_](?:[^\W_]|['.-](?=[^\W_]))*")
_SLIP_LETTERS = 7  # of a name of several words in which one slip is read through


def claim_known(bag: Bag) -> None:
    """Claim the name of a variety that a lot or a sowing here carries, once for a line.

    The longest name stands first; one slip in a name of several words is read through. A name
    that is also a person's, or the name of a crop, is claimed in quotes or after `variety` only.
    """
    if bag.variety_crops is not None:
        return
    bag.variety_crops = ()
    if not bag.context.varieties:
        return
    names = {" ".join(_TOKEN.findall(fold(name))): name for name, _ in bag.context.varieties}
    tokens = [(hit.start(), hit.end()) for hit in _TOKEN.finditer(bag.rest)]
    longest = max(len(name.split()) for name in names)
    for slips in (False, True):
        for size in range(min(longest, len(tokens)), 0, -1):
            for first in range(len(tokens) - size + 1):
                start, end = tokens[first][0], tokens[first + size - 1][1]
                name = _known(bag, start, end, names, slips=slips)
                if name is not None:
                    _claim(bag, start, end, name)
                    return


def _known(
    bag: Bag, start: int, end: int, names: Mapping[str, str], *, slips: bool
) -> str | None:  # fmt: skip
    """Return the variety that a run of words names."""
    run = bag.rest[start:end]
    if not re.fullmatch(r"[^\x00,;:!?()\"]+", run):
        return None
    typed = " ".join(_TOKEN.findall(fold(run)))
    if not slips:
        name = names.get(typed)
        return None if name is None or _means_else(bag, start, end, name) else name
    if len(typed) < _SLIP_LETTERS or " " not in typed:
        return None
    from rapidfuzz.distance import OSA

    near = [own for own in names if " " in own and OSA.distance(own, typed) == 1]
    return names[near[0]] if len(near) == 1 else None


def _means_else(bag: Bag, start: int, end: int, name: str) -> bool:
    """Tell whether a variety's name stands for a person, a crop, a place or a word of ours."""
    before = bag.rest[:start]
    if re.search(r"(?<!\w)(?:for|by|to|from)\s+\"$", before, re.IGNORECASE):
        return True
    if before.endswith('"') or re.search(r"(?<!\w)(?:variety|var|cultivar|cv)\.?\s+$", before):
        return False
    typed, context = fold(name), bag.context
    others = (*context.members, *context.trays, *context.shelves, *context.lots)
    if any(typed == fold(other) for other in others):
        return True
    single = " " not in typed
    if single and (typed in NO_TYPO or typed in _GRAMMAR_WORDS or len(typed) < _SHORTEST):
        return True
    match = find_crop(name, slips=False)
    return bool(match.crop or match.candidates) and (single or fold(match.name) == typed)


_SHORTEST = 3  # letters of a name of one word that is claimed without quotes


def _claim(bag: Bag, start: int, end: int, name: str) -> None:
    typed = bag.rest[start:end]
    if fold(typed) != fold(name):
        bag.echo(typed, name)
    if bag.rest[:start].endswith('"') and bag.rest[end : end + 1] == '"':
        start, end = start - 1, end + 1
    led = re.search(r"(?<!\w)(?:variety|var|cultivar|cv)\.?\s+$", bag.rest[:start], re.IGNORECASE)
    bag.mask(led.start() if led else start, end)
    bag.variety = name
    crops = [crop for known, crop in bag.context.varieties if fold(known) == fold(name)]
    bag.variety_crops = tuple(dict.fromkeys(crops))


def said_variety(bag: Bag) -> str | None:
    """Return the variety claimed by its name, else claim one after `variety`."""
    claim_known(bag)
    return bag.variety or take_quoted(bag, "variety|var|cultivar|cv")


def crop_of_variety(bag: Bag) -> str | None:
    """Return the crop of the variety claimed; of several, the only one that grows."""
    crops = bag.variety_crops or ()
    if len(crops) > 1:
        crops = tuple(crop for crop in crops if crop in bag.context.growing)
    return crops[0] if len(crops) == 1 else None


def take_variety(bag: Bag, crop: str | None) -> str | None:
    """Claim a variety: quoted, after `variety`, or the words left right beside the crop.

    Raises LeftOver for a word that looks like a slip of a word the grammar knows.
    """
    if bag.variety is not None:
        return bag.variety
    quoted = take_quoted(bag)
    if quoted:
        return quoted
    found = bag.take(
        r"(?<!\w)(?:variety|var|cultivar|cv)\.?\s+([^\W\d_][\w'-]*(?:\s+[^\W\d_][\w'-]*){0,2})"
    )
    if found:
        return _checked(bag, found[1])
    if crop is None:
        return None
    hit = re.search(
        r"(?:^|(?<=\x00))[\s,'(]*([^\W\d_][\w'-]*(?:\s+[^\W_][\w'-]*){0,3})[\s,')]*(?=\x00|$|[,;])",
        bag.rest,
    )
    while hit:
        words = hit[1].split()
        if fold(words[0]) not in {
            "for",
            "in",
            "on",
            "at",
            "to",
            "by",
            "from",
            "and",
            "of",
            "with",
        }:
            bag.mask(hit.start(1), hit.end(1))
            return _checked(bag, hit[1].rstrip("'"))
        hit = re.compile(
            r"(?<=\x00)[\s,'(]*([^\W\d_][\w'-]*(?:\s+[^\W_][\w'-]*){0,3})[\s,')]*(?=\x00|$|[,;])"
        ).search(bag.rest, hit.end())
    return None


def _checked(bag: Bag, name: str) -> str:
    from rapidfuzz import fuzz

    for typed in name.split():
        if any(fuzz.ratio(fold(typed), known) >= _NEAR_MISS for known in _GRAMMAR_WORDS):
            raise LeftOver(command=bag.command, words=typed)
    return " ".join(name.split())
