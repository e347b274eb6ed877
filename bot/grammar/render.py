"""Requests as canonical command text: it parses back to the same request, so buttons carry it.

The text begins with a slash, dates are ISO, temperatures Celsius and lengths millimetres, and
names stand in quotes. Files a request came with are not part of it.
"""

from __future__ import annotations

import re
from datetime import date

from bot.grammar.leading import render_step
from bot.grammar.render_parts import (
    day,
    degrees,
    number,
    places,
    quoted,
    report_tail,
    words,
)
from bot.grammar.render_set_up import render_set_up
from core import requests as asked
from core.requests import Request

WHATEVER = "whatever is due"


def render(request: Request) -> str:
    """Return the command text of a request; `parse` reads it back to an equal request.

    Raises ValueError for a type of request that has no words.
    Checked by: tests/grammar/test_render.py.
    """
    text = render_set_up(request)
    if text is None:
        text = _report(request) if isinstance(request, asked.Report) else _other(request)
        if isinstance(request, asked.Report) and " " not in text.strip():
            text = f"{text} {WHATEVER}"  # the word alone would be asked about
    return " ".join(text.split())


def _report(request: asked.Report) -> str:
    where = places(request.where)
    tail = report_tail(request)
    match request:
        case asked.Sow():
            return words(
                "/sow",
                f"{request.cell_count} cells" if request.cell_count else "",
                f"{request.seeds_per_cell} per cell" if request.seeds_per_cell else "",
                request.crop,
                f"variety {quoted(request.variety)}" if request.variety else "",
                request.lot,
                where,
                f"{number(request.depth_mm)} mm deep" if request.depth_mm is not None else "",
                "again" if request.again else "",
                tail,
            )
        case asked.Up():
            count = "all up" if request.all_up else str(request.count)
            return words("/up", count, "more" if request.more else "", where, tail)
        case asked.Watered():
            return words(
                "/watered",
                "from below" if request.from_below else "",
                f"round {day(request.for_round)}" if request.for_round else "",
                where,
                tail,
            )
        case asked.Moist():
            return words("/moist", str(request.level), where, tail)
        case asked.Temp():
            return words("/temp", request.kind, degrees(request.temp_c), where, tail)
        case asked.Light():
            return words(
                "/light",
                f"{number(request.ppfd)} umol" if request.ppfd is not None else "",
                f"{number(request.lux)} lx" if request.lux is not None else "",
                f"{number(request.height_mm)} mm" if request.height_mm is not None else "",
                f"{number(request.hours)} h" if request.hours is not None else "",
                where,
                tail,
            )
        case asked.Thinned():
            return words("/thinned", f"to {request.per_cell} per cell", where, tail)
        case asked.Potted():
            into = ""
            if request.into_tray:
                cells = request.into_cells
                into = "into " + places(asked.Where(trays=(request.into_tray,), cells=cells))
            pot = f"into {number(request.pot_mm)} mm pots" if request.pot_mm is not None else ""
            onto = f"onto shelf {request.onto_shelf}" if request.onto_shelf else ""
            return words("/potted", request.count, where, into, pot, onto, tail)
        case asked.Move():
            into = ""
            if request.into_tray:
                cells = request.into_cells
                into = "to " + places(asked.Where(trays=(request.into_tray,), cells=cells))
            onto = f"to shelf {request.onto_shelf}" if request.onto_shelf else ""
            return words("/move", where, into, onto, tail)
        case asked.Harden():
            return words("/harden", where, tail)
        case asked.Fed():
            ppm = f"{number(request.ppm_n)} ppm" if request.ppm_n is not None else ""
            share = request.strength
            dose = f"{number(share * 100)}% strength" if share is not None else ""
            return words("/fed", ppm, dose, where, tail)
        case asked.Out():
            hours = f"{number(request.hours)} h" if request.hours is not None else ""
            night = "overnight" if request.overnight else ""
            return words("/out", hours, night, "once" if request.once else "", where, tail)
        case asked.Planted():
            to = f"to {quoted(request.to_whom)}" if request.to_whom else ""
            return words("/planted", request.count, where, to, tail)
        case asked.Lost():
            cause = f"cause {quoted(request.cause)}" if request.cause else ""
            lost = "every one" if request.count is None else str(request.count)
            return words("/lost", lost, where, cause, tail)
        case asked.Note():
            return words("/note", where, tail) + f": {request.text}"
    raise ValueError(type(request).__name__)


_BARE: dict[type[Request], str] = {
    asked.Season: "/season",
    asked.Calendar: "/calendar",
    asked.Trays: "/trays",
    asked.Export: "/export",
    asked.Nothing: "/letgo",
}


def _other(request: Request) -> str:
    match request:
        case asked.Lead():
            return render_step(request)
        case asked.Instead():
            return words("/instead", request.report, render(request.what))
        case asked.When():
            variety = f"variety {quoted(request.variety)}" if request.variety else ""
            risk = percent(request.risk) if request.risk is not None else ""
            return words("/when", request.crop, variety, risk)
        case asked.HowMany():
            per_cell = request.seeds_per_cell
            return words(
                "/howmany",
                request.plants,
                request.crop,
                f"variety {quoted(request.variety)}" if request.variety else "",
                request.lot,
                percent(request.assurance) if request.assurance is not None else "",
                f"{per_cell} per cell" if per_cell is not None else "",
            )
        case asked.MakePlan():
            return _plan(request)
        case asked.Undo():
            return words("/undo", request.report, *request.also, "last" if request.last else "")
        case asked.Due():
            return words("/due", "mine" if request.mine else "")
        case asked.ShowTray():
            return words("/tray", request.tray)
        case asked.Curve():
            return words("/curve", places(request.where))
        case asked.ShowShelf():
            if request.shelf is None:
                return words("/shelves", "space" if request.space else "")
            return words("/shelf", request.shelf, "space" if request.space else "")
        case asked.Results():
            return words("/report", "file" if request.as_file else "")
        case asked.Compare():
            return words("/compare", places(request.left), "vs", places(request.right))
        case asked.CropInfo():
            return words("/crop", request.crop)
        case asked.Ask():
            return words("/ask", places(request.where)) + f": {request.text}"
        case asked.Answer():
            return words("/answer", request.dialogue, request.choice)
        case asked.Wish():
            whom = f"for {quoted(request.for_whom)}" if request.for_whom else ""
            variety = f"variety {quoted(request.variety)}" if request.variety else ""
            return words("/wish", request.plants, request.crop, variety, whom)
        case asked.ShareOut():
            return words("/share", request.crop)
        case asked.Labels():
            paper = {None: "", True: "letter", False: "A4 paper"}[request.letter_paper]
            where = re.sub(r"(?<![\w-])A4(?![\w-])", "cell A4", places(request.where))  # no paper
            return words("/labels", request.shape, paper, request.grid, where)
        case asked.Import():
            return words("/import", request.dialogue)
        case asked.Sheet():
            paper = {None: "", True: "letter", False: "A4 paper"}[request.letter_paper]
            return words("/sheet", request.kind, paper)
        case asked.Tags():
            paper = {None: "", True: "letter", False: "A4 paper"}[request.letter_paper]
            return words("/tags", request.crop, paper)
        case asked.EndGroup():
            return words("/endgroup", "sure" if request.sure else "")
        case asked.ForgetMe():
            return words("/forgetme", "sure" if request.sure else "")
        case asked.Help():
            return words("/help", request.topic)
        case asked.Done():
            return words("/done", request.notice, request.part)
        case asked.Swap():
            take = f"take {request.take}" if request.take is not None else ""
            return words("/swap", _day(request.day), take)
        case asked.Break():
            return words("/break", "after" if request.after else "")
        case asked.Start():
            return words("/start", request.payload)
    if type(request) in _BARE:
        return _BARE[type(request)]
    raise ValueError(type(request).__name__)


def _day(on: date | None) -> str:
    return day(on) if on else ""


def _plan(request: asked.MakePlan) -> str:
    if request.drop:
        return words("/plan drop", request.accept)
    if request.accept is not None:
        return words("/plan accept", request.accept)
    items = [
        words(
            item.plants,
            item.crop,
            quoted(item.variety) if item.variety else "",
            f"x{item.sowings}" if item.sowings != 1 else "",
            f"sow {day(item.sow_on)}" if item.sow_on else "",
            "any day" if item.any_day else "",
        )
        for item in request.items
    ]
    if request.without:
        lines = (words(crop, quoted(name) if name else "") for crop, name in request.without)
        return words("/plan drop", ", ".join(lines))
    if request.change and not items:
        return "/plan again"
    return words("/plan add" if request.change else "/plan", ", ".join(items))


def percent(share: float) -> str:
    """Return 0.95 as `95%`, digit for digit."""
    from decimal import Decimal

    return f"{(Decimal(repr(share)) * 100).normalize():f}%"
