"""Set-up said as a list or in a sentence of its own: trays by size, members, frost dates."""

from __future__ import annotations

import re
from datetime import date, timedelta
from itertools import pairwise

from bot.reading.scan import Mention, Scan
from core import requests as r
from core.cells import MAX_COLS, MAX_ROWS

STANDARD = (18, 32, 36, 50, 72, 98, 128, 200)
"""Cells of usual trays, as core/data takes them by number."""

MOST_TRAYS = 50


# --- trays ---


def trays_listed(scan: Scan, said: list[Mention]) -> list[r.Request]:
    """Return the trays of `eight of 72 cells and two of 50`, `three 5x10s on shelf A`."""
    if any(m.kind in ("crop", "tray", "sowing", "cells", "lot", "c", "f", "lux") for m in said):
        return []
    if any(m.has("done") and not (m.has("setup") or m.has("done", "put")) for m in said):
        return []
    noun = any(m.has("noun", "tray") for m in said)
    shelf = next((str(m.value[0]) for m in said if m.kind == "shelf"), None)
    text = _digits(scan, said)
    found: list[tuple[int, int, int, int]] = []  # trays, cells, rows, columns
    for hit in _BY.finditer(text):
        many, rows, cols = int(hit["many"] or 1), int(hit["rows"]), int(hit["cols"])
        if cols in STANDARD and not hit["many"]:
            found.append((rows, cols, 0, 0))
        elif rows <= MAX_ROWS and cols <= MAX_COLS and rows * cols >= min(STANDARD):
            found.append((many, 0, rows, cols))
    if not found and (noun or shelf or not scan.context.trays):
        for hit in _OF.finditer(text):
            many, cells = int(hit["many"] or 1), int(hit["cells"])
            if cells in STANDARD and (hit["many"] or noun or shelf):
                found.append((many, cells, 0, 0))
    if not found or not (noun or shelf or _asked(said) or not scan.context.trays):
        return []
    return _made(scan, found, shelf)


def _asked(said: list[Mention]) -> bool:
    return any(m.has("setup", "add") for m in said)


_BY = re.compile(
    r"(?:(?P<many>\d+) )?(?P<rows>\d+) ?(?:rows? )?(?:x|by|por|×|\*) ?(?P<cols>\d+)s?(?!\d)"
)
_OF = re.compile(
    r"(?:(?P<many>\d+) (?:\w+ ){0,2}?)?(?:of |de |with |con |another |otra |otro )?"
    r"(?P<cells>\d+)(?:s\b| ?- ?cell| cells?| celdas?| alveolos?| plugs?|(?= ?(?:$|[.,;!]| and| y"
    r"| for| para| on| en)))"
)


def _digits(scan: Scan, said: list[Mention]) -> str:
    """Return the words in lower case with their numbers as digits."""
    parts = []
    last = 0
    for m in said:
        start, end = scan.tokens[m.first].start, scan.tokens[m.last].end
        parts.append(scan.text[last:start])
        number = m.kind == "num" and m.value.denominator == 1 and not m.text[:1].isdigit()
        one = number and m.text.lower() in ("a", "an", "un", "una")
        parts.append(str(int(m.value)) if number and not one else scan.text[start:end])
        last = end
    return "".join([*parts, scan.text[last:]]).lower()


def _made(scan: Scan, found: list[tuple[int, int, int, int]], shelf: str | None) -> list[r.Request]:
    used = [int(code[1:]) for code in scan.context.trays if re.fullmatch(r"[Tt]\d+", code)]
    first = max(used, default=0) + 1
    requests: list[r.Request] = []
    for many, cells, rows, cols in found:
        if not 1 <= many <= MOST_TRAYS:
            return []
        codes = tuple(f"T{first + n}" for n in range(many))
        first += many
        requests.append(r.SetTray(codes=codes, cells=cells, rows=rows, cols=cols, shelf=shelf))
    return requests


# --- shelves ---

_LETTER = re.compile(r"(?<![\w.])([A-Z])(?![\w.])")
_KINDS = {
    "led": r"\bleds?\b", "fluorescent": r"\b(?:tubes?|tubos?|fluorescen\w+)\b",
    "window": r"\b(?:window\w*|sill|ventana|alf[eé]izar)\b",
}  # fmt: skip
_MAT = re.compile(r"(?i)\b(?:heat(?:ing)? mats?|mat|esterilla|manta t[eé]rmica|tapete)\b")


def shelves_listed(scan: Scan, said: list[Mention]) -> list[r.Request]:
    """Return the shelves of `two shelves with LED lights, A and B`, `A has LED, B has tubes`."""
    if any(m.kind in ("crop", "tray", "sowing", "cells", "lot", "c", "f", "lux", "hour")
           or (m.has("done") and not m.has("done", "put")) for m in said):  # fmt: skip
        return []
    noun = any(m.has("noun", "shelf") for m in said) or any(m.kind == "shelf" for m in said)
    known = {code.upper() for code in scan.context.shelves}
    lamps = [kind for kind, words in _KINDS.items() if re.search(rf"(?i){words}", scan.text)]
    if not noun or not lamps:
        return []
    letters = [
        hit for hit in _LETTER.finditer(scan.text) if hit[1] != "I" or "shelf I" in scan.text
    ]
    number = next((int(m.value) for m in said if m.kind == "num" and m.value.denominator == 1), 1)
    if not letters and _asked(said) and not known and 1 <= number <= MOST_SHELVES:
        return _shelves([(chr(65 + n), scan.text) for n in range(number)])
    codes = list(dict.fromkeys(hit[1] for hit in letters))
    if not codes or known & set(codes):
        return []  # what stands already is reported on, not set up
    if len(lamps) == 1 and not _apart_told(scan.text, letters):
        return _shelves([(code, scan.text) for code in codes])
    ends = [*(hit.start() for hit in letters[1:]), len(scan.text)]
    parts = [(hit[1], scan.text[hit.end() : end]) for hit, end in zip(letters, ends, strict=True)]
    return _shelves(parts)


MOST_SHELVES = 12


def _apart_told(text: str, letters: list[re.Match[str]]) -> bool:
    """Whether something is told of each letter: `A has LED, B is bare`."""
    between = [text[a.end() : b.start()] for a, b in pairwise(letters)]
    return any(len(part.split()) > 2 for part in between)


def _shelves(parts: list[tuple[str, str]]) -> list[r.Request]:
    found: list[r.Request] = []
    for code, text in parts:
        kinds = [kind for kind, words in _KINDS.items() if re.search(rf"(?i){words}", text)]
        lamp = {"led": "white_led", "window": "window"}.get(kinds[0] if kinds else "")
        mat = True if _MAT.search(text) else None
        if kinds[:1] == ["fluorescent"]:
            lamp = FLUORESCENT
        found.append(r.SetShelf(code=code, lamp=lamp, heat_mat=mat))
    return found


FLUORESCENT = "cool_white_fluorescent"

# --- duty ---


def duty_listed(scan: Scan, said: list[Mention]) -> list[r.Request]:
    """Return who comes when: `Ana comes on mondays and Ben on thursdays`."""
    if any(m.kind in ("crop", "tray", "num", "sowing") or m.has("done") for m in said):
        return []
    comes = any(m.has("setup", "comes") or m.has("setup", "duty") for m in said)
    found: list[r.Request] = []
    who: list[str] = []
    days: list[int] = []
    for m in [*said, None]:
        if m is None or m.kind == "person":
            if who and days:
                found.append(r.SetDuty(who=tuple(who), weekdays=tuple(dict.fromkeys(days))))
                who, days = [], []
            if m is not None:
                who.append(str(m.value))
        elif m.text.lower() in _ME and not who:
            who.append("me")
        elif m.text.lower() in _ME and days:
            found.append(r.SetDuty(who=tuple(who), weekdays=tuple(dict.fromkeys(days))))
            who, days = ["me"], []
        else:
            days += [int(key) for key in m.keys("weekday")]
    return found if comes and len(found) > 1 else []


_ME = ("i", "me", "yo", "ponme")

# --- members ---

_NAME = r"[^\W\d_][\w'’-]*"
_NAMES = rf"{_NAME}(?:(?:, | and | & | y | e |, and ){_NAME})*"


def members_listed(scan: Scan, said: list[Mention]) -> list[r.Request]:
    """Return the people to list: `add Ruth to the group`, `our members are Nell and Otto`."""
    if any(m.kind in ("crop", "tray", "num", "sowing", "shelf") for m in said):
        return []
    for lexicon in scan.order:
        for pattern in lexicon.patterns.get("member", ()):
            hit = re.search(pattern.replace("NAMES", f"(?P<names>{_NAMES})"), scan.text)
            if hit is None:
                continue
            names = re.split(r", and |, | and | & | y | e ", hit["names"])
            if all(name[0].isupper() for name in names):
                return [r.SetMember(name=name, added=True) for name in names]
    return []


# --- frost ---


def frosts_listed(scan: Scan, said: list[Mention]) -> list[r.Request]:
    """Return frost dates told together: last and first, or the early, usual and late of one."""
    cues = [m for m in said if m.has("setup", "frost") or m.has("setup", "first_frost")
            or m.has("look", "frost")]  # fmt: skip
    days = [m for m in said if m.kind == "day" and m.prep == "yearless"]
    if any(m.kind in ("tray", "crop") for m in said) or len(days) < 2:
        return []
    by_chance = _by_chance(scan, said, days)
    if by_chance is not None:
        return [by_chance]
    if not cues:
        return []
    last: date | None = None
    first: date | None = None
    for day in days:
        near = min(cues, key=lambda cue: _apart(cue, day))
        if near.has("setup", "first_frost"):
            first = first or day.value
        else:
            last = last or day.value
    if last is None or first is None:
        return []
    return [r.SetFrost(typical=last, first=first)]


def _apart(cue: Mention, day: Mention) -> int:
    return cue.first - day.last if cue.first > day.last else (day.first - cue.last) - 1


def _by_chance(scan: Scan, said: list[Mention], days: list[Mention]) -> r.SetFrost | None:
    """Read `as early as 12 May, usually 25 May, as late as 6 June`, and `between A and B`."""
    slots: dict[str, date] = {}
    for day in days:
        end = scan.tokens[day.last].end
        start = scan.tokens[day.first].start
        after = scan.text[end : end + 12].lower()
        before = scan.text[max(0, start - 30) : start].lower()
        for key, words in _CHANCES.items():
            if any(f"({word}" in after for word in words) or any(
                before.rstrip().endswith(word) for word in words
            ):
                slots.setdefault(key, day.value)
    frost = any(m.has("setup", "frost") or m.has("look", "frost") for m in said)
    if len(days) == 2 and frost and re.search(r"(?i)\b(?:between|entre)\b", scan.text):
        low, high = sorted(day.value for day in days)
        return r.SetFrost(early=low, late=high)
    if len(slots) >= 2 and ("early" in slots or "late" in slots):
        rest = [day.value for day in days if day.value not in slots.values()]
        middle = slots.get("middle") or (rest[0] if len(rest) == 1 else None)
        return r.SetFrost(early=slots.get("early"), middle=middle, late=slots.get("late"))
    return None


_CHANCES = {
    "early": ("early", "earliest", "as early as", "as early as the", "temprano", "lo mas pronto"),
    "middle": ("middle", "usual", "usually", "medium", "normal", "in half the years", "over by"),
    "late": ("late", "latest", "as late as", "as late as the", "tarde", "lo mas tarde"),
}


def closed_day(scan: Scan) -> date | None:
    """Return the coming day of `monday the 29th`."""
    hit = re.search(
        r"(?i)\bthe (\d{1,2})(?:st|nd|rd|th)\b(?! of)|\bel d[ií]a (\d{1,2})\b", scan.text
    )
    if hit is None:
        return None
    wanted = int(hit[1] or hit[2])
    day = scan.context.today
    for _ in range(62):
        if day.day == wanted:
            return day
        day += timedelta(days=1)
    return None
