"""Words of the trade in each language, each with where it is used so.

The catalogue's translations keep to them: tests/wording/test_glossary.py.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from core.trade.tables.registry import Complaint, ident, plain, register, text


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """One thing or act of the trade.

    Attributes:
        id: key of the row.
        en, es: the word used, English and Spanish.
        en_forms: English forms to look for in a phrase, lower case, whole words.
        es_stems: beginnings of Spanish words, lower case, without accents; a translation of a
            phrase that holds one of `en_forms` holds one of these.
        es_elsewhere: what it is called in other Spanish-speaking places; for people, not used.
        source: keys of sources.toml for the Spanish word.
    """

    id: str = ident()
    en: str = text(pattern=r"\S.*")
    es: str = text(pattern=r"\S.*")
    en_forms: tuple[str, ...] = text(pattern=r"[a-z]+(?: [a-z]+)*")
    es_stems: tuple[str, ...] = text(pattern=r"[a-z]+(?: [a-z]+)*")
    es_elsewhere: tuple[str, ...] = plain(default=())
    source: str = plain()


def _check(terms: tuple[Term, ...]) -> Iterable[Complaint]:
    """Complain of a form that two terms claim, and of a word that its own stems do not hold."""
    seen: dict[str, str] = {}
    for term in terms:
        for form in term.en_forms:
            if form in seen:
                yield Complaint(row=term.id, field="en_forms", values={"other": seen[form]})
            seen[form] = term.id
        if not any(stem in plain_letters(term.es) for stem in term.es_stems):
            yield Complaint(row=term.id, field="es_stems", values={"given": term.es_stems})


def plain_letters(text: str) -> str:
    """Return a Spanish text in small letters without accents."""
    return text.lower().translate(_PLAIN)


_PLAIN = str.maketrans("áéíóúüñ", "aeiouun")
TERMS = register("term", Term, file="glossary.toml", check=_check)
