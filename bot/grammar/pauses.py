"""Reminders that rest or go on, of the group, of trays or to a member; and their rehearsal."""

from __future__ import annotations

import re
from datetime import date, timedelta

from bot.grammar.cells import take_everything, take_place
from bot.grammar.dates import Lean, take_date
from bot.grammar.names import rest_names, take_member, take_quoted
from bot.grammar.slots import nothing_left
from bot.grammar.text import Bag
from core.requests import Rehearse, SetPause

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


_HABITS = "always|sometimes|never"
_EVERYBODY = re.compile(
    r"(?:everybody|everyone|all|the others|others|the rest)(?: else)?", re.IGNORECASE
)


def build_rehearse(bag: Bag) -> Rehearse:
    """Build how many weeks are played, and who answers how."""
    habits: dict[str, str] = {}
    while found := bag.take(rf"\"([^\"\x00]{{1,100}})\"\s+({_HABITS})(?!\w)"):
        habits[found[1].strip()] = found[2].casefold()
    weeks = bag.take(r"(?<!\w)(?:for\s+|the next\s+)?(\d{1,3})\s*weeks?(?!\w)")
    while found := bag.take(rf"(?<!\w)([^\x00,;]{{1,100}}?)\s+(?:answers?\s+)?({_HABITS})(?!\w)"):
        for name in re.split(r",|\band\b|&", found[1], flags=re.IGNORECASE):
            if who := " ".join(name.split()).lstrip("@"):
                habits["" if _EVERYBODY.fullmatch(who) else who] = found[2].casefold()
    bag.drop("and|with|,|answers?|weeks?")
    nothing_left(bag)
    return Rehearse(weeks=int(weeks[1]) if weeks else 0, habits=tuple(habits.items()))
