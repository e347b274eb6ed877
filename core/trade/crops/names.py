"""Every name a crop goes by: folding of case and accents, plurals, and clashes."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol

from core import folding
from core.trade.tables.registry import Complaint, Problem


class Named(Protocol):
    """What a crop is called: the part of its row that names need."""

    @property
    def id(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def synonyms(self) -> tuple[str, ...]: ...
    @property
    def name_es(self) -> str: ...
    @property
    def names_es(self) -> tuple[str, ...]: ...
    @property
    def plurals(self) -> tuple[str, ...]: ...
    @property
    def shared_names(self) -> tuple[str, ...]: ...
    @property
    def scientific_name(self) -> str: ...


def fold(name: str) -> str:
    """Return the letters and digits of a name: no case, accents, spaces, hyphens, quotes."""
    return "".join(ch for ch in folding.fold(name) if ch.isalnum())


def english_plurals(name: str) -> tuple[str, ...]:
    """Return the regular plurals of the last word of an English name."""
    if name.endswith(("ch", "sh", "x", "ss", "us", "is")):
        return (name + "es",)
    if name.endswith("s"):
        return ()
    if name.endswith("y") and name[-2:-1] not in ("a", "e", "i", "o", "u"):
        return name[:-1] + "ies", name + "s"
    return (name + "s", name + "es") if name.endswith("o") else (name + "s",)


def spanish_plurals(name: str) -> tuple[str, ...]:
    """Return the regular plurals of a Spanish name: of its first word, or of both of two."""
    head, space, tail = name.partition(" ")
    first = head if head.endswith("s") else head + ("s" if fold(head)[-1:] in "aeiou" else "es")
    first = head[:-1] + "ces" if head.endswith("z") else first
    if not space:
        return (first,)
    both = () if " " in tail else tuple(f"{first} {second}" for second in spanish_plurals(tail))
    return (f"{first} {tail}", *both)


def sure_keys(crop: Named) -> dict[str, str]:
    """Return folded form -> name as written, for every name that means this crop alone."""
    keys: dict[str, str] = {}
    for name in (crop.name, *crop.synonyms):
        for form in (name, *english_plurals(name)):
            keys.setdefault(fold(form), name)
    for name in (crop.name_es, *crop.names_es):
        for form in (name, *spanish_plurals(name)):
            keys.setdefault(fold(form), name)
    for form in crop.plurals:
        keys.setdefault(fold(form), crop.name)
    keys.setdefault(fold(crop.scientific_name), crop.name)
    return keys


def loose_forms(name: str) -> tuple[str, ...]:
    """Return a word with its plurals in either language."""
    return (name, *english_plurals(name), *spanish_plurals(name))


def shared_keys(crop: Named) -> dict[str, str]:
    """Return folded form -> word as written, for the loose words this crop shares."""
    return {fold(form): name for name in crop.shared_names for form in loose_forms(name)}


def name_clashes(crops: tuple[Named, ...]) -> Iterable[Complaint]:
    """Yield a complaint for each name that two crops claim, a loose word included."""
    owners: dict[str, str] = {}
    for crop in crops:
        for key, name in sure_keys(crop).items():
            if key in owners:
                yield _clash(crop, name, owners[key])
            owners.setdefault(key, crop.id)
    for crop in crops:
        for key, name in shared_keys(crop).items():
            if key in owners:
                yield _clash(crop, name, owners[key])


def _clash(crop: Named, name: str, other: str) -> Complaint:
    problem = Problem.NAME_COLLIDES
    return Complaint(
        row=crop.id, field="synonyms", problem=problem, values={"given": name, "other": other}
    )
