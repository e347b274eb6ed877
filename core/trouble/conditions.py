"""Conditions over evidence: the small declarative syntax of the rule table.

A condition is written as a table. Its keys are variable names; all of them must hold::

    when = { mix_moisture = { at_least = 4, for_days = 3 }, humidity_cover_on = true }
    when = { any = [{ dli = { below = 8 } }, { light_hours = { below = 12 } }] }

A bare value means equality. The operators are `is`, `one_of`, `below`, `above`, `at_least`
and `at_most`; `for_days` asks that the reading has stood that long. A limit is a number or
a text such as "crop.day_min_c - 5" or "2 * expected_emergence_days", which is read from the
crop or from another variable.

Truth has three values: True, False and None for "not known".
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

Value = float | bool | str

_ORDER = ("below", "above", "at_least", "at_most")
_LIMIT = re.compile(
    r"(?:(?P<factor>\d+(?:\.\d+)?) \* )?(?P<name>[a-z][a-z_]*(?:\.[a-z_]+)?)"
    r"(?: (?P<sign>[+-]) (?P<offset>\d+(?:\.\d+)?))?"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """One value a condition may look at, and how many days it has stood (None: not known)."""

    value: Value
    held_days: float | None = None


Lookup = Callable[[str], Known | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A number, or `factor * name + offset` read when the condition is tried."""

    number: float = 0.0
    name: str | None = None
    factor: float = 1.0

    def resolve(self, lookup: Lookup) -> float | None:
        """Return the limit in the variable's own unit, or None when it is not known."""
        if self.name is None:
            return self.number
        known = lookup(self.name)
        if known is None or isinstance(known.value, str):
            return None
        return self.factor * float(known.value) + self.number


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """One comparison of one variable."""

    variable: str
    operator: str
    limit: Limit | None = None
    wanted: tuple[Value, ...] = ()
    for_days: float | None = None

    @property
    def names(self) -> tuple[str, ...]:
        """Every name this comparison has to look up."""
        limit = (self.limit.name,) if self.limit is not None and self.limit.name else ()
        return (self.variable, *limit)


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Several conditions, of which all (or any) must hold."""

    every: bool
    parts: tuple["Condition", ...]


Condition = Comparison | Group


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What trying a condition gave.

    Attributes:
        holds: True, False, or None when too little is known.
        used: names whose values were known and bore on the outcome, in order.
        missing: names that would have to be known to settle it; empty when settled.
        share_met: comparisons that hold / comparisons in the condition; 0..1.
    """

    holds: bool | None
    used: tuple[str, ...]
    missing: tuple[str, ...]
    share_met: float


def parse_condition(raw: Mapping[str, object]) -> Condition:
    """Read one `when` table; raise ValueError naming the part that is not understood."""
    parts: list[Condition] = []
    for key, body in raw.items():
        if key in ("any", "all"):
            if not isinstance(body, list) or not body:
                raise ValueError(f"{key}: expected a list of conditions")
            inner = tuple(parse_condition(_table(key, item)) for item in body)
            parts.append(Group(every=key == "all", parts=inner))
        else:
            parts.extend(_comparisons(key, body))
    if not parts:
        raise ValueError("empty condition")
    return parts[0] if len(parts) == 1 else Group(every=True, parts=tuple(parts))


def names_in(condition: Condition) -> tuple[str, ...]:
    """Return every variable and crop field a condition looks at, without repeats."""
    if isinstance(condition, Comparison):
        return condition.names
    found = (name for part in condition.parts for name in names_in(part))
    return tuple(dict.fromkeys(found))


def comparisons_in(condition: Condition) -> tuple[Comparison, ...]:
    """Return the single comparisons of a condition in the order written."""
    if isinstance(condition, Comparison):
        return (condition,)
    return tuple(test for part in condition.parts for test in comparisons_in(part))


def evaluate(condition: Condition, lookup: Lookup) -> Outcome:
    """Try a condition against what `lookup` knows; pure, never raises on missing values."""
    if isinstance(condition, Comparison):
        return _try_comparison(condition, lookup)
    outcomes = [evaluate(part, lookup) for part in condition.parts]
    verdicts = [outcome.holds for outcome in outcomes]
    settling = not condition.every  # one such part settles the whole group
    if settling in verdicts:
        holds: bool | None = settling
    else:
        holds = None if None in verdicts else condition.every
    bearing = outcomes if holds is None else [o for o in outcomes if o.holds is holds]
    used = tuple(dict.fromkeys(name for o in bearing for name in o.used))
    missing: tuple[str, ...] = ()
    if holds is None:
        missing = tuple(dict.fromkeys(name for o in outcomes for name in o.missing))
    shares = [o.share_met for o in outcomes]
    share = sum(shares) / len(shares) if condition.every else max(shares)
    return Outcome(holds=holds, used=used, missing=missing, share_met=share)


def _table(key: str, item: object) -> Mapping[str, object]:
    if not isinstance(item, dict):
        raise ValueError(f"{key}: expected tables, got {item!r}")
    return item


def _comparisons(variable: str, body: object) -> list[Condition]:
    if isinstance(body, bool | str | int | float):
        return [Comparison(variable=variable, operator="is", wanted=(body,))]
    if not isinstance(body, dict):
        raise ValueError(f"{variable}: expected a value or a table, got {body!r}")
    days = body.get("for_days")
    if days is not None and (isinstance(days, bool) or not isinstance(days, int | float)):
        raise ValueError(f"{variable}: for_days must be a number, got {days!r}")
    tests: list[Condition] = []
    for operator, limit in body.items():
        if operator == "for_days":
            continue
        if operator in _ORDER:
            tests.append(
                Comparison(variable=variable, operator=operator, limit=_limit(limit), for_days=days)
            )
        elif operator == "one_of" and isinstance(limit, list) and limit:
            tests.append(
                Comparison(variable=variable, operator="is", wanted=tuple(limit), for_days=days)
            )
        elif operator == "is" and isinstance(limit, bool | str | int | float):
            tests.append(
                Comparison(variable=variable, operator="is", wanted=(limit,), for_days=days)
            )
        else:
            raise ValueError(f"{variable}: unknown operator or limit {operator} = {limit!r}")
    if not tests:
        raise ValueError(f"{variable}: no operator")
    return tests


def _limit(raw: object) -> Limit:
    if isinstance(raw, int | float) and not isinstance(raw, bool):
        return Limit(number=float(raw))
    found = _LIMIT.fullmatch(raw) if isinstance(raw, str) else None
    if found is None:
        raise ValueError(f"limit not understood: {raw!r}")
    offset = float(found["offset"] or 0) * (-1 if found["sign"] == "-" else 1)
    return Limit(number=offset, name=found["name"], factor=float(found["factor"] or 1))


def _try_comparison(test: Comparison, lookup: Lookup) -> Outcome:
    known = lookup(test.variable)
    used = tuple(name for name in test.names if lookup(name) is not None)
    missing = tuple(name for name in test.names if name not in used)
    holds = None if missing or known is None else _compare(test, known, lookup)
    if holds and test.for_days is not None:
        assert known is not None
        if known.held_days is None:
            holds, missing = None, (test.variable,)
        else:
            holds = known.held_days >= test.for_days
    return Outcome(holds=holds, used=used, missing=missing, share_met=1.0 if holds else 0.0)


def _compare(test: Comparison, known: Known, lookup: Lookup) -> bool | None:
    if test.operator == "is":
        return known.value in test.wanted
    assert test.limit is not None
    limit = test.limit.resolve(lookup)
    if limit is None or isinstance(known.value, str):
        return None
    value = float(known.value)
    match test.operator:
        case "below":
            return value < limit
        case "above":
            return value > limit
        case "at_least":
            return value >= limit
        case _:
            return value <= limit
