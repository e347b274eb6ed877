"""The log of a shelf: warmth, light and water of four weeks, side by side, as they were read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from bot.pictures import fonts
from bot.pictures.chart import Frame
from bot.pictures.model import Drawing
from bot.pictures.sheet import Sheet
from bot.pictures.style import ACCENT, FINE, INK, MARGIN, PLAIN_LINE, SMALL, STONE
from bot.wording.drawn import pictures as words
from bot.wording.voice import Voice
from core.group.garden import Garden, Happening
from core.group.shelf_light import figure_of
from core.requests import Moisture, TempKind
from core.shown.shelf_light import light_of
from core.trade.light.lamp import LAMPS

SPAN = timedelta(days=28)
HIGH = 96.0
BETWEEN = 14.0
GAP_DAYS = 4
"""Readings further apart are not joined; common practice."""

LEAST_SPAN_C = 6.0  # so that a tenth of a degree does not look like a leap
SIGNS = {"mix": "disc", "air": "ring", "light": "disc", "water": "disc"}
LEVELS = {Moisture.DRY.value: 0.0, Moisture.RIGHT.value: 1.0, Moisture.WET.value: 2.0}

Readings = dict[str, list[tuple[date, float]]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """One small plot: its name, its readings by kind, and the words at heights of its axis."""

    name: str
    readings: Readings
    low: float
    most: float
    labels: dict[float, str]
    usual: float | None = None


def drawing(garden: Garden, shelf: str, voice: Voice) -> Drawing:
    """Return the log of a shelf's last weeks; raise ShelfUnknown for one that is not there."""
    if shelf not in garden.shelves:
        from core.errors import ShelfUnknown

        raise ShelfUnknown(shelf=shelf, known=tuple(garden.shelves))
    reports = on_shelf(garden, shelf, voice.today)
    temps, light = temperatures(reports), light_readings(garden, shelf, reports)
    water = moistures(reports)
    sentence = words.log_sentence(shelf, temps, light, water, voice)
    sheet = Sheet()
    sheet.heading(sentence, words.log_below(voice.today - SPAN, voice), voice.day(voice.today))
    panels = []
    if temps:
        panels.append(_warmth(temps, garden.shelves[shelf].usual_temp_c, voice))
    if light:
        panels.append(_light(light, voice))
    if water:
        labels = {LEVELS[level]: words.moisture(level, voice) for level in LEVELS}
        panels.append(
            Panel(
                name=voice.say("Water"), readings={"water": water}, low=-0.3, most=2.3,
                labels=labels,
            )
        )  # fmt: skip
    _panels(sheet, panels, voice)
    if "air" in temps and "mix" in temps:
        _key(sheet, voice)
    now = light_of(garden, shelf)
    lines = [
        *words.log_lines(temps, light, water, voice),
        words.light_now(now.dli, now.hours, voice),
    ]
    for line in lines:
        if line:
            sheet.lines(line, size=SMALL, most_lines=2, what="said")
    return sheet.done(sentence, "\n".join([sentence, *(line for line in lines if line)]))


def on_shelf(garden: Garden, shelf: str, today: date) -> list[Happening]:
    """Return what was read at a shelf and the trays on it in the last four weeks, oldest first."""
    found = list(garden.shelf_reports.get(shelf, ()))
    for code, tray in garden.trays.items():
        if tray.shelf == shelf:
            found += garden.tray_reports.get(code, ())
    kept = [
        r for r in found if r.kind in ("temp", "light", "moist") and today - SPAN <= r.on <= today
    ]
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


def moistures(reports: Sequence[Happening]) -> list[tuple[date, float]]:
    """Return how the mix was found: 0 dry, 1 right, 2 wet; each finding of a day once."""
    found = [
        (r.on, LEVELS[str(r.values.get("level"))])
        for r in reports
        if r.kind == "moist" and str(r.values.get("level")) in LEVELS
    ]
    return sorted(set(found))


def _warmth(temps: Readings, usual_c: float | None, voice: Voice) -> Panel:
    readings = {of: [(day, degrees(t, voice)) for day, t in points] for of, points in temps.items()}
    values = [t for points in readings.values() for _, t in points]
    usual = None if usual_c is None else degrees(usual_c, voice)
    values += [] if usual is None else [usual]
    middle = (min(values) + max(values)) / 2
    half = max(LEAST_SPAN_C * (1.8 if voice.fahrenheit else 1), max(values) - min(values)) / 2 + 1
    return Panel(
        name=words.temp_axis(voice), readings=readings, low=middle - half, most=middle + half,
        labels=_ends(values, voice), usual=usual,
    )  # fmt: skip


def _light(light: list[tuple[date, float]], voice: Voice) -> Panel:
    values = [value for _, value in light]
    return Panel(
        name=voice.say("Light, µmol/m²/s"), readings={"light": light}, low=0.0,
        most=max(values) * 1.15 or 1.0, labels=_ends(values, voice),
    )  # fmt: skip


def _ends(values: Sequence[float], voice: Voice) -> dict[float, str]:
    """Return the least and the greatest reading as the words of an axis."""
    return {value: voice.number(value, 0) for value in (min(values), max(values))}


def _panels(sheet: Sheet, panels: Sequence[Panel], voice: Voice) -> None:
    """Draw the plots beside each other; each name stands over its plot on its own lines."""
    if not panels:
        return
    wide = (sheet.inner - BETWEEN * (len(panels) - 1)) / len(panels)
    names = [fonts.wrapped(panel.name, SMALL, wide, 2, True) for panel in panels]
    tall = max(len(lines) for lines in names) * (SMALL * fonts.LINE + 1.5)
    top = sheet.y + tall + 8
    for number, (panel, lines) in enumerate(zip(panels, names, strict=True)):
        left = MARGIN + number * (wide + BETWEEN)
        for n, line in enumerate(lines):
            y = sheet.y + n * (SMALL * fonts.LINE + 1.5)
            sheet.put(line, left, y, SMALL, bold=True, most=wide, what="panel")
        _panel(sheet, panel, left, top, wide, voice)
    sheet.y = top + HIGH + SMALL * fonts.LINE + 19


def _panel(sheet: Sheet, panel: Panel, left: float, top: float, wide: float, voice: Voice) -> None:
    room = max(fonts.width(fonts.covered(label), SMALL) for label in panel.labels.values()) + 6
    frame = Frame(
        left=left + room, top=top, wide=wide - room - 5, high=HIGH, first=voice.today - SPAN,
        last=voice.today, low=panel.low, most=panel.most,
    )  # fmt: skip
    for (x0, y0), (x1, y1) in (
        ((frame.left, frame.top), (frame.left, frame.bottom)),
        ((frame.left, frame.bottom), (frame.right, frame.bottom)),
    ):
        sheet.path((x0, y0), (x1, y1), colour=STONE, width=FINE, what="axis")
    free = frame.top - 99
    for value, label in sorted(panel.labels.items(), reverse=True):
        y = frame.y(value) - SMALL * fonts.LINE / 2
        if y >= free:
            sheet.put(label, left, y, SMALL, most=room, what="value")
            free = y + SMALL * fonts.LINE
    if panel.usual is not None:
        y = frame.y(panel.usual)
        sheet.path(
            (frame.left, y), (frame.right, y), colour=STONE, width=FINE, dash=(2, 3), what="usual"
        )
    for kind, points in panel.readings.items():
        for (day0, a), (day1, b) in pairwise(points):
            if kind != "water" and (day1 - day0).days <= GAP_DAYS:
                sheet.path(
                    (frame.x(day0), frame.y(a)), (frame.x(day1), frame.y(b)), colour=ACCENT,
                    width=PLAIN_LINE, what=f"line {kind}",
                )  # fmt: skip
        for day, value in points:
            sheet.mark(
                frame.x(day), frame.y(value), SIGNS[kind], ACCENT, 5,
                what=f"reading {kind} {day} {value:.1f}",
            )  # fmt: skip
    start = fonts.covered(voice.month_day(frame.first))
    end = fonts.covered(voice.say("today"))
    sheet.put(start, left, frame.bottom + 9, SMALL, what="day")
    if fonts.width(start, SMALL) + fonts.width(end, SMALL) + 8 <= wide:
        sheet.put(end, left + wide, frame.bottom + 9, SMALL, most=wide, align="right", what="day")


def _key(sheet: Sheet, voice: Voice) -> None:
    x = MARGIN
    for of in ("mix", "air"):
        sheet.mark(x + 5, sheet.y + 7, SIGNS[of], ACCENT, 6, what="key")
        x += 14 + sheet.put(
            words.temp_kind(of, voice), x + 14, sheet.y, SMALL, most=90, colour=INK, what="key"
        ).w + 14  # fmt: skip
    sheet.y += SMALL * fonts.LINE + 5


def degrees(celsius: float, voice: Voice) -> float:
    """Return a temperature in the unit chosen."""
    return celsius * 9 / 5 + 32 if voice.fahrenheit else celsius
