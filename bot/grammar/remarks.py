"""Free words: notes and questions. What they are about is looked for, the words stay whole."""

from __future__ import annotations

from datetime import date

from bot.grammar.cells import Place, take_place, take_sowing
from bot.grammar.crop_words import take_crop
from bot.grammar.dates import Lean, take_date
from bot.grammar.names import take_for_whom
from bot.grammar.problems import NotUnderstood, WhatNotSaid
from bot.grammar.slots import take_told, take_where
from bot.grammar.text import Bag
from bot.grammar.unclear import Unclear
from core.folding import fold
from core.requests import NOWHERE, Ask, Instead, Note, Report, Where


def build_instead(bag: Bag) -> Instead:
    """Build what an edited message is to change: the report taken back, and the new one."""
    head, _, rest = bag.whole.strip().partition(" ")
    made = bag.read(rest) if bag.read is not None and rest.startswith("/") else None
    if not isinstance(made, Report):
        raise WhatNotSaid(command=bag.command, needs="text")
    bag.mask(0, len(bag.rest))
    return Instead(report=head.upper(), what=made)


def build_note(bag: Bag) -> Note:
    """Build a note; `T1 A1 yesterday: text` puts place, day and person before a colon."""
    head, text = _split_head(bag)
    if not text:
        raise WhatNotSaid(command=bag.command, needs="text")
    if head is not None:
        try:
            told = take_told(head)
            where = take_where(head)
            if not head.left():
                return Note(
                    text=text, where=where, on=told.on, for_whom=told.for_whom,
                    notice=told.notice,
                )  # fmt: skip
        except (NotUnderstood, Unclear):
            pass
    whole = bag.whole.strip().lstrip(":").strip() if head is None else bag.whole.strip()
    return Note(
        text=whole,
        where=NOWHERE if head is None and _bare_colon(bag) else about(bag),
        on=_lead_date(bag),
        for_whom=None if _bare_colon(bag) else take_for_whom(bag, "for"),
    )


def build_ask(bag: Bag) -> Ask:
    """Build a question; `T1 tomato: text` puts what it is about before a colon."""
    head, text = _split_head(bag)
    if not text:
        raise WhatNotSaid(command=bag.command, needs="text")
    if head is not None:
        try:
            where = take_where(head)
            if not head.left() and not where.empty:
                return Ask(text=text, where=where)
        except (NotUnderstood, Unclear):
            pass
        return Ask(text=bag.whole.strip(), where=about(bag))
    if _bare_colon(bag):
        return Ask(text=text)
    return Ask(text=text, where=about(bag))


def about(bag: Bag) -> Where:
    """Return what free words are about, as far as that is sure; never a problem."""
    try:
        place = take_place(bag)
    except NotUnderstood:
        place = Place()
    try:
        crop = take_crop(bag, slips=False)
    except Unclear:
        crop = None
    return Where(trays=place.trays, cells=place.cells, sowing=take_sowing(bag), crop=crop)


def _bare_colon(bag: Bag) -> bool:
    return bag.whole.lstrip().startswith(":")


def _lead_date(bag: Bag) -> date | None:
    first = fold(bag.whole.strip().split(" ")[0]).strip(",:;")
    if first not in ("yesterday", "today"):
        return None
    return take_date(Bag(first, bag.context, bag.command), Lean.PAST)


def _split_head(bag: Bag) -> tuple[Bag | None, str]:
    """Return what stands before the first colon followed by a blank, and the words after it."""
    whole = bag.whole.strip()
    if whole.startswith(":"):
        return None, whole[1:].strip()
    head, colon, text = whole.partition(": ")
    if not colon or len(head) > 120:
        return None, whole
    return Bag(head, bag.context, bag.command), text.strip()
