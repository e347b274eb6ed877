"""Looking: due, trays, tray, curve, shelves, report, compare, crop; help, undo and buttons."""

from __future__ import annotations

import re

from bot.grammar.crop_words import need_crop
from bot.grammar.dates import Lean, take_date
from bot.grammar.problems import WhatNotSaid
from bot.grammar.slots import nothing_left, take_where
from bot.grammar.text import Bag
from core.requests import (
    Answer,
    Break,
    Compare,
    CropInfo,
    Curve,
    Done,
    Due,
    EndGroup,
    Export,
    ForgetMe,
    Import,
    Nothing,
    Results,
    Start,
    Swap,
    Trays,
    Where,
)


def build_start(bag: Bag) -> Start:
    """Build the first words, with what a link carried."""
    return Start(payload=bag.whole.strip()[:64] or None)


def build_due(bag: Bag) -> Due:
    """Build the question what is due."""
    mine = bag.has("mine|my|me|for me|i")
    bag.drop("today|now|jobs?|tasks?|list|all|next|trays?|seedlings?|them|plants?|anything")
    bag.drop("today|now")
    nothing_left(bag)
    return Due(mine=mine)


def build_trays(bag: Bag) -> Trays:
    """Build the list of trays."""
    bag.drop("all|list|show|overview")
    nothing_left(bag)
    return Trays()


def build_curve(bag: Bag) -> Curve:
    """Build the wish for an emergence curve."""
    bag.drop("for|emergence|of")
    where = take_where(bag)
    nothing_left(bag, where.crop)
    return Curve(where=where)


def build_results(bag: Bag) -> Results:
    """Build the wish for what worked."""
    as_file = bag.has("as (?:a )?(?:file|csv|table)|file|csv|spreadsheet|download")
    bag.drop("season|all|show|what worked")
    nothing_left(bag)
    return Results(as_file=as_file)


_TWO_CODES = re.compile(r"^\W*([slt]\d{1,4})[\s,]+([slt]\d{1,4}\b.*)$", re.IGNORECASE)


def build_compare(bag: Bag) -> Compare:
    """Build two sets of sowings; a crop named once is meant for both."""
    parts = re.split(
        r"(?<!\w)(?:vs\.?|versus|against|with|to)(?!\w)|/(?=\s)", bag.whole, maxsplit=1, flags=re.I
    )
    if len(parts) == 1:
        parts = re.split(r"(?<!\w)and(?!\w)|&", bag.whole, maxsplit=1, flags=re.IGNORECASE)
    if len(parts) == 1 and (hit := _TWO_CODES.match(bag.whole)):
        parts = [hit[1], hit[2]]
    if len(parts) != 2:
        raise WhatNotSaid(command=bag.command, needs="sets")
    sides = []
    at = 0
    for part in parts:
        start = bag.whole.index(part, at)
        at = start + len(part)
        side = Bag("\x00" * start + part, bag.context, bag.command)
        where = take_where(side)
        nothing_left(side, where.crop)
        bag.echoes += side.echoes
        sides.append(where)
    left, right = sides
    left, right = _share(left, right.crop), _share(right, left.crop)
    if left.empty or right.empty:
        raise WhatNotSaid(command=bag.command, needs="sets")
    return Compare(left=left, right=right)


def _share(where: Where, crop: str | None) -> Where:
    if where.crop is not None or crop is None:
        return where
    return Where(
        trays=where.trays, cells=where.cells, crop=crop, sowing=where.sowing,
        shelf=where.shelf, lot=where.lot, everything=where.everything,
    )  # fmt: skip


def build_crop(bag: Bag) -> CropInfo:
    """Build the question what the crop table says."""
    bag.drop("list|all|show|about|info")
    if not bag.left():
        return CropInfo()
    crop = need_crop(bag)
    nothing_left(bag, crop)
    return CropInfo(crop=crop)


def build_export(bag: Bag) -> Export:
    """Build the wish for all records."""
    bag.drop("all|everything|records?|data|my data|files?|csv")
    nothing_left(bag)
    return Export()


def build_import(bag: Bag) -> Import:
    """Build the wish to read records in; a number is that of a table shown before."""
    hit = bag.take(r"(?<!\w)#?(\d{1,18})(?!\w)")
    bag.drop("files?|csv|zip|records?|table|from|a|the")
    nothing_left(bag)
    return Import(dialogue=int(hit[1]) if hit else None)


def build_end_group(bag: Bag) -> EndGroup:
    """Build the wish to delete the group; only `sure` carries it out."""
    sure = bag.has("sure|yes|really|confirm")
    bag.drop("the|this|group|with|everything")
    nothing_left(bag)
    return EndGroup(sure=sure)


def build_forget_me(bag: Bag) -> ForgetMe:
    """Build the wish to be forgotten; only `sure` carries it out."""
    sure = bag.has("sure|yes|really|confirm")
    nothing_left(bag)
    return ForgetMe(sure=sure)


def build_swap(bag: Bag) -> Swap:
    """Build the offer of a duty day, or the taking of one."""
    if hit := bag.take(r"(?<!\w)(?:take|accept)\s*#?(\d{1,18})(?!\w)"):
        nothing_left(bag)
        return Swap(take=int(hit[1]))
    day = take_date(bag, Lean.NEXT)
    bag.drop("my|duty|day|offer|me")
    bag.drop("my|duty|day|offer|me")
    nothing_left(bag)
    return Swap(day=day)


def build_break(bag: Bag) -> Break:
    """Build what trays need before, or after, a closure."""
    after = bag.has("after|over|back|end(?:ed)?|return(?:ed)?")
    bag.drop("before|holidays?|closure|closing|list|closed")
    nothing_left(bag)
    return Break(after=after)


def build_done(bag: Bag) -> Done:
    """Build the answer to a notice."""
    hit = bag.take(r"(?<!\w)(?:notice\s*)?#?(\d{1,18})(?!\w)")
    part = bag.take(r"(?<!\w)(water|out|fed|thin|in|on)(?!\w)")
    nothing_left(bag)
    if not hit:
        raise WhatNotSaid(command=bag.command, needs="notice")
    return Done(notice=int(hit[1]), part=part[1] if part else "")


def build_answer(bag: Bag) -> Answer:
    """Build an answer to a question: the dialogue's number, then the choice as it stands."""
    hit = re.match(r"\s*#?(\d{1,18})\s+(\S.*)$", bag.whole)
    if not hit:
        raise WhatNotSaid(command=bag.command, needs="choice")
    return Answer(dialogue=int(hit[1]), choice=hit[2].strip())


__all__ = [
    "build_answer", "build_break", "build_compare", "build_crop", "build_curve",
    "build_done", "build_due", "build_export", "build_forget_me", "build_results", "build_start",
    "build_swap", "build_trays",
]  # fmt: skip


def build_nothing(bag: Bag) -> Nothing:
    """Build the turning down of a proposal."""
    nothing_left(bag)
    return Nothing()
