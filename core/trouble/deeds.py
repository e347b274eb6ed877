"""What was done to trays and plants, as people ask for it: who did it, when, whether, which."""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass

from core.trade.tables.registry import ident, plain, register
from core.trouble.patterns import beginnings_in, beginnings_of, pattern_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """One thing that is done, in the words people ask about it with.

    Attributes:
        id: a `Sought`.
        did, do, noun: English past forms, plain forms, and the act as a thing.
        es, es_weak, noun_es: Spanish past forms; those that without their accent are another
            word, and count after `quien` and `se` only; and the act as a thing.
        fires, silent: sentences of either language that ask it, and neighbours that do not.
    """

    id: str = ident()
    did: tuple[str, ...] = plain()
    do: tuple[str, ...] = plain()
    noun: tuple[str, ...] = plain()
    es: tuple[str, ...] = plain()
    es_weak: tuple[str, ...] = plain()
    noun_es: tuple[str, ...] = plain(default=())
    fires: tuple[str, ...] = plain()
    silent: tuple[str, ...] = plain()


DEEDS = register("deed", Deed, file="deeds.toml")

_FIRST = r"(?:^|\b(?:and|so|hey|hi|ok|but|y|oye|hola|pero) )"
_BETWEEN = r"(?:\w+ ){0,6}?"
_SOME = r"(?:\w+ ){1,6}?"
_WHOSE = (
    r"(?:has|have|had|did|was|is|it|that|the|one|person|already|actually|just|last|been|be|of|"
    r"us|you|them|guys|we|here|doing|do|done|then)"
)

_FRAMES = (
    # who
    rf"(?:who|whos|hu|which one|which of (?:us|you|them)|which (?:\w+ )?of (?:us|you|them)) "
    rf"(?:{_WHOSE} )*(?:{{did}}|{{do}})",
    rf"(?:who|whos|hu) (?:{_WHOSE} )*(?:the )?{{noun}}",
    r"was it \w+ (?:who|that) {did}",
    # when
    rf"when (?:was|were|did|have|has|had) {_BETWEEN}(?:{{did}}|{{do}})",
    r"when (?:was|were) (?:\w+ ){0,3}?(?:last|latest|first) {noun}",
    r"(?:last|latest) time (?:\w+ ){0,5}?(?:{did}|{do})",
    r"(?:last|latest|most recent) {noun}(?: was| of| for| on| in)?",
    rf"(?:what|which) (?:day|date|time|week) (?:was|were|did|have|has) {_BETWEEN}"
    r"(?:{did}|{do})",
    rf"how (?:long|many (?:days|weeks)) (?:ago |has it been |is it |since |was )+{_BETWEEN}"
    r"(?:{did}|{do})",
    rf"by whom {_BETWEEN}{{did}}",
    rf"(?:{_FIRST}|t\d+ )when {{did}}",
    rf"(?:know|tell me|remember|wonder\w*|say|sure) when {_SOME}{{did}}",
    rf"long (?:is it )?since {_BETWEEN}{{did}}",
    # whether
    rf"(?:is|are) {_SOME}{{did}} (?:already|yet)",
    rf"(?:^|\b(?:and|or|so|hey|hi|ok) )(?:did|has|have|was|were) "
    rf"(?!just|now|already|been|finally|also|not){_SOME}{{did}}",
    r"(?:is|are) (?:\w+ ){1,4}already {did}",
    rf"(?:^|\b(?:and|so|hey|hi|ok) )did {_BETWEEN}{{do}}",
    r"(?:any|some) ?(?:one|body) (?:\w+ ){0,2}?(?:{did})(?= .* yet| yet| today| this)",
    # what, which
    rf"{_FIRST}(?:what|which|whats) (?:else )?(?:\w+ ){{0,2}}?"
    rf"(?:was|were|got|get|did|has|have|been|is|are) {_BETWEEN}{{did}}",
    rf"{_FIRST}(?:what|which|whats) (?:else )?(?:\w+ ){{0,2}}?did {_BETWEEN}{{do}}",
    rf"{_FIRST}which (?:\w+ ){{0,2}}{{did}}",
)
"""How it is asked in English, with the forms of a deed."""

_FRAMES_ES = (
    rf"(?:quien|quienes|kien|kienes|cual de (?:ustedes|nosotros|vosotros)) {_BETWEEN}"
    r"(?:{es}|{es_weak})",
    rf"(?:cuando|kuando|que (?:dia|fecha)|en que (?:dia|fecha)) {_BETWEEN}{{es}}",
    r"(?:cuando|que dia|en que (?:dia|fecha)) (?:\w+ )?se (?:\w+ )?(?:{es_weak})",
    r"(?:hace cuanto|cuanto (?:tiempo )?hace|cuant[oa]s (?:dias|semanas) hace|desde cuando) "
    rf"{_BETWEEN}(?:{{es}}|{{es_weak}})",
    r"(?:ultima|ultimo) (?:vez )?(?:que )?(?:\w+ ){0,3}?(?:{es}|{es_weak})",
    r"(?:ultima|ultimo) {noun_es}",
    r"(?:cuando|que dia|en que fecha) fue (?:el|la) {noun_es}",
    r"(?:alguien|nadie|ya) (?:\w+ ){0,4}?{es}",
    r"(?:alguien|nadie|ya se|^se) (?:\w+ ){0,3}?(?:{es_weak})",
    r"(?:ha|han|hemos|fue|fueron) sido {es}",
    rf"{_FIRST}(?:que|cuales|cual|k) (?:\w+ ){{0,3}}?{{es}}",
    rf"{_FIRST}(?:que|cuales|k) (?:\w+ ){{0,2}}?se (?:\w+ )?(?:{{es_weak}})",
)

_AHEAD = re.compile(
    r"\b(?:should|shall|can|could|must|needs? to|have to|has to|ought|will|would|going to|gonna|"
    r"want to|how to|supposed|if|before|until|till|too|wrong|enough|right way|ok to|deber?\w*|"
    r"hay que|puedo|puede|podemos|demasiad\w+|si|antes|hasta|mal|suficiente)\b"
)
"""A question with these is about what is to be done, or whether it was done well."""

_JUDGED = re.compile(r"\b(?:too|enough|wrong|means?|meen|demasiad\w+|suficiente)\b")
"""What follows tells of doubt whether it was done well."""


@functools.cache
def _asked_of(name: str) -> tuple[re.Pattern[str], re.Pattern[str]]:
    """Return how a deed is asked, and its forms at the end of that; made when it may be asked."""
    said = {what: f"(?:{'|'.join(words)})" for what, words in _forms(DEEDS.by_id()[name]).items()}
    frames = []
    for frame in (*_FRAMES, *_FRAMES_ES):
        names = re.findall(r"\{([a-z_]+)\}", frame)
        if all(what in said for what in names):
            filled = frame
            for what in names:
                filled = filled.replace(f"{{{what}}}", said[what])
            frames.append(filled)
    return pattern_of(frames), pattern_of([rf"(?:{'|'.join(said.values())})$"])


def _forms(row: Deed) -> dict[str, tuple[str, ...]]:
    """Return the forms of a deed, by their names in the frames, as far as it has any."""
    every = {
        "did": row.did,
        "do": row.do,
        "noun": row.noun,
        "es": row.es,
        "es_weak": row.es_weak,
        "noun_es": row.noun_es,
    }
    return {what: words for what, words in every.items() if words}


@functools.cache
def _beginnings() -> tuple[tuple[str, frozenset[str] | None], ...]:
    """Return of each deed the beginnings of which a sentence must hold one to speak of it."""
    return tuple(
        (row.id, beginnings_of(form for forms in _forms(row).values() for form in forms))
        for row in DEEDS.rows()
    )


def deed_in(sentence: str, *, marked: bool = True) -> str | None:
    """Return the deed that a folded question asks about as done, by its id; never raises.

    Args:
        marked: it has a question mark; without one `ya regaron la T5` tells.

    Checked by: tests/core/trouble/test_looked_up.py.
    """
    found: list[tuple[int, int, str]] = []
    begun = beginnings_in(sentence)
    for name, beginnings in _beginnings():
        if beginnings is not None and beginnings.isdisjoint(begun):
            continue
        asked, form = _asked_of(name)
        match = asked.search(sentence)
        if match is None or _AHEAD.search(match[0]) or _JUDGED.search(sentence, match.end()):
            continue
        if match[0].startswith("ya ") and not marked:
            continue
        said = form.search(sentence, 0, match.end())
        start = said.start() if said else match.start()
        found.append((start, -match.end(), name))
    return min(found)[2] if found else None
