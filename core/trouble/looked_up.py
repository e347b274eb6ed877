"""Which questions the group's own records answer, and of what they ask."""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass
from enum import StrEnum

from core.trade.tables.registry import ident, plain, register
from core.trouble.asked import crop_named
from core.trouble.concepts import crop_words, fold
from core.trouble.deeds import deed_in
from core.trouble.patterns import Sieve
from core.trouble.worlds import world_of


class Sought(StrEnum):
    """What is to be looked up; ids of looked_up.toml and deeds.toml."""

    WATERED = "watered"
    FED = "fed"
    SOWN = "sown"
    COUNTED = "counted"
    MOVED = "moved"
    POTTED = "potted"
    THINNED = "thinned"
    PLANTED = "planted"
    HARDENED = "hardened"
    MEASURED = "measured"
    NOTED = "noted"
    AGE = "age"
    UP = "up"
    CAME = "came"
    LEFT = "left"
    POTTED_N = "potted_n"
    PLANTED_N = "planted_n"
    LOST = "lost"
    DRY = "dry"
    DUE = "due"
    DUTY = "duty"
    UNSOWN = "unsown"
    WANTED = "wanted"
    PLANNED = "planned"
    PLAN = "plan"
    STOCK = "stock"
    CONTENTS = "contents"
    SHELF = "shelf"
    WHERE = "where"
    HISTORY = "history"
    DIFFERENT = "different"


@dataclass(frozen=True, slots=True, kw_only=True)
class LookedUp:
    """How people ask one thing of the records.

    Attributes:
        id: a `Sought`.
        named: only of a sentence that names a tray, a sowing, a crop, a shelf, or the plants.
        calm: only of a sentence that names no sign of trouble.
        en, es: patterns as in concepts.toml.
        near: patterns in looser words, which count only of a sentence that names something of
            the group, tells of no sign of trouble, and asks for no advice.
        fires, silent: sentences of either language that ask it, and neighbours that do not.
    """

    id: str = ident()
    named: bool = plain(default=False)
    calm: bool = plain(default=False)
    en: tuple[str, ...] = plain()
    es: tuple[str, ...] = plain()
    near: tuple[str, ...] = plain(default=())
    fires: tuple[str, ...] = plain()
    silent: tuple[str, ...] = plain()


LOOKED_UP = register("looked_up", LookedUp, file="looked_up.toml")

_WHY = re.compile(r"\b(?:why|how come|what (?:do|should|can) (?:i|we) do|por ?que|que hago)\b")
"""A question about the cause, or what to do, is no question about the records."""

_BUT = {Sought.DIFFERENT, Sought.DUE, Sought.LOST}
"""They are asked in such words as well: why one tray is ahead, what is to be done today."""

_PLAIN = {Sought.CONTENTS, Sought.PLANNED, Sought.UP, Sought.WHERE}
"""Asked of seed, plan, counts and places in words that a sign of trouble has as well."""

_BEFORE_DEEDS = {Sought.DIFFERENT, Sought.UNSOWN, Sought.DUTY, Sought.CONTENTS, Sought.WANTED}
"""Asked with a word for something done, and about something else."""

_ADVICE = re.compile(
    r"\b(?:should|shall|can (?:i|we|you|they|it|the)|could|must|needs?|have to|has to|ought|would|"
    r"how (?:do|to|often|much(?! of)|deep|high|long) |what if|"
    r"is it (?:ok|okay|normal|safe|true|bad)|better|best|debo|puedo|conviene|hay que|"
    r"se puede|es (?:normal|malo|mejor)|mejor)\b"
)

SHORTEST_CROP = 4  # letters of a word that names a crop by itself: "the" stands in some names

_TRAYS = re.compile(r"\bt\d{1,3}\b")
_NAMED = re.compile(
    r"\b(?:t\d{1,3}|s\d{1,3}|tray \w+|trays?|flats?|shel(?:f|ves)|rack|seedlings?|plants?|plugs?|"
    r"pots|crops?|sowings?|lots?|packets?|bandejas?|charolas?|semilleros?|estantes?|repisas?|plantas?|"
    r"plantulas?|plantitas?|macetas)\b"
)
_SOUNDS = {
    "hu": "who", "whos": "who is", "wos": "who is", "wats": "what is", "whats": "what is",
    "wat": "what", "wot": "what", "wots": "what is", "wen": "when", "whens": "when is",
    "wheres": "where is", "wich": "which", "whitch": "which", "menny": "many", "meny": "many",
    "howmany": "how many", "hows": "how is", "rite": "right", "tomorow": "tomorrow",
    "tmrw": "tomorrow", "2morrow": "tomorrow", "tommorow": "tomorrow", "tomorro": "tomorrow",
    "waterd": "watered", "waterred": "watered", "wotered": "watered", "fertalized": "fertilized",
    "kien": "quien", "kienes": "quienes", "kuando": "cuando", "ke": "que", "k": "que", "q": "que",
    "ai": "hay", "aser": "hacer", "diferensia": "diferencia", "weres": "where is",
    "anythin": "anything", "anyting": "anything",
}  # fmt: skip
"""Written as it sounds, or shortened."""


def heard_as(text: str) -> str:
    """Return a message folded, with words that are written as they sound put right."""
    return " ".join(_SOUNDS.get(word, word) for word in fold(text).split())


def sought_in(text: str, *, loosely: bool = True) -> Sought | None:
    """Return what a message asks of the records, or None; never raises.

    Args:
        loosely: in looser words too; a message that may be a report is not read so.

    Checked by: tests/core/trouble/test_looked_up.py.
    """
    sentence = heard_as(text)
    elsewhere = world_of(sentence)
    if elsewhere is not None and elsewhere.sure and not _names_ours(sentence):
        return None
    asks_why = _WHY.search(sentence) is not None
    deed = None if asks_why else deed_in(sentence, marked="?" in text)
    for row, pattern in _patterns().possible(sentence):
        sought = Sought(row.id)
        if (deed is not None and sought not in _BEFORE_DEEDS) or (asks_why and sought not in _BUT):
            continue
        if pattern.search(sentence) and _fits(row, sought, sentence):
            return sought
    if deed is not None:
        return Sought(deed)
    return _nearly(sentence) if loosely and not asks_why else None


def _nearly(sentence: str) -> Sought | None:
    """Return what a sentence asks in looser words, where it names something of the group."""
    if _ADVICE.search(sentence) or not _names_ours(sentence):
        return None
    from core.trouble.kind import speaks_of_trouble

    for name, pattern in _looser().possible(sentence):
        if pattern.search(sentence):
            sought = Sought(name)
            return sought if sought in _PLAIN or not speaks_of_trouble(sentence) else None
    return None


@functools.cache
def _looser() -> Sieve[str]:
    return Sieve((row.id, row.near) for row in LOOKED_UP.rows() if row.near)


def _fits(row: LookedUp, sought: Sought, sentence: str) -> bool:
    if sought is Sought.DIFFERENT and not _two_named(sentence):
        return False  # two things of the records are held against each other, or it is talk
    if row.named and not _names_ours(sentence):
        return False
    if row.calm:
        from core.trouble.kind import names_a_sign

        return not names_a_sign(sentence)
    return True


def _names_ours(sentence: str) -> bool:
    words = {word for word in sentence.split() if len(word) >= SHORTEST_CROP}
    if _NAMED.search(sentence) or not crop_words().isdisjoint(words):
        return True
    return crop_named(sentence) is not None


def _two_named(sentence: str) -> bool:
    if len(set(_TRAYS.findall(sentence))) >= 2:
        return True
    return re.search(r"\b(?:trays?|shelves|charolas|bandejas)\b", sentence) is not None and (
        re.search(r"\b(?:two|both|or|and|dos|ambas|o|y)\b", sentence) is not None
    )


@functools.cache
def _patterns() -> Sieve[LookedUp]:
    return Sieve((row, (*row.en, *row.es)) for row in LOOKED_UP.rows())
