"""The days a question is about: `yesterday`, `last friday`, `since monday`, `esta semana`."""

from __future__ import annotations

import re
from datetime import date, timedelta

from core.trouble.concepts import fold

Days = tuple[date, date]
"""First and last local date, both included."""

_WEEKDAYS = (
    "mon(?:day)?s?|lunes", "tue(?:s|sday)?s?|martes", "wed(?:nesday|s)?s?|miercoles",
    "thu(?:rs?|rsday)?s?|jueves", "fri(?:day)?s?|viernes", "sat(?:urday)?s?|sabados?",
    "sun(?:day)?s?|domingos?",
)  # fmt: skip
_MONTHS = (
    "january|jan|enero", "february|feb|febrero", "march|marzo", "april|apr|abril", "may|mayo",
    "june|jun|junio", "july|jul|julio", "august|aug|agosto",
    "september|sept|sep|septiembre|setiembre", "october|oct|octubre", "november|nov|noviembre",
    "december|dec|diciembre",
)  # fmt: skip
_DAY = r"(?P<day>\d{1,2})(?:st|nd|rd|th)?"
_MONTH = "|".join(f"(?P<m{n}>{names})" for n, names in enumerate(_MONTHS, 1))
_WEEKDAY = re.compile(
    r"\b(?:" + "|".join(f"(?P<w{n}>{w})" for n, w in enumerate(_WEEKDAYS)) + r")\b"
)
_DATED = (
    re.compile(rf"\b{_DAY} (?:of |de )?(?:{_MONTH})\b"),
    re.compile(rf"\b(?:{_MONTH}) (?:the )?{_DAY}\b"),
)
_OF_MONTH = re.compile(r"\b(?:the (?P<day>\d{1,2})(?:st|nd|rd|th)|el (?:dia )?(?P<dia>\d{1,2}))\b")
_WHOLE_MONTH = re.compile(rf"\b(?:in|for|en|de|para) (?:{_MONTH})\b")
_AGO = re.compile(r"\b(?:(?P<en>\d{1,3}) days? ago|hace (?P<es>\d{1,3}) dias?)\b")
_LAST_DAYS = re.compile(r"\b(?:last|past|ultimos) (?P<n>\d{1,3}) (?:days|dias)\b")
_SINCE = re.compile(r"\b(?:since|desde)\b")
_AWAY = re.compile(r"\b(?:while|when) i was (?:away|gone|off|out|sick|ill)|mientras no estuve\b")
AWAY_DAYS = 7
WEEKEND = 5  # its first weekday

_NAMED: tuple[tuple[str, int, int], ...] = (
    (r"day before yesterday|anteayer|antier|antes de ayer", -2, -2),
    (r"yesterday|last night|ayer|anoche", -1, -1),
    (r"today|this morning|tonight|this afternoon|hoy|esta (?:manana|tarde|noche)", 0, 0),
    (r"tomorrow|(?<!la )(?<!esta )(?<!de )manana", 1, 1),
)


def days_asked(text: str, today: date, *, ahead: bool = False) -> Days | None:
    """Return the days a question names; None when it names none.

    Args:
        ahead: a weekday or day of the month is the next one, else the latest.

    Checked by: tests/core/trouble/test_days_asked.py.
    """
    sentence = fold(text)
    found = _named(sentence, today, ahead)
    if found is not None and _SINCE.search(sentence) and found[0] <= today:
        return found[0], today
    return found


def _named(sentence: str, today: date, ahead: bool) -> Days | None:
    for words, first, last in _NAMED:
        if re.search(rf"\b(?:{words})\b", sentence):
            return today + timedelta(days=first), today + timedelta(days=last)
    if match := _AGO.search(sentence):
        day = today - timedelta(days=int(match["en"] or match["es"]))
        return day, day
    if match := _LAST_DAYS.search(sentence):
        return today - timedelta(days=int(match["n"])), today
    if _AWAY.search(sentence):
        return today - timedelta(days=AWAY_DAYS), today
    return _week(sentence, today, ahead) or _dated(sentence, today, ahead)


def _week(sentence: str, today: date, ahead: bool) -> Days | None:
    monday = today - timedelta(days=today.weekday())
    if re.search(r"\b(?:week ?end|fin de semana|finde)\b", sentence):
        saturday = monday + timedelta(days=WEEKEND)
        if not ahead and saturday > today:
            saturday -= timedelta(days=7)
        return saturday, saturday + timedelta(days=1)
    if re.search(r"\b(?:last|past) week\b|\bsemana pasada\b", sentence):
        return monday - timedelta(days=7), monday - timedelta(days=1)
    if re.search(r"\b(?:next week|(?:proxima|otra) semana|semana que viene)\b", sentence):
        return monday + timedelta(days=7), monday + timedelta(days=13)
    if re.search(r"\b(?:this week|esta semana)\b", sentence):
        return (today if ahead else monday), monday + timedelta(days=6)
    if re.search(r"\b(?:this month|este mes)\b", sentence):
        return _month(today.year, today.month)
    return None


def _dated(sentence: str, today: date, ahead: bool) -> Days | None:
    for pattern in _DATED:
        if match := pattern.search(sentence):
            day = _of_year(_month_in(match), int(match["day"]), today, ahead)
            return (day, day) if day else None
    if match := _OF_MONTH.search(sentence):
        near = _day_of_month(int(match["day"] or match["dia"]), today, ahead)
        return (near, near) if near else None
    if match := _WEEKDAY.search(sentence):
        number = next(n for n in range(7) if match[f"w{n}"])
        off = (number - today.weekday()) % 7 if ahead else -((today.weekday() - number) % 7)
        if not off and re.search(r"\b(?:last|pasado)\b", sentence):
            off = -7
        return today + timedelta(days=off), today + timedelta(days=off)
    if match := _WHOLE_MONTH.search(sentence):
        month = _month_in(match)
        year = today.year + (ahead and month < today.month) - (not ahead and month > today.month)
        return _month(year, month)
    return None


def _month_in(match: re.Match[str]) -> int:
    return next(n for n in range(1, 13) if match[f"m{n}"])


def _month(year: int, month: int) -> Days:
    following = date(year + month // 12, month % 12 + 1, 1)
    return date(year, month, 1), following - timedelta(days=1)


def _of_year(month: int, day: int, today: date, ahead: bool) -> date | None:
    for year in (today.year, today.year + (1 if ahead else -1)):
        try:
            found = date(year, month, day)
        except ValueError:
            continue
        if (found >= today) if ahead else (found <= today):
            return found
    return None


def _day_of_month(day: int, today: date, ahead: bool) -> date | None:
    step = 1 if ahead else -1
    year, month = today.year, today.month
    for _ in range(3):
        try:
            found = date(year, month, day)
        except ValueError:
            found = None
        if found is not None and ((found >= today) if ahead else (found <= today)):
            return found
        month += step
        year, month = year + (month - 1) // 12, (month - 1) % 12 + 1
    return None
