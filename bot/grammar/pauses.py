"""Pausing: reminders of the group, of trays or to a member rest, or go on."""

from __future__ import annotations

from datetime import date, timedelta

from bot.grammar.cells import take_everything, take_place
from bot.grammar.dates import Lean, take_date
from bot.grammar.names import rest_names, take_member, take_quoted
from bot.grammar.slots import nothing_left
from bot.grammar.text import Bag
from core.requests import SetPause

_DAYS = {"day": 1, "week": 7, "month": 30}


def build_pause(bag: Bag) -> SetPause:
    """Build a pause; without a tray or a name it is the whole group's."""
    return _built(bag, take_quoted(bag), off=bag.has("off|end|ended|over"))


def build_resume(bag: Bag) -> SetPause:
    """Build the end of a pause."""
    return _built(bag, take_quoted(bag), off=True)


def _built(bag: Bag, who: str | None, *, off: bool) -> SetPause:
    until = _take_length(bag) or take_date(bag, Lean.NEXT)
    place = take_place(bag)
    who = who or take_member(bag)
    if who is None and bag.has("me|myself|my|mine"):
        who = "me"
    take_everything(bag)
    bag.drop(
        "until|till|to|from|now|on|for|the|of|group|reminders?|everybody|everyone|everything|trays?"
    )
    names = rest_names(bag) if who is None and not place.trays and bag.left() else ()
    nothing_left(bag)
    return SetPause(
        trays=place.trays,
        who=who or (names[0] if names else None),
        until=None if off else until,
        off=off,
    )


def _take_length(bag: Bag) -> date | None:
    """Claim `2 weeks`; return the day after them."""
    found = bag.take(r"(?<!\w)(?:for\s+)?(\d{1,3}|an?|one)\s+(day|week|month)s?(?!\w)")
    if found is None:
        return None
    count = int(found[1]) if found[1].isdigit() else 1
    return bag.context.today + timedelta(days=count * _DAYS[found[2].casefold()])
