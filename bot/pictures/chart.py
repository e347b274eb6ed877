"""Axes: days along, a quantity up, labels that never touch."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from bot.pictures import fonts
from bot.pictures.model import WIDTH
from bot.pictures.sheet import Sheet
from bot.pictures.style import FINE, MARGIN, PLAIN_LINE, SMALL, STONE, WARN
from bot.wording.voice import Voice

DAY_STEPS = (1, 2, 3, 7, 14, 28, 56, 91, 182)
GAP = 8.0  # between two labels


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """A plot: `first`..`last` from left to right, `low`..`high` from bottom to top; points."""

    left: float
    top: float
    wide: float
    high: float
    first: date
    last: date
    low: float = 0.0
    most: float = 1.0

    @property
    def right(self) -> float:
        return self.left + self.wide

    @property
    def bottom(self) -> float:
        return self.top + self.high

    def x(self, day: date) -> float:
        """Return where a day stands; days outside stand at the edge."""
        span = max(1, (self.last - self.first).days)
        share = (day - self.first).days / span
        return self.left + self.wide * min(1.0, max(0.0, share))

    def y(self, value: float) -> float:
        """Return where a value stands; values outside stand at the edge."""
        share = (value - self.low) / (self.most - self.low)
        return self.bottom - self.high * min(1.0, max(0.0, share))

    def holds(self, day: date) -> bool:
        """Whether a day lies within."""
        return self.first <= day <= self.last


def day_ticks(first: date, last: date, wide: float, voice: Voice) -> list[date]:
    """Return the days to label: as many as fit `wide` points; whole weeks start on Mondays."""
    span = max(1, (last - first).days)
    room = max(fonts.width(fonts.covered(voice.month_day(d)), SMALL) for d in _samples(first, span))
    step = next((s for s in DAY_STEPS if s * wide / span >= room + GAP), span + 1)
    day = first
    if step >= 7:
        day += timedelta(days=-first.weekday() % 7)
    found = []
    while day <= last:
        found.append(day)
        day += timedelta(days=step)
    return found


def _samples(first: date, span: int) -> list[date]:
    return [first + timedelta(days=n) for n in range(0, span + 1, max(1, span // 40))]


def day_axis(sheet: Sheet, frame: Frame, voice: Voice, y: float | None = None) -> float:
    """Draw the days under a plot and return where its labels end."""
    top = frame.bottom if y is None else y
    for day in day_ticks(frame.first, frame.last, frame.wide, voice):
        x = frame.x(day)
        sheet.path((x, top), (x, top + 5), colour=STONE, width=FINE, what="tick")
        label = fonts.covered(voice.month_day(day))
        half = fonts.width(label, SMALL) / 2
        if x - half < 2 or x + half > WIDTH - 2:
            continue
        sheet.put(label, x, top + 8, SMALL, align="middle", most=2 * half + 1, what="day")
    return top + 8 + SMALL * fonts.LINE


def nice_step(span: float, most: int = 5) -> float:
    """Return a step of 1, 2 or 5 times a power of ten that cuts `span` > 0 into <= `most`."""
    power = 1e-6
    while True:
        for one in (1, 2, 5):
            if span / (one * power) <= most + 1e-9:
                return one * power
        power *= 10


def value_axis(sheet: Sheet, frame: Frame, labels: dict[float, str], right: bool = False) -> None:
    """Draw a rule and a label at each value."""
    for value, label in labels.items():
        y = frame.y(value)
        if not right:
            sheet.path((frame.left - 3, y), (frame.left, y), colour=STONE, width=FINE, what="tick")
        x = frame.right + 5 if right else frame.left - 5
        sheet.put(
            label, x, y - SMALL * fonts.LINE / 2, SMALL, most=60,
            align="left" if right else "right", what="value",
        )  # fmt: skip


def today_line(sheet: Sheet, frame: Frame, voice: Voice, y: float, bottom: float) -> None:
    """Mark today by a line with its word at `y`."""
    if not frame.holds(voice.today):
        return
    x = frame.x(voice.today)
    word = fonts.covered(voice.say("today"))
    half = fonts.width(word, SMALL, True) / 2
    middle = min(max(x, MARGIN + half), WIDTH - MARGIN - half)
    sheet.path(
        (x, y + SMALL * fonts.LINE), (x, bottom), colour=WARN, width=PLAIN_LINE, what="today"
    )
    sheet.put(
        word,
        middle,
        y,
        SMALL,
        align="middle",
        most=2 * half + 1,
        bold=True,
        colour=WARN,
        what="today",
    )
