"""Dates and weekdays as people type them.

A date without a year is the latest one for a report and the next one for a plan; `3/4` may be
3 April or 4 March and is asked, while `13/4` and `3.4.` have one reading.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from bot.grammar.problems import DateNotUnderstood
from bot.grammar.quantities import WORDS, value
from bot.grammar.text import Bag, word
from bot.grammar.unclear import Unclear
from core.folding import fold, plain


class Lean(StrEnum):
    """Which way a date without a year, or a weekday, is read."""

    PAST = "past"
    NEXT = "next"
    SEASON = "season"  # the year does not matter


class Said(StrEnum):
    """How a date was given."""

    FULL = "full"
    YEARLESS = "yearless"
    WEEKDAY = "weekday"
    RELATIVE = "relative"


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundDate:
    """A date, and the span it was read from."""

    day: date
    said: Said
    start: int
    end: int


FUTURE_SLACK_DAYS = 45  # a report dated so little ahead is a slip to be refused, not last year

_MONTHS = [
    "jan(?:uary)?", "feb(?:ruary)?", "mar(?:ch)?", "apr(?:il)?", "may", "june?", "july?",
    "aug(?:ust)?", "sept?(?:ember)?", "oct(?:ober)?", "nov(?:ember)?", "dec(?:ember)?",
]  # fmt: skip
_MONTHS[5], _MONTHS[6] = "jun(?:e)?", "jul(?:y)?"
_WEEKDAYS = ["mon(?:days?)?", "tue(?:s|sdays?)?", "wed(?:s|nesdays?)?", "thu(?:rs?|rsdays?)?", "fri(?:days?)?", "sat(?:urdays?)?", "sun(?:days?)?"]  # fmt: skip  # noqa: E501
MONTH = "|".join(_MONTHS)
WEEKDAY = "|".join(_WEEKDAYS)
_DAY = r"\d{1,2}(?:st|nd|rd|th)?"
_SMALL = "|".join(name for name in WORDS if " " not in name)

_DATE = re.compile(
    rf"""(?<![\w./-])(?:(?:on|the)\s+)*(?:
    (?P<iso>\d{{4}}[-/.]\d{{1,2}}[-/.]\d{{1,2}})(?![\w/-])
    |(?P<d1>{_DAY})[\s-]*(?:of\s+)?(?P<m1>{MONTH})\.?(?:[\s,-]*(?P<y1>(?:19|20)\d\d))?(?!\w)
    |(?P<m2>{MONTH})\.?[\s-]*(?:the\s+)?(?P<d2>{_DAY})(?!\w|[.,:]\d)(?:[\s,-]*(?P<y2>(?:19|20)\d\d)(?!\w))?
    |(?P<a>\d{{1,2}})/(?P<b>\d{{1,2}})(?:/(?P<y3>(?:20)?\d\d))?(?![\w/])
    |(?P<a4>\d{{1,2}})\.(?P<b4>\d{{1,2}})\.(?P<y4>(?:20)?\d\d)?(?![\w.])
    |(?P<a5>\d{{1,2}})-(?P<b5>\d{{1,2}})-(?P<y5>20\d\d)(?![\w-])
    |(?P<before>(?:the\s+)?day\s+before\s+yesterday)(?!\w)
    |(?P<near>today|yest(?:e?r)?d?a?y|tom+or+ow|tonight|last\s+night|this\s+morning)(?!\w)
    |(?P<ago>\d{{1,3}}|a|{_SMALL})\s+(?P<unit>days?|weeks?)\s+ago(?!\w)
    |in\s+(?P<ahead>\d{{1,3}}|a|{_SMALL})\s+(?P<unit2>days?|weeks?)(?!\w)
    |(?:(?P<which>last|this|next|past)\s+)?(?P<wd>{WEEKDAY})(?!\w)
    )""",
    re.IGNORECASE | re.VERBOSE,
)
_TWO = re.compile(
    rf"(?<![\w./-])(?:(?P<d1>{_DAY})\s*(?:-|to|until|till)\s*(?P<d2>{_DAY})\s*(?:of\s+)?(?P<m>{MONTH})"
    rf"|(?P<m2>{MONTH})\s*(?P<d3>{_DAY})\s*(?:-|to|until|till)\s*(?P<d4>{_DAY}))(?![\w/])",
    re.IGNORECASE,
)


def weekday_number(name: str) -> int:
    """Return 0 for a Monday .. 6 for a Sunday of a word that WEEKDAY matches."""
    begins = plain(name[:2])
    twice = {"th": 3, "sa": 5, "su": 6}
    return twice[begins] if begins in twice else "mtwtfss".index(begins[0])


def month_number(name: str) -> int:
    """Return 1..12 of a word that MONTH matches."""
    return [
        "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
    ].index(plain(name[:3])) + 1  # fmt: skip


def take_dates(bag: Bag, lean: Lean, *, weekdays: bool = True) -> tuple[FoundDate, ...]:
    """Claim every date; raise Unclear for one of two readings, DateNotUnderstood for none."""
    _split_shared_month(bag)
    found: list[FoundDate] = []
    at = 0
    while match := _DATE.search(bag.rest, at):
        at = match.end()
        if match["wd"] and not weekdays:
            continue
        day, said = _read(match, bag, lean)
        bag.mask(match.start(), match.end())
        found.append(FoundDate(day=day, said=said, start=match.start(), end=match.end()))
    return tuple(found)


def take_date(bag: Bag, lean: Lean) -> date | None:
    """Claim one date; a second one stays for the left-over words."""
    found = take_dates(bag, lean)
    if len(found) > 1:
        second = found[1]
        raise DateNotUnderstood(typed=bag.whole[second.start : second.end])
    return found[0].day if found else None


LONGEST_BEGUN = timedelta(days=200)
"""A span that began already is no longer than this; `9 May - 1 May` is a slip, not a year."""


def take_span(bag: Bag, *, weekdays: bool = True) -> tuple[date | None, date | None]:
    """Claim a first and a last day ahead: `21 Dec - 3 Jan`, `3-10 Apr`, `tomorrow`, `until fri`.

    One day alone is both; `from X` alone has no last day, `until X` begins today.
    """
    if (week := _whole_week(bag)) is not None:
        return week
    if weekdays:
        _split_weekdays(bag)
    bag_text = bag.rest
    found = take_dates(bag, Lean.NEXT, weekdays=weekdays)
    if not found:
        return None, None
    if len(found) > 2:
        raise DateNotUnderstood(typed=bag.whole[found[2].start : found[2].end])
    one = found[0]
    if len(found) == 1:
        before = bag_text[: one.start]
        if re.search(word("until|till|to|through") + r"\s*$", before, re.IGNORECASE):
            bag.drop("until|till|to|through")
            return bag.context.today, one.day
        if re.search(word("from|since") + r"\s*$", before, re.IGNORECASE):
            bag.drop("from|since")
            return one.day, None
        return one.day, one.day
    first, last = one.day, found[1].day
    bag.drop("until|till|through")
    if first > last and one.said is Said.YEARLESS:
        before_this = _with_year(first, first.year - 1) or first
        if last - before_this <= LONGEST_BEGUN:
            first = before_this
    if first > last and found[1].said is Said.WEEKDAY:
        last += timedelta(days=7)
    if first > last:
        raise DateNotUnderstood(typed=bag.whole[one.start : found[1].end])
    return first, last


def _whole_week(bag: Bag) -> tuple[date, date] | None:
    """Claim `next week`, Monday to Sunday, and `this week`, from today to its Sunday."""
    today = bag.context.today
    monday = today - timedelta(days=today.weekday())
    if bag.has("(?:all )?next week|la semana que viene|la pr[óo]xima semana|la semana pr[óo]xima"):
        return monday + timedelta(days=7), monday + timedelta(days=13)
    if bag.has("(?:all |the rest of )?this week|esta semana"):
        return today, monday + timedelta(days=6)
    return None


def take_weekdays(bag: Bag) -> tuple[int, ...]:
    """Claim every weekday, `mon-thu`, `weekdays`, `weekends`, `every day`; 0 = Monday."""
    days: set[int] = set()
    while found := bag.take(rf"(?<!\w)({WEEKDAY})\s*(?:-|to|through)\s*({WEEKDAY})(?!\w)"):
        first, last = weekday_number(found[1]), weekday_number(found[2])
        days |= {(first + step) % 7 for step in range((last - first) % 7 + 1)}
    while found := bag.take(word(f"(?:every |each )?({WEEKDAY})")):
        days.add(weekday_number(found[1]))
    if bag.has("(?:every |each )?weekends?"):
        days |= {5, 6}
    if bag.has("(?:every |each )?(?:weekdays?|work ?days?|school ?days?)"):
        days |= {0, 1, 2, 3, 4}
    if bag.has("daily|every ?day|each day|all week"):
        days |= set(range(7))
    return tuple(sorted(days))


_DAYS = re.compile(rf"(?<![\w./-])({WEEKDAY})\s*-\s*({WEEKDAY})(?!\w)", re.IGNORECASE)


def _split_weekdays(bag: Bag) -> None:
    """Have `fri-sun` read again as `fri to sun`."""
    if found := _DAYS.search(bag.rest):
        raise Unclear(
            kind="same", start=found.start(), end=found.end(),
            options=(f"{found[1]} to {found[2]}",),
        )  # fmt: skip


def _split_shared_month(bag: Bag) -> None:
    """Have `3-10 Apr` read again as `3 Apr - 10 Apr`."""
    if found := _TWO.search(bag.rest):
        month = found["m"] or found["m2"]
        first, last = found["d1"] or found["d3"], found["d2"] or found["d4"]
        raise Unclear(
            kind="same",
            start=found.start(),
            end=found.end(),
            options=(f"{_bare(first)} {month} - {_bare(last)} {month}",),
        )


def _bare(day: str) -> str:
    return day[:-2] if day[-1].isalpha() else day


def _read(match: re.Match[str], bag: Bag, lean: Lean) -> tuple[date, Said]:
    today = bag.context.today
    typed = match[0]
    try:
        if match["iso"]:
            year, month, day = (int(part) for part in re.split("[-/.]", match["iso"]))
            return date(year, month, day), Said.FULL
        if match["wd"]:
            return _weekday(match["wd"], match["which"] or "", lean, today), Said.WEEKDAY
        if match["before"]:
            return today - timedelta(days=2), Said.RELATIVE
        if match["near"]:
            near = fold(match["near"])  # `yesterdy` and `tommorow` have one reading
            step = -1 if near.startswith(("yest", "last")) else int(near.startswith("tom"))
            return today + timedelta(days=step), Said.RELATIVE
        if match["ago"] or match["ahead"]:
            number = match["ago"] or match["ahead"]
            count = 1 if plain(number) == "a" else int(value(number))
            unit = match["unit"] or match["unit2"]
            days = count * (7 if unit[0] in "wW" else 1)
            return today + timedelta(days=days if match["ahead"] else -days), Said.RELATIVE
        if match["m1"] or match["m2"]:
            month = month_number(match["m1"] or match["m2"])
            day = int(_bare(match["d1"] or match["d2"]))
            return _resolve(day, month, match["y1"] or match["y2"], lean, today)
        if match["a4"]:
            return _resolve(int(match["a4"]), int(match["b4"]), match["y4"], lean, today)
        a, b = int(match["a"] or match["a5"]), int(match["b"] or match["b5"])
        return _slashed(match, a, b, match["y3"] or match["y5"], lean, today)
    except (ValueError, OverflowError) as error:
        raise DateNotUnderstood(typed=typed.strip()) from error


def _slashed(
    match: re.Match[str], a: int, b: int, year: str | None, lean: Lean, today: date
) -> tuple[date, Said]:
    readings: dict[date, Said] = {}
    for day, month in ((a, b), (b, a)):
        try:
            found, said = _resolve(day, month, year, lean, today)
        except ValueError:
            continue
        readings[found] = said
    if not readings:
        raise ValueError(match[0])
    if len(readings) == 1:
        return next(iter(readings.items()))
    options = tuple(day.isoformat() for day in readings)
    raise Unclear(kind="date", start=match.start(), end=match.end(), options=options)


def _resolve(day: int, month: int, year: str | None, lean: Lean, today: date) -> tuple[date, Said]:
    if year:
        number = int(year)
        return date(number + 2000 if number < 100 else number, month, day), Said.FULL
    date(2000, month, day)  # raises where no year has it
    first = date(today.year, 1, 1).replace(month=month, day=min(day, 28))
    near = [_with_year(first, today.year + step, day) for step in range(-8, 9)]
    valid = [found for found in near if found is not None]
    if lean is Lean.PAST:
        edge = today + timedelta(days=FUTURE_SLACK_DAYS)
        return max(found for found in valid if found <= edge), Said.YEARLESS
    edge = date(today.year, 1, 1) if lean is Lean.SEASON else today
    return min(found for found in valid if found >= edge), Said.YEARLESS


def _with_year(found: date, year: int, day: int | None = None) -> date | None:
    try:
        return date(year, found.month, day or found.day)
    except ValueError:
        return None


def _weekday(name: str, which: str, lean: Lean, today: date) -> date:
    ahead = (weekday_number(name) - today.weekday()) % 7
    which = plain(which)
    if which in ("last", "past"):
        return today + timedelta(days=ahead - 7)
    if which == "next":
        return today + timedelta(days=ahead or 7)
    if lean is Lean.PAST and ahead:
        return today + timedelta(days=ahead - 7)
    return today + timedelta(days=ahead)
