"""Hours of the day as people say them: `from 9 till noon`, `de 2 a 4`."""

from __future__ import annotations

from bot.reading.numbers import number_at
from bot.reading.scan import Mention, Scan

_NOON = ("noon", "midday", "mediodia")
_TILL = ("to", "till", "until", "til", "a", "hasta", "-", "and", "y")
_THE = ("the", "las", "la", "los", "el", "at")
_LONGEST = 11  # hours between two hours of a clock face


def _hour_at(scan: Scan, i: int) -> tuple[float, int] | None:
    while i < len(scan.words) and scan.words[i] in _THE:
        i += 1
    if i >= len(scan.words):
        return None
    if scan.words[i] in _NOON:
        return 12.0, i + 1
    got = number_at(scan, i)
    if got is None or got[0].denominator not in (1, 2) or not 1 <= got[0] <= 12:
        return None
    after = got[1]
    if scan.is_(after, "noun", "clock"):
        after += 1
    return float(got[0]), after


def hours_between(scan: Scan, first: Mention, last: Mention) -> tuple[float, int, int] | None:
    """Return the hours from one time to another between two mentions, and the tokens they take."""
    for i in range(first.first, last.last + 1):
        start = _hour_at(scan, i)
        if start is None or start[1] >= len(scan.words) or scan.words[start[1]] not in _TILL:
            continue
        end = _hour_at(scan, start[1] + 1)
        if end is None:
            continue
        hours = (end[0] - start[0]) % 12
        if 0 < hours <= _LONGEST:
            return hours, i, end[1] - 1
    return None
