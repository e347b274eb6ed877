"""The season as a calendar of work: what to do when, and how sure that is.

Months run along the top with the chance of frost under them. Each sowing has a line on which its
works stand with their names and dates. Weight tells what is done, what lives and what is only
planned: a fine line with small signs, a strong one, a fine one with open signs.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta

from bot.pictures import fonts
from bot.pictures.chart import Frame
from bot.pictures.model import WIDTH, Drawing
from bot.pictures.sheet import Sheet
from bot.pictures.style import (
    ACCENT,
    FINE,
    INK,
    MARGIN,
    MOSS,
    PLAIN,
    PLAIN_LINE,
    SMALL,
    STONE,
    STRONG,
    WARN,
)
from bot.wording.drawn import season as words
from bot.wording.drawn.season_rows import Row, busiest, jobs_by_week, rows_of
from bot.wording.voice import Voice
from core.group import outlook
from core.group.breaks import LONG_DAYS, stretches
from core.group.garden import Garden
from core.replies.plans import SeasonSaid
from core.trade.frost.dates import FrostDates

TEXT = SMALL * fonts.LINE
ROW = PLAIN * fonts.LINE + 12 + TEXT + 7
FROST_HIGH = 34.0
BUSY_HIGH = 24.0
LEVELS = tuple(n / 20 for n in range(19, 0, -1))
NEAR = timedelta(days=45)


def drawing(garden: Garden, said: SeasonSaid, voice: Voice, page: int = 1) -> Drawing:
    """Return one page of the calendar of what grew, grows and is still to be sown."""
    every = rows_of(said)
    pages = words.season_pages(len(every))
    page = min(max(1, page), pages)
    rows = every[(page - 1) * words.SEASON_ROWS : page * words.SEASON_ROWS]
    frost = outlook.frost_of(garden)
    sentence = words.season_sentence(said, voice)
    sheet = Sheet()
    below = words.season_below(page, pages, voice)
    sheet.heading(sentence, below, voice.day(voice.today))
    first, last = _span(every, voice.today)
    frame = Frame(left=MARGIN, top=sheet.y, wide=sheet.inner, high=1, first=first, last=last)
    curve = _frost_curve(frost, every)
    _months(sheet, frame, voice)
    _frost(sheet, frame, curve, voice)
    closed = list(breaks(garden, first, last))
    _closed(sheet, frame, closed, voice)
    jobs = jobs_by_week(every, voice.today)
    _busy(sheet, frame, jobs, voice)
    top = sheet.y
    sheet.y += TEXT + 4
    for row in rows:
        _row(sheet, frame, row, voice)
    if frame.holds(voice.today):
        x = frame.x(voice.today)
        word = fonts.covered(voice.say("today"))
        half = fonts.width(word, SMALL, True) / 2
        at = min(max(x, MARGIN + half), WIDTH - MARGIN - half)
        sheet.put(
            word, at, top, SMALL, align="middle", bold=True, most=2 * half + 1, colour=WARN,
            what="today",
        )  # fmt: skip
        sheet.path(
            (x, top + TEXT), (x, top + TEXT + 4), colour=WARN, width=PLAIN_LINE, what="today"
        )
    sheet.rule()
    _key(sheet, {row.weight for row in rows}, voice)
    return sheet.done(
        sentence, words.season_caption(sentence, said, curve, closed, busiest(jobs), voice)
    )


def _span(rows: Sequence[Row], today: date) -> tuple[date, date]:
    """Return the first and last day of the months drawn."""
    days = [day for row in rows for _, day in row.works]
    first, last = min(days, default=today), max(days, default=today)
    if first - NEAR <= today <= last + NEAR:
        first, last = min(first, today), max(last, today)
    after = (last.replace(day=1) + timedelta(days=32)).replace(day=1)
    return first.replace(day=1), after


def _frost_curve(frost: FrostDates | None, rows: Sequence[Row]) -> list[tuple[date, float]]:
    """Return (day, chance of frost on or after it), from likely to unlikely; empty unknown."""
    if frost is None or not rows:
        return []
    year = outlook.season_year(frost, max(row.works[0][1] for row in rows))
    found = [(frost.date_at(level, year), level) for level in LEVELS]
    return [(day, level) for day, level in found if day is not None]


def breaks(garden: Garden, first: date, last: date) -> Iterator[tuple[date, date]]:
    """Yield (first, last) of the breaks within two dates."""
    for stretch in stretches(garden, first, last):
        if stretch.days >= LONG_DAYS:
            yield stretch.first, min(stretch.last, last)


def _months(sheet: Sheet, frame: Frame, voice: Voice) -> None:
    """Name the months between fine strokes; a month too narrow for its name has none."""
    day = frame.first
    while day < frame.last:
        after = (day + timedelta(days=32)).replace(day=1)
        x, right = frame.x(day), frame.x(after)
        sheet.path((x, sheet.y), (x, sheet.y + TEXT), colour=STONE, width=FINE, what="month")
        name = fonts.covered(words.month(day, voice))
        if fonts.width(name, SMALL) + 8 <= right - x:
            sheet.put(name, x + 4, sheet.y, SMALL, most=right - x - 4, what="month")
        day = after
    sheet.y += TEXT + 2


def _frost(sheet: Sheet, frame: Frame, curve: Sequence[tuple[date, float]], voice: Voice) -> None:
    """Draw how the chance of another frost falls, and say three dates of it."""
    inside = [(day, level) for day, level in curve if frame.holds(day)]
    if len(inside) > 1:
        top, base = sheet.y, sheet.y + FROST_HIGH
        points = [(frame.x(day), base - level * FROST_HIGH) for day, level in inside]
        start = [(frame.left, points[0][1])] if inside[0] == curve[0] else []
        end = [(frame.right, points[-1][1])] if inside[-1] == curve[-1] else []
        sheet.path(
            (frame.left, base), (frame.right, base), colour=STONE, width=FINE, what="frost base"
        )
        sheet.path(*start, *points, *end, colour=MOSS, width=STRONG, what="frost chance")
        for day, level in inside:
            if level in (0.9, 0.5, 0.1):
                x = frame.x(day)
                sheet.mark(
                    x, base - level * FROST_HIGH, "disc", INK, 4, what=f"frost {level} {day}"
                )
        sheet.y = top + FROST_HIGH + 3
    for line in words.frost_lines(curve, voice):
        sheet.lines(line, size=SMALL, most_lines=2, what="frost said")
    sheet.y += 4


def _closed(sheet: Sheet, frame: Frame, closed: Sequence[tuple[date, date]], voice: Voice) -> None:
    if not closed:
        return
    for first, last in closed:
        a, b = frame.x(first), max(frame.x(last + timedelta(days=1)), frame.x(first) + 2)
        sheet.box(a, sheet.y, b - a, 4, fill=STONE, what=f"closed {first} {last}")
    sheet.y += 6
    sheet.lines(words.closed_line(closed, voice), size=SMALL, most_lines=3, what="closed said")
    sheet.y += 4


def _busy(sheet: Sheet, frame: Frame, jobs: Mapping[date, int], voice: Voice) -> None:
    """Draw a small stroke for each work of a week, and name the weeks with most of them."""
    found = busiest(jobs)
    if not found:
        return
    most, named = max(jobs.values()), dict(found)
    step = min(4.0, BUSY_HIGH / most)
    base = sheet.y + most * step
    for monday, count in jobs.items():
        a = max(frame.left, frame.x(max(monday, frame.first)) + 1)
        b = min(frame.right, frame.x(monday + timedelta(days=7)) - 1)
        colour = INK if monday in named else STONE
        for n in range(count if b > a else 0):
            y = base - n * step - 1
            sheet.path((a, y), (b, y), colour=colour, width=PLAIN_LINE, what=f"jobs {monday}")
    sheet.y = base + 3
    sheet.lines(words.busy_line(found, voice), size=SMALL, most_lines=2, what="busy said")
    sheet.y += 4


def _row(sheet: Sheet, frame: Frame, row: Row, voice: Voice) -> None:
    """Draw one sowing: its name, its line with a sign at each work, and what each is and when."""
    lives = row.weight == "lives"
    sheet.lines(words.row_name(row, voice), bold=lives, what="name")
    y = sheet.y + 4
    xs = [frame.x(day) for _, day in row.works]
    weight = STRONG if lives else FINE
    colour = ACCENT if lives else INK if row.weight == "done" else STONE
    if len(xs) > 1:
        sheet.path(
            (xs[0], y), (xs[-1], y), colour=colour, width=weight,
            what=f"line {row.weight} {row.sowing or row.crop}",
        )  # fmt: skip
    for (work, day), x in zip(row.works, xs, strict=True):
        past = day <= voice.today and row.weight != "planned"
        shape = "cross" if work == "lost" else "disc" if past else "ring"
        size = 9.0 if lives else 7.0
        sign = WARN if work == "lost" else ACCENT if lives else INK
        sheet.mark(x, y, shape, sign, size, what=f"work {work} {day}")
    if frame.holds(voice.today):
        now = frame.x(voice.today)
        sheet.path((now, y - 5), (now, y + 5), colour=WARN, width=PLAIN_LINE, what="today")
    sheet.y = y + 8
    said = [fonts.covered(words.work(w, day, row, voice)) for w, day in row.works]
    for part in _lines(said, frame):
        texts = said[part]
        for text, left in zip(texts, _apart(texts, xs[part], frame), strict=True):
            most = fonts.width(text, SMALL) + 1
            sheet.put(text, left, sheet.y, SMALL, most=most, what="work said")
        sheet.y += TEXT
    sheet.y += 7


def _lines(said: Sequence[str], frame: Frame) -> list[slice]:
    """Return which works are written on one line: all, or as many lines as they take."""
    lines = 1
    while True:
        each = -(-len(said) // lines)
        parts = [slice(n, n + each) for n in range(0, len(said), each)]
        wide = [sum(fonts.width(text, SMALL) + 8 for text in said[part]) for part in parts]
        if max(wide) <= frame.wide or each == 1:
            return parts
        lines += 1


def _apart(said: Sequence[str], xs: Sequence[float], frame: Frame) -> list[float]:
    """Return where each text starts: as near to its sign as leaves all apart and inside."""
    wide = [fonts.width(text, SMALL) for text in said]
    lefts: list[float] = []
    at = frame.left
    for x, w in zip(xs, wide, strict=True):
        lefts.append(max(at, x - w / 2))
        at = lefts[-1] + w + 8
    limit = frame.right
    for n in range(len(lefts) - 1, -1, -1):
        lefts[n] = min(lefts[n], limit - wide[n])
        limit = lefts[n] - 8
    return lefts


def _key(sheet: Sheet, weights: set[str], voice: Voice) -> None:
    x = MARGIN
    for weight in ("done", "lives", "planned"):
        if weight not in weights:
            continue
        name = fonts.covered(words.weight_name(weight, voice))
        wide = 34 + fonts.width(name, SMALL) + 14
        if x > MARGIN and x + wide > WIDTH - MARGIN:
            x, sheet.y = MARGIN, sheet.y + 18
        lives = weight == "lives"
        colour = ACCENT if lives else INK if weight == "done" else STONE
        y = sheet.y + TEXT / 2
        sheet.path((x, y), (x + 28, y), colour=colour, width=STRONG if lives else FINE, what="key")
        shape = "ring" if weight == "planned" else "disc"
        sheet.mark(x + 14, y, shape, ACCENT if lives else INK, 9 if lives else 7, what="key")
        sheet.put(name, x + 34, sheet.y, SMALL, most=sheet.inner - 34, what="key")
        x += wide
    sheet.y += 20
