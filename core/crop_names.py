"""Every name a crop goes by: folding of case and accents, plurals, and clashes."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from core.tables import Complaint, Problem

if TYPE_CHECKING:
    from core.crop_rows import Crop


def fold(name: str) -> str:
    """Return the letters and digits of a name: no case, accents, spaces, hyphens, quotes."""
    plain = unicodedata.normalize("NFKD", name.casefold())
    return "".join(ch for ch in plain if ch.isalnum())


def plural_forms(name: str) -> tuple[str, ...]:
    """Return the regular English and Spanish plurals of the last word of a name."""
    if name.endswith("s") and not name.endswith("ss"):
        return (name + "es",) if name.endswith(("us", "is")) else ()
    forms = [name + "s"]
    if name.endswith(("ch", "sh", "x", "ss", "o")) or name[-1] not in "aeiou":
        forms.append(name + "es")
    if name.endswith("y") and name[-2:-1] not in ("a", "e", "o", "u"):
        forms.append(name[:-1] + "ies")
    if name.endswith("z"):
        forms.append(name[:-1] + "ces")
    return tuple(forms)


def sure_names(crop: Crop) -> Iterator[str]:
    """Yield each name that means this crop alone, without plurals."""
    yield crop.name
    yield from crop.synonyms
    yield crop.name_es
    yield from crop.names_es


def sure_keys(crop: Crop) -> dict[str, str]:
    """Return folded form -> name as written, for every sure name and its plurals."""
    keys: dict[str, str] = {}
    for name in sure_names(crop):
        head, space, tail = name.partition(" de ")  # Spanish plural is on the first word
        for form in (name, *plural_forms(name)):
            keys.setdefault(fold(form), name)
        for form in plural_forms(head) if space else ():
            keys.setdefault(fold(form + space + tail), name)
        words = name.split(" ")
        if len(words) == 2 and not space and name in (crop.name_es, *crop.names_es):
            for first in plural_forms(words[0]):
                for second in plural_forms(words[1]):
                    keys.setdefault(fold(first + second), name)
    for form in crop.plurals:
        keys.setdefault(fold(form), crop.name)
    keys.setdefault(fold(crop.scientific_name), crop.name)
    return keys


def shared_keys(crop: Crop) -> dict[str, str]:
    """Return folded form -> word as written, for the loose words this crop shares."""
    return {fold(form): name for name in crop.shared_names for form in (name, *plural_forms(name))}


def name_clashes(crops: tuple[Crop, ...]) -> Iterable[Complaint]:
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


def _clash(crop: Crop, name: str, other: str) -> Complaint:
    problem = Problem.NAME_COLLIDES
    return Complaint(
        row=crop.id, field="synonyms", problem=problem, values={"given": name, "other": other}
    )
