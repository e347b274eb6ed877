"""People's names, quoted words and free remarks."""

from __future__ import annotations

import re

from bot.grammar.text import Bag, word
from core.folding import fold

_QUOTED = r"\"([^\"\x00]{1,100})\""
_BAND = r"(?:bench|table|group|team|class|pair|room|year|grade)\s+\w{1,12}"
_NAME = r"[^\W\d_][\w'.-]*(?:\s+[^\W\d_][\w'.-]*){0,2}"
LONGEST_NAME = 100


def take_quoted(bag: Bag, before: str = "") -> str | None:
    """Claim `"some words"` after the words of `before`."""
    lead = rf"(?<!\w)(?:{before})\s*[:=]?\s*" if before else r"(?<![\w])"
    found = bag.take(lead + _QUOTED)
    return found[1].strip() or None if found else None


def take_member(bag: Bag, before: str = "") -> str | None:
    """Claim a member's display name, after the words of `before` if given."""
    for name in sorted(bag.context.members, key=len, reverse=True):
        if not name.strip():
            continue
        spelt = re.escape(" ".join(name.split())).replace(r"\ ", r"\s+")
        lead = rf"(?:{before})\s+@?" if before else "@?"
        if bag.take(rf"(?<!\w){lead}{spelt}(?:'s)?(?!\w)"):
            return name
    return None


def take_for_whom(bag: Bag, lead: str = "for|by|from") -> str | None:
    """Claim `for "Ana"`, `for Ana` (a member) or `for bench 2`, whatever else is in the line."""
    quoted = take_quoted(bag, lead)
    if quoted:
        return quoted
    member = take_member(bag, lead)
    if member:
        return member
    found = bag.take(rf"(?<!\w)(?:{lead})\s+(?:the\s+)?({_BAND})(?!\w)")
    return " ".join(found[1].split()) if found else None


def take_rest_name(bag: Bag, lead: str = "for") -> str | None:
    """Claim up to three plain words after `for`: a name the group does not know.

    Call it last: what the other pieces took no longer stands there.
    """
    found = bag.take(rf"(?<!\w)(?:{lead})\s+({_NAME})(?!\w)")
    return re.sub(r"\s+(?:and|or)$", "", found[1].strip(" ."), flags=re.I) if found else None


def take_names(bag: Bag) -> tuple[str, ...]:
    """Claim quoted names, `me`, and the display names of members, in the order typed."""
    found: list[tuple[int, str]] = []
    while hit := bag.take(_QUOTED):
        if hit[1].strip():
            found.append((hit.start(), hit[1].strip()))
    while hit := bag.take(word("me|myself|i(?!')")):
        found.append((hit.start(), "me"))
    for name in sorted(bag.context.members, key=len, reverse=True):
        spelt = re.escape(" ".join(name.split())).replace(r"\ ", r"\s+")
        if spelt and (hit := bag.take(rf"(?<!\w)@?{spelt}(?!\w)")):
            found.append((hit.start(), name))
    return tuple(dict.fromkeys(name for _, name in sorted(found, key=lambda pair: pair[0])))


def rest_names(bag: Bag) -> tuple[str, ...]:
    """Claim what is left as names parted by commas, `and` or other pieces."""
    names = []
    for piece in re.split(r"\x00+|,|;|&|\+|(?<!\w)and(?!\w)", bag.rest, flags=re.IGNORECASE):
        words = [w for w in piece.split() if re.search(r"\w", w)]
        name = " ".join(words).strip(" .:-")[:LONGEST_NAME]
        if name and fold(name) not in {"on", "for", "every", "to", "in", "at", "the", "is"}:
            names.append(name)
    bag.mask(0, len(bag.rest))
    return tuple(names)
