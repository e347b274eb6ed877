"""Set-up, duty, plan, wishes and one's own settings, as people say them."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, timedelta

from bot import grammar
from bot.reading.scan import Mention, Scan
from bot.reading.set_up_lists import (
    closed_day,
    duty_listed,
    frosts_listed,
    members_listed,
    shelves_listed,
    trays_listed,
)
from bot.reading.set_up_said import (
    closed_weekend,
    frosts_told,
    packets_told,
    shelves_told,
    trays_told,
)
from core import requests as r
from core.requests import Where

LONGEST_LABEL = 3  # words of what a closure is called
LONGEST = 600
"""Characters of a message that sets something up; longer ones are told otherwise."""

_PART_DAYS = {"early": 5, "mid": 15, "late": 25}  # the day meant by `early May`; common practice


def set_up_of(scan: Scan, mentions: list[Mention]) -> list[r.Request]:
    """Return the set-up requests of a message; place, frost and trays may stand together."""
    if len(scan.text) > LONGEST:
        return []
    said = [m for m in mentions if m.kind != "sign"]
    for told in (packets_told(scan, said), duty_listed(scan, said), shelves_told(scan, said)):
        if told:
            return told
    for reader in _READERS:
        if (request := reader(scan, said)) is not None:
            return [request]
    if wishes := _wishes(scan, said):
        return wishes
    if listed := members_listed(scan, said):
        return listed
    if shelves := shelves_listed(scan, said):
        return shelves
    frosts = frosts_listed(scan, said) or frosts_told(scan, _frost)
    trays = trays_told(scan, said) or trays_listed(scan, said)
    if frosts or trays:
        place = [one for one in (_place(scan, said),) if one is not None]
        one_frost = [one for one in (_frost(scan, said),) if one is not None]
        return [*place, *(frosts or one_frost), *trays]
    found = [reader(scan, said) for reader in _TOGETHER]
    return [request for request in found if request is not None]


def _has(said: list[Mention], key: str) -> bool:
    return any(m.has("setup", key) for m in said)


def _numbers(said: list[Mention]) -> list[int]:
    return [int(m.value) for m in said if m.kind == "num" and m.value.denominator == 1]


def _crop(said: list[Mention]) -> str | None:
    for m in said:
        if m.kind == "crop":
            return str(m.value[0])
        if m.kind == "variety":
            return str(m.value[1])
    return None


def _trays(said: list[Mention]) -> tuple[str, ...]:
    return tuple(code for m in said if m.kind == "tray" for code in m.value)


def _shelf(said: list[Mention]) -> str | None:
    return next((str(m.value[0]) for m in said if m.kind == "shelf"), None)


def _weekdays(said: list[Mention]) -> tuple[int, ...]:
    found = [int(key) for m in said for key in m.keys("weekday")]
    return tuple(dict.fromkeys(found))


def _own(scan: Scan, said: list[Mention]) -> r.Request | None:
    if _has(said, "reminders_off"):
        return r.Me(reminders=False)
    if _has(said, "reminders_on"):
        return r.Me(reminders=True)
    if _has(said, "forget"):
        return r.ForgetMe()
    numbers = any(m.kind in ("num", "c", "f", "degree", "tray", "crop") for m in said)
    if not numbers and len(said) <= 9:
        if _has(said, "celsius"):
            return r.Me(fahrenheit=False)
        if _has(said, "fahrenheit"):
            return r.Me(fahrenheit=True)
        if _has(said, "spanish"):
            return r.Me(language="es")
        if _has(said, "english"):
            return r.Me(language="en")
    return None


def _leaves(scan: Scan, said: list[Mention]) -> r.Request | None:
    people = [str(m.value) for m in said if m.kind == "person"]
    if not _has(said, "leaves") or len(set(people)) != 1 or _trays(said) or _crop(said):
        return None
    return r.SetMember(name=people[0], removed=True)


def language_wanted(said: list[Mention]) -> r.Request | None:
    """Return the language of `can you write to us in Spanish?`; None = nothing of the kind."""
    if len(said) > LONGEST_WISH or not _has(said, "speak"):
        return None
    code = next((code for name, code in _LANGUAGES if _has(said, name)), None)
    if code is None:
        return None
    every = any(m.text.lower() in _US or m.text.lower().endswith(_US) for m in said)
    return r.SetSite(language=code) if every else r.Me(language=code)


_US = ("us", "nos")
LONGEST_WISH = 10
_LANGUAGES = (("spanish", "es"), ("english", "en"))


def _plan(scan: Scan, said: list[Mention]) -> r.Request | None:
    planned = any(m.has("setup", "plan") and "plan" in m.text.lower() for m in said)
    crop, numbers = _crop(said), _numbers(said)
    if not planned or crop is None or not numbers or _trays(said):
        return None
    items = []
    count = 0
    for m in said:
        if m.kind == "num":
            count = int(m.value)
        elif m.kind in ("crop", "variety") and count:
            kind = str(m.value[0] if m.kind == "crop" else m.value[1])
            items.append(r.PlanItem(crop=kind, plants=count))
            count = 0
    return r.MakePlan(items=tuple(items)) if items else None


def _wishes(scan: Scan, said: list[Mention]) -> list[r.Request]:
    done = any(m.has("done") and not m.has("done", "put") for m in said)
    if not _has(said, "wish") or _trays(said) or done:
        return []
    who = next((str(m.value) for m in said if m.kind == "person"), None)
    found: list[r.Request] = []
    count = 0
    for m in said:
        if m.kind == "num" and m.value.denominator == 1:
            count = int(m.value)
        elif m.kind == "crop" and count:
            found.append(r.Wish(plants=count, crop=m.value[0], for_whom=who))
            count = 0
    return found


def _lot(scan: Scan, said: list[Mention]) -> r.Request | None:
    years = [n for n in _numbers(said) if 1990 <= n <= 2100]
    crop = _crop(said)
    placed = _trays(said) or any(m.has("done") and not m.has("done", "put") for m in said)
    if not (_has(said, "lot") and crop and (years or _has(said, "packet"))) or placed:
        return None
    variety = next((str(m.value[0]) for m in said if m.kind == "variety"), None)
    return r.SetLot(crop=crop, variety=variety, packed_for=years[0] if years else None)


def _retire(scan: Scan, said: list[Mention]) -> r.Request | None:
    trays = _trays(said)
    crops = any(m.kind in ("crop", "sowing", "num", "cells", "variety") for m in said)
    held = {tray for tray, _ in scan.context.holds}
    if _has(said, "retire") and trays and not crops and not held & set(trays):
        other = any(m.has("done") and not m.has("done", "lost") and not m.has("done", "undo")
                    and not m.has("done", "put") for m in said)  # fmt: skip
        if not other:
            return r.SetTray(codes=trays, retired=True)
    return None


def _move(scan: Scan, said: list[Mention]) -> r.Request | None:
    trays, shelf = _trays(said), _shelf(said)
    trays = trays or _tray_of_crop(scan, said)
    bare = not any(m.kind in ("num", "cells", "mm", "cm", "inch", "c", "f") for m in said)
    bare = bare and (not _crop(said) or not _trays(said))
    now = any(m.text.lower() in _NOW for m in said)
    told = any(m.has("done") or m.has("level") or m.has("mood") for m in said)
    if not ((_has(said, "move") or (now and not told)) and trays and shelf and bare):
        return None
    shelves = [i for i, m in enumerate(said) if m.kind == "shelf"]
    before = said[max(0, shelves[0] - 2) : shelves[0]]
    moved = any(m.has("link", "to") or m.text in ("on", "in", "en", "under") for m in before)
    return r.SetTray(codes=trays, shelf=shelf) if moved else None


_NOW = ("now", "instead", "ahora")


def _tray_of_crop(scan: Scan, said: list[Mention]) -> tuple[str, ...]:
    """Return the one tray in which the one crop named grows: `the kale is in the window now`."""
    crops = {one for m in said if m.kind == "crop" for one in m.value}
    held = {tray for tray, crop in scan.context.holds if crop in crops}
    return tuple(held) if len(held) == 1 else ()


_TIMES = re.compile(r"(?<![\w.])(\d{1,2})\s*[x×*]\s*(18|32|36|50|72|98|128|200)(?!\w)")


def _add_trays(scan: Scan, said: list[Mention]) -> r.Request | None:
    if (many := _TIMES.search(scan.text)) and not _crop(said) and not _trays(said):
        return _trays_of(scan, int(many[1]), int(many[2]), _shelf(said))
    noun = any(m.has("noun", "tray") for m in said)
    numbers = _numbers(said)
    if _trays(said) or _crop(said) or not noun or not 1 <= len(numbers) <= 2:
        return None
    if any(m.has("done") and not m.has("done", "put") and not m.has("done", "up") for m in said):
        return None
    n, cells = (numbers[0], numbers[1]) if len(numbers) == 2 else (1, numbers[0])
    if len(numbers) == 2 and n > 20 >= cells:
        n, cells = cells, n
    if not 1 <= n <= 50 or cells < 4:
        return None
    return _trays_of(scan, n, cells, _shelf(said))


def _trays_of(scan: Scan, n: int, cells: int, shelf: str | None) -> r.Request | None:
    """Return `n` new trays with the next free codes."""
    if not 1 <= n <= 50 or cells < 6:
        return None
    used = [int(code[1:]) for code in scan.context.trays if re.fullmatch(r"[Tt]\d+", code)]
    first = max(used, default=0) + 1
    codes = tuple(f"T{first + number}" for number in range(n))
    return r.SetTray(codes=codes, cells=cells, shelf=shelf)


def _duty(scan: Scan, said: list[Mention]) -> r.Request | None:
    people = tuple(str(m.value) for m in said if m.kind == "person")
    weekdays = _weekdays(said)
    mine = not people and any(m.text.lower() in ("me", "i", "ponme", "apuntame") for m in said)
    if not _has(said, "duty") or not weekdays or not (people or mine):
        return None
    if any(m.has("done") and not m.has("setup") for m in said) or _has(said, "away"):
        return None
    who = people or ("me",)
    return r.SetDuty(who=who, weekdays=weekdays, where=Where(trays=_trays(said)))


def _span(scan: Scan, command: str) -> r.Request | None:
    """Read the days of a sentence by the command grammar, from its first day on."""
    words = scan.text
    hit = re.search(
        r"(?i)(?<!\w)(?:from|del?|desde|until|hasta|till|on|the|el|los|next|la semana)?\s*"
        r"(?=\d|next week|this week|all week|la semana que viene|la pr[óo]xima semana|"
        r"esta semana|"
        r"(?:every |all )?week ?ends?|(?:los )?fines de semana|"
        r"(?:mon|tue|wed|thu|fri|sat|sun|lunes|martes|mi[ée]rc|jueves|viernes|s[áa]bado|"
        r"domingo|tomorrow|ma[ñn]ana|jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec))",
        words,
    )
    if hit is None:
        return None
    for line in grammar.parse(f"/{command} {words[hit.start() :].strip()}", scan.context):
        if line.request is not None:
            return line.request
    return None


def _away(scan: Scan, said: list[Mention]) -> r.Request | None:
    dated = any(m.kind == "day" or m.has("day", "ahead") or m.has("month") for m in said)
    if not _has(said, "away") or not dated or _trays(said) or _crop(said):
        return None
    request = _span(scan, "away")
    if isinstance(request, r.SetAway) and request.first is not None:
        who = next((str(m.value) for m in said if m.kind == "person"), None)
        return r.SetAway(first=request.first, last=request.last, who=who)
    return None


def _closed(scan: Scan, said: list[Mention]) -> r.Request | None:
    if not _has(said, "closed") or _trays(said) or _crop(said):
        return None
    if (weekend := closed_weekend(scan)) is not None:
        return weekend
    if (day := closed_day(scan)) is not None:
        return r.SetClosed(first=day, last=day)
    request = _span(scan, "closed")
    if isinstance(request, r.SetClosed) and (request.first or request.weekdays):
        short = request.label is not None and len(request.label.split()) <= LONGEST_LABEL
        label = request.label if short else None
        return r.SetClosed(first=request.first, last=request.last, weekdays=request.weekdays,
                           label=label)  # fmt: skip
    return None


def _swap(scan: Scan, said: list[Mention]) -> r.Request | None:
    weekdays = _weekdays(said)
    if not _has(said, "swap") or _trays(said):
        return None
    if not weekdays and any(m.has("day", "ahead") or m.text in ("mañana", "manana") for m in said):
        return r.Swap(day=scan.context.today + timedelta(days=1))
    if not weekdays:
        return None
    ahead = (weekdays[0] - scan.context.today.weekday()) % 7 or 7
    return r.Swap(day=scan.context.today + timedelta(days=ahead))


def frost_day(scan: Scan, said: list[Mention]) -> date | None:
    """Return a day of the year as people say it: `25 May`, `early May`, `about mid April`."""
    day = next((m for m in said if m.kind == "day" and m.prep == "yearless"), None)
    if day is not None:
        found: date = day.value
        return found
    if hit := re.search(r"(?<![\w/])(\d{1,2})/(\d{1,2})(?![\w/])", scan.text):
        first, second = int(hit[1]), int(hit[2])
        american = (scan.context.fahrenheit and first <= 12) or second > 12
        month, dom = (first, second) if american else (second, first)
        if 1 <= month <= 12 and 1 <= dom <= 28 + (month != 2) * 2:
            return date(scan.context.today.year, month, dom)
    named = next((int(key) for m in said for key in m.keys("month")), None)
    part = next((key for m in said for key in m.keys("setup") if key in _PART_DAYS), None)
    if named is not None and part is not None:
        return date(scan.context.today.year, named, _PART_DAYS[part])
    return None


def _frost(scan: Scan, said: list[Mention]) -> r.Request | None:
    day = frost_day(scan, said)
    if day is None or any(m.kind in ("tray", "crop") for m in said):
        return None
    if _has(said, "first_frost"):
        return r.SetFrost(first=day)
    if _has(said, "frost"):
        return r.SetFrost(typical=day)
    return None


def _place(scan: Scan, said: list[Mention]) -> r.Request | None:
    """Return the place of `we are in Toluca`; in a garden with nothing yet, a bare name too."""
    kinds = {m.kind for m in said}
    if kinds & {"tray", "crop", "sowing", "lot"}:
        return None
    if placed := _group_in(scan):
        return r.SetSite(place=placed)
    if coordinates := re.fullmatch(r"\s*(-?\d{1,2}\.\d+\s*,\s*-?\d{1,3}\.\d+)\s*", scan.text):
        return r.SetSite(place=coordinates[1])
    lead = next((m for m in said[:5] if m.has("setup", "place")), None)
    if lead is not None:
        rest = scan.text[scan.tokens[lead.last].end :]
        place = re.split(r"[.!?;\n]| and | y ", rest)[0].strip(" ,:")
        if re.match(r"[^\W\d_]", place) and place[0].isupper() and len(place.split()) <= 6:
            return r.SetSite(place=place)
        return None
    if scan.context.trays or scan.context.shelves or kinds & {"num", "day"}:
        return None
    name = re.sub(r"(?i)^\W*(?:hola|hi|hello|hey|buenas)\b[\s,!.]*", "", scan.text).strip(" .!")
    named = re.fullmatch(r"[^\W\d_][\w'. -]*(?:, ?[\w'. -]+){0,2}", name)
    if named and name[0].isupper() and len(name.split()) <= 5:
        if not any(
            m.has("done") or m.has("look") or m.has("mood") or m.has("answer") for m in said
        ):
            return r.SetSite(place=name)
    return None


def _group_in(scan: Scan) -> str | None:
    """Return the place of `we're a primary school in Duluth, Minnesota`."""
    for lexicon in scan.order:
        for pattern in lexicon.patterns.get("place", ()):
            if hit := re.search(pattern.replace("PLACE", rf"(?P<place>{_PLACE})"), scan.text):
                return hit["place"].strip(" ,.")
    return None


_PLACE = r"[A-ZÁÉÍÓÚÑ][\w'.-]+(?:,? [A-ZÁÉÍÓÚÑ][\w'.-]+){0,3}"


_READERS: tuple[Callable[[Scan, list[Mention]], r.Request | None], ...] = (
    _own, _leaves, _plan, _lot, _retire, _move, _away, _closed, _swap, _duty,
)  # fmt: skip


_TOGETHER: tuple[Callable[[Scan, list[Mention]], r.Request | None], ...] = (
    _place, _frost, _add_trays,
)  # fmt: skip


__all__ = ["frost_day", "language_wanted", "set_up_of"]
