"""The temperature of every day of a sowing: logged, carried over a gap, or expected."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

USUAL_WEIGHT_DAYS = 2.0
"""The shelf's usual temperature counts as this many logged days when the days ahead are
guessed. From memory."""

RECENT_DAYS = 7
"""Readings this recent (days) tell of the days ahead. From memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayTemp:
    """Mean mix temperature of one local date, Celsius."""

    on: date
    temp_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TemperatureCourse:
    """The temperature of every day of a sowing, logged, carried or expected.

    Attributes:
        sown_on, today: local dates.
        logged: daily means from the sowing to today, Celsius.
        gap_c: temperature of a past day without a reading, Celsius.
        ahead_c: temperature of the days ahead, Celsius; None when nothing is known.
    """

    sown_on: date
    today: date
    logged: dict[date, float]
    gap_c: float | None
    ahead_c: float | None

    @classmethod
    def of(
        cls,
        *,
        sown_on: date,
        today: date,
        readings: Sequence[DayTemp],
        usual_temp_c: float | None,
    ) -> TemperatureCourse:
        """Return the course from readings and the usual temperature; see the attributes.

        Without a usual temperature the mean of the readings stands in for it.
        """
        by_day: dict[date, list[float]] = {}
        for reading in readings:
            if reading.on <= today:
                by_day.setdefault(reading.on, []).append(reading.temp_c)
        means = {day: sum(temps) / len(temps) for day, temps in by_day.items()}
        recent = [temp for day, temp in means.items() if (today - day).days < RECENT_DAYS]
        if usual_temp_c is not None:
            ahead: float | None = (USUAL_WEIGHT_DAYS * usual_temp_c + sum(recent)) / (
                USUAL_WEIGHT_DAYS + len(recent)
            )
        elif means:
            used = recent or list(means.values())
            ahead = sum(used) / len(used)
        else:
            ahead = None
        return cls(
            sown_on=sown_on,
            today=today,
            logged={day: temp for day, temp in means.items() if day >= sown_on},
            gap_c=usual_temp_c if usual_temp_c is not None else ahead,
            ahead_c=ahead,
        )

    @property
    def days_past(self) -> int:
        """Whole days since sowing, >= 0."""
        return max(0, (self.today - self.sown_on).days)

    @property
    def days_carried(self) -> int:
        """Past days without a reading; count."""
        return self.days_past - sum(1 for day in self.logged if day < self.today)

    def temp_c(self, day_index: int) -> float:
        """Return the temperature of the day that begins `day_index` days after sowing.

        Raises ValueError when no temperature is known at all.
        """
        on = self.sown_on + timedelta(days=day_index)
        temp = self.logged.get(on)
        if temp is None:
            temp = self.gap_c if on < self.today else self.ahead_c
        if temp is None:
            raise ValueError("no temperature is known for this sowing")
        return temp
