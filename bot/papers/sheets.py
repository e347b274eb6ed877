"""Sheets for the wall: the coming fortnight, a work session's sowings, the rota, the season."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any

from bot.papers import pdf
from bot.papers.codes import chat, code, link
from bot.papers.layout import MM, PLAIN, SMALL, TITLE, Column, Pages
from bot.papers.page import Page
from bot.pictures import fonts
from bot.pictures.model import Box, Drawing, Mark, Path, Piece, Text
from bot.pictures.style import INK, STONE, WARN
from bot.wording.replies import sheets as words
from bot.wording.voice import Voice
from core.group.calendar_dates import dates
from core.group.expected import Job, expected
from core.group.garden import Garden
from core.group.to_sow import ToSow, to_sow
from core.records.database import Database
from core.trade.label_grids import PAPER_MM, Paper

FORTNIGHT, ROTA_WEEKS = 14, 4
TICK = 9.0
JOBS = 10  # of one day in one block, so that a block fits a page
CODE = 20.0 * MM
EVENING_EDGE = 12.0 * MM


def content(
    database: Database,
    values: Mapping[str, Any],
    now: datetime,
    draw: Callable[[int], Drawing],
) -> bytes:
    """Return a sheet for `values` of core/replies/sheets.py as a PDF.

    `draw` makes the pages of the season's picture.
    Raises LookupError for a group that is none, NoPlan for a season without anything.
    Checked by: tests/pictures/test_sheets.py.
    """
    from bot.papers.read_group import read

    kind, size = str(values["kind"]), PAPER_MM[Paper(str(values["paper"]))]
    if kind == "season":
        return pdf.painted(season(draw, size), kind)
    with database.transaction() as session:
        garden, voice = read(session, values, now)
    made = {"week": week, "sowing": sowing, "rota": rota}[kind](garden, size, voice)
    return pdf.painted(made, garden.site.name)


def _head(pages: Pages, title: str, below: str, voice: Voice) -> None:
    """Write the title with a code to the chat beside it."""
    room = pages.inner
    if voice.bot_name:
        pages.pieces.append(
            code(chat(voice.bot_name), pages.wide - pages.edge - CODE, pages.edge - 6, CODE)
        )
        room -= CODE + 10
    for line in pdf.wrapped(title, TITLE, room, 2, bold=True):
        pages.put(line, pages.edge, pages.y, TITLE, most=room, bold=True, what="title")
        pages.y += TITLE * fonts.LINE
    pages.put(below, pages.edge, pages.y, PLAIN, most=room, what="below")
    pages.y += PLAIN * fonts.LINE + 4
    if voice.bot_name:
        pages.y = max(pages.y, pages.edge - 6 + CODE)
    pages.rule(6)


def week(garden: Garden, size_mm: tuple[float, float], voice: Voice) -> tuple[Page, ...]:
    """Return the coming fortnight: who, what, when, with a box for each piece of work."""
    first = voice.today
    work = _open_days(garden, expected(garden, dates(garden, first), first, FORTNIGHT))
    pages = Pages(size_mm, edge=EVENING_EDGE)
    last = first + timedelta(days=FORTNIGHT - 1)
    _head(pages, words.week_title(first, last, voice), garden.site.name, voice)
    for n in range(FORTNIGHT):
        day = first + timedelta(days=n)
        jobs = work.get(day, ())
        for start in range(0, max(1, len(jobs)), JOBS):
            _day(pages, garden, day, jobs[start : start + JOBS], voice)
    if pages.left > 60:
        pages.head(voice.say("Notes"), keep=24)
        pages.ruled()
    return pages.pages(
        garden.site.name, voice.say("{page} of {pages}", page="{page}", pages="{pages}")
    )


def _open_days(garden: Garden, work: Mapping[date, tuple[Job, ...]]) -> dict[date, tuple[Job, ...]]:
    """Return the work with that of closed days put off to the next day one can get in."""
    found: dict[date, list[Job]] = {}
    for day, jobs in work.items():
        at = day
        while garden.closed(at) and at - day < timedelta(days=FORTNIGHT):
            at += timedelta(days=1)
        there = found.setdefault(at, [])
        for job in jobs:
            same = next((one for one in there if one.kind == job.kind == "feel"), None)
            merged = job
            if same is not None:
                there.remove(same)
                both = {*same.trays, *job.trays}
                merged = replace(job, trays=tuple(code for code in garden.trays if code in both))
            if merged not in there:
                there.append(merged)
    return {day: tuple(jobs) for day, jobs in found.items()}


def _day(pages: Pages, garden: Garden, day: date, jobs: tuple[Job, ...], voice: Voice) -> None:
    """Write one day: its date, who comes, and the work with boxes to tick."""
    left, wide = pages.edge, pages.inner
    day_wide, who_wide = wide * 0.17, wide * 0.23
    shut = next((c for c in garden.closures if c.covers(day)), None)
    who = [voice.who(member) for member in garden.on_duty(day)] if shut is None else []
    names = voice.listed(who) if who else ("" if shut or not jobs else words.nobody(voice))
    name_rows = pdf.wrapped(names, PLAIN, who_wide - 8, 24)
    x = left + day_wide + who_wide
    room = wide - day_wide - who_wide - TICK - 7
    lines = [(words.job(job, voice), True) for job in jobs]
    if shut is not None:
        lines = [(words.closed(shut.label, voice), False), *lines]
    wrapped = [(pdf.wrapped(text, PLAIN, room, 4), box) for text, box in lines]
    step = PLAIN * fonts.LINE
    high = step * max(1, len(name_rows), sum(len(rows) for rows, _ in wrapped)) + 9
    high += 3 * max(0, len(wrapped) - 1)
    pages.room(high)
    top = pages.y
    colour = WARN if shut else INK
    pages.put(
        voice.day(day), left, top, PLAIN, most=day_wide - 6, bold=True, colour=colour, what="day"
    )
    for number, name in enumerate(name_rows):
        pages.put(name, left + day_wide, top + number * step, PLAIN, most=who_wide - 8, what="who")
    y = top
    for rows, box in wrapped:
        if box:
            pages.box(x, y + 3, TICK, TICK, edge=INK, line=0.9, what="tick")
        for row in rows:
            pages.put(row, x + TICK + 7, y, PLAIN, most=room, what="job")
            y += step
        y += 3
    pages.y = top + high - 4
    pages.rule(4)


def sowing(garden: Garden, size_mm: tuple[float, float], voice: Voice) -> tuple[Page, ...]:
    """Return the sheet of a work session: which packet, which tray, how deep, how many."""
    last = voice.today + timedelta(days=FORTNIGHT - 1)
    every = to_sow(garden, voice.today, last)
    pages = Pages(size_mm, edge=EVENING_EDGE)
    _head(pages, words.sowing_title(len(every), last, voice), garden.site.name, voice)
    widths = (0.27, 0.25, 0.25)
    x, columns = pages.edge + TICK + 8, []
    room = pages.inner - TICK - 8 - (CODE if voice.bot_name else 0)
    for share in widths:
        columns.append(Column(x=x, wide=room * share - 8))
        x += room * share
    columns.append(Column(x=x, wide=room * (1 - sum(widths)) - 6))
    pages.row(words.sowing_heads(voice), columns, SMALL, what="head")
    pages.y += 4
    for one in every:
        _packet(pages, one, columns, voice)
    while pages.left > 30:  # room for what is sown beside the plan
        pages.box(pages.edge, pages.y + 8, TICK, TICK, edge=INK, line=0.9, what="tick")
        pages.y += 26
        pages.path(
            (pages.edge + TICK + 8, pages.y), (pages.wide - pages.edge, pages.y), dash=(1, 2),
            what="write",
        )  # fmt: skip
    return pages.pages(
        garden.site.name, voice.say("{page} of {pages}", page="{page}", pages="{pages}")
    )


def _packet(pages: Pages, one: ToSow, columns: list[Column], voice: Voice) -> None:
    cells = [words.packet(one, voice), words.into(one, voice), words.how(one, voice), ""]
    rows = max(
        len(pdf.wrapped(text, PLAIN, column.wide, 12, bold=column is columns[0]))
        for text, column in zip(cells, columns, strict=True)
    )
    coded = bool(voice.bot_name and one.trays)
    high = max(rows * PLAIN * fonts.LINE + 16, CODE if coded else 0) + 6
    pages.room(high)
    top = pages.y
    pages.box(pages.edge, top + 3, TICK, TICK, edge=INK, line=0.9, what="tick")
    pages.put(
        voice.day(one.on), columns[0].x, top, SMALL, most=columns[0].wide, colour=INK, what="on"
    )
    pages.y = top + SMALL * fonts.LINE + 1
    below = pages.y
    pages.row(cells[:1], columns[:1], lines=12, bold=True, what="packet")
    pages.y = below
    pages.row(cells[1:], columns[1:], lines=12, what="packet")
    line = columns[3]
    pages.path((line.x, top + 26), (line.x + line.wide, top + 26), dash=(1, 2), what="write")
    if coded:
        pages.pieces.append(
            code(
                link(one.trays[0][0], voice.bot_name),
                pages.wide - pages.edge - CODE + 4,
                top - 2,
                CODE - 4,
            )
        )
    pages.y = top + high - 4
    pages.rule(4)


def rota(garden: Garden, size_mm: tuple[float, float], voice: Voice) -> tuple[Page, ...]:
    """Return who comes in the next four weeks, a week a row, on paper laid across."""
    pages = Pages((size_mm[1], size_mm[0]), edge=EVENING_EDGE)
    monday = voice.today - timedelta(days=voice.today.weekday())
    last = monday + timedelta(days=7 * ROTA_WEEKS - 1)
    _head(pages, words.rota_title(voice.today, last, voice), garden.site.name, voice)
    part = pages.inner / 7
    for weeks in range(ROTA_WEEKS):
        days = [monday + timedelta(days=7 * weeks + n) for n in range(7)]
        cells = [_on(garden, day, voice) for day in days]
        rows = [
            [row for name in names for row in pdf.wrapped(name, PLAIN, part - 8, 5)]
            for names in cells
        ]
        step = PLAIN * fonts.LINE
        least = (pages.high - pages.edge - 30 - pages.y) / (ROTA_WEEKS - weeks) - 8
        high = max(min(least, 130.0), step * (2 + max(len(r) for r in rows)))
        pages.room(high)
        top = pages.y
        for n, day in enumerate(days):
            x = pages.edge + n * part
            shut = garden.closed(day)
            pages.put(
                voice.day(day), x + 2, top, PLAIN, most=part - 6, bold=True,
                colour=WARN if shut else INK, what="day",
            )  # fmt: skip
            for row, text in enumerate(rows[n]):
                pages.put(text, x + 2, top + (row + 1) * step + 3, PLAIN, most=part - 6, what="who")
            if n:
                pages.path((x - 2, top), (x - 2, top + high - 4), colour=STONE, what="column")
        pages.y = top + high
        pages.rule(6)
    return pages.pages(
        garden.site.name, voice.say("{page} of {pages}", page="{page}", pages="{pages}")
    )


def _on(garden: Garden, day: date, voice: Voice) -> list[str]:
    shut = next((c for c in garden.closures if c.covers(day)), None)
    if shut is not None:
        return [words.closed(shut.label, voice)]
    if day < voice.today:
        return []
    return [voice.who(member) for member in garden.on_duty(day)]


def season(draw: Callable[[int], Drawing], size_mm: tuple[float, float]) -> tuple[Page, ...]:
    """Return the season's pictures as pages, each as large as the paper lets it be.

    Args:
        draw: makes the picture of a page's number, 1 the first; beyond the last, the last again.
    """
    drawn: list[Drawing] = []
    while True:
        one = draw(len(drawn) + 1)
        if drawn and one == drawn[-1]:
            return tuple(on_page(each, size_mm) for each in drawn)
        drawn.append(one)


def on_page(one: Drawing, size_mm: tuple[float, float]) -> Page:
    """Return a picture laid on a page, within its margins."""
    wide, high = size_mm[0] * MM, size_mm[1] * MM
    edge = EVENING_EDGE
    k = min((wide - 2 * edge) / one.width, (high - 2 * edge) / one.height)
    dx, dy = (wide - one.width * k) / 2, edge
    return Page(
        width=wide, height=high, pieces=tuple(_placed(piece, k, dx, dy) for piece in one.pieces)
    )


def _placed(piece: Piece, k: float, dx: float, dy: float) -> Piece:
    match piece:
        case Text():
            return replace(
                piece, x=piece.x * k + dx, y=piece.y * k + dy, w=piece.w * k, h=piece.h * k,
                size=piece.size * k,
            )  # fmt: skip
        case Box():
            return replace(
                piece, x=piece.x * k + dx, y=piece.y * k + dy, w=piece.w * k, h=piece.h * k
            )
        case Path():
            return replace(piece, points=tuple((x * k + dx, y * k + dy) for x, y in piece.points))
        case Mark():
            return replace(piece, x=piece.x * k + dx, y=piece.y * k + dy, size=piece.size * k)
        case _:
            return piece
