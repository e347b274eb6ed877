"""What kind of question a sentence asks: trouble, how-to, what-is, when, records, or not ours."""

from __future__ import annotations

import functools
import re
from collections.abc import Collection
from dataclasses import dataclass
from enum import StrEnum

from core.trade.tables.registry import ident, plain, register
from core.trouble.asked import crop_named
from core.trouble.causes import CAUSES
from core.trouble.concepts import Heard, fold, heard_in
from core.trouble.diagnosis import Diagnosis, diagnose
from core.trouble.evidence import Evidence
from core.trouble.patterns import Sieve
from core.trouble.worlds import Elsewhere, world_of


class Kind(StrEnum):
    """Who answers a question."""

    TROUBLE = "trouble"
    TOPIC = "topic"  # how to do something, what a word means, when and how many in general
    RECORDS = "records"  # what the group's own records say
    NOT_OURS = "not_ours"
    UNCLEAR = "unclear"


@dataclass(frozen=True, slots=True, kw_only=True)
class Outside:
    """Questions that belong elsewhere.

    Attributes:
        id: where such a question belongs; bot/wording has the words for it.
        firm: what else the sentence says of seedlings does not make it ours.
        en, es: patterns as in concepts.toml.
    """

    id: str = ident()
    firm: bool = plain(default=False)
    en: tuple[str, ...] = plain()
    es: tuple[str, ...] = plain()


@dataclass(frozen=True, slots=True, kw_only=True)
class Unwell:
    """Words for plants that look ill, without a sign: patterns as in concepts.toml."""

    id: str = ident()
    en: tuple[str, ...] = plain()
    es: tuple[str, ...] = plain()


UNWELL = register("unwell", Unwell, file="unwell.toml")


def sounds_unwell(text: str) -> bool:
    """Say whether a text calls something ill or sad, whatever the sign."""
    return _unwell().first_in(fold(text)) is not None


@functools.cache
def _unwell() -> Sieve[str]:
    return Sieve((one, (one,)) for row in UNWELL.rows() for one in (*row.en, *row.es))


OUTSIDE = register("outside", Outside, file="outside.toml")

OURS = frozenset(
    {
        "bump_seedling",
        "seed",
        "flattened",
        "seed_leaf",
        "not_up",
        "few_up",
        "mat",
        "lid",
        "label",
        "harden",
    }
    | {"lamp", "coat_stuck", "damping", "moved", "treated", "thinnings", "timer", "soil_line"}
)
"""Findings that make a question one about plants started from seed."""

SEEDLINGS = frozenset({"bump_seedling", "seed", "seed_leaf", "treated", "coat_stuck", "thinnings"})
"""Those that speak of seed and seedlings alone: a house plant has a lamp and is moved as well."""

GROWING = frozenset(
    {
        "leaf",
        "veins",
        "stem",
        "root",
        "humid",
        "closed_house",
        "soil_any",
        "plant_any",
        "k_warm",
        "k_cool",
        "k_brassica",
        "k_allium",
    }
    | {"k_cucurbit", "k_bean", "k_light", "k_dark", "k_chill", "k_hard", "k_slow", "touchy"}
    | {"toxic_kind", "aphid", "whitefly", "slug", "gnat", "mites", "algae_c", "mushroom", "k_soak"}
    | {"k_petunia", "k_multigerm", "k_bolt_hot", "k_bolt_cold", "fed_word", "bleach", "pesticide"}
)
"""Findings that speak of plants, or of what is used with them, at all."""

NO_SUPPORT = 2.2  # log ratio the leading cause must have where nothing speaks of plants
SURE_SUPPORT = 6.0  # the same where a word speaks of another world for sure

FEARED_SUPPORT = 3.0  # the same of a cause that is a danger, where a word speaks of another world

_TRAY = re.compile(r"\bt\d{1,3}\b")
_FROM_SEED = re.compile(
    r"\b(?:seed(?!less)\w*|tray\w*|flats|plugs|sow\w*|sprout\w*|germinat\w*|semill\w*|plantul\w*|"
    r"almacig\w*|charola\w*|bandeja\w*|sembr\w*|siembr\w*|germin\w*)\b"
)
"""Words of plants started from seed, whatever else is spoken of."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A question as it was understood.

    Attributes:
        kind: who answers.
        outside: where it belongs when it is not ours: id of a row of outside.toml.
        by_word: that is known by a word of another world only, which a topic may outweigh.
    """

    kind: Kind
    outside: str | None = None
    by_word: bool = False


def kind_of_question(text: str, language: str = "en") -> Asked:
    """Return who answers a question; pure, never raises on any text.

    Args:
        text: plain words.
        language: of the speaker; the tables hold both, so that it decides nothing yet.

    Checked by: tests/core/trouble/test_kind.py.
    """
    return _understood(text)[0]


def _understood(text: str) -> tuple[Asked, Diagnosis]:
    heard = heard_in(text)
    diagnosis = diagnose(heard, Evidence(), asking=False)
    return kind_of(fold(text), heard, diagnosis), diagnosis


def kind_of(sentence: str, heard: Heard, diagnosis: Diagnosis) -> Asked:
    """Return who answers a folded sentence of which this much is known already."""
    found = set(heard.found)
    outside = outside_of(sentence)
    lead = diagnosis.causes[0] if diagnosis.causes else None
    danger = lead is not None and lead.cause.danger and lead.share > 0.3
    ours = bool(found & SEEDLINGS)
    if outside is not None and not danger and (outside.firm or not ours):
        return Asked(kind=Kind.NOT_OURS, outside=outside.id)
    elsewhere = world_of(sentence)
    if elsewhere is not None and not _TRAY.search(sentence):
        support = lead.support if lead is not None else 0.0
        anchored = ours and (elsewhere.belongs != "grown_plants" or not elsewhere.sure)
        anchored = anchored or _FROM_SEED.search(sentence) is not None
        feared = danger and support >= FEARED_SUPPORT
        if not (anchored or feared) and _outweighs(elsewhere, sentence, found, support):
            return Asked(kind=Kind.NOT_OURS, outside=elsewhere.belongs, by_word=True)
    if lead is None:
        if found & (OURS | GROWING):
            return Asked(kind=Kind.UNCLEAR)
        return Asked(kind=Kind.NOT_OURS, outside="elsewhere")
    if not found & (OURS | GROWING) and lead.support < NO_SUPPORT:
        return Asked(kind=Kind.NOT_OURS, outside="elsewhere")
    return Asked(kind=Kind.TROUBLE)


def _outweighs(elsewhere: Elsewhere, sentence: str, found: Collection[str], support: float) -> bool:
    """Say whether words of another world outweigh what a sentence says of plants."""
    rest = sentence
    for words in elsewhere.words:
        rest = rest.replace(words, " ")
    crop = crop_named(rest) is not None
    if elsewhere.sure:
        return not (crop and elsewhere.belongs == "grown_plants") and support < SURE_SUPPORT
    speaks = crop or not (OURS | GROWING).isdisjoint(found)
    several = len(elsewhere.words) > 1
    return not speaks and support < (SURE_SUPPORT if several else NO_SUPPORT)


def outside_of(sentence: str) -> Outside | None:
    """Return the row of outside.toml a folded sentence falls under, or None."""
    first = _patterns().first_in(sentence)
    return first[0] if first is not None else None


@functools.cache
def _patterns() -> Sieve[Outside]:
    return Sieve((row, (*row.en, *row.es)) for row in OUTSIDE.rows())


_ASKS = re.compile(
    r"^(?:hi |hello |hey |so |and |ok |pues |hola )*(?:how|what|whats|when|where|which|can|could"
    r"|should|do|does|is it|is there|must|que|como|cuando|cuant[oa]s?|donde|cual|puedo|debo|hay que"
    r"|se puede|cada cuanto|a que)\b"
)


def asks(sentence: str) -> bool:
    """Say whether a folded sentence asks how, what, when or whether, and does not only tell."""
    return bool(_ASKS.search(sentence))


_HOW = re.compile(
    r"^(?:hi |hello |hey |so |and |ok |pues |hola |oye )*"
    r"(?:how (?:high|low|close|near|far|deep|warm|cold|hot|much|often|long|strong|full|big|thick)"
    r"|(?:what|which) (?:height|depth|temperature|distance|amount)"
    r"|when (?:do|does|should|can|must|is\sit\stime)"
    r"|a que (?:altura|distancia|temperatura|profundidad)|que tan|que (?:altura|temperatura)"
    r"|cuant[oa]s? (?:agua|frecuencia|calor|tiempo|horas|profundidad|hay\sque)|cada\scuanto"
    r"|cuando (?:se|le|les|hay|puedo|debo|quito|saco))\b"
)


def asks_how(sentence: str) -> bool:
    """Say whether a folded sentence asks for a measure or a moment, whatever trouble it names."""
    return bool(_HOW.search(sentence))


_MEANING = re.compile(
    r"^(?:(?:hi|hello|hey|so|and|ok|pues|hola) )*"
    r"(?:(?:w(?:h)?ats|what (?:is|are)|que (?:es|son)) "
    r"(?!wrong|the matter|happening|up with|on (?:my|the)|eating|this|that)"
    r"(?:(?:an?|the|el|la|una?) )?\w+(?: \w+)?$"
    r"|what\s(?:does|do)\s.*\smean|que\s(?:significa|quiere\sdecir)\s)"
)


def asks_meaning(sentence: str) -> bool:
    """Say whether a folded sentence asks what a word means: `whats hardening off`."""
    return bool(_MEANING.search(sentence))


def names_a_sign(text: str) -> bool:
    """Say whether a sentence that is no command names a sign of trouble, if not which."""
    return _understood(text)[0].kind is Kind.TROUBLE


def speaks_of_trouble(text: str) -> bool:
    """Say whether a sentence that is no command tells of trouble clearly enough to answer it."""
    asked, diagnosis = _understood(text)
    if asked.kind is not Kind.TROUBLE:
        return False
    lead = diagnosis.causes[0]
    return lead.support >= NO_SUPPORT and lead.cause.id in CAUSES.by_id()
