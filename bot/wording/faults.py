"""Faults of the data tables in one plain line each, for the person who mends the tables."""

from __future__ import annotations

from collections.abc import Mapping

from core.trade.tables.registry import Fault, Problem

_LINES: Mapping[Problem, str] = {
    Problem.UNREADABLE_FILE: "cannot be read: {reason}",
    Problem.TOML_SYNTAX: "is not valid TOML: {reason}",
    Problem.UNCLAIMED_FILE: "no table is registered for this file",
    Problem.UNKNOWN_TABLE: "unknown table [[{key}]]{nearest}",
    Problem.MISSING_TABLE: "has no [[{key}]] rows",
    Problem.NOT_A_TABLE: "{key} must be rows written [[{key}]], not a {given}",
    Problem.UNKNOWN_KEY: "unknown key{nearest}",
    Problem.MISSING_KEY: "is missing",
    Problem.WRONG_TYPE: "must be a {expected}, not a {given}",
    Problem.OUT_OF_RANGE: "{given} is outside {lo} to {hi}",
    Problem.NOT_A_CHOICE: "{given!r} is not one of {choices}",
    Problem.BAD_PATTERN: "{given!r} does not fit the pattern {pattern}",
    Problem.DUPLICATE_ID: "{given!r} is used by an earlier row",
    Problem.UNKNOWN_SOURCE: "source {given!r} is not in sources.toml{nearest}",
    Problem.MISSING_SOURCE: "no source is given",
    Problem.LOW_ABOVE_HIGH: "{lo} is above {other} = {hi}",
    Problem.UNKNOWN_REFERENCE: "no {table} is called {given!r}{nearest}",
    Problem.NAME_COLLIDES: "{given!r} already names {other}",
    Problem.BAD_EXAMPLE: "example {example} should give {expected}, but gives {given}",
    Problem.INCONSISTENT: "values do not agree: {all}",
}


def fault_line(fault: Fault) -> str:
    """Return `file: row, field: what is wrong` for one fault; never raises on missing values."""
    where = ", ".join(part for part in (fault.row, fault.field) if part)
    return f"{fault.file}: {where + ': ' if where else ''}{_what(fault)}"


def _what(fault: Fault) -> str:
    values = _Values(fault.values)
    close = fault.values.get("nearest")
    values["nearest"] = f" (nearest: {close})" if close else ""
    values["choices"] = ", ".join(str(c) for c in _listed(fault.values.get("choices")))
    for side in ("lo", "hi"):
        if fault.values.get(side) is None:
            values[side] = "any"
    values["all"] = ", ".join(f"{key}={value}" for key, value in fault.values.items())
    return _LINES[fault.problem].format_map(values)


def _listed(value: object) -> tuple[object, ...]:
    return tuple(value) if isinstance(value, tuple | list) else ()


class _Values(dict[str, object]):
    def __missing__(self, key: str) -> str:
        return "?"
