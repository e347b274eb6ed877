"""The emergence curve: seedlings up at each look, against the days expected at sowing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

from bot.pictures import fonts
from bot.pictures.chart import Frame, day_axis, nice_step, today_line, value_axis
from bot.pictures.model import WIDTH, Drawing
from bot.pictures.sheet import Sheet
from bot.pictures.style import (
    ACCENT,
    FINE,
    INK,
    MARGIN,
    MARKS,
    MOSS,
    PLAIN_LINE,
    SMALL,
    STONE,
    STRONG,
)
from bot.wording.drawn import pictures as words
from bot.wording.pieces.windows import window_lines
from bot.wording.voice import Voice
from core.group import outlook
from core.group.garden import Garden, SowingOf
from core.group.growing import follow
from core.group.sowing_counts import counts_of
from core.replies.reports import WindowSaid
from core.shown.windows import said_window

HIGH = 180.0
MOST = 6
BAR = 7.0
GAP_DAYS = 4
"""Looks further apart are not joined: nobody knows what happened between; common practice."""


def drawing(
    garden: Garden, every: Sequence[SowingOf], codes: Sequence[str], voice: Voice
) -> Drawing:
    """Return the curves of some sowings; raise SowingUnknown when none of them is there."""
    found = [s for s in every if s.code in codes][:MOST]
    if not found:
        from core.errors import SowingUnknown

        raise SowingUnknown(sowing=codes[0] if codes else "", known=tuple(s.code for s in every))
    courses = [course(s) for s in found]
    windows = [expected_at_sowing(garden, s) for s in found]
    one = found[0] if len(found) == 1 else None
    sentence = words.curve_sentence(found, courses, voice)
    sheet = Sheet()
    sheet.heading(sentence, words.curve_below(one, voice), voice.day(voice.today))
    frame = _frame(sheet, found, courses, windows, voice)
    _axes(sheet, frame, one, voice)
    today_line(sheet, frame, voice, frame.top - 22, frame.bottom)
    for number, points in enumerate(courses):
        _looks(sheet, frame, points, found[number].seeds, number)
    sheet.y = day_axis(sheet, frame, voice) + 4
    _windows(sheet, frame, windows, one is None, voice)
    said = []
    for number, sowing in enumerate(found):
        name = words.curve_name(sowing, voice)
        facts = words.curve_facts(sowing, courses[number], voice)
        lines = window_lines(voice, windows[number]) if not courses[number][-1][1] else []
        if one is None:
            sheet.mark(MARGIN + 6, sheet.y + 8, MARKS[number % 6], ACCENT, what="key")
        x = MARGIN + (0 if one else 20)
        sheet.lines(name, x=x, bold=True, what="legend")
        sheet.lines(" ".join([facts, *lines]), x=x, size=SMALL, most_lines=4, what="legend")
        sheet.y += 3
        said.append(f"{name}: {facts} {words.window_short(windows[number], voice)}".strip())
    return sheet.done(sentence, "\n".join([sentence, *said]))


def expected_at_sowing(garden: Garden, sowing: SowingOf) -> WindowSaid:
    """Return the window as it stood on the day of sowing, without what this sowing taught."""
    own = outlook.speed_of(garden, sowing, follow(sowing))
    speeds = dict(garden.speeds)
    learned = list(speeds.get(sowing.crop, ()))
    if own is not None and own in learned:
        learned.remove(own)
        speeds[sowing.crop] = tuple(learned)
    then = replace(garden, speeds=speeds)
    return said_window(then, replace(sowing, happenings=()), sowing.sown_on)


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
    right = 46.0 if len(sowings) == 1 else MARGIN + 6
    left = 46.0
    top = sheet.y + SMALL * fonts.LINE + 4 + 20
    return Frame(
        left=left, top=top, wide=WIDTH - left - right, high=HIGH, first=first,
        last=max(*ends, first + timedelta(days=7)) + timedelta(days=1), most=1.0,
    )  # fmt: skip


def _axes(sheet: Sheet, frame: Frame, one: SowingOf | None, voice: Voice) -> None:
    half = sheet.inner / 2 - 6
    sheet.put(voice.say("% of the seeds"), MARGIN, sheet.y, SMALL, most=half, what="axis")
    for x in (frame.left, *([frame.right] if one else [])):
        sheet.path((x, frame.top), (x, frame.bottom), colour=STONE, width=FINE, what="axis")
    sheet.path(
        (frame.left, frame.bottom), (frame.right, frame.bottom), colour=STONE, width=FINE,
        what="axis",
    )  # fmt: skip
    value_axis(sheet, frame, {n / 4: f"{n * 25}" for n in range(5)})
    if one is None:
        return
    sheet.put(
        voice.say("seedlings"), WIDTH - MARGIN, sheet.y, SMALL, most=half, align="right",
        what="axis",
    )  # fmt: skip
    step = max(1, round(nice_step(one.seeds)))
    counts = list(range(0, one.seeds + 1, step))
    if one.seeds - counts[-1] > step * 0.6:
        counts.append(one.seeds)
    labels = {n / one.seeds: voice.number(n, 0) for n in counts}
    value_axis(sheet, frame, labels, right=True)


def _looks(
    sheet: Sheet, frame: Frame, points: Sequence[tuple[date, int]], seeds: int, number: int
) -> None:
    """Draw the looks; join two only when they lie close enough to know what was between."""
    placed = [(day, up, frame.x(day), frame.y(up / seeds)) for day, up in points]
    for (day0, _, x0, y0), (day1, _, x1, y1) in pairwise(placed[1:]):
        if (day1 - day0).days <= GAP_DAYS:
            sheet.path((x0, y0), (x1, y1), colour=ACCENT, width=STRONG, what=f"curve {number}")
    for day, up, x, y in placed[1:]:
        sheet.mark(
            x, y, MARKS[number % len(MARKS)], ACCENT, 8,
            what=f"look {number} {day.isoformat()} {up}",
        )  # fmt: skip


def _windows(
    sheet: Sheet, frame: Frame, windows: Sequence[WindowSaid], several: bool, voice: Voice
) -> None:
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
        sheet.box(left, y, right - left, BAR, fill=MOSS, what=f"window {number}")
        if window.p50 is not None:
            x = frame.x(window.p50)
            sheet.path(
                (x, y - 2), (x, y + BAR + 2), colour=INK, width=PLAIN_LINE, what=f"median {number}"
            )
        if several:
            sheet.mark(frame.left - 14, y + BAR / 2, MARKS[number % 6], ACCENT, what="key")
        sheet.y += BAR + 6
    note = voice.say("Bar: the days expected at sowing, 8 in 10 of those that come; line: half.")
    sheet.lines(note, size=SMALL, most_lines=2, what="note")
    sheet.lines(
        voice.say("Looks more than {n} days apart are not joined.", n=GAP_DAYS), size=SMALL,
        most_lines=2, what="note",
    )  # fmt: skip
    sheet.y += 5
