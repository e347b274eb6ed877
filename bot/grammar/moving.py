"""Reports of what stands somewhere else now: potted, move, harden."""

from __future__ import annotations

import re
from dataclasses import replace

from bot.grammar.cells import Place, take_place, tray_pattern
from bot.grammar.problems import LeftOver, WhatNotSaid
from bot.grammar.quantities import NUMBER, number_of, take_count, value
from bot.grammar.reports import nothing_left_but_name
from bot.grammar.slots import finish_report, take_told, take_where
from bot.grammar.text import Bag
from core.folding import fold
from core.group.frames import COLD_FRAME
from core.requests import Harden, Move, Potted

_UNITS = {"mm": 1.0, "cm": 10.0, "in": 25.4, "inch": 25.4, "inches": 25.4, '"': 25.4, "′′": 25.4}


def _take_pot(bag: Bag) -> float | None:
    """Claim the width of pots: `into 4 inch pots`, `9 cm pots`."""
    hit = bag.take(
        rf"(?:(?<!\w)(?:in)?to\s+|(?<!\w)in\s+)?({NUMBER})[ -]?(mm|cm|inches|inch|in|\"|″)[ -]*"
        r"(?:square |round )?(?:pots?|cups?)(?!\w)"
    )
    if not hit:
        return None
    return round(number_of(value(hit[1])) * _UNITS[fold(hit[2])], 3)


def _take_onto(bag: Bag) -> str | None:
    """Claim the shelf where something is to stand: `on shelf B`, `to shelf B`."""
    if bag.has(r"(?:(?:back )?(?:in)?to |in )?(?:the |a |our )?(?:cold ?)?frame"):
        return COLD_FRAME
    hit = bag.take(r"(?<!\w)(?:onto|on|to)\s+(?:shelf|rack)\s+([a-z0-9]{1,12})(?![\w-])")
    return hit[1].upper() if hit else None


def _take_into(bag: Bag) -> Place | None:
    """Claim the tray, and cells, where plants go: `into T5 A1-A6`."""
    tray = tray_pattern(bag)
    hit = bag.find(
        rf"(?:->|(?<!\w)(?:into|to|in)(?=\s))\s*(?:tray\s+)?(?={tray}(?!\w)|{tray}\s*/|\d)"
    )
    if not hit:
        return None
    head = "\x00" * hit.end()
    part = Bag(head + _tail(bag.rest[hit.end() :], tray), bag.context, bag.command)
    into = take_place(part)
    if into.trays:
        bag.mask(hit.start(), hit.end())
        for at, sign in enumerate(part.rest):
            if at >= hit.end() and sign == "\x00":
                bag.mask(at, at + 1)
    return into


def build_potted(bag: Bag) -> Potted:
    """Build a potting up, `into T5 A1-B6` where it stays in trays."""
    pot_mm = _take_pot(bag)
    told = take_told(bag)
    onto = _take_onto(bag)
    into = _take_into(bag)
    bag.drop(r"(?:in)?to (?:\w+ )?(?:pots?|cups?)|(?:in )?pots|up|on")
    where = take_where(bag, all_words=False)
    where = replace(where, everything=bag.has("everything|all trays"))
    bag.drop("all(?: of (?:them|it))?")
    count = take_count(bag)
    bag.drop("plants?|seedlings?|cells?")
    nothing_left_but_name(bag, where.crop)
    finish_report(bag, told)
    trays = into.trays if into else ()
    if len(trays) > 1:
        raise LeftOver(command=bag.command, words=" ".join(trays[1:]))
    return Potted(
        where=where, on=told.on, for_whom=told.for_whom, notice=told.notice, count=count,
        into_tray=trays[0] if trays else None, into_cells=into.cells if into and trays else None,
        pot_mm=pot_mm, onto_shelf=onto,
    )  # fmt: skip


def _tail(text: str, tray: str) -> str:
    """Return the text up to the next `from`, taken piece or second tray."""
    cut = re.search(r"\x00|(?<!\w)(?:from|for|on|by)(?!\w)", text, re.IGNORECASE)
    text = text[: cut.start()] if cut else text
    again = re.search(
        rf"^\s*{tray}(?!\w).*?(?<!\w)(?<!cell )(?<!cells )(?<!-)({tray})(?![\w-])",
        text,
        re.IGNORECASE,
    )
    return text[: again.start(1)] if again else text


def build_move(bag: Bag) -> Move:
    """Build a move into another tray, or of trays to another shelf."""
    told = take_told(bag)
    onto = _take_onto(bag)
    into = _take_into(bag)
    bag.drop("plants?|seedlings?|over|from")
    where = take_where(bag)
    bag.drop("cells?")
    trays = into.trays if into else ()
    if len(trays) > 1:
        raise LeftOver(command=bag.command, words=" ".join(trays[1:]))
    if not trays and onto is None and where.trays and where.shelf is not None:  # `T1 shelf B`
        onto, where = where.shelf, replace(where, shelf=None)
    if not trays and onto is None:
        raise WhatNotSaid(command=bag.command, needs="place")
    nothing_left_but_name(bag, where.crop)
    finish_report(bag, told)
    return Move(
        where=where, on=told.on, for_whom=told.for_whom, notice=told.notice,
        into_tray=trays[0] if trays else None, into_cells=into.cells if into and trays else None,
        onto_shelf=onto,
    )  # fmt: skip


def build_harden(bag: Bag) -> Harden:
    """Build the decision that hardening off begins."""
    told = take_told(bag)
    bag.drop("off|start|begin|plants?|seedlings?|now")
    where = take_where(bag)
    nothing_left_but_name(bag, where.crop)
    finish_report(bag, told)
    return Harden(where=where, on=told.on, for_whom=told.for_whom, notice=told.notice)
