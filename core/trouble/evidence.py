"""Evidence: what is known about a tray when somebody asks what is wrong with it.

Every variable is a row of `core/data/evidence.toml` with its kind, unit and range. Every
reading carries where it came from, so that an answer can show what it rests on.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields
from enum import StrEnum
from typing import Protocol

from core.trade.tables.registry import (
    Complaint,
    Problem,
    TablesBroken,
    ident,
    number,
    plain,
    register,
    text,
)
from core.trouble.conditions import Known, Value


class Origin(StrEnum):
    """Where a reading came from."""

    REPORT = "report"  # said or measured by a member
    SHELF_SETTING = "shelf_setting"  # as the shelf was set up
    COMPUTED = "computed"  # worked out from other records
    ANSWER = "answer"  # answer to a follow-up question; a band, not a measurement
    SYMPTOM = "symptom"  # follows from the sign itself
    CROP_TABLE = "crop_table"  # limit of the crop
    MISSING = "missing"


class VariableKind(StrEnum):
    """What a variable's value is."""

    NUMBER = "number"
    FLAG = "flag"
    CODE = "code"


@dataclass(frozen=True, slots=True, kw_only=True)
class Variable:
    """One thing that may be known about a tray.

    Attributes:
        id: name with its unit, as used in the rule conditions.
        kind: number, flag or code.
        lo, hi: range of a number, in the unit the name ends in.
        codes: values a code may take; empty for an open set (crop ids).
        about: what is meant, for the person who edits the tables.
    """

    id: str = ident()
    kind: VariableKind = plain()  # noqa: RUF009
    lo: float | None = number(default=None)
    hi: float | None = number(default=None)
    codes: tuple[str, ...] = text(pattern=r"[a-z_]+", default=())
    about: str = plain()

    def accepts(self, value: object) -> bool:
        """Say whether a value has this variable's kind and range."""
        if self.kind is VariableKind.FLAG:
            return isinstance(value, bool)
        if self.kind is VariableKind.CODE:
            return isinstance(value, str) and (not self.codes or value in self.codes)
        if isinstance(value, bool) or not isinstance(value, int | float):
            return False
        low = -math.inf if self.lo is None else self.lo
        high = math.inf if self.hi is None else self.hi
        return low <= value <= high


def _check_variables(rows: tuple[Variable, ...]) -> Iterator[Complaint]:
    for row in rows:
        if row.kind is VariableKind.NUMBER and (row.lo is None or row.hi is None):
            yield Complaint(row=row.id, field="lo", problem=Problem.MISSING_KEY)


VARIABLES = register("variable", Variable, file="evidence.toml", check=_check_variables)


def variables_if_sound() -> Mapping[str, Variable] | None:
    """Return the variables by id, or None when their table has faults of its own.

    For the checks of other tables: a broken table is reported once, under its own name.
    """
    try:
        return VARIABLES.by_id()
    except TablesBroken:
        return None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A value, where it came from, and how many days it has stood (None: not known)."""

    value: Value
    origin: Origin
    held_days: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """Readings by variable id; a variable without a reading is missing.

    Raises ValueError for a variable that is not in the table, or a value outside its range.
    """

    readings: Mapping[str, Reading] = field(default_factory=dict)

    def __post_init__(self) -> None:
        known = VARIABLES.by_id()
        for name, reading in self.readings.items():
            if name not in known:
                raise ValueError(f"unknown evidence variable {name!r}")
            if not known[name].accepts(reading.value):
                raise ValueError(f"{name} cannot be {reading.value!r}")

    @classmethod
    def of(cls, origin: Origin, values: Mapping[str, Value]) -> Evidence:
        """Return evidence whose readings all come from one place."""
        made = {name: Reading(value=value, origin=origin) for name, value in values.items()}
        return cls(readings=made)

    def get(self, name: str) -> Reading | None:
        """Return the reading of a variable, or None when it is missing."""
        return self.readings.get(name)

    def origin_of(self, name: str) -> Origin:
        """Return where a variable's reading came from, or Origin.MISSING."""
        reading = self.readings.get(name)
        return Origin.MISSING if reading is None else reading.origin

    def having(
        self, name: str, value: Value, origin: Origin, *, held_days: float | None = None
    ) -> Evidence:
        """Return a copy in which one variable has this reading."""
        reading = Reading(value=value, origin=origin, held_days=held_days)
        return Evidence(readings={**self.readings, name: reading})

    def over(self, older: Evidence) -> Evidence:
        """Return both together; where both know a variable, this one is kept."""
        return Evidence(readings={**older.readings, **self.readings})


class CropLimits(Protocol):
    """What a crop says about itself; None where the crop table does not know.

    Temperatures in degrees Celsius: `germ_*` of the mix, `day_*` and `night_min_c` of the air
    while growing on, `outdoor_min_c` the lowest night outdoors while hardening. `weeks_max` is
    the longest stay in the container, weeks; `depth_max_mm` the deepest sowing, mm. The flags say
    whether the seed needs light to germinate, and whether it needs weeks of cold before.
    """

    @property
    def germ_min_c(self) -> float | None: ...
    @property
    def germ_opt_lo_c(self) -> float | None: ...
    @property
    def germ_good_hi_c(self) -> float | None: ...
    @property
    def germ_max_c(self) -> float | None: ...
    @property
    def day_min_c(self) -> float | None: ...
    @property
    def day_max_c(self) -> float | None: ...
    @property
    def night_min_c(self) -> float | None: ...
    @property
    def weeks_max(self) -> float | None: ...
    @property
    def outdoor_min_c(self) -> float | None: ...
    @property
    def needs_light(self) -> bool | None: ...
    @property
    def needs_chill(self) -> bool | None: ...
    @property
    def depth_max_mm(self) -> float | None: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class CropValues:
    """A plain holder of `CropLimits`; everything may be unknown."""

    germ_min_c: float | None = None
    germ_opt_lo_c: float | None = None
    germ_good_hi_c: float | None = None
    germ_max_c: float | None = None
    day_min_c: float | None = None
    day_max_c: float | None = None
    night_min_c: float | None = None
    weeks_max: float | None = None
    outdoor_min_c: float | None = None
    needs_light: bool | None = None
    needs_chill: bool | None = None
    depth_max_mm: float | None = None


PRODUCED: frozenset[str] = frozenset(
    {"mix_temp_c", "air_day_c", "air_night_c", "outdoor_low_c", "water_temp_c", "sow_depth_mm"}
    | {"days_since_sowing", "expected_emergence_days", "days_since_emergence", "seed_age_years"}
    | {"seed_life_years", "seed_test_pct", "mix_moisture", "dli", "light_ppfd_umol", "light_hours"}
    | {"light_source", "light_distance_cm", "lamp_type", "heat_mat_on", "mix_ph", "ec_ds_m"}
    | {"days_since_feed", "feed_ppm_n", "weeks_in_container", "plants_per_cell", "harden_day"}
    | {"days_since_transplant", "wind_kmh", "rh_pct", "crop", "emergence_pct", "seeds_sown"}
)
"""Variables that a sentence, an answer or the records can fill; a finding may ask for no other."""

CROP_FIELDS: tuple[str, ...] = tuple(f.name for f in fields(CropValues))
CROP_PREFIX = "crop."


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis:
    """Everything a condition may look at: the evidence and the crop's own limits."""

    evidence: Evidence
    crop: CropLimits | None = None

    def reading(self, name: str) -> Reading | None:
        """Return a reading by variable id, or of the crop for a name such as `crop.day_min_c`."""
        if not name.startswith(CROP_PREFIX):
            return self.evidence.get(name)
        value = getattr(self.crop, name.removeprefix(CROP_PREFIX), None)
        return None if value is None else Reading(value=value, origin=Origin.CROP_TABLE)

    def lookup(self, name: str) -> Known | None:
        """Return the same without its origin, as conditions want it."""
        reading = self.reading(name)
        if reading is None:
            return None
        return Known(value=reading.value, held_days=reading.held_days)


def with_computed(evidence: Evidence) -> Evidence:
    """Return the evidence with what follows from it filled in; readings given are never changed.

    - `dli` from `light_ppfd_umol` and `light_hours`: mol/m2/d = umol/m2/s x h x 0.0036
      (Runkle, Lighting plants indoors, Greenhouse Product News).
    - `mix_temp_c` from `air_day_c` where there is no heat mat: an unheated tray settles near the
      air temperature, a little below it while wet (from memory).
    - `expected_low_pct`, `expected_high_pct`: the central 95 % of the binomial distribution for
      `seed_germ_pct` and `seeds_sown`.

    Checked by: tests/core/trouble/test_evidence.py.
    """
    made = evidence

    def number_of(name: str) -> float | None:
        reading = evidence.get(name)
        return None if reading is None else float(reading.value)

    ppfd, hours = number_of("light_ppfd_umol"), number_of("light_hours")
    if evidence.get("dli") is None and ppfd is not None and hours is not None:
        made = made.having("dli", min(ppfd * hours * 0.0036, 80.0), Origin.COMPUTED)
    air, mat = number_of("air_day_c"), evidence.get("heat_mat_on")
    if evidence.get("mix_temp_c") is None and air is not None and mat and mat.value is False:
        made = made.having("mix_temp_c", air, Origin.COMPUTED)
    germ, seeds = number_of("seed_germ_pct"), number_of("seeds_sown")
    if germ is not None and seeds is not None and evidence.get("expected_low_pct") is None:
        low, high = _binomial_band(int(seeds), germ / 100)
        made = made.having("expected_low_pct", 100 * low / seeds, Origin.COMPUTED)
        made = made.having("expected_high_pct", 100 * high / seeds, Origin.COMPUTED)
    return made


def _binomial_band(n: int, p: float) -> tuple[int, int]:
    """Return the 2.5 % and 97.5 % quantiles of the binomial distribution; n >= 1, 0 <= p <= 1."""
    if p in (0.0, 1.0):
        return (int(n * p), int(n * p))
    total, low = 0.0, -1
    for k in range(n + 1):
        log_choose = math.lgamma(n + 1) - math.lgamma(k + 1) - math.lgamma(n - k + 1)
        total += math.exp(log_choose + k * math.log(p) + (n - k) * math.log1p(-p))
        if low < 0 and total >= 0.025:
            low = k
        if total >= 0.975:
            return (max(low, 0), k)
    return (max(low, 0), n)
