"""The crop table, and the crop somebody means by a word."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass, replace

from core.trade.crops.names import fold, loose_forms, shared_keys, sure_keys
from core.trade.crops.row import (
    CROPS,
    Category,
    Crop,
    EmergenceBasis,
    GerminationLight,
    HardinessClass,
    Hazard,
    MaturityFrom,
    Method,
    Pretreatment,
    Season,
)
from core.trade.tables.registry import plain, register, text

__all__ = [
    "CROPS",
    "Category",
    "Crop",
    "CropMatch",
    "EmergenceBasis",
    "GerminationLight",
    "HardinessClass",
    "Hazard",
    "MaturityFrom",
    "Method",
    "OTHER_PLANTS",
    "Pretreatment",
    "Season",
    "crop_by_id",
    "find_crop",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherPlants:
    """Names of plants that have no row, so that none is taken for a mistyped crop."""

    kind: str = text(pattern=r"\S.*")
    names: tuple[str, ...] = plain()
    source: str = plain()


OTHER_PLANTS = register("other_plant", OtherPlants, key="kind")

LONGEST_NAME = 60  # characters; longer text is no crop name


@dataclass(frozen=True, slots=True, kw_only=True)
class CropMatch:
    """What a word may mean.

    Attributes:
        crop: the crop meant, when there is no doubt; else None.
        candidates: crops to ask about, in table order; empty when `crop` is set or nothing is
            near. A single one means that the text says more or less than the crop's name.
        typo: the text is not a known name but one lies near; say what was understood.
        name: the known name the text was taken for; empty when nothing is near.
    """

    crop: Crop | None = None
    candidates: tuple[Crop, ...] = ()
    typo: bool = False
    name: str = ""


def crop_by_id(crop_id: str) -> Crop:
    """Return the crop with this id; raise KeyError when there is none."""
    return CROPS.by_id()[crop_id]


def find_crop(text: str, *, slips: bool = True) -> CropMatch:
    """Return the crop or crops a person may mean by `text`.

    A known name, synonym, plural or scientific name gives its crop, whatever the case, accents,
    spaces, hyphens and quotes. A loose word (`squash`) gives its candidates. A plant that has no
    row gives nothing. Otherwise the names at the least edit distance within `_allowed` are taken
    for typos, and failing that a crop's name at either end of the text (`cherry tomato`) gives
    candidates to ask about.

    Checked by: tests/core/trade/crops/test_crops.py.
    """
    key = fold(text[: LONGEST_NAME + 1])
    if not key or len(text) > LONGEST_NAME:
        return CropMatch()
    index = _index()
    if key in index:
        return _match(index[key], typo=False)
    if key in _strangers():
        return CropMatch()
    near = _nearest(key) if slips else None
    if near:
        return _match(near, typo=True)
    words = text.split()
    for size in range(len(words) - 1, 0, -1):
        for part in (words[-size:], words[:size]):
            found = index.get(fold("".join(part)))
            if found is not None:
                return _match(replace(found, loose=True), typo=False)
    return CropMatch()


@dataclass(frozen=True, slots=True)
class _Found:
    ids: tuple[str, ...]  # in table order
    name: str  # as written in the table
    loose: bool = False  # a word that several crops share


@functools.cache
def _index() -> Mapping[str, _Found]:
    """Return folded name -> crops; loose words only where no crop owns the name."""
    index: dict[str, _Found] = {}
    for crop in CROPS.rows():
        for key, name in sure_keys(crop).items():
            index[key] = _Found((crop.id,), name)
    shared: dict[str, _Found] = {}
    for crop in CROPS.rows():
        for key, name in shared_keys(crop).items():
            ids = shared[key].ids if key in shared else ()
            shared[key] = _Found((*ids, crop.id), name, loose=True)
    return {**shared, **index}


@functools.cache
def _strangers() -> frozenset[str]:
    names = (name for row in OTHER_PLANTS.rows() for name in row.names)
    return frozenset(fold(form) for name in names for form in loose_forms(name))


@functools.cache
def _keys() -> tuple[str, ...]:
    return tuple(_index())


def _allowed(key: str, known: str) -> int:
    """Return how many edits may lie between two folded names: 0 to 2 by length."""
    shorter = min(len(key), len(known))
    if shorter < 4:
        return 0
    if shorter == 4:
        return 1
    return 2 if shorter > 5 or key[0] == known[0] else 1


@functools.lru_cache(maxsize=4096)
def _nearest(key: str) -> _Found | None:
    """Return the crops whose names lie at the least distance, if within what is allowed."""
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    hits = process.extract(key, _keys(), scorer=OSA.distance, score_cutoff=2, limit=None)
    close = [(known, int(d)) for known, d, _ in hits if d <= _allowed(key, known)]
    if not close:
        return None
    best = min(d for _, d in close)
    found = [_index()[known] for known, d in close if d == best]
    ids = {i for one in found for i in one.ids}
    ordered = tuple(c.id for c in CROPS.rows() if c.id in ids)
    loose = all(one.loose for one in found)
    return _Found(ordered, min(one.name for one in found), loose)


def _match(found: _Found, *, typo: bool) -> CropMatch:
    crops = tuple(crop_by_id(i) for i in found.ids)
    if len(crops) == 1 and not found.loose:
        return CropMatch(crop=crops[0], typo=typo, name=found.name)
    return CropMatch(candidates=crops, typo=typo, name=found.name)


FINE_PER_GRAM = 2000.0
"""Seeds a gram from which seed is fine: celery and petunia, not lettuce. From memory. Seed
that germinates in the light lies on the surface and dries as fast: it counts as fine too."""


def is_fine(crop: Crop) -> bool:
    """Whether seed is so small, or lies so shallow, that it dies of one dry day."""
    per_gram = crop.seeds_per_gram_max or crop.seeds_per_gram_min
    if crop.germination_light is GerminationLight.LIGHT:
        return True
    return per_gram is not None and per_gram >= FINE_PER_GRAM
