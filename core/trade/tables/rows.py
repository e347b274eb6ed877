"""Conversion of one parsed TOML table into one typed row, collecting every fault."""

from __future__ import annotations

import dataclasses
import difflib
import functools
import math
import re
import types
import typing
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import MISSING
from datetime import date, datetime, time
from enum import Enum
from typing import Any

from core.trade.tables.fields import Known, Problem

Report = Callable[..., None]  # report(field, problem, **values)
_BAD = object()


def nearest(word: str, known: Collection[str]) -> str:
    """Return the known word closest to `word`, or "" when none is close."""
    found = difflib.get_close_matches(word, list(known), n=1, cutoff=0.6)
    return found[0] if found else ""


@functools.cache
def hints_of(row_type: type) -> dict[str, Any]:
    """Return the resolved type hints of a row type's fields."""
    hints = typing.get_type_hints(row_type)
    return {f.name: hints[f.name] for f in dataclasses.fields(row_type)}


def convert_row(
    raw: object, row_type: type, *, known: Known, report: Report, prefix: str = ""
) -> Any:
    """Return a `row_type` made from a parsed TOML table, or None after reporting its faults."""
    if not isinstance(raw, dict):
        report(prefix.rstrip("."), Problem.WRONG_TYPE, expected="table", given=_kind(raw))
        return None
    faults = 0

    def note(where: str, problem: Problem, **values: object) -> None:
        nonlocal faults
        faults += 1
        report(where, problem, **values)

    hints = hints_of(row_type)
    for key in raw:
        if key not in hints:
            close = nearest(key, tuple(hints))
            note(prefix + key, Problem.UNKNOWN_KEY, key=key, nearest=close)
    made: dict[str, Any] = {}
    for f in dataclasses.fields(row_type):
        where = prefix + f.name
        is_source = f.name in ("source", "sources")
        if f.name not in raw:
            if f.default is not MISSING or f.default_factory is not MISSING:
                continue
            if _allows_none(hints[f.name]):
                made[f.name] = None
            elif is_source:
                note(where, Problem.MISSING_SOURCE)
            else:
                note(where, Problem.MISSING_KEY, key=f.name)
            continue
        value = _convert(raw[f.name], hints[f.name], f.metadata, where, known, note)
        if value is not _BAD:
            made[f.name] = value
            if is_source:
                _check_sources(value, where, known, note)
    _check_order(row_type, made, prefix, note)
    return None if faults else row_type(**made)


def _convert(
    raw: object, hint: Any, meta: Mapping[str, Any], where: str, known: Known, note: Report
) -> Any:
    """Return `raw` as the hinted type, or _BAD after noting why not."""
    origin, args = typing.get_origin(hint), typing.get_args(hint)
    if hint is Any or hint is object:
        return raw
    if origin in (typing.Union, types.UnionType):
        return _convert_union(raw, args, meta, where, known, note)
    if origin is typing.Literal:
        return _choice(raw, args, where, note)
    if origin in (tuple, frozenset):
        return _convert_many(raw, origin, args, meta, where, known, note)
    if origin is not None and isinstance(origin, type) and issubclass(origin, Mapping):
        if not isinstance(raw, dict):
            return _wrong(raw, "table", where, note)
        made = {
            key: _convert(value, args[1], meta, f"{where}.{key}", known, note)
            for key, value in raw.items()
        }
        return _BAD if any(v is _BAD for v in made.values()) else made
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        row = convert_row(raw, hint, known=known, report=note, prefix=where + ".")
        return _BAD if row is None else row
    if isinstance(hint, type) and issubclass(hint, Enum):
        value = _choice(raw, tuple(member.value for member in hint), where, note)
        return _BAD if value is _BAD else hint(value)
    return _convert_scalar(raw, hint, meta, where, known, note)


def _convert_scalar(
    raw: object, hint: type, meta: Mapping[str, Any], where: str, known: Known, note: Report
) -> Any:
    if hint is float and isinstance(raw, int) and not isinstance(raw, bool):
        raw = float(raw)
    if type(raw) is not hint or hint not in (str, int, float, bool, date, datetime, time):
        return _wrong(raw, hint.__name__, where, note)
    if isinstance(raw, int | float) and not isinstance(raw, bool):
        lo, hi = meta.get("lo"), meta.get("hi")
        below, above = lo is not None and raw < lo, hi is not None and raw > hi
        if below or above or not math.isfinite(raw):
            note(where, Problem.OUT_OF_RANGE, given=raw, lo=lo, hi=hi)
            return _BAD
    if isinstance(raw, str):
        return _checked_text(raw, meta, where, known, note)
    return raw


def _checked_text(
    raw: str, meta: Mapping[str, Any], where: str, known: Known, note: Report
) -> object:
    pattern, table = meta.get("pattern"), meta.get("ref")
    if pattern is not None and not re.fullmatch(pattern, raw):
        note(where, Problem.BAD_PATTERN, given=raw, pattern=pattern)
        return _BAD
    if table is not None and known.ids is not None and raw not in meta["also"]:
        ids = known.ids.get(table, ())
        if raw not in ids:
            close = nearest(raw, ids)
            note(where, Problem.UNKNOWN_REFERENCE, given=raw, table=table, nearest=close)
            return _BAD
    return raw


def _convert_union(
    raw: object,
    args: tuple[Any, ...],
    meta: Mapping[str, Any],
    where: str,
    known: Known,
    note: Report,
) -> Any:
    choices = [a for a in args if a is not type(None)]
    if len(choices) == 1:
        return _convert(raw, choices[0], meta, where, known, note)
    for choice in choices:
        trial = _convert(raw, choice, meta, where, known, lambda *_, **__: None)
        if trial is not _BAD:
            return trial
    names = " or ".join(getattr(c, "__name__", str(c)) for c in choices)
    return _wrong(raw, names, where, note)


def _convert_many(
    raw: object,
    kind: type,
    args: tuple[Any, ...],
    meta: Mapping[str, Any],
    where: str,
    known: Known,
    note: Report,
) -> Any:
    if not isinstance(raw, list):
        return _wrong(raw, "list", where, note)
    open_ended = kind is frozenset or args[-1] is Ellipsis
    if not open_ended and len(raw) != len(args):
        return _wrong(raw, f"list of {len(args)}", where, note)
    hints = [args[0]] * len(raw) if open_ended else list(args)
    made = [
        _convert(value, hint, meta, f"{where}[{i}]", known, note)
        for i, (value, hint) in enumerate(zip(raw, hints, strict=True))
    ]
    return _BAD if any(v is _BAD for v in made) else kind(made)


def _choice(raw: object, choices: tuple[Any, ...], where: str, note: Report) -> Any:
    if any(raw == c and type(raw) is type(c) for c in choices):
        return raw
    note(where, Problem.NOT_A_CHOICE, given=raw, choices=choices)
    return _BAD


def _wrong(raw: object, expected: str, where: str, note: Report) -> Any:
    note(where, Problem.WRONG_TYPE, expected=expected, given=_kind(raw))
    return _BAD


def _kind(raw: object) -> str:
    return {"dict": "table"}.get(type(raw).__name__, type(raw).__name__)


def _allows_none(hint: Any) -> bool:
    return type(None) in typing.get_args(hint)


def source_keys(value: object) -> Iterator[str]:
    """Yield the source keys in `"KEY, table 2; KEY2"` or a tuple of such texts."""
    for line in (value,) if isinstance(value, str) else tuple(value):  # type: ignore[arg-type]
        for part in str(line).split(";"):
            yield part.split(",")[0].strip()


def _check_sources(value: object, where: str, known: Known, note: Report) -> None:
    keys = [] if value is None else list(source_keys(value))
    if not any(keys):
        note(where, Problem.MISSING_SOURCE)
        return
    for key in keys:
        if known.sources is not None and key not in known.sources:
            close = nearest(key, known.sources)
            note(where, Problem.UNKNOWN_SOURCE, given=key, nearest=close)


def _check_order(row_type: type, made: dict[str, Any], prefix: str, note: Report) -> None:
    """Note every `min`/`lo` field above its `max`/`hi` partner, and pairs the wrong way round."""
    for f in dataclasses.fields(row_type):
        if not f.metadata.get("ordered", True) or f.name not in made:
            continue
        words = f.name.split("_")
        for low, high in (("min", "max"), ("lo", "hi"), ("low", "high")):
            partner = "_".join(high if w == low else w for w in words)
            lo, hi = made[f.name], made.get(partner)
            if partner == f.name or lo is None or hi is None:
                continue
            if isinstance(lo, int | float | date | time) and lo > hi:
                values = {"lo": lo, "hi": hi, "other": partner}
                note(prefix + f.name, Problem.LOW_ABOVE_HIGH, **values)
