"""The emergence curve: seedlings up at each look, and the window in which they were expected."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from bot.pictures import fonts
from bot.pictures.chart import Frame, day_axis, nice_step, today_line, value_axis
from bot.pictures.model import WIDTH, Drawing
from bot.pictures.palette import DASHES, INK, LINES, MARKS, RULE, SHADE, SOFT
from bot.pictures.sheet import MARGIN, SMALL, Sheet
from bot.wording.drawn import pictures as words
from bot.wording.pieces.windows import window_lines
from bot.wording.voice import Voice
from core.group.garden import Garden, SowingOf
from core.group.growing import follow
from core.group.sowing_counts import counts_of
from core.replies.reports import WindowSaid
from core.shown.windows import said_window

HIGH = 190.0
MOST = 6
BAR = 9.0


def drawing(
    garden: Garden, every: Sequence[SowingOf], codes: Sequence[str], voice: Voice
) -> Drawing:
    """Return the curves of some sowings; raise SowingUnknown when none of them is there."""
    found = [s for s in every if s.code in codes][:MOST]
    if not found:
        from core.errors import SowingUnknown

        raise SowingUnknown(sowing=codes[0] if codes else "", known=tuple(s.code for s in every))
    courses = [course(s) for s in found]
    windows = [said_window(garden, s, voice.today) for s in found]
    one = found[0] if len(found) == 1 else None
    title = words.curve_title(one, voice)
    sheet = Sheet()
    sheet.heading(title, words.curve_below(one, voice), voice.day(voice.today))
    frame = _frame(sheet, found, courses, windows, voice)
    _axes(sheet, frame, one, voice)
    if one:
        _band(sheet, frame, windows[0])
    today_line(sheet, frame, voice, frame.top - 20, frame.bottom)
    for number, points in enumerate(courses):
        _steps(sheet, frame, points, found[number].seeds, number)
    sheet.y = day_axis(sheet, frame, voice) + 4
    _windows(sheet, frame, windows, voice)
    said = []
    for number, sowing in enumerate(found):
        name, facts = (
            words.curve_name(sowing, voice),
            words.curve_facts(sowing, courses[number], voice),
        )
        lines = window_lines(voice, windows[number]) if not courses[number][-1][1] else []
        y = sheet.y + 7
        colour = LINES[number % len(LINES)]
        sheet.path(
            (MARGIN, y),
            (MARGIN + 24, y),
            colour=colour,
            width=2.2,
            dash=DASHES[number % 6],
            what="key",
        )
        sheet.mark(MARGIN + 12, y, MARKS[number % 6], colour, what="key")
        sheet.lines(name, x=MARGIN + 32, bold=True, what="legend")
        sheet.lines(
            " ".join([facts, *lines]), x=MARGIN + 32, size=11.5, most_lines=4, what="legend"
        )
        sheet.y += 3
        said.append(f"{name}: {facts} {words.window_short(windows[number], voice)}".strip())
    return sheet.done(title, words.curve_caption(said, voice))


def course(sowing: SowingOf) -> list[tuple[date, int]]:
    """Return (date, seedlings up) from the sowing on, one point a look."""
    counts = counts_of(sowing)
    points = [(sowing.sown_on, 0)]
    if counts is not None:
        points += [
            (sowing.sown_on + timedelta(days=int(day)), int(total))
            for day, total in zip(counts.days, counts.total, strict=True)
        ]
    return points


def _frame(
    sheet: Sheet,
    sowings: Sequence[SowingOf],
    courses: Sequence[Sequence[tuple[date, int]]],
    windows: Sequence[WindowSaid],
    voice: Voice,
) -> Frame:
    ends = [points[-1][0] for points in courses]
    ends += [w.p90 or w.p50 or w.p10 or date.min for w in windows]
    if any(follow(s).stage.value in ("sown", "up") and s.closed_on is None for s in sowings):
        ends.append(voice.today)
    first = min(s.sown_on for s in sowings)
    right = 44.0 if len(sowings) == 1 else MARGIN + 6
    left = 46.0
    top = sheet.y + SMALL * fonts.LINE + 4 + 18
    return Frame(
        left=left, top=top, wide=WIDTH - left - right, high=HIGH, first=first,
        last=max(*ends, first + timedelta(days=7)) + timedelta(days=1), most=1.0,
    )  # fmt: skip


def _axes(sheet: Sheet, frame: Frame, one: SowingOf | None, voice: Voice) -> None:
    half = sheet.inner / 2 - 6
    sheet.put(
        voice.say("% of the seeds"), MARGIN, sheet.y, SMALL, most=half, colour=SOFT, what="axis"
    )
    value_axis(sheet, frame, {n / 4: f"{n * 25}" for n in range(5)})
    if one is None:
        return
    sheet.put(
        voice.say("seedlings"), WIDTH - MARGIN, sheet.y, SMALL, most=half, align="right",
        colour=SOFT, what="axis",
    )  # fmt: skip
    step = max(1, round(nice_step(one.seeds)))
    counts = list(range(0, one.seeds + 1, step))
    if one.seeds - counts[-1] > step * 0.6:
        counts.append(one.seeds)
    labels = {n / one.seeds: voice.number(n, 0) for n in counts}
    value_axis(sheet, frame, labels, right=True)


def _band(sheet: Sheet, frame: Frame, window: WindowSaid) -> None:
    """Shade the window behind the curve of a single sowing."""
    if window.p10 is None or window.p90 is None:
        return
    left, right = frame.x(window.p10), frame.x(window.p90)
    sheet.box(left, frame.top, right - left, frame.high, fill=SHADE, what="window band")
    if window.p50 is not None:
        x = frame.x(window.p50)
        sheet.path(
            (x, frame.top), (x, frame.bottom), colour=SOFT, dash=(2, 2), what="window middle"
        )


def _steps(
    sheet: Sheet, frame: Frame, points: Sequence[tuple[date, int]], seeds: int, number: int
) -> None:
    colour, dash = LINES[number % len(LINES)], DASHES[number % len(DASHES)]
    line: list[tuple[float, float]] = []
    for day, up in points:
        x, y = frame.x(day), frame.y(up / seeds)
        if line and line[-1][1] != y:
            line.append((x, line[-1][1]))
        line.append((x, y))
    if len(line) > 1:
        sheet.path(*line, colour=colour, width=2.2, dash=dash, what=f"curve {number}")
    for day, up in points[1:]:
        sheet.mark(
            frame.x(day), frame.y(up / seeds), MARKS[number % len(MARKS)], colour,
            what=f"look {number} {day.isoformat()} {up}",
        )  # fmt: skip


def _windows(sheet: Sheet, frame: Frame, windows: Sequence[WindowSaid], voice: Voice) -> None:
    """Draw each window as a bar from 10 to 90 % with its middle, under the days."""
    known = [(n, w) for n, w in enumerate(windows) if w.p10 is not None and w.p90 is not None]
    if not known:
        sheet.y += 4
        return
    for number, window in known:
        assert window.p10 is not None
        assert window.p90 is not None
        left, right = frame.x(window.p10), max(frame.x(window.p90), frame.x(window.p10) + 3)
        y = sheet.y
        sheet.path((frame.left, y + BAR / 2), (frame.right, y + BAR / 2), colour=RULE, what="rule")
        sheet.box(
            left, y, right - left, BAR, fill=SHADE, edge=INK, pattern="slant", ink=SOFT,
            what=f"window {number}",
        )  # fmt: skip
        if window.p50 is not None:
            x = frame.x(window.p50)
            sheet.path((x, y - 2), (x, y + BAR + 2), colour=INK, width=2, what=f"median {number}")
        sheet.mark(frame.left - 14, y + BAR / 2, MARKS[number % 6], LINES[number % 6], what="key")
        sheet.y += BAR + 5
    sheet.lines(
        voice.say("Hatched: when 10 to 90% of those that come should be up; bar: half."),
        size=SMALL, most_lines=2, colour=SOFT, what="note",
    )  # fmt: skip
    sheet.y += 5
