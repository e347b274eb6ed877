"""Shelf space: each week a stack of places, taken or free, and what stands there today."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any

from bot.pictures import fonts
from bot.pictures.chart import Frame, day_axis, today_line
from bot.pictures.model import Drawing
from bot.pictures.sheet import Sheet
from bot.pictures.style import (
    ACCENT,
    FINE,
    INK,
    MARGIN,
    MOSS,
    PLAIN_LINE,
    SMALL,
    STONE,
    STRONG,
    WARN,
)
from bot.wording.drawn import pictures as words
from bot.wording.voice import Voice
from core.group import outlook
from core.group.garden import Garden
from core.group.standing import standing

HIGH = 64.0
MOST_CAPTION = 1000  # letters, within what a messenger takes under a picture
MOST_SLOTS = 8  # more places are drawn as one block
LEAST_FIGURE = 14.0  # width of a week that holds its number
WEEK = timedelta(days=7)


def drawing(space: Mapping[str, Any], voice: Voice, garden: Garden | None = None) -> Drawing:
    """Return the chart of a plan's `space`: `weeks` (ISO Mondays) and `shelves`."""
    weeks = [date.fromisoformat(str(day)) for day in space.get("weeks", ())]
    shelves: Mapping[str, Mapping[str, Any]] = space.get("shelves", {})
    rows = {
        code: (int(row["places"]), [int(n) for n in row["used"]][: len(weeks)])
        for code, row in shelves.items()
    }
    sentence = words.space_sentence(rows, weeks, voice)
    sheet = Sheet()
    sheet.heading(
        sentence, voice.say("Places for trays, by week, by the plan"), voice.day(voice.today)
    )
    if not weeks or not rows:
        return sheet.done(sentence, sentence)
    said: list[str] = []
    crops: list[str] = []
    for number, (code, (places, used)) in enumerate(rows.items()):
        if sheet.full:
            break
        head = words.shelf_space(code, places, weeks, used, voice)
        here = words.stands_here(_stands(garden, code), voice) if garden else ""
        said += [head, here]
        sheet.lines(head, bold=True, most_lines=2, what="shelf")
        if here:
            sheet.lines(here, size=SMALL, most_lines=3, what="here")
        frame = _shelf(sheet, weeks, places, used, voice, first=number == 0)
        if garden is not None:
            own = _crops(sheet, frame, on_shelf(garden, code, voice.today), voice)
            said += own
            crops += own
    sheet.rule()
    _key(sheet, rows, voice)
    return sheet.done(sentence, _caption([sentence, *said], crops))


def _caption(said: Sequence[str], crops: Sequence[str]) -> str:
    """Return the words of the picture; of many crops only as many lines as a caption takes."""
    lines = [line for line in said if line]
    for crop in reversed(crops):
        if sum(len(line) + 1 for line in lines) <= MOST_CAPTION:
            break
        lines.remove(crop)
    return "\n".join(lines)


def _stands(garden: Garden, shelf: str) -> list[tuple[str, list[tuple[str, str | None]]]]:
    """Return (tray, what lives in it) of a shelf; an empty tray has nothing."""
    living = standing(garden)
    return [
        (code, list(dict.fromkeys((s.crop, s.variety) for s, g in living if g.tray == code)))
        for code, tray in garden.trays.items()
        if tray.shelf == shelf
    ]


def _shelf(
    sheet: Sheet,
    weeks: Sequence[date],
    places: int,
    used: Sequence[int],
    voice: Voice,
    *,
    first: bool,
) -> Frame:
    most = max(places, max(used, default=0), 1)
    top = sheet.y + (SMALL * fonts.LINE + 6 if first else 4) + SMALL * fonts.LINE
    frame = Frame(
        left=MARGIN, top=top, wide=sheet.inner, high=HIGH, first=weeks[0], last=weeks[-1] + WEEK,
        most=float(most),
    )  # fmt: skip
    for week, taken in zip(weeks, used, strict=False):
        left, right = frame.x(week), frame.x(week + WEEK)
        _week(sheet, frame, week, taken, places, left, right - left)
    y = frame.y(places)
    sheet.path((frame.left, y), (frame.right, y), colour=INK, width=PLAIN_LINE, what="places")
    if first:
        today_line(sheet, frame, voice, sheet.y, frame.bottom)
    sheet.y = day_axis(sheet, frame, voice) + 8
    return frame


Spans = dict[str, list[tuple[date, date, bool]]]


def on_shelf(garden: Garden, shelf: str, today: date) -> Spans:
    """Return crop → (first day, last day, whether it lives) of what stands on a shelf.

    What lives stays until it goes out, as far as that can be told; what is planned from its
    sowing on.
    """
    found: Spans = {}
    for sowing, growing in standing(garden):
        tray = garden.trays.get(growing.tray or "")
        if tray is None or tray.shelf != shelf:
            continue
        last = outlook.out_about(garden, sowing, growing, today) or today
        span = (sowing.sown_on, max(last, today), True)
        found.setdefault(sowing.crop, []).append(span)
    for entry in (garden.plan or {}).get("sowings", ()):
        if entry["id"] in garden.sown_items or entry.get("shelf") != shelf:
            continue
        days = [date.fromisoformat(entry[name]) for name in ("sow_on", "plant_out")]
        found.setdefault(entry["crop"], []).append((days[0], days[1], False))
    return {crop: sorted(spans) for crop, spans in sorted(found.items(), key=lambda i: min(i[1]))}


def _crops(sheet: Sheet, frame: Frame, spans: Spans, voice: Voice) -> list[str]:
    """Draw a line for each crop on the same weeks, its name and days over it; return the words."""
    said = []
    for crop, each in spans.items():
        shown = [span for span in each if span[1] >= frame.first and span[0] <= frame.last]
        if not shown:
            continue
        if sheet.full:
            break
        words_said = words.crop_on_shelf(crop, [span[:2] for span in shown], voice)
        said.append(words_said)
        sheet.lines(words_said, size=SMALL, most_lines=3, what="crop")
        y = sheet.y + 2
        for first, last, lives in shown:
            a, b = frame.x(first), max(frame.x(last), frame.x(first) + 2)
            sheet.path(
                (a, y), (b, y), colour=ACCENT if lives else STONE,
                width=STRONG if lives else PLAIN_LINE, what=f"crop {crop} {first} {last}",
            )  # fmt: skip
        sheet.y += 9
    sheet.y += 4 if said else 0
    return said


def _week(
    sheet: Sheet, frame: Frame, week: date, taken: int, places: int, left: float, wide: float
) -> None:
    """Draw one week: a slot for each place; over it, in a full week, the number taken."""
    gap = min(1.5, wide / 8)
    x, w, name = left + gap, wide - 2 * gap, week.isoformat()
    if max(taken, places) <= MOST_SLOTS:
        for n in range(max(taken, places)):
            y, base = frame.y(n + 1), frame.y(n)
            over = n >= places
            fill = WARN if over else MOSS if n < taken else None
            what = f"over {name}" if over else f"{'taken' if n < taken else 'free'} {name}"
            sheet.box(x, y + 1, w, base - y - 2, fill=fill, edge=fill or STONE, what=what)
    else:
        base, y = frame.bottom, frame.y(min(taken, places))
        sheet.box(x, frame.y(places), w, base - frame.y(places), edge=STONE, what=f"free {name}")
        if taken:
            sheet.box(x, y, w, base - y, fill=MOSS, what=f"taken {name}")
        if taken > places:
            top = frame.y(taken)
            sheet.box(x, top, w, frame.y(places) - top, fill=WARN, what=f"over {name}")
    if taken >= places:
        y = frame.y(max(taken, places)) - 2
        colour = WARN if taken > places else INK
        sheet.path((x, y), (x + w, y), colour=colour, width=STRONG, what=f"full {name}")
        if wide >= LEAST_FIGURE + 4:
            sheet.put(
                str(taken), left + wide / 2, y - SMALL * fonts.LINE - 1, SMALL, align="middle",
                bold=True, colour=colour, what=f"number {name}",
            )  # fmt: skip


def _key(sheet: Sheet, rows: Mapping[str, tuple[int, list[int]]], voice: Voice) -> None:
    x = MARGIN
    entries: list[tuple[str | None, str, str]] = [
        (MOSS, MOSS, voice.say("taken")),
        (None, STONE, voice.say("free")),
    ]
    if any(n > places for places, used in rows.values() for n in used):
        entries.append((WARN, WARN, voice.say("too many")))
    for fill, edge, label in entries:
        sheet.box(x, sheet.y + 2, 16, 9, fill=fill, edge=edge, line=FINE, what="key")
        x += 22 + sheet.put(label, x + 22, sheet.y, SMALL, most=90, what="key").w + 12
    sheet.path((x, sheet.y + 6), (x + 16, sheet.y + 6), colour=INK, width=STRONG, what="key")
    sheet.put(voice.say("full"), x + 22, sheet.y, SMALL, most=70, what="key")
    sheet.y += SMALL * fonts.LINE
