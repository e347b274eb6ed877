"""Which questions the group's own records answer, and of what they ask."""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass
from enum import StrEnum

from core.trade.tables.registry import ident, plain, register
from core.trouble.concepts import fold
from core.trouble.patterns import Sieve


class Sought(StrEnum):
    """What is to be looked up; ids of looked_up.toml."""

    WATERED = "watered"
    FED = "fed"
    SOWN = "sown"
    AGE = "age"
    UP = "up"
    LOST = "lost"
    DRY = "dry"
    DUTY = "duty"
    UNSOWN = "unsown"
    DIFFERENT = "different"


@dataclass(frozen=True, slots=True, kw_only=True)
class LookedUp:
    """How people ask one thing of the records.

    Attributes:
        id: a `Sought`.
        en, es: patterns as in concepts.toml.
        fires, silent: sentences of either language that ask it, and neighbours that do not.
    """

    id: str = ident()
    en: tuple[str, ...] = plain()
    es: tuple[str, ...] = plain()
    fires: tuple[str, ...] = plain()
    silent: tuple[str, ...] = plain()


LOOKED_UP = register("looked_up", LookedUp, file="looked_up.toml")

_WHY = re.compile(r"\b(?:why|how come|what (?:do|should|can) (?:i|we) do|por ?que|que hago)\b")
"""A question about the cause, or what to do, is no question about the records."""

_TRAYS = re.compile(r"\bt\d{1,3}\b")


def sought_in(text: str) -> Sought | None:
    """Return what a message asks of the records, or None; never raises.

    Checked by: tests/core/trouble/test_looked_up.py.
    """
    sentence = fold(text)
    if _WHY.search(sentence):
        return None
    for row, pattern in _patterns().possible(sentence):
        if pattern.search(sentence):
            sought = Sought(row.id)
            if sought is Sought.DIFFERENT and len(set(_TRAYS.findall(sentence))) < 2:
                continue  # two things of the records are held against each other, or it is talk
            return sought
    return None


@functools.cache
def _patterns() -> Sieve[LookedUp]:
    return Sieve((row, (*row.en, *row.es)) for row in LOOKED_UP.rows())
