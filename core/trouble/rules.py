"""The rule table: which condition makes which cause likely for which symptom.

Rows live in `core/data/rules.toml` and are read when the first question is asked.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from core.trade.cautions import CAUTIONS, Trigger
from core.trade.stage import TrayStage
from core.trade.tables.registry import (
    Complaint,
    Problem,
    TablesBroken,
    ident,
    plain,
    ref,
    register,
    text,
)
from core.trouble.conditions import Condition, evaluate, names_in, parse_condition
from core.trouble.evidence import (
    CROP_FIELDS,
    CROP_PREFIX,
    VARIABLES,
    Basis,
    CropValues,
    Evidence,
    Origin,
    Reading,
    variables_if_sound,
    with_computed,
)


class Strength(StrEnum):
    """How far a rule is trusted when its condition holds."""

    STRONG = "strong"
    MODERATE = "moderate"
    WEAK = "weak"


class ThresholdBasis(StrEnum):
    """Where the boundary of a condition comes from."""

    PUBLISHED = "published"
    SYNTHESIS = "synthesis"  # set between published figures; tune with users
    COMMON_PRACTICE = "common_practice"
    FROM_MEMORY = "from_memory"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One row: a symptom, a condition on the evidence, and the cause it points to.

    Attributes:
        id: unique; also what a saved answer refers to.
        symptom: id of a row of `core/data/symptoms.toml`.
        stages: stages the rule is about; empty for any.
        when: condition as written; `core/trouble/conditions.py` has the syntax.
        cause, check, remedy, caution: English texts an expert may correct; caution may be "".
        cautions: ids of `core/data/cautions.toml` that belong beside this advice.
        threshold: which boundary `threshold_basis` speaks of.
        sources: keys of `core/data/sources.toml`.
        fires, silent: evidence on either side of the boundary.
        phrase_fires, phrase_silent: a sentence that finds the symptom, and one that does not.
    """

    id: str = ident()
    symptom: str = ref("symptom")
    stages: tuple[TrayStage, ...] = plain(default=())
    when: Mapping[str, Any] = plain()
    strength: Strength = plain()  # noqa: RUF009
    cause: str = plain()
    check: str = plain()
    remedy: str = plain()
    caution: str = plain(default="")
    cautions: tuple[str, ...] = ref("caution", default=())
    threshold: str = plain()
    threshold_basis: ThresholdBasis = plain()  # noqa: RUF009
    sources: tuple[str, ...] = text()
    fires: Mapping[str, Any] = plain()
    silent: Mapping[str, Any] = plain()
    phrase_fires: str = plain()
    phrase_silent: str = plain()

    @property
    def condition(self) -> Condition:
        """The condition, read once."""
        return _conditions()[self.id]


def example_basis(values: Mapping[str, Any]) -> Basis:
    """Return the evidence of an example: values by variable, `crop.` names for the crop.

    A reading that has stood some days is written `{ value = 5, days = 3 }`. Raises ValueError
    for an unknown name or a value out of range.
    """
    readings: dict[str, Reading] = {}
    crop: dict[str, Any] = {}
    for name, raw in values.items():
        if name.startswith(CROP_PREFIX):
            crop[name.removeprefix(CROP_PREFIX)] = raw
        elif isinstance(raw, dict):
            readings[name] = Reading(
                value=raw["value"], held_days=raw["days"], origin=Origin.REPORT
            )
        else:
            readings[name] = Reading(value=raw, origin=Origin.REPORT)
    unknown = set(crop) - set(CROP_FIELDS)
    if unknown:
        raise ValueError(f"unknown crop fields {sorted(unknown)}")
    return Basis(evidence=with_computed(Evidence(readings=readings)), crop=CropValues(**crop))


def unknown_names(names: Iterable[str]) -> tuple[str, ...]:
    """Return those names that are neither evidence variables nor crop fields."""
    known = {*VARIABLES.by_id(), *(CROP_PREFIX + name for name in CROP_FIELDS)}
    return tuple(name for name in names if name not in known)


def _check_rules(rows: tuple[Rule, ...]) -> Iterator[Complaint]:
    if variables_if_sound() is None:
        return
    for row in rows:
        try:
            condition = parse_condition(row.when)
        except ValueError as error:
            yield Complaint(row=row.id, field="when", values={"reason": str(error)})
            continue
        unknown = unknown_names(names_in(condition))
        if unknown:
            yield Complaint(row=row.id, field="when", values={"unknown": unknown})
            continue
        for field, values, wanted in (("fires", row.fires, True), ("silent", row.silent, False)):
            try:
                holds = evaluate(condition, example_basis(values).lookup).holds
            except (ValueError, KeyError) as error:
                yield Complaint(row=row.id, field=field, values={"reason": str(error)})
                continue
            if holds is not wanted:
                stated = {"example": field, "expected": wanted, "given": holds}
                yield Complaint(row=row.id, field=field, problem=Problem.BAD_EXAMPLE, values=stated)
    yield from _misplaced_cautions(rows)


def _misplaced_cautions(rows: tuple[Rule, ...]) -> Iterator[Complaint]:
    try:
        for_advice = {row.id for row in CAUTIONS.rows() if Trigger.ADVICE in row.triggers}
    except TablesBroken:
        return  # reported under its own name
    for row in rows:
        if misplaced := set(row.cautions) - for_advice:
            yield Complaint(row=row.id, field="cautions", values={"given": sorted(misplaced)})


RULES = register("rule", Rule, check=_check_rules)


@functools.cache
def _conditions() -> Mapping[str, Condition]:
    return {row.id: parse_condition(row.when) for row in RULES.rows()}


@functools.cache
def rules_of(symptom: str) -> tuple[Rule, ...]:
    """Return the rules of one symptom in table order."""
    return tuple(row for row in RULES.rows() if row.symptom == symptom)
