"""Reports on sowings: sow, up, thinned, planted, lost, undo."""

from __future__ import annotations

import re
from dataclasses import replace

from bot.grammar.crop_words import need_crop, take_crop
from bot.grammar.names import take_for_whom, take_member, take_quoted, take_rest_name
from bot.grammar.problems import (
    CellsNotSaid,
    CropNotSaid,
    LeftOver,
    NumberNotSaid,
    NumberOdd,
    TrayNotSaid,
    WhatNotSaid,
)
from bot.grammar.quantities import COUNT, take_count, take_length_mm, value
from bot.grammar.slots import finish_report, nothing_left, take_told, take_where
from bot.grammar.text import Bag
from bot.grammar.variety import claim_known, take_variety
from core.cells import Part
from core.folding import fold
from core.requests import Lost, Planted, Sow, Thinned, Undo, Up, Where

_EACH = r"(?:seeds?\s*)?each(?!\w)"
_PER_CELL = (
    r"(?:(?:seeds?|plants?|seedlings?|each)\s*)?"
    r"(?:per|a|in each|in every|to a|/|each)\s*(?:cell|hole|plug)s?(?!\w)"
)
MOST_PER_CELL = 50


def build_sow(bag: Bag) -> Sow:
    """Build a sowing; cells may be counted instead of named."""
    claim_known(bag)
    quoted = take_quoted(bag, "variety|var|cultivar|cv")
    whom = take_for_whom(bag)
    depth_mm = take_length_mm(bag)  # before the date: `1/2 in` is a depth
    bag.drop("deep|depth")
    told = take_told(bag, whom)
    again = bag.has("again|another one|once more")
    per_cell = _take_per_cell(bag)
    hit = bag.take(rf"(?<!column )(?<!col )({COUNT})\s*(?:free |empty )?cells?(?!\w)")
    cell_count = int(value(hit[1], thousands=True)) if hit else 0
    hit = bag.take(rf"({COUNT})\s*(?:seeds?|x(?=\s))(?!\w)")
    seeds = int(value(hit[1], thousands=True)) if hit else 0
    where = take_where(bag, all_words=False, crop=False)
    loose = take_count(bag)
    bag.drop("seeds?|deep|depth|sown|sowed")
    crop = take_crop(bag)
    told.for_whom = told.for_whom or take_member(bag)
    variety = bag.variety or quoted or take_variety(bag, crop)
    if loose is not None and cell_count == 0 and where.cells is None:
        cell_count, loose = loose, None
    total = seeds or loose or 0
    if total:
        if per_cell:
            raise LeftOver(command=bag.command, words=str(total))
        per_cell = _spread(bag, where, cell_count, total)
    if crop is None and where.lot is None:
        if bag.left():
            need_crop(bag)
        raise CropNotSaid(command=bag.command)
    if not where.trays and len(bag.context.trays) == 1:
        where = Where(trays=bag.context.trays, cells=where.cells, lot=where.lot)
    if not where.trays:
        raise TrayNotSaid(command=bag.command)
    if where.cells is None and cell_count == 0:
        raise CellsNotSaid(command=bag.command)
    finish_report(bag, told)
    return Sow(
        where=Where(trays=where.trays, cells=where.cells),
        on=told.on,
        for_whom=told.for_whom,
        notice=told.notice,
        crop=crop,
        variety=variety,
        lot=where.lot,
        cell_count=cell_count,
        seeds_per_cell=per_cell,
        depth_mm=depth_mm,
        again=again,
    )


def _take_per_cell(bag: Bag) -> int:
    found = bag.take(rf"({COUNT.replace('/%', '%')})\s*x?\s*{_PER_CELL}")
    if not found:
        found = bag.take(rf"({COUNT})\s*{_EACH}")
    if not found:  # `3 peas per cell`: the crop between stays for later
        found = bag.find(rf"({COUNT})(?:\s+[^\W\d_]+){{1,2}}?(?P<per>\s+{_PER_CELL})")
        if not found:
            return 0
        bag.mask(*found.span(1))
        bag.mask(*found.span("per"))
    number = value(found[1])
    if number.denominator != 1 or not 1 <= number <= MOST_PER_CELL:
        raise NumberOdd(command=bag.command, given=float(number), lo=1, hi=MOST_PER_CELL)
    return int(number)


def _spread(bag: Bag, where: Where, cell_count: int, seeds: int) -> int:
    """Return seeds a cell of a total, when the cells can be counted and it comes out even."""
    cells = cell_count
    if where.cells is not None and all(p.part is Part.RANGE for p in where.cells.parts):
        cells = len(where.cells.within("", 26, 40))
    if cells == 0 or seeds % cells:
        raise LeftOver(command=bag.command, words=str(seeds))
    return seeds // cells


def build_up(bag: Bag) -> Up:
    """Build a count of seedlings that show."""
    told = take_told(bag)
    all_up = bag.has("all (?:of them |are |is )?up|every(?:thing| cell) (?:is )?up")
    plus = bag.find(r"(?<![\w+])\+\s*(?=\d)")
    more = bag.has("more|another|extra|new ones?|additional") or plus is not None
    none = bag.has("none|nothing|nil|no(?: seedlings?| signs?)?")
    bag.drop("yet|still|seedlings?|sprouts?|plants?|shoots?")
    if hit := bag.find(rf"({COUNT})\s+(?:out )?of\s+(?:the )?(?=\d)({COUNT})"):
        if int(value(hit[1], thousands=True)) <= int(value(hit[2], thousands=True)):
            bag.mask(hit.end(1), hit.end())  # of how many is known by the sowing
    bag.drop("up|showing|emerged|out")
    where = take_where(bag, all_words=False)
    everything = bag.has("everything")
    count = 0 if none else take_count(bag)
    bag.drop("seedlings?|sprouts?|plants?|shoots?|cells?")
    if count is None and not all_up:
        all_up = bag.has("all(?: of (?:it|them))?") or (everything and not where.empty)
        everything = everything and not all_up
        all_up = all_up or (where.cells is not None and where.cells.parts[0].part is Part.ALL)
    if count is None and not all_up:
        nothing_left(bag, where.crop)
        raise NumberNotSaid(command=bag.command)
    nothing_left_but_name(bag, where.crop)
    finish_report(bag, told)
    return Up(
        where=replace(where, everything=where.everything or everything),
        on=told.on, for_whom=told.for_whom, notice=told.notice,
        count=count, more=more and count is not None, all_up=all_up and count is None,
    )  # fmt: skip


def nothing_left_but_name(bag: Bag, crop: str | None) -> None:
    """Ask about a word before the crop, before a name is looked for."""
    if crop is not None and len(bag.left()) == 1 and not bag.find(r"(?<!\w)for\s+\w"):
        text = bag.left()[0][2]
        if fold(text) not in {fold(name) for name in bag.context.members}:
            nothing_left(bag, crop)


def build_thinned(bag: Bag) -> Thinned:
    """Build a thinning; to one plant a cell unless said."""
    told = take_told(bag)
    per_cell = _take_per_cell(bag)
    if not per_cell and (hit := bag.take(rf"(?<!\w)(?:down\s+)?to\s+({COUNT})(?!\w)(?!\s*cells)")):
        per_cell = int(value(hit[1]))
        bag.drop("each|plants?|seedlings?|per cell|a cell")
    bag.drop("out|down|seedlings?")
    where = take_where(bag)
    nothing_left_but_name(bag, where.crop)
    finish_report(bag, told)
    if per_cell > MOST_PER_CELL:
        raise NumberOdd(command=bag.command, given=per_cell, lo=1, hi=MOST_PER_CELL)
    return Thinned(
        where=where, on=told.on, for_whom=told.for_whom, notice=told.notice,
        per_cell=per_cell or 1,
    )  # fmt: skip


def build_planted(bag: Bag) -> Planted:
    """Build a planting out, or a handing out to somebody."""
    to_whom = take_for_whom(bag, "to")
    told = take_told(bag)
    bag.drop(
        "in(?:to)? the (?:garden|ground|bed|beds)|outside|outdoors|out|plants?|seedlings?|away"
    )
    where = take_where(bag, all_words=False)
    where = replace(where, everything=bag.has("everything|all trays"))
    bag.drop("all(?: of (?:them|it))?")
    count = take_count(bag)
    bag.drop("plants?|seedlings?")
    if to_whom is None:
        to_whom = take_rest_name(bag, "to")
    nothing_left_but_name(bag, where.crop)
    finish_report(bag, told)
    return Planted(
        where=where,
        on=told.on, for_whom=told.for_whom, notice=told.notice, count=count, to_whom=to_whom,
    )  # fmt: skip


def build_lost(bag: Bag) -> Lost:
    """Build a loss; words left over say what from."""
    cause = take_quoted(bag, "cause")
    told = take_told(bag)
    every = bag.has("every one")
    bag.drop("plants?|seedlings?")
    where = take_where(bag, all_words=False, crop=False)
    named = bool(where.trays or where.sowing)
    crop = take_crop(bag, slips=not named)
    where = Where(trays=where.trays, cells=where.cells, crop=crop, sowing=where.sowing,
                  shelf=where.shelf, lot=where.lot, variety=where.variety)  # fmt: skip
    where = replace(where, everything=bag.has("everything|all trays"))
    whole = bag.has("all(?: of (?:them|it))?") or every
    count = None if whole else take_count(bag)
    bag.drop("plants?|seedlings?|died|dead|lost")
    if where.empty and count is None:
        raise WhatNotSaid(command=bag.command, needs="count")
    bag.drop("because of|because|due to|caused by|from|through|cause")
    if cause is None:
        words = bag.left()
        if words:
            cause = bag.left_text()
            cause = re.sub(
                r"^(?:to|of|by|in|on|from|with|were|was|are|the)\s+", "", cause, flags=re.I
            )
            cause = re.sub(r"(?:\s+(?:in|on|at|from|of|to|the))+$", "", cause, flags=re.I)
            bag.mask(0, len(bag.rest))
    return Lost(
        where=where,
        on=told.on, for_whom=told.for_whom, notice=told.notice, count=count, cause=cause or None,
    )  # fmt: skip


def build_undo(bag: Bag) -> Undo:
    """Build the taking back of a report."""
    found = bag.take(r"(?<!\w)(?:report\s+|#)?(r\d{1,9})(?!\w)") or bag.take(
        r"(?<!\w)report\s+#?(\d{1,9})(?!\w)"
    )
    also: list[str] = []
    while found and (more := bag.take(r"(?<!\w)(?:and\s+|,\s*)?(r\d{1,9})(?!\w)")):
        also.append(more[1].upper())
    last = found is None and bag.has("last(?: one| report)?|that(?: one)?|it|previous(?: one)?")
    nothing_left(bag)
    code = found[1].upper() if found else None
    if code and code.isdigit():
        code = f"R{code}"
    return Undo(report=code, last=last, also=tuple(dict.fromkeys(c for c in also if c != code)))


__all__ = [
    "build_lost", "build_planted", "build_sow", "build_thinned", "build_undo", "build_up",
]  # fmt: skip
