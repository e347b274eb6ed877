"""The season chart: every sowing by weeks, the last frost, and today."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from bot.pictures import fonts
from bot.pictures.chart import Frame, day_axis, today_line
from bot.pictures.model import Drawing
from bot.pictures.palette import CROPS, INK, PAPER, RULE, SHADE, SOFT, darker
from bot.pictures.sheet import MARGIN, SMALL, Sheet
from bot.wording.drawn import pictures as words
from bot.wording.voice import Voice
from core.group import outlook
from core.group.garden import Garden
from core.group.growing import follow
from core.replies.plans import SeasonLine, SeasonSaid
from core.trade.crops.table import crop_by_id

MOST_ROWS = 20
NAME = SMALL * fonts.LINE
BAR = 12.0
ROW = NAME + BAR + 7
PHASES: dict[str, tuple[str, str | None]] = {
    "sown": (CROPS[2], "dots"),
    "grow": (CROPS[0], None),
    "potted": (CROPS[6], "cross"),
    "harden": (CROPS[1], "rows"),
}
"""Fill and pattern of each phase, as the tray map has them."""

NEAR = timedelta(days=45)


def drawing(garden: Garden, said: SeasonSaid, voice: Voice) -> Drawing:
    """Return the chart of what grows and what is still to be sown."""
    lines = said.lines[: MOST_ROWS - min(len(said.direct), 4)]
    direct = said.direct[: MOST_ROWS - len(lines)]
    more = len(said.lines) + len(said.direct) - len(lines) - len(direct)
    band = frost_band(garden, [line.sow_on for line in lines] + [d.sow_on for d in direct])
    title = voice.say("The season")
    sheet = Sheet()
    sheet.heading(title, words.season_below(band, voice), voice.day(voice.today))
    phases = [phases_of(garden, line, voice.today) for line in lines]
    ends = [day for spans in phases for _, start, end in spans for day in (start, end)]
    ends += [line.plant_out for line in lines if line.plant_out]
    ends += [day for d in direct for day in (d.sow_on, d.latest)]
    ends += list(band or ())
    first, last = min(ends), max(ends)
    if first - NEAR <= voice.today <= last + NEAR:
        first, last = min(first, voice.today), max(last, voice.today)
    frame = Frame(
        left=MARGIN, top=sheet.y + NAME + 2, wide=sheet.inner,
        high=ROW * (len(lines) + len(direct)) + 4,
        first=first - timedelta(days=first.weekday()), last=last + timedelta(days=3),
    )  # fmt: skip
    if band:
        left, right = frame.x(band[0]), frame.x(band[1])
        sheet.box(
            left, frame.top, max(2, right - left), frame.high, fill=SHADE, pattern="slant",
            ink="#cfcfdc", what="frost band",
        )  # fmt: skip
    bottom = day_axis(sheet, frame, voice)
    today_line(sheet, frame, voice, sheet.y, frame.bottom)
    y = frame.top + 4
    for line, spans in zip(lines, phases, strict=True):
        _row(sheet, frame, line, spans, y, voice)
        y += ROW
    for each in direct:
        name = words.direct_name(each.crop, each.variety, voice)
        _name(sheet, frame, name, frame.x(each.sow_on), y)
        a, b = frame.x(each.sow_on), frame.x(each.latest)
        sheet.path(
            (a, y + NAME + BAR / 2), (b, y + NAME + BAR / 2), colour=INK, dash=(2, 2), what="direct"
        )
        sheet.mark(a, y + NAME + BAR / 2, "disc", INK, what="direct sow")
        y += ROW
    sheet.y = bottom + 8
    if more > 0:
        sheet.lines(voice.say_n("and {n} more", "and {n} more", more), colour=SOFT)
    _key(sheet, band is not None, bool(direct), voice)
    return sheet.done(title, words.season_caption(said, band, voice))


def frost_band(garden: Garden, sown: Sequence[date]) -> tuple[date, date] | None:
    """Return the dates between which the last frost falls in 8 of 10 springs; None unknown."""
    frost = outlook.frost_of(garden)
    if frost is None or not sown:
        return None
    year = outlook.season_year(frost, max(sown))
    early, late = frost.date_at(0.9, year), frost.date_at(0.1, year)
    return (early, late) if early and late else None


def phases_of(garden: Garden, line: SeasonLine, today: date) -> list[tuple[str, date, date]]:
    """Return (phase, from, to) of one sowing in order; each starts where the last ended."""
    up = _up_on(garden, line, today)
    end = line.plant_out or (line.harden_from or up or line.sow_on) + timedelta(days=28)
    marks: list[tuple[str, date]] = [("sown", line.sow_on)]
    if up is not None:
        marks.append(("grow", up))
    if line.pot_on is not None:
        marks.append(("potted", line.pot_on))
    if line.harden_from is not None:
        marks.append(("harden", line.harden_from))
    marks.sort(key=lambda mark: mark[1])
    spans = []
    for (phase, start), (_, stop) in zip(marks, [*marks[1:], ("", end)], strict=True):
        start, stop = max(start, line.sow_on), min(stop, end)
        if stop > start:
            spans.append((phase, start, stop))
    return spans or [("sown", line.sow_on, line.sow_on + timedelta(days=7))]


def _up_on(garden: Garden, line: SeasonLine, today: date) -> date | None:
    sowing = next((s for s in garden.sowings if s.code == line.sowing), None)
    if sowing is not None:
        return follow(sowing).first_up_on or outlook.emergence(garden, sowing, today).p50_on
    days = outlook.catalogue_of(crop_by_id(line.crop))
    return None if days is None else line.sow_on + timedelta(days=round((days.low + days.high) / 2))


def _row(
    sheet: Sheet,
    frame: Frame,
    line: SeasonLine,
    spans: Sequence[tuple[str, date, date]],
    y: float,
    voice: Voice,
) -> None:
    _name(sheet, frame, words.season_name(line, voice), frame.x(line.sow_on), y)
    for phase, start, stop in spans:
        fill, pattern = PHASES[phase]
        a, b = frame.x(start), frame.x(stop)
        sheet.box(
            a, y + NAME + 1, max(2.0, b - a), BAR, fill=fill, edge=INK, pattern=pattern,
            ink=darker(fill), what=f"phase {phase} {line.sowing or line.crop}",
        )  # fmt: skip
    if line.plant_out is not None:
        sheet.mark(
            frame.x(line.plant_out), y + NAME + 1 + BAR / 2, "triangle", INK, 10, what="plant out"
        )


def _name(sheet: Sheet, frame: Frame, name: str, x: float, y: float) -> None:
    """Write a row's name over its bar: from the bar's start, or ending at the right edge."""
    wide = min(fonts.width(fonts.covered(name), SMALL, True), frame.wide)
    left = max(frame.left, min(x, frame.right - wide))
    sheet.put(
        name, left, y, SMALL, most=frame.right - left + 1, bold=True, plate=PAPER, what="name"
    )


def _key(sheet: Sheet, frost: bool, direct: bool, voice: Voice) -> None:
    """Draw what bars and signs mean, as many beside each other as fit."""
    entries: list[tuple[str, str]] = [
        (phase, words.phase_name(phase, voice)) for phase in PHASES
    ] + [("plant", voice.say("plant out"))]
    if frost:
        entries.append(("frost", voice.say("last frost, 8 springs in 10")))
    if direct:
        entries.append(("direct", voice.say("sow outdoors")))
    x = MARGIN
    for kind, label in entries:
        shown = fonts.cut(label, SMALL, sheet.inner - 24)
        wide = 24 + fonts.width(shown, SMALL) + 12
        if x > MARGIN and x + wide > MARGIN + sheet.inner + 12:
            x, sheet.y = MARGIN, sheet.y + 18
        y = sheet.y
        if kind in PHASES:
            fill, pattern = PHASES[kind]
            sheet.box(
                x, y, 18, 12, fill=fill, edge=INK, pattern=pattern, ink=darker(fill), what="key"
            )
        elif kind == "frost":
            sheet.box(
                x, y, 18, 12, fill=SHADE, edge=RULE, pattern="slant", ink="#cfcfdc", what="key"
            )
        else:
            shape = "triangle" if kind == "plant" else "disc"
            sheet.mark(x + 9, y + 6, shape, INK, 9 if kind == "plant" else 7, what="key")
        sheet.put(shown, x + 24, y - 0.5, SMALL, most=sheet.inner, what="key")
        x += wide
    sheet.y += 20
