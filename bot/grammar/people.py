"""People: duty, away, closed, members and one's own settings."""

from __future__ import annotations

from bot.grammar.cells import take_everything, take_place, take_shelf
from bot.grammar.dates import Lean, take_dates, take_span, take_weekdays
from bot.grammar.languages import take_language
from bot.grammar.names import rest_names, take_member, take_names, take_quoted
from bot.grammar.problems import DateNotUnderstood, UnitClash, WhatNotSaid
from bot.grammar.set_up import take_units
from bot.grammar.slots import nothing_left
from bot.grammar.text import Bag, word
from bot.grammar.times import take_time_after, take_times_after
from core.requests import Me, SetAway, SetClosed, SetDuty, SetMember, Where

_OFF = "off|none|remove|cancel|delete|clear|not|no longer|stop|removed"


def build_duty(bag: Bag) -> SetDuty:
    """Build who looks after what on which days."""
    who = take_names(bag)
    shelf = take_shelf(bag)
    place = take_place(bag)
    dates = take_dates(bag, Lean.NEXT, weekdays=False)
    coming = bag.take(r"(?<!\w)(?:this|next)\s+(?=\w)")
    if coming:
        bag.rest = bag.rest[: coming.start()] + coming[0] + bag.rest[coming.end() :]
        dates = (*dates, *take_dates(bag, Lean.NEXT))
    weekdays = take_weekdays(bag)
    off = bag.has(_OFF)
    everything = take_everything(bag)
    bag.drop("duty|rota|on|every|each|trays?|waters?|looks? after|list|show|days?|does|takes")
    who = who or (rest_names(bag) if bag.left() else ())
    nothing_left(bag)
    where = Where(trays=place.trays, cells=place.cells, shelf=shelf, everything=everything)
    days = tuple(one.day for one in dates)
    if not who and (weekdays or days or not where.empty) and not off:
        raise WhatNotSaid(command=bag.command, needs="name")
    return SetDuty(who=who, weekdays=weekdays, where=where, days=days, off=off)


def build_away(bag: Bag) -> SetAway:
    """Build an absence; a name is for somebody else's."""
    who = take_quoted(bag) or take_member(bag, "for") or take_member(bag)
    first, last = take_span(bag)
    off = bag.has(_OFF + "|back")
    bag.drop(
        "i'?m|am|i|me|will|be|from|until|till|to|through|back|list|show|who|holidays?|holiday|on|days?|away|for"
    )
    names = rest_names(bag) if who is None and bag.left() else ()
    if len(names) > 1:
        raise DateNotUnderstood(typed=" ".join(names))
    nothing_left(bag)
    who = who or (names[0] if names else None)
    if who and first is None and not off:
        raise WhatNotSaid(command=bag.command, needs="date")
    return SetAway(first=first, last=last, who=who, off=off)


def build_closed(bag: Bag) -> SetClosed:
    """Build days nobody can get in: dates with a label, or weekdays."""
    label = take_quoted(bag)
    near = bag.find(word("this|next|last"))
    first, last = take_span(bag, weekdays=near is not None)
    weekdays = take_weekdays(bag)
    off = bag.has("off|remove|cancel|delete|clear|open|reopen|not")
    bag.drop("from|until|till|to|through|on|every|each|list|show|days?|closed|closure|dates?|-")
    if label is None and bag.left():
        label = bag.left_text()
        bag.mask(0, len(bag.rest))
    if label and first is None and not weekdays:
        raise DateNotUnderstood(typed=label[:100])
    return SetClosed(first=first, last=last, weekdays=weekdays, label=label, off=off)


def build_member(bag: Bag) -> SetMember:
    """Build a member's name, role or leaving."""
    new_name = take_quoted(bag, "(?:new )?name|rename(?:d)?(?: to)?|called|is now")
    name = take_quoted(bag) or take_member(bag)
    if new_name is None and (
        hit := bag.take(
            r"(?<!\w)(?:(?:new )?name|rename(?:d)? to|renamed?|called|is now|is called)"
            r"\s+([^\x00\",]+?)\s*$"
        )
    ):
        new_name = hit[1].strip()
    coordinator: bool | None = None
    if bag.has(
        "(?:not|no|no longer|isn't)(?: an?)? (?:coordinator|admin|leader)|(?:coordinator|admin) off"
    ):
        coordinator = False
    elif bag.has("(?:is |as )?(?:an? )?(?:coordinator|admin|leader)(?: on)?"):
        coordinator = True
    added = bag.has("add|added|new|joins?|joined")
    removed = bag.has("removed?|out|left|gone|delete|leaves")
    bag.drop("members?|list|show|all|add|make")
    names = rest_names(bag) if name is None and bag.left() else ()
    name = name or (names[0] if names else None)
    nothing_left(bag)
    if name is None and (new_name or coordinator is not None or removed or added):
        raise WhatNotSaid(command=bag.command, needs="name")
    if removed and (coordinator or added):
        raise UnitClash(command=bag.command, typed=bag.whole.strip())
    return SetMember(
        name=name, new_name=new_name, coordinator=coordinator, removed=removed, added=added
    )


def build_me(bag: Bag) -> Me:
    """Build one's own name, language, units, reminders and quiet hours."""
    name = take_quoted(bag, "(?:my )?name(?: is)?|called|call me") or take_quoted(bag)
    quiet = take_times_after(bag, "quiet(?: hours| time)?")
    quiet_from = None if quiet else take_time_after(bag, "quiet from")
    quiet_to = None if quiet else take_time_after(bag, "quiet (?:to|until)")
    group = bag.take(r"(?<!\w)group\s*#?(-?\d{1,18})(?!\w)")
    remind_at = take_time_after(bag, "(?:reminders?|nudges?|notices?|remind me)(?: at)?")
    reminders: bool | None = None
    if bag.has(
        "(?:reminders?|nudges?|notices?) (?:off|no|stop)|no (?:reminders?|nudges?)|mute"
        "|stop reminders"
    ):
        reminders = False
    elif bag.has("(?:reminders?|nudges?|notices?)(?: (?:on|yes))?|unmute"):
        reminders = True
    thanks: bool | None = None
    if bag.has("(?:no thanks|thanks (?:off|no))"):
        thanks = False
    elif bag.has("thanks(?: (?:on|yes))?"):
        thanks = True
    if name is None and (
        hit := bag.take(
            r"(?<!\w)(?:(?:my )?name(?: is)?|called|call me)\s+([^\x00\",]+?)\s*(?=$|\x00|,)"
        )
    ):
        name = hit[1].strip()
    language = take_language(bag)
    fahrenheit, inches = take_units(bag)
    bag.drop("units?|settings|show|use|me")
    nothing_left(bag)
    return Me(
        name=name, language=language, fahrenheit=fahrenheit, inches=inches, reminders=reminders,
        quiet_from=quiet[0] if quiet else quiet_from, quiet_to=quiet[1] if quiet else quiet_to,
        group=int(group[1]) if group else None, remind_at=remind_at,
        thanks=thanks,
    )  # fmt: skip
