"""Frost dates in words: one usual date, dates by chance in any order, and autumn's first."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from bot.grammar.dates import FoundDate, Lean, Said, take_dates
from bot.grammar.problems import DateNotUnderstood, FrostOrder, FrostPercentOdd, WhatNotSaid
from bot.grammar.quantities import take_percent
from bot.grammar.set_up import take_units
from bot.grammar.slots import nothing_left
from bot.grammar.text import Bag, word
from core.requests import SetFrost

HALF_A_YEAR = 182  # days; frost dates of one spring lie closer together
_CHANCES = {10: "late", 50: "middle", 90: "early"}
_WORDS = (
    ("first|autumn|fall", "first"),
    ("last|typical|usual|spring|average|mean|median", "typical"),
)
_BETWEEN = r"[,;]|(?<!\w)and(?!\w)"

Dates = dict[str, date]


@dataclass(frozen=True, slots=True)
class _Mark:
    """What a date is called, `10%` or `first`, and where it stands."""

    start: int
    label: str


def build_frost(bag: Bag) -> SetFrost:
    """Build frost dates: one usual date, or dates by chance, and a first autumn frost."""
    fahrenheit, _ = take_units(bag)
    bag.drop("file|minima|daily|unit|in")
    found = take_dates(bag, Lean.SEASON, weekdays=False)
    for one in found:
        if one.said is Said.RELATIVE:  # `frost last night` tells of one night, not of most years
            raise DateNotUnderstood(typed=bag.whole[one.start : one.end].strip())
    marks = _take_marks(bag)
    bag.drop(
        "frosts?|dates?|chance|risk|usually|normally|mostly|is|about|around|late|middle|early|after"
    )
    dates = _named(bag, found, marks)
    nothing_left(bag)
    if any(mark.label != "typical" and mark.label not in dates for mark in marks):
        raise WhatNotSaid(command=bag.command, needs="date")
    chances = [dates[label] for label in ("early", "middle", "late") if label in dates]
    if any(_days_after(one, other) > HALF_A_YEAR for one, other in pairwise(chances)):
        raise FrostOrder
    return SetFrost(
        typical=dates.get("typical"), late=dates.get("late"), middle=dates.get("middle"),
        early=dates.get("early"), first=dates.get("first"), fahrenheit=fahrenheit,
    )  # fmt: skip


def _take_marks(bag: Bag) -> list[_Mark]:
    marks: list[_Mark] = []
    while (hit := bag.find(r"\d{1,3}(?:[.,]\d+)?\s*(?:%|percent|per cent|pct)")) is not None:
        percent = take_percent(bag)
        if percent not in _CHANCES:
            raise FrostPercentOdd(given=percent or 0.0)
        marks.append(_Mark(hit.start(), _CHANCES[int(percent)]))
    for words, label in _WORDS:
        while hit := bag.take(word(words)):
            marks.append(_Mark(hit.start(), label))
    return sorted(marks, key=lambda mark: mark.start)


def _named(bag: Bag, found: tuple[FoundDate, ...], marks: list[_Mark]) -> Dates:
    """Return each date under its name; one that has no mark is the usual date.

    Commas part the dates where each part holds one. Else the marks stand all before their dates
    or all behind them: the way that puts the dates in the order of their chances, and of two
    such ways the one in which a mark comes first.
    """
    parted = _parted(bag, found, marks)
    if parted is not None:
        return parted
    label_first = not (found and marks) or marks[0].start < found[0].start
    ways = (_paired(found, marks, before=before) for before in (label_first, not label_first))
    clear = [way for way in ways if way is not None]
    wanted = {mark.label for mark in marks} - {"typical"}
    if len(marks) < len(found):  # one stands bare: which one, the order tells
        clear.sort(key=lambda way: (not wanted <= way.keys(), not _in_order(way)))
    if clear:
        return clear[0]
    worst = found[-1]
    raise DateNotUnderstood(typed=bag.whole[worst.start : worst.end].strip())


def _parted(bag: Bag, found: tuple[FoundDate, ...], marks: list[_Mark]) -> Dates | None:
    """Return the dates by the parts between commas; None where a part does not hold one."""
    cuts = [hit.start() for hit in re.finditer(_BETWEEN, bag.rest, re.IGNORECASE)]
    edges = [0, *cuts, len(bag.rest) + 1]
    dates: Dates = {}
    for start, end in pairwise(edges):
        inside = [one for one in found if start <= one.start < end]
        labels = {mark.label for mark in marks if start <= mark.start < end}
        if len(labels) > 1:
            labels.discard("typical")  # `last frost 10% 6 June`
        if not inside and not labels - {"typical"}:
            continue
        label = min(labels, default="typical")
        if len(inside) != 1 or len(labels) > 1 or label in dates:
            return None
        dates[label] = inside[0].day
    return dates


def _paired(found: tuple[FoundDate, ...], marks: list[_Mark], *, before: bool) -> Dates | None:
    """Return the dates by the mark right before (else right behind) each; None for a clash."""
    dates: Dates = {}
    left = list(marks)
    for one in found if before else reversed(found):
        beside = [mark for mark in left if (mark.start < one.start) == before]
        label = "typical"
        if beside:
            nearest = beside[-1 if before else 0]
            label = nearest.label
            left = [mark for mark in left if mark not in beside]
        if label in dates:
            return None
        dates[label] = one.day
    return dates


def _in_order(dates: Dates) -> bool:
    """Tell whether the later a date of spring, the smaller its chance."""
    named = [dates.get("early"), dates.get("middle", dates.get("typical")), dates.get("late")]
    chances = [day for day in named if day is not None]
    return all(0 < _days_after(one, other) <= HALF_A_YEAR for one, other in pairwise(chances))


def _days_after(one: date, other: date) -> int:
    """Return days from one day of the year forward to another, over New Year if need be."""
    first, second = (date(2001, on.month, min(on.day, 28)) for on in (one, other))
    return (second - first).days % 365
