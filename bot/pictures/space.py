"""Shelf space: places taken in each week against the places there are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any

from bot.pictures import fonts
from bot.pictures.chart import Frame, day_axis, nice_step, today_line, value_axis
from bot.pictures.model import Drawing
from bot.pictures.palette import CROPS, INK, WARM, darker
from bot.pictures.sheet import MARGIN, SMALL, Sheet
from bot.wording.drawn import pictures as words
from bot.wording.voice import Voice

HIGH = 84.0
TAKEN, OVER = CROPS[1], CROPS[3]
LEFT = 40.0
WEEK = timedelta(days=7)


def drawing(space: Mapping[str, Any], voice: Voice) -> Drawing:
    """Return the chart of a plan's `space`: `weeks` (ISO Mondays) and `shelves`."""
    weeks = [date.fromisoformat(str(day)) for day in space.get("weeks", ())]
    shelves: Mapping[str, Mapping[str, Any]] = space.get("shelves", {})
    title = voice.say("Shelf space by week")
    sheet = Sheet()
    sheet.heading(title, voice.say("Tray places taken, by the plan"), voice.day(voice.today))
    if not weeks or not shelves:
        nothing = voice.say("No plan says how many places are needed.")
        sheet.lines(nothing, most_lines=2)
        return sheet.done(title, nothing)
    said = []
    for number, (code, row) in enumerate(shelves.items()):
        places, used = int(row["places"]), [int(n) for n in row["used"]][: len(weeks)]
        head = words.shelf_space(code, places, weeks, used, voice)
        said.append(head)
        sheet.lines(head, bold=True, most_lines=2, what="shelf")
        _shelf(sheet, weeks, places, used, voice, first=number == 0)
    _key(sheet, shelves, voice)
    return sheet.done(title, "\n".join([title, *said]))


def _shelf(
    sheet: Sheet,
    weeks: Sequence[date],
    places: int,
    used: Sequence[int],
    voice: Voice,
    *,
    first: bool,
) -> None:
    most = max(places, max(used, default=0), 1)
    top = sheet.y + (SMALL * fonts.LINE + 2 if first else 4)
    frame = Frame(
        left=LEFT, top=top, wide=sheet.inner + MARGIN - LEFT, high=HIGH, first=weeks[0],
        last=weeks[-1] + WEEK, most=most * 1.08,
    )  # fmt: skip
    step = max(1, round(nice_step(most, 4)))
    value_axis(sheet, frame, {float(n): str(n) for n in range(0, most + 1, step)})
    for week, taken in zip(weeks, used, strict=False):
        left, right = frame.x(week), frame.x(week + WEEK)
        within = min(taken, places)
        if within:
            y = frame.y(within)
            sheet.box(
                left + 0.5, y, right - left - 1, frame.bottom - y, fill=TAKEN, edge=INK,
                what=f"week {week.isoformat()} {taken}",
            )  # fmt: skip
        if taken > places:
            y, base = frame.y(taken), frame.y(places)
            sheet.box(
                left + 0.5, y, right - left - 1, base - y, fill=OVER, edge=INK, pattern="cross",
                ink=darker(OVER), what=f"over {week.isoformat()} {taken - places}",
            )  # fmt: skip
    y = frame.y(places)
    sheet.path((frame.left, y), (frame.right, y), colour=INK, width=2, dash=(6, 3), what="places")
    if first:
        today_line(sheet, frame, voice, sheet.y, frame.bottom)
    elif frame.holds(voice.today):
        x = frame.x(voice.today)
        sheet.path(
            (x, frame.top), (x, frame.bottom), colour=WARM, width=1.4, dash=(4, 3), what="today"
        )
    sheet.y = day_axis(sheet, frame, voice) + 8


def _key(sheet: Sheet, shelves: Mapping[str, Mapping[str, Any]], voice: Voice) -> None:
    y = sheet.y
    sheet.path((MARGIN, y + 6), (MARGIN + 22, y + 6), colour=INK, width=2, dash=(6, 3), what="key")
    sheet.put(voice.say("places there are"), MARGIN + 28, y, SMALL, most=140, what="key")
    if any(int(n) > int(row["places"]) for row in shelves.values() for n in row["used"]):
        sheet.box(
            200, y, 18, 12, fill=OVER, edge=INK, pattern="cross", ink=darker(OVER), what="key"
        )
        sheet.put(voice.say("too many"), 224, y, SMALL, what="key")
    sheet.y += SMALL * fonts.LINE
