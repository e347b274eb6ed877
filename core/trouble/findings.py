"""Readings and records as findings, beside those that a sentence names itself."""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from core.trade.tables.registry import (
    Complaint,
    Problem,
    TablesBroken,
    ident,
    plain,
    register,
    text,
)
from core.trouble.concepts import CONCEPTS
from core.trouble.conditions import (
    Condition,
    comparisons_in,
    evaluate,
    names_in,
    parse_condition,
)
from core.trouble.evidence import (
    CROP_FIELDS,
    CROP_PREFIX,
    PRODUCED,
    VARIABLES,
    Basis,
    variables_if_sound,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """A condition on the evidence and the finding it amounts to.

    Attributes:
        id: unique; several rows may say the same.
        says: name the causes weigh it by; may be a concept's.
        when: condition as written; `core/trouble/conditions.py` has the syntax.
        unless_known: a limit of the crop; with it known the row says nothing, since the crop's
            own curve decides.
    """

    id: str = ident()
    says: str = ident()
    when: Mapping[str, Any] = plain()
    unless_known: str | None = text(default=None)


def _check(rows: tuple[Finding, ...]) -> Iterator[Complaint]:
    if variables_if_sound() is None:
        return
    known = {*VARIABLES.by_id(), *(CROP_PREFIX + name for name in CROP_FIELDS)}
    for row in rows:
        try:
            condition = parse_condition(row.when)
        except ValueError as error:
            yield Complaint(row=row.id, field="when", values={"reason": str(error)})
            continue
        names = set(names_in(condition))
        if unknown := names - known:
            yield Complaint(row=row.id, field="when", values={"unknown": sorted(unknown)})
        elif mute := {n for n in names if not n.startswith(CROP_PREFIX)} - PRODUCED:
            yield Complaint(row=row.id, field="when", values={"nothing_gives": sorted(mute)})
        yield from _unknown_crops(row, condition)


def _unknown_crops(row: Finding, condition: Condition) -> Iterator[Complaint]:
    from core.trade.crops.table import CROPS

    try:
        crops = {crop.id for crop in CROPS.rows()}
    except TablesBroken:
        return  # reported under its own name
    for test in comparisons_in(condition):
        if test.variable == "crop":
            for wanted in test.wanted:
                if wanted not in crops:
                    values = {"given": wanted}
                    yield Complaint(
                        row=row.id,
                        field="when",
                        problem=Problem.UNKNOWN_REFERENCE,
                        values={**values, "table": "crop", "nearest": ""},
                    )


FINDINGS = register("finding", Finding, check=_check)


def names_known() -> frozenset[str] | None:
    """Return every name a cause may weigh, or None when a table has faults of its own."""
    try:
        concepts = {row.id for row in CONCEPTS.rows()}
        return frozenset(concepts | {row.says for row in FINDINGS.rows()})
    except TablesBroken:
        return None


@functools.cache
def _conditions() -> tuple[tuple[Finding, Condition, frozenset[str]], ...]:
    """Return each finding, its condition, and the variables of which one must be known."""
    found = ((row, parse_condition(row.when)) for row in FINDINGS.rows())
    return tuple(
        (row, condition, frozenset(test.variable for test in comparisons_in(condition)))
        for row, condition in found
    )


def found_in(basis: Basis) -> dict[str, tuple[str, ...]]:
    """Return the findings of the evidence, each with the readings that showed it."""
    found: dict[str, tuple[str, ...]] = {}
    known = set(basis.evidence.readings)
    if basis.crop is not None:
        known |= {CROP_PREFIX + name for name in CROP_FIELDS}
    for row, condition, variables in _conditions():
        if variables.isdisjoint(known):
            continue  # nothing to go by: it cannot hold
        if row.unless_known is not None and basis.lookup(row.unless_known) is not None:
            continue
        outcome = evaluate(condition, basis.lookup)
        if outcome.holds and row.says not in found:
            found[row.says] = outcome.used
    return found
