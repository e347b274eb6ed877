"""Set-up told in sentences of several parts: shelves with their hours, trays by code, packets.

Each reader returns the requests of one kind, or none where the message is about something else.
"""

from __future__ import annotations

import re
from datetime import time, timedelta

from bot.reading.report import scanned
from bot.reading.scan import Mention, Scan
from bot.reading.set_up_lists import FLUORESCENT, STANDARD
from core import requests as r
from core.requests import Where

_PARTS = re.compile(r"[\n;]|\.(?=\s|$)|!+")
_CLOCK = r"(\d{1,2})(?::(\d\d))?\s*(am|pm|h)?"
_FROM_TO = re.compile(
    rf"(?i)(?:\bon\b|\bfrom\b|\bde\b|\bencend\w+|\bprend\w+)[^\d]{{0,14}}{_CLOCK}"
    rf"[^\d]{{1,30}}?(?:\boff\b|\bto\b|\btill?\b|\buntil\b|\ba\b|\bapag\w+|-)[^\d]{{0,14}}{_CLOCK}"
)
_NO_MAT = re.compile(r"(?i)\b(?:no|without|sin)\s+(?:heat(?:ing)?\s+)?(?:mats?|manta|tapete)\b")
_LAMPS = (("white_led", "led"), (FLUORESCENT, "fluorescent"), ("window", "window"))


def shelves_told(scan: Scan, said: list[Mention]) -> list[r.Request]:
    """Return shelves with lamp and hours: `shelf A: LED, 16 h a day`, `lamps on 6am to 8pm`."""
    if any(m.kind in ("crop", "tray", "sowing", "cells", "lot") for m in said):
        return []
    found: list[r.Request] = []
    for part in _PARTS.split(scan.text):
        found += _shelf_told(scan, part)
    return found


def _shelf_told(scan: Scan, part: str) -> list[r.Request]:
    inner, mentions = scanned(part, scan.context)
    code = next((str(m.value[0]) for m in mentions if m.kind == "shelf"), None)
    named = re.search(r"(?i)\bcall(?:ed| it)?\s+([A-Z])\b|\bse llama\s+([A-Z])\b", scan.text)
    if code is None and named is not None:
        code = (named[1] or named[2]).upper()
    if code is None:
        return []
    words = set(inner.words)
    lamp = next((kind for kind, word in _LAMPS if _says(inner, mentions, word, words)), None)
    known = code in {one.upper() for one in scan.context.shelves}
    times = _FROM_TO.search(part)
    on, off = _times(times) if times else (None, None)
    if (lamp is None and on is None) or (known and on is None):
        return []  # what stands already is reported on, not set up
    mat = False if _NO_MAT.search(part) else None
    found: list[r.Request] = [r.SetShelf(code=code, lamp=lamp, on_at=on, off_at=off, heat_mat=mat)]
    hours = next((float(m.value) for m in mentions if m.kind == "hour"), None)
    if hours is not None and on is None:
        found.append(r.Light(where=Where(shelf=code), hours=hours))
    return found


def _says(scan: Scan, mentions: list[Mention], lamp: str, words: set[str]) -> bool:
    if lamp == "window":
        return any(m.has("noun", "sill") for m in mentions) or bool(words & {"window", "ventana"})
    if lamp == "led":
        return bool(words & {"led", "leds"})
    return any(word.startswith("fluoresc") for word in words) or bool(words & {"tubes", "tubos"})


def _times(hit: re.Match[str]) -> tuple[time | None, time | None]:
    first, second = _time(hit, 1), _time(hit, 4)
    if first is None or second is None:
        return None, None
    if not hit[6] and not hit[3] and second <= first and second.hour < 12:
        second = second.replace(hour=second.hour + 12)  # `from 6 to 8`: till the evening
    return first, second


def _time(hit: re.Match[str], at: int) -> time | None:
    hour, minute, half = int(hit[at]), int(hit[at + 1] or 0), (hit[at + 2] or "").casefold()
    if half == "pm" and hour < 12:
        hour += 12
    if half == "am" and hour == 12:
        hour = 0
    return time(hour, minute) if hour < 24 and minute < 60 else None


def trays_told(scan: Scan, said: list[Mention]) -> list[r.Request]:
    """Return trays told by code and size: `T1 to T4 on shelf A, T5 to T8 on B, all of them 72s`."""
    trays = [m for m in said if m.kind == "tray"]
    shelves = [m for m in said if m.kind == "shelf"]
    known = {code.upper() for code in scan.context.trays}
    if not trays or any(m.kind in ("crop", "sowing", "cells", "lot") for m in said):
        return []
    if any(code in known for m in trays for code in m.value):
        return []
    if any(m.has("done") and not m.has("setup") and not m.has("done", "put") for m in said):
        return []
    sizes = [int(hit[1]) for hit in _SIZE.finditer(scan.text) if int(hit[1]) in STANDARD]
    if len(set(sizes)) != 1:
        return []
    found: list[r.Request] = []
    for index, m in enumerate(trays):
        end = trays[index + 1].first if index + 1 < len(trays) else len(scan.tokens)
        shelf = next((str(s.value[0]) for s in shelves if m.last < s.first < end), None)
        last = scan.tokens[end].start if end < len(scan.tokens) else len(scan.text)
        if hit := _ON.search(scan.text, scan.tokens[m.last].end, last):
            shelf = shelf or hit[1]
        found.append(r.SetTray(codes=tuple(m.value), cells=sizes[0], shelf=shelf))
    return found


_ON = re.compile(r"(?:\b[Oo]n|\b[Ee]n(?: el| la)?)\s+(?:\w+\s+)?([A-Z])\b")
_SIZE = re.compile(
    r"(?<![\w.])(\d{2,3})(?=s\b|[- ]?cells?\b| celdas?\b| alv[eé]olos?\b| huecos?\b)"
)


def packets_told(scan: Scan, said: list[Mention]) -> list[r.Request]:
    """Return packets of seed in a list: `packets: tomato Amber Pip, pepper Copper Bell`."""
    if not any(m.has("setup", "packet") or m.has("noun", "lot") for m in said):
        return []
    told = any(m.has("done") and not m.has("setup") and not m.has("done", "put") for m in said)
    if told or any(m.kind in ("tray", "cells", "sowing", "lot") for m in said):
        return []
    found: list[r.Request] = []
    for part in re.split(r"[,;:\n]| and (?:a |an )?| y (?:una? )?", scan.text):
        inner, mentions = scanned(part, scan.context)
        crop = next((m for m in mentions if m.kind == "crop"), None)
        seeds = _SEEDS.search(part)
        if crop is None:
            if seeds and found:
                found[-1] = _with_seeds(found[-1], int(seeds[1]))
            continue
        rest = part[inner.tokens[crop.last].end :]
        variety = _VARIETY.match(rest)
        lot = r.SetLot(crop=crop.value[0], variety=variety[1].strip() if variety else None)
        found.append(_with_seeds(lot, int(seeds[1])) if seeds else lot)
    years = [int(hit[2]) for hit in _PACKED.finditer(scan.text) if not hit[1]]
    if len(found) == 1 and years:
        (only,) = found
        assert isinstance(only, r.SetLot)
        found = [r.SetLot(crop=only.crop, variety=only.variety, packed_for=years[0],
                          seeds=only.seeds)]  # fmt: skip
    return found


_SEEDS = re.compile(r"(?i)(?<!\w)(\d{1,5})\s+(?:seeds|semillas)\b")
_VARIETY = re.compile(r"\s+([A-ZÁÉÍÓÚÑ][\w'’-]+(?:\s+[A-ZÁÉÍÓÚÑ][\w'’-]+){0,2})")
_PACKED = re.compile(
    r"(?i)((?:sow|use|plant)\s+by\s+|best before\s+|consumir antes de\s+|hasta\s+)?"
    r"(?<!\d)((?:19|20)\d\d)(?!\d)"
)


def _with_seeds(request: r.Request, seeds: int) -> r.Request:
    assert isinstance(request, r.SetLot)
    return r.SetLot(
        crop=request.crop, variety=request.variety, packed_for=request.packed_for, seeds=seeds
    )


def frosts_told(scan: Scan, read_frost: object) -> list[r.Request]:
    """Return `Last frost 25/5, first frost 28/9`: a frost date in each part."""
    found: list[r.SetFrost] = []
    for part in re.split(r"[,;\n]| and | y ", scan.text):
        inner, mentions = scanned(part, scan.context)
        one = read_frost(inner, [m for m in mentions if m.kind != "sign"])  # type: ignore[operator]
        if one is not None:
            found.append(one)
    last = next((one.typical for one in found if one.typical is not None), None)
    first = next((one.first for one in found if one.first is not None), None)
    return [r.SetFrost(typical=last, first=first)] if last and first else []


_WEEKEND = re.compile(r"(?i)\b(?:this|next|the coming) week-?end\b|\beste fin de semana\b")


def closed_weekend(scan: Scan) -> r.Request | None:
    """Return the one weekend of `shut this weekend`, which is none of every week."""
    if not re.search(
        r"(?i)\b(?:this|next|the coming) week-?end\b|\beste fin de semana\b", scan.text
    ):
        return None
    today = scan.context.today
    saturday = today + timedelta(days=(5 - today.weekday()) % 7)
    if re.search(r"(?i)\bnext week-?end\b", scan.text) and today.weekday() < 5:
        saturday += timedelta(days=7)
    return r.SetClosed(first=saturday, last=saturday + timedelta(days=1))
