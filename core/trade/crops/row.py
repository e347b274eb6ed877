"""One row of the crop table, and the words for its codes."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from core.trade.crops.emergence_table import EMERGENCE
from core.trade.crops.names import name_clashes
from core.trade.crops.standards import STANDARDS
from core.trade.tables.registry import Complaint, ident, number, plain, ref, register, text
from core.trade.tables.rows import source_keys


class Category(StrEnum):
    VEGETABLE = "vegetable"
    HERB = "herb"
    FLOWER = "flower"


class HardinessClass(StrEnum):
    """How much frost a hardened plant bears, hardiest first."""

    VERY_HARDY = "very_hardy"
    HARDY = "hardy"
    HALF_HARDY = "half_hardy"
    TENDER = "tender"
    VERY_TENDER = "very_tender"


class Method(StrEnum):
    """How the crop is usually started."""

    TRANSPLANT = "transplant"
    DIRECT = "direct"
    EITHER = "either"


class GerminationLight(StrEnum):
    """What the seed wants while it germinates."""

    LIGHT = "light"  # on the surface
    LIGHT_COVER = "light_cover"  # covered lightly
    COVER = "cover"  # buried to the depth given
    DARK = "dark"  # kept dark


class Pretreatment(StrEnum):
    """What is done to the seed before sowing."""

    SOAK = "soak"
    NICK = "nick"
    SCARIFY = "scarify"
    CHILL = "chill"  # cold, dry or moist
    CHILL_MOIST = "chill_moist"
    CRACK_HUSK = "crack_husk"
    VERNALISE = "vernalise"  # chill of the young plant, not of the seed


class Hazard(StrEnum):
    """Why a caution is shown with the crop."""

    TOXIC_SEED = "toxic_seed"
    TOXIC_PLANT = "toxic_plant"
    TOXIC_FOLIAGE = "toxic_foliage"  # crop is eaten, its leaves are not
    TOXIC_FRUIT = "toxic_fruit"
    NOT_WITH_CHILDREN = "not_with_children"
    LOOKS_EDIBLE = "looks_edible"  # easily taken for a food crop
    SKIN_IRRITANT = "skin_irritant"
    SAP_BURNS_IN_SUN = "sap_burns_in_sun"
    EYE_IRRITANT = "eye_irritant"
    THORNS = "thorns"
    ALLERGEN = "allergen"
    CAPSAICIN = "capsaicin"
    RAW_BEANS = "raw_beans"
    FAVISM = "favism"
    TREATED_SEED_COMMON = "treated_seed_common"


class MaturityFrom(StrEnum):
    """What the days to maturity are counted from."""

    TRANSPLANT = "transplant"  # planting out
    SEED = "seed"  # sowing


class Season(StrEnum):
    """The weather a crop grows in."""

    COOL = "cool"  # spring and autumn; heat ends it
    WARM = "warm"  # summer; chill and frost end it


class EmergenceBasis(StrEnum):
    """Where a crop's range of emergence days comes from."""

    TABLE = "table"  # HM1954 at 25 and 20 C; real trays run slower
    GUIDE = "guide"  # a published sowing guide
    MEMORY = "memory"  # unverified


@dataclass(frozen=True, slots=True, kw_only=True)
class Crop:
    """What the trade says about starting one crop. Absent figures are None, never guessed.

    Attributes:
        id: key of the row; lower case with `_`.
        name: usual name, singular, North American where the two sides differ.
        synonyms: other names that mean this crop and no other.
        shared_names: loose words that mean several crops (`squash`); the person is asked.
        plurals: plurals no rule gives (`radishes` is regular, `leaves` is not).
        name_es, names_es: Spanish name for display, and further Spanish names.
        scientific_name, family: botanical.
        hardiness_class: frost borne by a hardened plant.
        weeks_sow_to_plantout_min, weeks_sow_to_plantout_max: weeks in the tray.
        weeks_max: weeks in a small container after which quality falls.
        plantout_weeks_vs_last_frost_min, plantout_weeks_vs_last_frost_max: weeks after the mean
            last frost (negative: before) for planting out, or for sowing when method is direct.
        sow_depth_mm_min, sow_depth_mm_max: depth of cover, mm; 0 is the surface.
        emergence_days_min, emergence_days_max: days from sowing to emergence near 20-25 C.
        soak_hours, chill_weeks_min, chill_weeks_max: figures of the pretreatment.
        pretreatment_optional: the crop comes up without it.
        season: cool or warm weather crop; None when not told.
        maturity_days_min, maturity_days_max: days to the first picking or bloom.
        maturity_from: what they are counted from; set when they are.
        spring_last_days: last day of spring planting, days after the average last frost, for a
            kind that bolts or fails in the heat; None for one that goes on through summer.
        chill_harm_c: growing plants are held back or harmed by nights below this, C.
        multi_sown_min, multi_sown_max: seeds sown together and grown on as one clump; None for
            a kind that is thinned to one plant.
        min_night_new_c: lowest night a fresh transplant bears, C.
        min_night_established_c: lowest night an established plant bears, C.
        min_soil_plantout_c: coldest soil for planting out or sowing outdoors, C.
        germ_min_c, germ_opt_lo_c, germ_opt_hi_c, germ_max_c: soil for germination, C.
        day_lo_c, day_hi_c, night_lo_c, night_hi_c: air after emergence, C.
        spacing_cm_min, spacing_cm_max: distance between plants outdoors, cm.
        storage_years: years seed keeps, cool and dry.
        seed_half_life_years: years in ordinary store after which half of good seed is dead.
        emergence_table: row of emergence.toml.
        standard: row of standards.toml.
        sources: keys of sources.toml.
        source_of: field, or field less its `_min` or `_max` -> where in `sources` its figure
            stands; for figures whose source is named with them.
        from_memory: fields of this row that nobody has verified.
        note: why a figure is what it is; for the person who mends the table.

    Checked by: tests/reference/test_published_tables.py.
    """

    id: str = ident()
    name: str = text(pattern=r"\S.*")
    synonyms: tuple[str, ...] = plain(default=())
    shared_names: tuple[str, ...] = plain(default=())
    plurals: tuple[str, ...] = plain(default=())
    name_es: str = text(pattern=r"\S.*")
    names_es: tuple[str, ...] = plain(default=())
    scientific_name: str = text(pattern=r"[A-Z].+")
    family: str = text(pattern=r"[A-Z][a-z]+eae")
    category: Category
    hardiness_class: HardinessClass
    method: Method
    weeks_sow_to_plantout_min: float | None = number(lo=1, hi=30, default=None)
    weeks_sow_to_plantout_max: float | None = number(lo=1, hi=30, default=None)
    weeks_max: float | None = number(lo=1, hi=40, default=None)
    plantout_weeks_vs_last_frost_min: float | None = number(lo=-12, hi=8, default=None)
    plantout_weeks_vs_last_frost_max: float | None = number(lo=-12, hi=8, default=None)
    sow_depth_mm_min: float | None = number(lo=0, hi=100, default=None)
    sow_depth_mm_max: float | None = number(lo=0, hi=100, default=None)
    germination_light: GerminationLight
    emergence_days_min: int | None = number(lo=1, hi=90, default=None)
    emergence_days_max: int | None = number(lo=1, hi=180, default=None)
    emergence_basis: EmergenceBasis | None = None
    pretreatment: tuple[Pretreatment, ...] = plain(default=())
    pretreatment_optional: bool = False
    soak_hours: float | None = number(lo=1, hi=72, default=None)
    chill_weeks_min: float | None = number(lo=0, hi=20, default=None)
    chill_weeks_max: float | None = number(lo=0, hi=20, default=None)
    germ_min_c: float | None = number(lo=-2, hi=30, default=None)
    germ_opt_lo_c: float | None = number(lo=0, hi=40, default=None)
    germ_opt_hi_c: float | None = number(lo=0, hi=45, default=None)
    germ_max_c: float | None = number(lo=10, hi=50, default=None)
    day_lo_c: float | None = number(lo=0, hi=40, default=None)
    day_hi_c: float | None = number(lo=0, hi=40, default=None)
    night_lo_c: float | None = number(lo=0, hi=30, default=None)
    night_hi_c: float | None = number(lo=0, hi=30, default=None)
    season: Season | None = None
    maturity_days_min: int | None = number(lo=10, hi=365, default=None)
    maturity_days_max: int | None = number(lo=10, hi=365, default=None)
    maturity_from: MaturityFrom | None = None
    spring_last_days: float | None = number(lo=-60, hi=90, default=None)
    chill_harm_c: float | None = number(lo=0, hi=20, default=None)
    multi_sown_min: int | None = number(lo=2, hi=20, default=None)
    multi_sown_max: int | None = number(lo=2, hi=20, default=None)
    min_night_new_c: float | None = number(lo=-15, hi=20, default=None)
    min_night_established_c: float | None = number(lo=-25, hi=20, default=None)
    min_soil_plantout_c: float | None = number(lo=-2, hi=25, default=None)
    resents_root_disturbance: bool
    pot_up: bool
    spacing_cm_min: float | None = number(lo=1, hi=300, default=None)
    spacing_cm_max: float | None = number(lo=1, hi=300, default=None)
    seeds_per_gram_min: float | None = number(lo=0.1, hi=200_000, default=None)
    seeds_per_gram_max: float | None = number(lo=0.1, hi=200_000, default=None)
    storage_years: float | None = number(lo=0.5, hi=15, default=None)
    seed_half_life_years: float | None = number(lo=0.5, hi=40, default=None)
    hazards: tuple[Hazard, ...] = plain(default=())
    emergence_table: str | None = ref(EMERGENCE.name, default=None)
    standard: str | None = ref(STANDARDS.name, default=None)
    sources: tuple[str, ...] = plain()
    source_of: Mapping[str, str] = dataclasses.field(default_factory=dict, hash=False)
    from_memory: tuple[str, ...] = plain(default=())
    note: str = plain(default="")


_FIELDS = frozenset(f.name for f in dataclasses.fields(Crop))
_RISING = ("germ_min_c", "germ_opt_lo_c", "germ_opt_hi_c", "germ_max_c")


def _check(crops: tuple[Crop, ...]) -> Iterable[Complaint]:
    """Complain of figures that disagree within a row, and of names two crops claim."""
    for crop in crops:
        for name in crop.from_memory:
            if name not in _FIELDS:
                yield Complaint(row=crop.id, field="from_memory", values={"no_such_field": name})
        temps = [t for t in (getattr(crop, f) for f in _RISING) if t is not None]
        if temps != sorted(temps):
            yield Complaint(row=crop.id, field="germ_min_c", values={"not_rising": tuple(temps)})
        if crop.emergence_days_min is not None and crop.emergence_basis is None:
            yield Complaint(row=crop.id, field="emergence_basis", values={"missing": True})
        if (crop.maturity_days_min is None) != (crop.maturity_from is None):
            yield Complaint(row=crop.id, field="maturity_from", values={"missing": True})
        for name, where in crop.source_of.items():
            if not {name, f"{name}_min", f"{name}_max"} & _FIELDS:
                yield Complaint(row=crop.id, field="source_of", values={"no_such_field": name})
            for key in source_keys(where):
                if key not in crop.sources:
                    yield Complaint(row=crop.id, field="source_of", values={"not_a_source": key})
        by_memory = crop.emergence_basis is EmergenceBasis.MEMORY
        if by_memory != ("emergence_days_min" in crop.from_memory):
            values = {"basis": crop.emergence_basis, "from_memory": crop.from_memory}
            yield Complaint(row=crop.id, field="emergence_basis", values=values)
    yield from name_clashes(crops)


CROPS = register("crop", Crop, check=_check)
