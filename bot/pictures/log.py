"""The log of a shelf: temperatures and light as they were read."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date, timedelta

from bot.pictures.chart import Frame, day_axis, nice_step, value_axis
from bot.pictures.model import WIDTH, Drawing
from bot.pictures.palette import DASHES, LINES, MARKS, SHADE, SOFT
from bot.pictures.sheet import MARGIN, SMALL, Sheet
from bot.wording.drawn import pictures as words
from bot.wording.voice import Voice
from core.group.garden import Garden, Happening
from core.group.shelf_light import figure_of
from core.requests import TempKind
from core.shown.shelf_light import light_of
from core.trade.light.lamp import LAMPS

SPAN = timedelta(days=30)
HIGH = 130.0
LEFT = 46.0
LEAST_SPAN_C = 6.0  # so that a tenth of a degree does not look like a leap

Readings = dict[str, list[tuple[date, float]]]


def drawing(garden: Garden, shelf: str, voice: Voice) -> Drawing:
    """Return the log of a shelf's last month; raise ShelfUnknown for one that is not there."""
    if shelf not in garden.shelves:
        from core.errors import ShelfUnknown

        raise ShelfUnknown(shelf=shelf, known=tuple(garden.shelves))
    reports = on_shelf(garden, shelf, voice.today)
    temps, light = temperatures(reports), light_readings(garden, shelf, reports)
    days = [day for points in (*temps.values(), light) for day, _ in points]
    first = min([*days, voice.today - timedelta(days=7)])
    title = voice.say("Shelf {shelf}", shelf=shelf)
    sheet = Sheet()
    sheet.heading(title, words.log_below(first, voice), voice.day(voice.today))
    _temps(sheet, temps, garden.shelves[shelf].usual_temp_c, first, voice)
    _light(sheet, light, light_of(garden, shelf).dli, light_of(garden, shelf).hours, first, voice)
    return sheet.done(title, words.log_caption(shelf, temps, light, voice))


def on_shelf(garden: Garden, shelf: str, today: date) -> list[Happening]:
    """Return what was read at a shelf and the trays on it in the last month, oldest first."""
    found = list(garden.shelf_reports.get(shelf, ()))
    for code, tray in garden.trays.items():
        if tray.shelf == shelf:
            found += garden.tray_reports.get(code, ())
    kept = [r for r in found if r.kind in ("temp", "light") and today - SPAN <= r.on <= today]
    return sorted(kept, key=lambda r: (r.on, r.at, r.id))


def temperatures(reports: Sequence[Happening]) -> Readings:
    """Return the mean °C of each day, of the mix and of the air."""
    found: dict[str, dict[date, list[float]]] = {}
    for report in reports:
        of = str(report.values.get("of", TempKind.MIX))
        if report.kind == "temp" and of in (TempKind.MIX, TempKind.AIR):
            by_day = found.setdefault(of, {})
            by_day.setdefault(report.on, []).append(float(report.values["temp_c"]))
    return {
        of: [(day, sum(values) / len(values)) for day, values in sorted(found[of].items())]
        for of in sorted(found, reverse=True)
    }


def light_readings(
    garden: Garden, shelf: str, reports: Sequence[Happening]
) -> list[tuple[date, float]]:
    """Return the PPFD of each reading, µmol m-2 s-1; lux as the lamp's factor has it."""
    lamp = LAMPS.by_id().get(garden.shelves[shelf].lamp or "")
    found = []
    for report in reports:
        said = report.values.get("ppfd") is not None or report.values.get("lux") is not None
        figure = figure_of(report, lamp) if report.kind == "light" and said else None
        if figure is not None:
            found.append((report.on, figure.value))
    return found


def _temps(sheet: Sheet, temps: Readings, usual_c: float | None, first: date, voice: Voice) -> None:
    sheet.lines(words.temp_axis(voice), bold=True, what="panel")
    values = [degrees(t, voice) for points in temps.values() for _, t in points]
    if usual_c is not None:
        values.append(degrees(usual_c, voice))
    if not values:
        sheet.lines(voice.say("No temperature read lately."), colour=SOFT)
        sheet.y += 8
        return
    span = LEAST_SPAN_C * (1.8 if voice.fahrenheit else 1)
    middle = (min(values) + max(values)) / 2
    step = nice_step(max(span, max(values) - min(values)) + 2)
    low = math.floor(min(min(values) - 0.5, middle - span / 2) / step) * step
    high = math.ceil(max(max(values) + 0.5, middle + span / 2) / step) * step
    frame = _frame(sheet, first, voice, low, high)
    ticks = [low + n * step for n in range(round((high - low) / step) + 1)]
    value_axis(sheet, frame, {t: voice.number(t, 0 if step >= 1 else 1) for t in ticks})
    if usual_c is not None:
        y = frame.y(degrees(usual_c, voice))
        sheet.path((frame.left, y), (frame.right, y), colour=SOFT, dash=(2, 3), what="usual")
    for number, points in enumerate(temps.values()):
        _points(sheet, frame, [(d, degrees(t, voice)) for d, t in points], number)
    sheet.y = day_axis(sheet, frame, voice) + 5
    entries = [(n, words.temp_kind(of, voice)) for n, of in enumerate(temps)]
    x = MARGIN
    for number, label in entries:
        x = _entry(sheet, x, number, label)
    if usual_c is not None:
        sheet.path((x, sheet.y + 6), (x + 20, sheet.y + 6), colour=SOFT, dash=(2, 3), what="key")
        sheet.put(voice.say("usual, as told"), x + 26, sheet.y - 0.5, SMALL, what="key")
    sheet.y += 24


def _light(
    sheet: Sheet,
    light: Sequence[tuple[date, float]],
    dli: float | None,
    hours: float | None,
    first: date,
    voice: Voice,
) -> None:
    sheet.lines(voice.say("Light at the leaves, µmol/m²/s"), bold=True, what="panel")
    if light:
        top = max(value for _, value in light)
        step = nice_step(top * 1.1)
        frame = _frame(sheet, first, voice, 0.0, step * math.ceil(top * 1.05 / step))
        ticks = [n * step for n in range(round(frame.most / step) + 1)]
        value_axis(sheet, frame, {t: voice.number(t, 0) for t in ticks})
        _points(sheet, frame, light, 2)
        sheet.y = day_axis(sheet, frame, voice) + 6
    else:
        sheet.lines(voice.say("No light read lately."), colour=SOFT)
    now = words.light_now(dli, hours, voice)
    if now:
        sheet.lines(now, most_lines=2, what="light")


def _frame(sheet: Sheet, first: date, voice: Voice, low: float, high: float) -> Frame:
    top = sheet.y + 5
    wide = WIDTH - LEFT - MARGIN - 8
    sheet.box(LEFT, top, wide, HIGH, edge=SHADE, what="panel")
    return Frame(
        left=LEFT, top=top, wide=wide, high=HIGH, first=first, last=voice.today, low=low, most=high
    )


def _points(sheet: Sheet, frame: Frame, points: Sequence[tuple[date, float]], number: int) -> None:
    colour = LINES[number]
    line = [(frame.x(day), frame.y(value)) for day, value in points]
    if len(line) > 1:
        sheet.path(*line, colour=colour, width=1.6, dash=DASHES[number], what=f"line {number}")
    for (x, y), (day, value) in zip(line, points, strict=True):
        sheet.mark(x, y, MARKS[number], colour, what=f"reading {number} {day} {value:.1f}")


def _entry(sheet: Sheet, x: float, number: int, label: str) -> float:
    y = sheet.y + 6
    sheet.path(
        (x, y), (x + 20, y), colour=LINES[number], width=1.6, dash=DASHES[number], what="key"
    )
    sheet.mark(x + 10, y, MARKS[number], LINES[number], what="key")
    text = sheet.put(label, x + 26, sheet.y - 0.5, SMALL, most=110, what="key")
    return x + 26 + text.w + 14


def degrees(celsius: float, voice: Voice) -> float:
    """Return a temperature in the unit chosen."""
    return celsius * 9 / 5 + 32 if voice.fahrenheit else celsius
