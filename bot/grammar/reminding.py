"""`/remind Friday water T3`: what to remind of, on which day, and whom."""

from __future__ import annotations

import re
from datetime import date

from bot.grammar.dates import Lean, take_date
from bot.grammar.problems import WhatNotSaid
from bot.grammar.text import Bag
from core.folding import fold
from core.requests import EndReminder, SetReminder

_HEAD = re.compile(r"""^\s*(?:(me)(?!\w)|"([^"]{1,100})")?\s*(\d{4}-\d\d-\d\d)?\s*:""", re.I)
LONGEST = 200


def build_remind(bag: Bag) -> SetReminder | EndReminder:
    """Build a reminder, or its end: `off 12`, `done 12`.

    `"Ana" 2027-03-17: text` is the full form; otherwise a member's name at the beginning, `me` or
    `us`, and one date anywhere are taken, and the rest is what to remind of.
    """
    if ended := bag.take(r"^\s*(off|done)\s+(\d{1,12})\s*$"):
        return EndReminder(reminder=int(ended[2]), done=ended[1].casefold() == "done")
    if head := _HEAD.match(bag.whole):
        text = bag.whole[head.end() :].strip()
        if text:
            bag.mask(0, len(bag.rest))
            who = "me" if head[1] else head[2]
            on = date.fromisoformat(head[3]) if head[3] else None
            return SetReminder(text=text[:LONGEST].strip(), on=on, who=who)
    who = "me" if bag.take(r"^\s*(?:me|myself)(?!\w)") else None
    if who is None and not bag.take(r"^\s*(?:us|everybody|everyone|the group|them)(?!\w)"):
        who = _first_name(bag)
    on = take_date(bag, Lean.NEXT)
    text = re.sub(r"^(?:to|that|about|of|on|at)\s+", "", bag.left_text(), flags=re.I)
    text = re.sub(r"\s+(?:on|by|at|for|before|until)$", "", text, flags=re.I)[:LONGEST].strip()
    bag.mask(0, len(bag.rest))
    if fold(text) in ("", "off", "on"):
        raise WhatNotSaid(command=bag.command, needs="text")
    return SetReminder(text=text, on=on, who=who)


def _first_name(bag: Bag) -> str | None:
    """Claim a member's name where the words begin with it."""
    for name in sorted(bag.context.members, key=len, reverse=True):
        if bag.take(rf"^\s*@?{re.escape(name)}(?!\w)"):
            return name
    return None
