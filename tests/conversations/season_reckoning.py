"""What the season's reminders must be, reckoned from its reports and the rules alone.

Nothing of `core` is used. The constants are typed again, each with its source. Read from the
bot's answers is only what a rule takes as given: the window and planting-out date of a sowing.
How long a tray lasts is learned, so of a tray watered yesterday only consistency is asked:
the same answer every time until something about the tray changes.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta

from tests.conversations.season_script import (
    KINDS,
    Day,
    Item,
    Message,
    Report,
    day_of,
    read_days,
)

THIN_AFTER = 10  # days from the first seedling; from memory
FEED_AFTER = 14  # days from the first seedling, in a mix with a starter charge; from memory
FEED_EVERY = 7  # days; USU-TPE, once or twice a week
POT_UP_AFTER = 14  # days from the first seedling; from memory
POT_UP_BEFORE_HARDENING = 7  # days to root in; common practice
POTTED_UP = {"pepper", "eggplant", "basil", "tomato"}  # of the season's crops; USU-TPE
HARDEN_DAYS = 14  # raised under lamps; PSU-H, CA-MG
SEED_LEAVES = 10  # days from the first seedling without going out; from memory
MISSED_BACK_TWO = 3  # missed days after which two are repeated; from memory
BREAK_DAYS = 7  # days indoors after which half is repeated; from memory
LONGEST_LOOK = 2  # days a tray is left without a look, hardening 1; common practice
LIMIT_C = {"tomato": 10.0}  # lowest safe temperature; WSU-H
EVERY = {"count": 2, "thin": 3, "pot_up": 4, "feed": 4, "harden": 3, "plant": 2, "break": 365}
WARN_DAYS = 3  # before a closure; common practice
DUTY = ("Ana", "Ben", "Chen", "Dara", "Eli", "Fern", "Gus")  # Monday to Sunday, as set up
PRIVATE = ("Ana", "Ben", "Chen", "Dara")  # who opened a private chat
CLOSED = [date(2027, 3, 29) + timedelta(days=n) for n in range(5)]
WORK = ("water", "out", "harden")  # for whoever is on duty
ONE = timedelta(days=1)


@dataclass(slots=True)
class Sowing:
    """A sowing as far as it was reported."""

    code: str
    crop: str
    tray: str
    first_tray: str
    cells: int
    seeds: int
    sown_on: date
    p50: date
    p90: date
    plant_out: date | None = None
    up: int = 0
    counted_on: date | None = None
    first_up: date | None = None
    alive: int = 0
    thinned: date | None = None
    potted: date | None = None
    outings: list[date] = field(default_factory=list)
    finished: bool = False


@dataclass(slots=True)
class Tray:
    """What was done with a tray."""

    watered: date | None = None
    look: tuple[date, str, date | None] | None = None  # day, how, when to look again
    looks: int = 0
    fed: list[date] = field(default_factory=list)
    lasts: tuple[object, int] | None = None  # (what it was learned under, days)


@dataclass(slots=True)
class Season:
    """The whole season; `sowings` and `trays` as of the last day reckoned."""

    days: list[Day]
    sowings: dict[str, Sowing] = field(default_factory=dict)
    trays: dict[str, Tray] = field(default_factory=dict)
    cold: dict[date, float] = field(default_factory=dict)
    members: tuple[str, ...] = ("Robin", *DUTY)

    @property
    def messages(self) -> list[Message]:
        return [message for day in self.days for message in day.after]

    def living(self, tray: str) -> list[Sowing]:
        return [s for s in self.sowings.values() if s.tray == tray and not s.finished]


def read_season(text: str) -> Season:
    """Return the season with every report taken in."""
    season = Season(read_days(text))
    for day in season.days:
        for report in day.reports:
            take(season, report)
    return season


# --- what was reported ---


def take(season: Season, report: Report) -> None:
    """Take one report in, from what its answer says was recorded."""
    first, on = report.answer[0], report.on
    codes = re.findall(r"\b[ST]\d+", first)
    if found := re.match(r"(S\d+): (.+) sown in (T\d+) ", first):
        size = re.match(r"(?:(\d+) seeds in )?(\d+) cells", report.answer[1])
        assert size
        window = next(line for line in report.answer if line.startswith("Up between"))
        season.sowings[found[1]] = Sowing(
            code=found[1],
            crop=found[2],
            tray=found[3],
            first_tray=found[3],
            cells=int(size[2]),
            seeds=int(size[1] or size[2]),
            sown_on=on,
            p50=day_of(window.partition("about")[2]),
            p90=day_of(window.partition(" and ")[2]),
        )
    elif re.match(r"T\d+ on shelf", first):
        for line in report.answer:
            if (code := re.search(r": (S\d+) ", line)) and "out about" in line:
                season.sowings[code[1]].plant_out = day_of(line.partition("out about")[2])
    elif found := re.match(r"(S\d+) .+: (\d+) of \d+ up", first):
        sowing = season.sowings[found[1]]
        sowing.alive += int(found[2]) - sowing.up
        sowing.up, sowing.counted_on = int(found[2]), on
        sowing.first_up = sowing.first_up or on
    elif first.startswith("Thinned"):
        sowing = season.sowings[codes[0]]
        sowing.thinned, sowing.alive = on, min(sowing.alive, sowing.cells)
    elif found := re.match(r"(S\d+) .+: (\d+) potted up into (T\d+)", first):
        sowing = season.sowings[found[1]]
        sowing.potted, sowing.alive, sowing.tray = on, int(found[2]), found[3]
    elif first.startswith("Fed"):
        for code in codes:
            _tray(season, code).fed.append(on)
    elif first.startswith("Thank you. Recorded for") and report.typed == "Watered":
        for code in codes:
            _tray(season, code).watered = on
    elif first.startswith("Thank you. Recorded for"):
        for code in codes:
            season.sowings[code].outings.append(on)
    elif found := re.match(r"(T\d+) (dry|just right|wet), today", first):
        again = next((x for x in report.answer if x.startswith("Look again")), None)
        to = None if again is None else on + ONE if "tomorrow" in again else day_of(again)
        tray = _tray(season, found[1])
        tray.look, tray.looks = (on, found[2], to), tray.looks + 1
    elif found := re.match(r"(S\d+) .+: (\d+) (planted out|lost)", first):
        sowing = season.sowings[found[1]]
        sowing.alive -= int(found[2])
        sowing.finished = sowing.alive == 0
    elif found := re.match(r"(\d+) °C expected tonight", first):
        season.cold[on] = float(found[1])


def _tray(season: Season, code: str) -> Tray:
    return season.trays.setdefault(code, Tray())


# --- what must be said ---


def complaints(season: Season) -> list[str]:
    """Return every message and reminder that is missing, out of place or said twice."""
    state = Season(season.days)
    found: list[str] = []
    temps: list[date] = []
    for today, tomorrow in zip(season.days, [*season.days[1:], None], strict=True):
        for report in today.reports:
            take(state, report)
            if report.typed.startswith("/temp A"):
                temps.append(today.on)
        if tomorrow is not None:
            found += [f"{tomorrow.on}: {what}" for what in _night(state, today, tomorrow.on, temps)]
    return found


def _night(season: Season, today: Day, on: date, temps: list[date]) -> Iterator[str]:
    """Complain of what is said from 08:00 of a day to 08:00 of the next, `on`."""
    said = {(m.kind, m.place): m for m in today.after}
    if len(said) != len(today.after):
        yield "a message is said twice"
    yield from _rise(season, today, said.pop(("rise", "group"), None))
    yield from _alarm(season, today, said.pop(("alarm", "group"), None))
    must: set[Item] = set(_due(season, on))
    may: set[Item] = set()
    for code in season.trays.keys() | {s.tray for s in season.sowings.values()}:
        sure = _water(season, code, on)
        (must if sure else may).add(("water", code)) if sure is not False else None
    daily = said.pop(("round", "group"), None)
    if on in CLOSED:
        must, may = set(), set()
    heard = Counter(daily.items()) if daily else Counter()
    if must or heard:
        must |= set(_friday(season, on))
    yield from _differ("round", must, may, heard)
    if daily is not None:
        if daily.at.date() != on or daily.lines[0] != _heading(on):
            yield f"the round begins {daily.lines[0]!r}"
        watered = {subject for kind, subject in heard if kind == "water"}
        yield from _learn(season, on, watered, temps)
    mine = [line for line in daily.lines if line.startswith(_WORK_WORDS)] if daily else []
    who = DUTY[on.weekday()]
    nudge = said.pop(("nudge", who), None)
    wanted = ["Your turn today:", *mine] if mine and who in PRIVATE else []
    spoken = [line for line in nudge.lines if not line.startswith("[")] if nudge else []
    if spoken != wanted:
        yield f"nudge of {who}: {spoken} for {wanted}"
    if said:
        yield f"said as well: {sorted(said)}"


_WORK_WORDS = tuple(KINDS[kind] for kind in WORK)


def _heading(on: date) -> str:
    return f"{on:%a} {on.day} {on:%b}. On duty: {DUTY[on.weekday()]}."


def _differ(where: str, must: set[Item], may: set[Item], heard: Counter[Item]) -> Iterator[str]:
    for item in sorted(must - heard.keys()):
        yield f"{where}: {item} is missing"
    for item in sorted(heard.keys() - must - may):
        yield f"{where}: {item} is out of place"
    for item, times in heard.items():
        if times > 1:
            yield f"{where}: {item} comes {times} times"


def _shown(since: date, kind: str, on: date) -> bool:
    """Whether a reminder open since a date is said: on its day, then at its rhythm; what falls
    on closed days on the first open one."""
    at = on
    while at >= since:
        if (at - since).days % EVERY[kind] == 0:
            return True
        at -= ONE
        if at not in CLOSED:
            return False
    return False


def _due(season: Season, on: date) -> Iterator[Item]:
    """Yield what a round must say, water apart."""
    trays_fed: dict[str, bool] = {}
    for s in season.sowings.values():
        if s.finished:
            continue
        if s.first_up is None:
            assert on <= s.p90, f"{s.code}: nothing in this season is overdue"
            if on >= s.p50 and _shown(s.p50, "count", on):
                yield "count", s.code
            continue
        assert s.plant_out is not None
        start = max(s.plant_out - HARDEN_DAYS * ONE, s.first_up + SEED_LEAVES * ONE)
        yield from _grown(s, start, on)
        if not s.outings:
            fed = _fed(season, s)
            since = fed + FEED_EVERY * ONE if fed else s.first_up + FEED_AFTER * ONE
            if _shown(since, "feed", on):
                trays_fed[s.tray] = trays_fed.get(s.tray, False) or fed is not None
            if _shown(start, "harden", on):
                yield "harden", f"{s.code} out {on + HARDEN_DAYS * ONE}"
            continue
        done, ready = _course(season, s, start, on)
        if done < HARDEN_DAYS:
            yield "out", f"{s.code} day {done + 1} of {HARDEN_DAYS}"
        elif _shown(ready, "plant", on):
            yield "plant", f"{s.code} {s.alive}"
    for tray, again in trays_fed.items():
        yield ("feed" if again else "first_feed"), tray
    warn = CLOSED[0] - WARN_DAYS * ONE
    if _shown(warn, "break", on):
        yield "break", next((line for line in _break_lines(season, on)), "Closed")


def _break_lines(season: Season, on: date) -> Iterator[str]:
    """The warning names the trays; which may not last is learned, so its text is taken."""
    for day in season.days:
        for message in day.after:
            if message.at.date() == on and message.kind == "round":
                yield from (line for line in message.lines if line.startswith("Closed Mon 29 Mar"))


def _grown(s: Sowing, start: date, on: date) -> Iterator[Item]:
    assert s.first_up is not None
    since = s.first_up + THIN_AFTER * ONE
    if s.seeds > s.cells and s.up > s.cells and not s.thinned and not s.potted:
        if _shown(since, "thin", on):
            yield "thin", s.code
    since = s.first_up + POT_UP_AFTER * ONE
    assert s.plant_out is not None
    late = s.plant_out - (HARDEN_DAYS + POT_UP_BEFORE_HARDENING) * ONE
    if s.crop in POTTED_UP and not s.potted and not s.outings and since <= late:
        if _shown(since, "pot_up", on):
            yield "pot_up", s.code


def _fed(season: Season, s: Sowing) -> date | None:
    """The last feed of the tray a sowing stood in at the time, once it was up."""
    assert s.first_up is not None
    stood = [(s.first_tray, s.first_up, s.potted or date.max)]
    if s.potted:
        stood.append((s.tray, s.potted, date.max))
    return max(
        (
            on
            for tray, first, last in stood
            for on in (season.trays[tray].fed if tray in season.trays else ())
            if first <= on <= last
        ),
        default=None,
    )


def _course(season: Season, s: Sowing, start: date, on: date) -> tuple[int, date]:
    """Return the days of hardening done before a date, and the day after the last of them.

    A day outdoors counts unless its night was told too cold; one or two days missed repeat one,
    three or more two, a week indoors half.
    """
    done = missed = idle = 0
    ready = day = min(start, s.outings[0])
    while day < on:
        cold = season.cold.get(day, 99.0) < LIMIT_C.get(s.crop, -99.0)
        if done == HARDEN_DAYS:
            break
        if cold:
            idle += 1
        elif day in s.outings:
            done, missed, idle = _back(done, missed, idle) + 1, 0, 0
            ready = day + ONE
        else:
            missed, idle = missed + 1, idle + 1
        day += ONE
    return (done if done == HARDEN_DAYS else _back(done, missed, idle)), ready


def _back(done: int, missed: int, idle: int) -> int:
    if idle >= BREAK_DAYS:
        return done // 2
    return max(0, done - (2 if missed >= MISSED_BACK_TWO else 1 if missed else 0))


# --- water ---


def _water(season: Season, code: str, on: date) -> bool | None:
    """Return whether a tray's look is due: yes, no, or None where it is learned."""
    living = season.living(code)
    if not living:
        return False
    tray = _tray(season, code)
    dates = [s.potted if s.tray != s.first_tray and s.potted else s.sown_on for s in living]
    last = max([*dates, *([tray.watered] if tray.watered else [])])
    hardening = any(s.outings for s in living)
    if tray.look is not None and tray.look[0] > last:
        again = tray.look[2]
        return again is None or on >= again  # dry and not watered: at once
    days = (on - last).days
    if days >= (1 if hardening else LONGEST_LOOK):
        return True
    return None if days == 1 else False


def _learn(season: Season, on: date, said: set[str], temps: list[date]) -> Iterator[str]:
    """Note of each tray watered yesterday whether one day is what it lasts."""
    for code in list(season.trays):
        if _water(season, code, on) is None:
            tray = _tray(season, code)
            key = _epoch(season, code, on, temps)
            days = 1 if code in said else 2
            if tray.lasts is not None and tray.lasts[0] == key and tray.lasts[1] != days:
                yield f"{code}: asked after one day and after two with nothing changed"
            tray.lasts = (key, days)


def _epoch(season: Season, code: str, on: date, temps: list[date]) -> object:
    """What a tray's lasting is learned under."""
    return (
        season.trays[code].looks,
        tuple(day for day in temps if (on - day).days < 7),
        tuple(
            (
                s.code,
                s.first_up is not None,
                s.first_up is not None and (on - s.first_up).days >= SEED_LEAVES,
                s.thinned is not None,
                s.potted is not None,
            )
            for s in season.living(code)
        ),
    )


# --- rise, alarm, Friday ---


def _rise(season: Season, today: Day, rise: Message | None) -> Iterator[str]:
    """What the round asked for and nobody answered is said once more at 12:45."""
    asked = next((m for m in _rounds(season) if m.at.date() == today.on), None)
    wanted: set[Item] = set()
    for kind, subject in asked.items() if asked else ():
        code = subject.split()[0]
        if kind == "water":
            tray = season.trays.get(code, Tray())
            if tray.watered != today.on and not (tray.look and tray.look[0] == today.on):
                wanted.add((kind, code))
        elif kind in WORK and today.on not in season.sowings[code].outings:
            wanted.add((kind, subject))
    yield from _differ("rise", wanted, set(), Counter(rise.items()) if rise else Counter())
    if rise is not None and rise.lines[0] != (
        f"No word yet from {DUTY[today.on.weekday()]}. Can somebody?"
    ):
        yield f"the rise begins {rise.lines[0]!r}"


def _rounds(season: Season) -> Iterator[Message]:
    return (m for m in season.messages if m.kind == "round")


def _alarm(season: Season, today: Day, alarm: Message | None) -> Iterator[str]:
    """A cold night told in private is told to the group, with what stands outside."""
    low = season.cold.get(today.on)
    cold = [
        s.code
        for s in season.sowings.values()
        if low is not None and s.outings and not s.finished and low < LIMIT_C.get(s.crop, -99.0)
    ]
    told = re.findall(r"\bS\d+", alarm.text) if alarm else []
    if told != cold:
        yield f"alarm for {told} instead of {cold}"


def _friday(season: Season, on: date) -> Iterator[Item]:
    """On Fridays: what came up in the week, and thanks to all who reported."""
    if on.weekday() != 4:
        return
    week = [on - n * ONE for n in range(7)]
    came = [
        f"{s.code} {s.crop} {s.up} of {s.seeds}"
        for s in season.sowings.values()
        if s.counted_on in week
    ]
    if came:
        yield "came", f"Up so far this week: {', '.join(came)}."
    by = Counter[str]()
    for day in season.days:
        if on - 7 * ONE <= day.on < on:
            by.update(r.by for r in day.reports if _is_report(r))
    if by:
        order = sorted(by, key=lambda name: (-by[name], season.members.index(name)))
        names = " and ".join(filter(None, (", ".join(order[:-1]), order[-1])))
        yield "thanks", f"Thank you, {names}."


def _is_report(report: Report) -> bool:
    return report.answer[-1] == "[Undo]" and " For " not in report.answer[0]
