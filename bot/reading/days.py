"""Days as people say them: yesterday, Sunday, two days ago, 14 March."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

from bot.reading.numbers import number_at
from bot.reading.scan import Mention, Scan


def day(scan: Scan, i: int) -> Mention | None:
    today = scan.context.today
    token = scan.tokens[i]
    if token.kind == "date" and "-" in token.text:
        try:
            return Mention("day", date.fromisoformat(token.text), i, i)
        except ValueError:
            return None
    if scan.is_(i, "day", "ago") and (got := number_at(scan, i + 1)) is not None:  # hace dos dias
        if (days := _span(scan, got)) is not None:
            return Mention("day", today - timedelta(days=days[0]), i, days[1] - 1)
    got = number_at(scan, i)
    if got is None and scan.words[i] == "a":
        got = (Fraction(1), i + 1)
    if got is not None:
        days = _span(scan, got)
        if days is not None and (size := scan.is_(days[1], "day", "ago")):
            return Mention("day", today - timedelta(days=days[0]), i, days[1] + size - 1)
    return _month_day(scan, i)


def _span(scan: Scan, got: tuple[Fraction, int]) -> tuple[int, int] | None:
    value, after = got
    if value.denominator != 1 or value > 400:
        return None
    if size := scan.is_(after, "day", "unit_day"):
        return int(value), after + size
    if size := scan.is_(after, "day", "unit_week"):
        return 7 * int(value), after + size
    return None


def _month(scan: Scan, i: int) -> int | None:
    if i >= len(scan.words):
        return None
    for lexicon in scan.order:
        for words, tags in lexicon.phrases.get(scan.words[i], ()):
            if len(words) == 1:
                for section, key in tags:
                    if section == "month":
                        return int(key)
    return None


def _nth(scan: Scan, i: int) -> tuple[int, int] | None:
    for lexicon in scan.order:
        for size in (2, 1):
            nth = lexicon.ordinals.get(" ".join(scan.words[i : i + size]))
            if nth is not None and i + size <= len(scan.words):
                return nth, i + size
    got = number_at(scan, i)
    if got is None or got[0].denominator != 1 or not 1 <= got[0] <= 31:
        return None
    after = got[1]
    if scan.words[after : after + 1] and scan.words[after] in ("st", "nd", "rd", "th"):
        after += 1
    return int(got[0]), after


def _month_day(scan: Scan, i: int) -> Mention | None:
    month = _month(scan, i)
    if month is not None:
        j = i + 2 if scan.words[i + 1 : i + 2] in (["."], ["the"]) else i + 1
        got = _nth(scan, j)
        if got is None or (scan.words[i] == "may" and scan.tokens[i].text == "may" and not got):
            return None
        return _dated(scan, month, got[0], i, got[1])
    got = _nth(scan, i)
    if got is None:
        return None
    j = got[1] + (1 if scan.words[got[1] : got[1] + 1] in (["of"], ["de"]) else 0)
    month = _month(scan, j)
    return _dated(scan, month, got[0], i, j + 1) if month is not None else None


def _dated(scan: Scan, month: int, day: int, i: int, after: int) -> Mention | None:
    today = scan.context.today
    try:
        found = date(today.year, month, day)
    except ValueError:
        return None
    return Mention("day", found, i, after - 1, prep="yearless")


_LAST = ("last", "pasado")
"""What makes today's own weekday that of a week ago."""


def relative(scan: Scan, i: int) -> Mention | None:
    size, tags = scan.phrase(i)
    if not size:
        return None
    today = scan.context.today
    for section, key in sorted(tags):
        if section == "day" and key in ("0", "1", "2"):
            day = today - timedelta(days=int(key))
            return Mention("day", day, i, i + size - 1, tags=tags, prep="word")
        if section == "weekday":
            back = (today.weekday() - int(key)) % 7
            if not back and scan.words[i - 1 : i] and scan.words[i - 1] in _LAST:
                back = 7
            return Mention(
                "day", today - timedelta(days=back), i, i + size - 1, tags=tags, prep="weekday"
            )
    return None
