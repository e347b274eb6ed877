"""Plans and wishes: when, howmany, plan, season, calendar, wish, share, labels."""

from __future__ import annotations

import re
from decimal import Decimal

from bot.grammar.cells import take_lot
from bot.grammar.crop_words import need_crop, take_crop
from bot.grammar.dates import MONTH, Lean, take_date
from bot.grammar.names import take_for_whom, take_quoted, take_rest_name
from bot.grammar.problems import CropNotSaid, NumberNotSaid, NumberOdd
from bot.grammar.quantities import COUNT, take_count, value
from bot.grammar.slots import nothing_left, take_where
from bot.grammar.text import Bag
from bot.grammar.variety import said_variety, take_variety
from core.folding import plain
from core.requests import (
    Calendar,
    HowMany,
    Labels,
    MakePlan,
    PlanItem,
    Season,
    ShareOut,
    Sheet,
    Tags,
    When,
    Wish,
)

_PLANTS = "plants?|seedlings?|starts?|of them"
_SETS = (
    "(?:sow|start|plant(?: out| outside| outdoors)?|transplant|put out|move out|set out|go out|"
    "harden(?: off)?)"
)


def build_when(bag: Bag) -> When:
    """Build the question for one crop's dates."""
    bag.drop(f"to {_SETS}|(?:do|should|can|could|will|may) (?:we|i|you|one) {_SETS}|{_SETS}")
    bag.drop("do|does|outside|outdoors|out|safely|yet|already")
    bag.drop("seeds?|plants?")
    variety = said_variety(bag)
    risk = _take_assurance(bag)
    bag.drop("risk|chance(?: of frost)?|frost|with|at|accepting")
    crop = need_crop(bag)
    nothing_left(bag, crop)
    return When(crop=crop, variety=variety, risk=risk)


def build_howmany(bag: Bag) -> HowMany:
    """Build the question how much to sow for a number of plants."""
    variety = said_variety(bag)
    assurance = _take_assurance(bag)
    seeds = bag.take(rf"({COUNT})\s*x?\s*(?:seeds?\s*)?(?:per|a|/|each)\s*cells?(?!\w)")
    lot = take_lot(bag)
    bag.drop("seeds? (?:do (?:we|i) need )?for|seeds?|sure(?:ty)?|certain(?:ty)?|assurance|chance")
    plants = take_count(bag)
    bag.drop(_PLANTS)
    crop = need_crop(bag)
    bag.drop("sure(?:ty)?|certain(?:ty)?|assurance|chance|" + _PLANTS)
    if plants is None:
        raise NumberNotSaid(command=bag.command)
    nothing_left(bag, crop)
    return HowMany(
        plants=plants, crop=crop, variety=variety, lot=lot, assurance=assurance,
        seeds_per_cell=int(value(seeds[1])) if seeds else None,
    )  # fmt: skip


def _take_assurance(bag: Bag) -> float | None:
    found = bag.take(r"(?<![\w.,])(\d{1,3}(?:[.,]\d{1,15})?)\s*(?:%|percent|per cent|pct)(?!\w)")
    if not found:
        return None
    percent = Decimal(found[1].replace(",", "."))
    if not 0 < percent < 100:
        raise NumberOdd(command=bag.command, given=float(percent), lo=1, hi=99)
    return float(percent / 100)


def build_plan(bag: Bag) -> MakePlan:
    """Build a plan's wishes, or keep or drop one that was worked out."""
    if hit := _take_verdict(bag):
        drop = plain(hit[1]) not in ("accept", "keep")
        if drop and hit[2] is None and bag.left():
            return MakePlan(without=_lines_named(bag))
        nothing_left(bag)
        if not drop and hit[2] is None:
            raise NumberNotSaid(command=bag.command)
        return MakePlan(accept=int(hit[2]) if hit[2] else None, drop=drop)
    if bag.has("again|anew|once more"):
        nothing_left(bag)
        return MakePlan(change=True)
    change = bag.take(r"^\W*(?:add|change|also|plus|include|pin)(?!\w)") is not None
    if not bag.find(r"[0-9]"):
        bag.drop("show|for|next|this|season|year|us|me|make")
    if not bag.left():
        return MakePlan()
    items: list[PlanItem] = []
    for start, end in _segments(bag.rest):
        part = Bag("\x00" * start + bag.whole[start:end], bag.context, bag.command)
        part.rest = "\x00" * start + bag.rest[start:end]
        if not part.left():
            continue
        items.append(_plan_item(part))
        bag.echoes += part.echoes
    one = len(items) == 1 and (items[0].sow_on is not None or items[0].any_day)
    return MakePlan(items=tuple(items), change=change or one)


def _lines_named(bag: Bag) -> tuple[tuple[str, str | None], ...]:
    """Claim crops and varieties, a line of the plan each."""
    found: list[tuple[str, str | None]] = []
    for start, end in _segments(bag.rest):
        part = Bag("\x00" * start + bag.whole[start:end], bag.context, bag.command)
        part.rest = "\x00" * start + bag.rest[start:end]
        if not part.left():
            continue
        part.drop("lines?|plans?")
        crop = need_crop(part)
        found.append((crop, take_variety(part, crop)))
        nothing_left(part)
        bag.echoes += part.echoes
    return tuple(found)


def _take_verdict(bag: Bag) -> re.Match[str] | None:
    """Claim `accept 3` or `drop`; within a list such a word belongs to a name: `12 Ruby Drop`."""
    hit = bag.find(
        r"(?<!\w)(accept|keep|drop|discard|cancel|delete)(?!\w)\s*(?:plan\s*)?#?(\d{1,18})?(?!\w)"
    )
    if hit is None or re.search(r"\d", bag.rest[: hit.start()]):
        return None
    bag.mask(*hit.span())
    return hit


_SOWINGS = r"(?:sowings?|batch(?:es)?|times|successions?|rounds?|goes)"
_SPLIT = re.compile(
    r"\s*[;&+]\s*|(?<!\d),|,(?!\d)|\s+and\s+"
    rf"|(?<=[a-z\")])\s+(?=\d+\s+(?!{_SOWINGS})[^\W\d])",
    re.IGNORECASE,
)


_SOW_ON = "sow|sown|sowing|start|started|from|on|pin(?:ned)?"
_RUNS_ON = r"(?<!\w)(?:in|on|sow|sown|sowing|start|started|from|about)\s*$"
"""Words that the number behind them belongs to."""


_DAY_OF_MONTH = re.compile(rf"\d{{1,2}}\s*(?:{MONTH})(?!\w)", re.IGNORECASE)


def listed(text: str) -> tuple[str, ...]:
    """Return the parts of `4 tomato, 2 basil and 6 kale`; the whole where one has no number."""
    parts = [text[start:end].strip(" ,;:.") for start, end in _segments(text)]
    parts = [part for part in parts if part]
    return tuple(parts) if all(re.search(r"\d", part) for part in parts) else (text,)


def _segments(text: str) -> list[tuple[int, int]]:
    spans, at = [], 0
    quoted = [(m.start(), m.end()) for m in re.finditer(r'"[^"]*"', text)]
    for cut in _SPLIT.finditer(text):
        if any(low < cut.start() < high for low, high in quoted):
            continue
        if re.search(_RUNS_ON, text[at : cut.start()], re.IGNORECASE):
            continue
        if cut[0].isspace() and _DAY_OF_MONTH.match(text, cut.end()):
            continue
        spans.append((at, cut.start()))
        at = cut.end()
    spans.append((at, len(text)))
    return spans


def _plan_item(bag: Bag) -> PlanItem:
    variety = said_variety(bag) or take_quoted(bag)
    hit = bag.take(rf"(?:(?<!\w)in\s+|x\s*)?({COUNT})\s*{_SOWINGS}(?!\w)") or bag.take(
        r"(?<!\w)x\s*(\d{1,2})(?!\w)"
    )
    sowings = int(value(hit[1])) if hit else 1
    if not 1 <= sowings <= 20:
        raise NumberOdd(command=bag.command, given=sowings, lo=1, hi=20)
    any_day = bag.has("any (?:day|date|time)|unpin(?:ned)?|free(?:ly)?")
    sow_on = take_date(bag, Lean.NEXT) if bag.has(_SOW_ON) else None
    bag.drop(f"{_SOW_ON}|to|date")
    plants = take_count(bag)
    bag.drop(_PLANTS)
    bag.drop("x(?=\\s)")
    crop = need_crop(bag)
    if plants is None:
        raise NumberNotSaid(command=bag.command)
    bag.drop(_PLANTS)
    variety = variety or take_variety(bag, crop)
    nothing_left(bag)
    return PlanItem(
        crop=crop, plants=plants, sowings=sowings, variety=variety, sow_on=sow_on, any_day=any_day
    )


def build_season(bag: Bag) -> Season:
    """Build the wish for the season's picture."""
    bag.drop("picture|chart|show|plan")
    nothing_left(bag)
    return Season()


def build_calendar(bag: Bag) -> Calendar:
    """Build the wish for the calendar file."""
    bag.drop("file|ics|\\.ics|import|export|show|send")
    nothing_left(bag)
    return Calendar()


def build_wish(bag: Bag) -> Wish:
    """Build a wish for plants to take home."""
    variety = said_variety(bag)
    for_whom = take_for_whom(bag)
    bag.drop("i(?:'d)? (?:would )?(?:like|want)|like|want")
    plants = take_count(bag)
    bag.drop(_PLANTS)
    crop = take_crop(bag)
    bag.drop(_PLANTS)
    if for_whom is None:
        for_whom = take_rest_name(bag)
    if crop is None and plants is not None:
        left = " ".join(text for _, _, text in bag.left())
        if left:
            need_crop(bag)
        raise CropNotSaid(command=bag.command)
    if crop is not None and plants is None:
        raise NumberNotSaid(command=bag.command)
    nothing_left(bag, crop)
    return Wish(plants=plants, crop=crop, variety=variety, for_whom=for_whom)


def build_share(bag: Bag) -> ShareOut:
    """Build the sharing out."""
    bag.drop("out|everything|all|plants?")
    crop = take_crop(bag)
    nothing_left(bag, crop)
    return ShareOut(crop=crop)


def build_sheet(bag: Bag) -> Sheet:
    """Build a sheet for the wall."""
    letter = _letter(bag)
    kinds = {
        "sowing": "sowings?|sow|work session|session",
        "rota": "rota|duty|duties|roster",
        "season": "season",
        "week": "(?:the )?(?:coming )?(?:weeks?|fortnight|two weeks|wall)",
    }
    kind = next((kind for kind, said in kinds.items() if bag.has(said)), "week")
    bag.drop("paper|pdf|for|sheets?|print|the|wall|plan|list")
    nothing_left(bag)
    return Sheet(kind=kind, letter_paper=letter)


def build_tags(bag: Bag) -> Tags:
    """Build the tags to take home."""
    letter = _letter(bag)
    bag.drop("paper|pdf|for|print|to take home|care cards?|take home|take-home|plants?")
    crop = take_crop(bag)
    nothing_left(bag, crop)
    return Tags(crop=crop, letter_paper=letter)


def _letter(bag: Bag) -> bool | None:
    if bag.has("(?:us )?letter(?: paper| size)?"):
        return True
    if bag.has("(?:din )?a4 (?:paper|size|sheets?)|(?:on |din )a4") or bag.take(_A4):
        return False
    return None


_A4 = r"(?<![\w,–-])(?<![,–-] )(?<!to )(?<!cell )a4(?!\w)(?!\s*(?:[,–-]|to ))"
"""The paper, not a cell of `A1-A4`."""


_SHAPES = {
    "stake": "(?:for )?(?:plant |row )?(?:stakes?|sticks?|strips?)",
    "card": "(?:for )?(?:tray )?cards?",
    "sheet": "(?:adhesive|sticky)(?: sheets?| labels?)?|stickers?|(?:label )?sheets?",
}


def _shape(bag: Bag) -> str | None:
    return next((shape for shape, said in _SHAPES.items() if bag.has(said)), None)


def build_labels(bag: Bag) -> Labels:
    """Build a sheet of labels."""
    letter = _letter(bag)
    shape = _shape(bag)
    grid = bag.take(r"(?<!\w)(\d{1,2})(?:x\s*|\s+x\s+|\s*by\s*)(\d{1,2})(?!\w)")  # not `1 X1`
    bag.drop("paper|pdf|for|grid")
    where = take_where(bag)
    nothing_left(bag, where.crop)
    return Labels(
        where=where, letter_paper=letter, shape=shape,
        grid=f"{int(grid[1])}x{int(grid[2])}" if grid else None,
    )  # fmt: skip


__all__ = [
    "build_calendar", "build_howmany", "build_labels", "build_plan",
    "build_season", "build_share", "build_sheet", "build_tags", "build_when", "build_wish",
]  # fmt: skip
