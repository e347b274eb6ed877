"""The season on paper, for the school or the committee: as many pages as it takes, all full.

Members are named under thanks alone, and only those who agreed to it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from bot.papers import pdf
from bot.papers.layout import PLAIN, SMALL, TITLE, Column, Pages
from bot.papers.page import Page
from bot.pictures import fonts
from bot.pictures.style import ACCENT, FINE, INK, PLAIN_LINE, STONE, STRONG, WARN
from bot.wording.drawn import report as words
from bot.wording.pieces.loss_causes import cause_said
from bot.wording.replies import results as said
from bot.wording.voice import Voice
from core.group.garden import Garden, SowingOf
from core.group.paper import paper_mm
from core.records import snapshot
from core.records.database import Database
from core.results.course import Course, courses, whole_course
from core.results.season_results import (
    SEASON,
    LotResult,
    SeasonResults,
    Tally,
    season_results,
)

RANGE_WIDE = 130.0
COUNT_WIDE = 78.0
FLOW_HIGH = 46.0
COUNTS = ("seeds", "up", "potted", "planted", "given", "homes", "lost", "left")


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What the report is made of; `before` and `share_before` are of the year before."""

    found: SeasonResults
    whole: Course | None
    crops: tuple[Course, ...]
    before: Course | None
    share_before: Tally | None


def content(database: Database, values: Mapping[str, Any], now: datetime) -> bytes:
    """Return the pages for `values` of `group_id` as a PDF; LookupError for no such group.

    Checked by: tests/pictures/test_report.py.
    """
    from bot.papers.read_group import read

    with database.transaction() as session:
        garden, voice = read(session, values, now)
        every = snapshot.all_sowings(session, garden.site.group_id)
    return page(garden, told(garden, every, voice), voice)


def told(garden: Garden, every: Sequence[SowingOf], voice: Voice) -> Told:
    """Return the figures of the year up to today and of the year before."""
    today, before = voice.today, voice.today - SEASON
    return Told(
        found=season_results(garden, every, today),
        whole=whole_course(every, today),
        crops=courses(every, today),
        before=whole_course(every, before),
        share_before=season_results(
            garden, [s for s in every if s.sown_on <= before], before
        ).total,
    )


def page(garden: Garden, of: Told, voice: Voice) -> bytes:
    """Return the pages of a season's results."""
    return pdf.painted(laid_out(garden, of, voice), words.title(garden.site.name, voice))


def laid_out(garden: Garden, of: Told, voice: Voice) -> tuple[Page, ...]:
    """Return the pages before they are painted."""
    pages = Pages(paper_mm(garden.site))
    found = of.found
    pages.line(words.sentence(of.whole, voice), TITLE, bold=True, most_lines=4, gap=0, what="title")
    pages.y += 3
    pages.line(words.below(garden.site.name, found, len(garden.members), voice), PLAIN)
    if garden.site.demo:
        pages.line(voice.say("Invented data of a demonstration."), PLAIN, bold=True)
    pages.rule()
    if of.whole is not None:
        _flow(pages, of.whole, voice)
        _crops(pages, of, voice)
        _worked(pages, of, voice)
        _speeds(pages, found, voice)
        _losses(pages, found, voice)
        _thanks(pages, garden, voice)
    if found.total is not None:
        pages.y += 4
        pages.line(words.basis(found, voice), SMALL)
    if pages.left > 60:
        pages.head(voice.say("What we want to remember"), keep=24)
        pages.ruled()
    return pages.pages(words.title(garden.site.name, voice), words.page_of(voice))


def _flow(pages: Pages, whole: Course, voice: Voice) -> None:
    """Draw the way from seed to garden as a stem that narrows where seedlings were left behind."""
    steps = words.steps(whole, voice)
    most = max(1, *(count for count, _ in steps))
    part = pages.inner / len(steps)
    middle = pages.y + FLOW_HIGH / 2 + 4
    upper: list[tuple[float, float]] = []
    lower: list[tuple[float, float]] = []
    for number, (count, _) in enumerate(steps):
        half = max(0.6, FLOW_HIGH / 2 * count / most)
        x0 = pages.edge + number * part
        for x in (x0, x0 + part * 0.62):
            upper.append((x, middle - half))
            lower.append((x, middle + half))
    pages.path(*upper, colour=ACCENT, width=STRONG, what="flow")
    pages.path(*lower, colour=ACCENT, width=STRONG, what="flow")
    top = middle + FLOW_HIGH / 2 + 8
    lines = 1
    for number, (count, name) in enumerate(steps):
        x = pages.edge + number * part
        pages.put(
            voice.number(count, 0), x, top, PLAIN, most=part - 8, bold=True, what="flow count"
        )
        under = pdf.wrapped(name, SMALL, part - 8, 2)
        lines = max(lines, len(under))
        for row, text in enumerate(under):
            pages.put(
                text, x, top + PLAIN * fonts.LINE + row * SMALL * fonts.LINE, SMALL,
                most=part - 8, what="flow name",
            )  # fmt: skip
    pages.y = top + PLAIN * fonts.LINE + lines * SMALL * fonts.LINE + 4


def _crops(pages: Pages, of: Told, voice: Voice) -> None:
    """Write the counts crop by crop, then of all, then of the year before."""
    pages.head(voice.say("Crop by crop"))
    name_wide = pages.inner * 0.22
    part = (pages.inner - name_wide) / len(COUNTS)
    columns = [Column(x=pages.edge, wide=name_wide - 6)]
    for number in range(len(COUNTS)):
        x = pages.edge + name_wide + number * part
        columns.append(Column(x=x, wide=part - 5, align="right"))

    def heads() -> None:
        pages.row(["", *words.count_heads(voice)], columns, SMALL, lines=2, what="count head")

    heads()
    assert of.whole is not None
    for course in of.crops:
        if pages.room(PLAIN * fonts.LINE * 2):
            heads()
        pages.row([voice.crop(course.crop or ""), *_counts(course, voice)], columns)
    pages.rule(3)
    pages.row([voice.say("All"), *_counts(of.whole, voice)], columns, bold=True)
    if of.before is not None:
        pages.row([voice.say("The year before"), *_counts(of.before, voice)], columns)


def _counts(course: Course, voice: Voice) -> list[str]:
    """Return the counts of a course; nothing where there is none."""
    found = [int(getattr(course, name)) for name in COUNTS]
    return [voice.number(count, 0) if count else "–" for count in found]


def _worked(pages: Pages, of: Told, voice: Voice) -> None:
    """Write what came up: this year and before, by variety, lot, place and method."""
    found = of.found
    if found.total is None:
        pages.line(words.left_out(found, voice), SMALL)
        return
    pages.head(voice.say("What came up"), keep=70)
    pages.line(words.range_key(found, voice), SMALL)
    _range_head(pages, voice)
    _range(pages, voice.say("All together"), found.total, voice, bold=True)
    if of.share_before is not None:
        _range(pages, voice.say("The year before"), of.share_before, voice)
    pages.line(words.left_out(found, voice), SMALL)
    for head, rows in (
        (voice.say("By variety"), [(words.place_name(r, voice), r.tally) for r in found.varieties]),
        (voice.say("By place"), [(words.place_name(r, voice), r.tally) for r in found.places]),
        (voice.say("By method"), [(words.place_name(r, voice), r.tally) for r in found.methods]),
    ):
        if rows:
            _under_head(pages, head, voice)
            for name, tally in rows:
                _range(pages, name, tally, voice)
    _under_head(pages, voice.say("By lot of seed"), voice)
    for lot in found.lots:
        _lot(pages, lot, voice)


def _under_head(pages: Pages, text: str, voice: Voice) -> None:
    step = PLAIN * fonts.LINE
    pages.room(4 * step)
    pages.y += 5
    pages.put(text, pages.edge, pages.y, PLAIN, most=pages.inner / 2, bold=True, what="under head")
    _range_head(pages, voice)


def _range_head(pages: Pages, voice: Voice) -> None:
    """Write 0, 50 and 100 % over the column of ranges."""
    left = pages.wide - pages.edge - RANGE_WIDE
    for share, align in ((0.0, "left"), (0.5, "middle"), (1.0, "right")):
        pages.put(
            voice.percent(share), left + share * RANGE_WIDE, pages.y, SMALL, most=40, align=align,
            what="scale",
        )  # fmt: skip
    pages.y += PLAIN * fonts.LINE + 1


def _range(
    pages: Pages, name: str, tally: Tally, voice: Voice, *, bold: bool = False,
    least: float | None = None, below: bool = False,
) -> None:  # fmt: skip
    """Write one count with the range in which the true share likely lies, drawn small."""
    left = pages.wide - pages.edge - RANGE_WIDE
    count = Column(x=left - COUNT_WIDE - 14, wide=COUNT_WIDE, align="right")
    columns = [Column(x=pages.edge, wide=count.x - pages.edge - 8), count]
    top = pages.row(
        [name, words.of_seeds(tally, voice)], columns, bold=bold, lines=2, what="range row"
    )
    y = top + PLAIN * fonts.LINE / 2
    pages.path((left, y), (left + RANGE_WIDE, y), colour=STONE, width=FINE, what="range scale")
    low, high = tally.interval.low, tally.interval.high
    pages.path(
        (left + low * RANGE_WIDE, y), (left + high * RANGE_WIDE, y), colour=ACCENT,
        width=STRONG, what=f"range {low:.3f} {high:.3f}",
    )  # fmt: skip
    ink = WARN if below else INK
    pages.mark(left + tally.share * RANGE_WIDE, y, "disc", ink, 6.5, what="share")
    if least is not None:
        x = left + least * RANGE_WIDE
        pages.path((x, y - 5), (x, y + 5), colour=INK, width=PLAIN_LINE, what="least")


def _lot(pages: Pages, lot: LotResult, voice: Voice) -> None:
    _range(
        pages, words.lot_name(lot, voice), lot.tally, voice, least=lot.least,
        below=lot.verdict == "below",
    )  # fmt: skip
    verdict = said.verdict(lot, voice) if lot.verdict in ("below", "above") else ""
    if verdict:
        pages.line(verdict, SMALL, gap=3)


def _speeds(pages: Pages, found: SeasonResults, voice: Voice) -> None:
    if not found.speeds:
        return
    pages.head(voice.say("Days to come up"))
    half = pages.inner * 0.4
    columns = [
        Column(x=pages.edge, wide=half - 8),
        Column(x=pages.edge + half, wide=pages.inner - half),
    ]
    for speed in found.speeds:
        pages.row([voice.crop(speed.crop), words.speed(speed, voice)], columns, lines=2)


def _losses(pages: Pages, found: SeasonResults, voice: Voice) -> None:
    """Write the causes of losses, each with a stroke as long as it took plants."""
    if not found.losses:
        return
    pages.head(voice.say("What we lost, and why"))
    half = pages.inner * 0.36
    left = pages.wide - pages.edge - RANGE_WIDE
    columns = [
        Column(x=pages.edge, wide=half - 8),
        Column(x=pages.edge + half, wide=left - pages.edge - half - 12),
    ]
    most = max(1, *(loss.plants for loss in found.losses))
    for loss in found.losses:
        cause = cause_said(loss.cause, voice) if loss.cause else voice.say("cause unknown")
        top = pages.row(
            [cause[:1].upper() + cause[1:], words.loss(loss.plants, loss.sowings, voice)],
            columns, lines=2, what="loss",
        )  # fmt: skip
        if loss.plants:
            y = top + PLAIN * fonts.LINE / 2
            pages.path(
                (left, y), (left + RANGE_WIDE * loss.plants / most, y), colour=WARN,
                width=STRONG, what="loss stroke",
            )  # fmt: skip


def _thanks(pages: Pages, garden: Garden, voice: Voice) -> None:
    named = sorted(member.name for member in garden.members.values() if member.thanks)
    text = words.thanks(named, len(garden.members) - len(named), voice)
    if text:
        pages.head(voice.say("Thanks"))
        pages.line(text, PLAIN, most_lines=12)
