"""Dated counts of one sowing: what was seen up at each look, in days after sowing."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import accumulate

from core.trade.statistics.survival import Span, Watched


@dataclass(frozen=True, slots=True, kw_only=True)
class GerminationCounts:
    """What came up on which day.

    Attributes:
        sown: seeds sown, N_t; count, >= 1.
        days: days after sowing of every look, those without news included; > 0, rising.
        new: seeds first seen up at each look, N_i; counts >= 0, in all <= sown.
    Raises ValueError outside these ranges.
    """

    sown: int
    days: tuple[float, ...]
    new: tuple[int, ...]

    def __post_init__(self) -> None:
        if len(self.days) != len(self.new):
            raise ValueError("one count for each day")
        if any(b <= a for a, b in zip((0.0, *self.days), self.days, strict=False)):
            raise ValueError("days must be positive and rise")
        if self.sown < 1 or any(count < 0 for count in self.new) or self.emerged > self.sown:
            raise ValueError(f"counts {self.new} do not fit {self.sown} seeds")

    @property
    def emerged(self) -> int:
        """Seeds up in all, N; count."""
        return sum(self.new)

    @property
    def total(self) -> tuple[int, ...]:
        """Seeds up by each look, n_i; counts, never falling."""
        return tuple(accumulate(self.new))

    @classmethod
    def from_totals(
        cls, *, sown: int, sown_on: date, totals: Sequence[tuple[date, int]]
    ) -> GerminationCounts:
        """Return the counts from running totals by local date.

        Args:
            sown: seeds sown; count, >= 1.
            sown_on: local date of sowing.
            totals: (date, seeds up so far), any order; the greatest of a date counts.
        Raises ValueError when a date is not after the sowing or a total falls.
        """
        by_day: dict[int, int] = {}
        for on, up in totals:
            day = (on - sown_on).days
            by_day[day] = max(up, by_day.get(day, 0))
        days = sorted(by_day)
        running = [by_day[day] for day in days]
        new = tuple(b - a for a, b in zip([0, *running], running, strict=False))
        return cls(sown=sown, days=tuple(float(day) for day in days), new=new)

    def spans(self) -> tuple[Span, ...]:
        """Return the seeds as censored spans between looks, for `turnbull_curve`."""
        before = (0.0, *self.days)
        up = tuple(
            Span(after_day=low, by_day=high, seeds=count)
            for low, high, count in zip(before, self.days, self.new, strict=False)
            if count
        )
        missing = self.sown - self.emerged
        if not missing:
            return up
        return (*up, Span(after_day=before[-1], by_day=math.inf, seeds=missing))

    def watched(self) -> tuple[Watched, ...]:
        """Return the seeds at the look they were seen, the rest censored at the last one."""
        up = tuple(
            Watched(day=day, up=True, seeds=count)
            for day, count in zip(self.days, self.new, strict=True)
            if count
        )
        missing = self.sown - self.emerged
        if not missing or not self.days:
            return up
        return (*up, Watched(day=self.days[-1], up=False, seeds=missing))
