"""Commands begun with their word alone: what is missing is asked, one piece at a time.

`/up` alone, or `/up S5` without a number, becomes a `Lead`: the core answers it with buttons. A
typed answer completes the words so far (`before`), so that the one grammar reads everything.
"""

from __future__ import annotations

import re
from dataclasses import replace

from bot.grammar.context import GrammarContext
from bot.grammar.names import take_quoted
from bot.grammar.problems import (
    CellsNotSaid,
    CropNotSaid,
    NumberNotSaid,
    TrayNotSaid,
    WhatNotSaid,
)
from bot.grammar.render_parts import places, quoted, words
from bot.grammar.slots import nothing_left, take_where
from bot.grammar.text import Bag
from bot.grammar.unclear import Unclear
from core.errors import UserError
from core.requests import NOWHERE, Lead, Lost, Request

ALONE = (
    "watered", "fed", "moist", "lost", "potted", "planted", "thinned", "out", "up", "sow", "temp",
)  # fmt: skip
"""Reports whose word alone says nothing yet."""

PARTS = ("up", "sow", "moist", "lost", "temp")
"""Reports that may lack a piece once a place is named."""

_LACKS = (CellsNotSaid, CropNotSaid, NumberNotSaid, TrayNotSaid, WhatNotSaid)
_SLASH = re.compile(r"^\W*/")


def build_step(bag: Bag) -> Lead:
    """Build what a button of a question carries."""
    hit = bag.take(r"(?<!\w)act:(\w+)(?!\w)")
    part = bag.take(r"(?<!\w)part:(\w+)(?!\w)")
    number = bag.take(r"(?<!\w)number:(\d{1,3})(?!\d)")
    cells = bag.take(r"(?<!\w)cells:(\d{1,3})(?!\d)")
    who = take_quoted(bag, "who")
    where = take_where(bag)
    nothing_left(bag)
    return Lead(
        act=hit[1] if hit else "",
        where=where,
        part=part[1] if part else None,
        who=who,
        number=int(number[1]) if number else None,
        cells=int(cells[1]) if cells else 0,
    )


def render_step(request: Lead) -> str:
    """Return the canonical text of a step."""
    return words(
        "/step",
        f"act:{request.act}",
        f"part:{request.part}" if request.part else "",
        f"number:{request.number}" if request.number is not None else "",
        f"cells:{request.cells}" if request.cells else "",
        f"who {quoted(request.who)}" if request.who else "",
        places(request.where),
    )


def instead(
    word: str, line: str, args: str, made: Request | UserError, context: GrammarContext
) -> Lead | None:
    """Return what to ask where a line typed as a command says too little, else None.

    Args:
        word: the command's word; line: the whole line; args: what stands behind the word.
        made: the request built, or what was missing.
    """
    if not _SLASH.match(line):
        return None
    if word in ALONE and not re.search(r"\w", args):
        return Lead(act=word)
    if word not in PARTS:
        return None
    if isinstance(made, Lost):
        if re.search(r"(?<!\w)(?:all|every one)(?!\w)", args, re.IGNORECASE):
            return None
        bare = replace(made, where=NOWHERE) == Lost()
        return Lead(act=word, where=made.where) if bare and not made.where.empty else None
    if not isinstance(made, _LACKS):
        return None
    bag = Bag(args, context, word)
    try:
        where = take_where(bag)
        nothing_left(bag)
    except (UserError, Unclear):
        return None
    return Lead(act=word, where=where)


def before(lead: Lead) -> tuple[str, str]:
    """Return the words that a typed answer completes, and what follows it."""
    match lead.act, lead.part:
        case "site", "place":
            return '/site place "', '"'
        case "site", part:
            return f"/site {part or ''} ".replace("  ", " "), ""
        case "frost", "first":
            return "/frost first ", ""
        case "tray", _:
            return "/tray ", ""
    named = words(places(lead.where), quoted(lead.who) if lead.who else "")
    return words(f"/{lead.act}", named) + " ", ""
