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
    CROPS,
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
BED_LOOK = 2  # days after which plants just set out are looked at; from memory
ESTABLISHED = 14  # days they are looked after; from memory
EVERY = {
    "bed": 3,
    "count": 2, "thin": 3, "pot_up": 4, "feed": 4, "first_feed": 4, "harden": 3, "plant": 2,
    "break": 365, "eve": 1, "back": 1, "out": 1, "water": 1,
}  # fmt: skip
WARN_DAYS = 3  # before a closure; common practice
DUTY = ("Ana", "Ben", "Chen", "Dara", "Eli", "Fern", "Gus")  # Monday to Sunday, as set up
PRIVATE = ("Ana", "Ben", "Chen", "Dara")  # who opened a private chat
CLOSED = [date(2027, 3, 29) + timedelta(days=n) for n in range(5)]
OWN = ("bed", "water", "out", "harden", "count", "thin", "feed", "first_feed", "eve", "back")
"""For whoever is on duty: in private where they can be reached, else in the group."""
CANNOT_WAIT = ("water", "out", "harden", "count", "plant", "break", "eve", "back")
ROUNDS_A_WEEK, SLOW_DAYS = 5, 2  # choice
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
    set_out: date | None = None


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
    said_on: dict[tuple[str, str], date] = field(default_factory=dict)  # what, last said
    rounds: list[date] = field(default_factory=list)
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
        if found[3] == "planted out":
            sowing.set_out = on
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
    yield from _again(season, today, said)
    yield from _cold(season, today, said)
    who = DUTY[on.weekday()]
    must, may = _lists(season, on)
    daily, nudge = said.pop(("round", "group"), None), said.pop(("nudge", who), None)
    own = {item for item in must if item[0] in OWN} if who in PRIVATE else set()
    shared = must - own
    friday = set(_friday(season, on)) if on not in CLOSED else set()
    came = any(kind == "came" for kind, _ in friday)
    if not came and _can_wait(season, on, shared | ((may if daily else set()) - own)):
        shared = set()
    told = Counter(daily.items()) if daily else Counter()
    if shared or came or may & told.keys():
        shared |= friday
    in_private, in_group = (may, set()) if who in PRIVATE else (set(), may)
    heard = Counter(nudge.items()) if nudge else Counter()
    yield from _differ(f"list of {who}", own, in_private, heard)
    if nudge is not None and nudge.lines[0] != "Your list for today:":
        yield f"the list begins {nudge.lines[0]!r}"
    yield from _differ("round", shared, in_group, told)
    if daily is not None:
        kinds = {kind for kind, _ in told} - {"came", "thanks"}
        if daily.at.date() != on or (kinds and daily.lines[0] != _heading(on, kinds)):
            yield f"the round begins {daily.lines[0]!r}"
        season.rounds.append(on)
    for kind, subject in [*heard, *told]:
        season.said_on[kind, _what(kind, subject)] = on
    watered = {subject for kind, subject in [*heard, *told] if kind == "water"}
    if not {on, on + ONE, on - ONE} & set(CLOSED):  # around a closure trays are named together
        yield from _learn(season, on, watered, temps)
    if said:
        yield f"said as well: {sorted(said)}"


def _lists(season: Season, on: date) -> tuple[set[Item], set[Item]]:
    """Return what the lists of a day must say, and what they may say of water."""
    if on in CLOSED:
        return set(), set()
    _moved(season, on)
    must = set(_due(season, on))
    may: set[Item] = set()
    trays = {s.tray for s in season.sowings.values()} | season.trays.keys()
    living = {code for code in trays if season.living(code)}
    if on + ONE in CLOSED or on - ONE in CLOSED:
        kind = "eve" if on + ONE in CLOSED else "back"
        line = _line_of(season, on, KINDS[kind])
        if {*re.findall(r"\bT\d+", line)} != living:
            must.add((kind, f"for {sorted(living)}"))  # never said in these words
        else:
            must.add((kind, line))
        return must, may
    for code in living:
        sure = _water(season, code, on)
        if sure is not False:
            (must if sure else may).add(("water", code))
    return must, may


def _moved(season: Season, on: date) -> None:
    """Readings may bring a window forward by a day after it was told: take it as it comes."""
    counted = _line_of(season, on, KINDS["count"])
    for s in season.sowings.values():
        if s.first_up is None and on == s.p50 - ONE and re.search(rf"\b{s.crop}\b", counted):
            s.p50 = on


def _line_of(season: Season, on: date, begins: str) -> str:
    """Return the first line of a day's lists that begins so; empty when there is none."""
    lines = (
        line
        for message in season.messages
        if message.at.date() == on and message.kind in ("round", "nudge")
        for line in message.lines
    )
    return next((line for line in lines if line.startswith(begins)), "")


def _can_wait(season: Season, on: date, shared: set[Item]) -> bool:
    """Whether the group need not hear of it today: seldom what can wait."""
    if any(kind in CANNOT_WAIT for kind, _ in shared):
        return False
    week = [day for day in season.rounds if (on - day).days < 7]
    return (
        not shared
        or len(week) >= ROUNDS_A_WEEK
        or any((on - day).days < SLOW_DAYS for day in season.rounds)
    )


def _heading(on: date, kinds: set[str]) -> str:
    day = f"{on:%a} {on.day} {on:%b}"
    if kinds & set(OWN):
        return f"{day}. On duty: {DUTY[on.weekday()]}."
    return f"{day}, for everybody:"


def _what(kind: str, subject: str) -> str:
    """Return what a reminder is of, without the figures that change from day to day."""
    return kind if kind in ("break", "eve", "back", "came", "thanks") else subject.split()[0]


def _differ(where: str, must: set[Item], may: set[Item], heard: Counter[Item]) -> Iterator[str]:
    for item in sorted(must - heard.keys()):
        yield f"{where}: {item} is missing"
    for item in sorted(heard.keys() - must - may):
        yield f"{where}: {item} is out of place"
    for item, times in heard.items():
        if times > 1:
            yield f"{where}: {item} comes {times} times"


def _shown(season: Season, what: str, since: date, kind: str, on: date) -> bool:
    """Whether a reminder open since a date is said: unless it was within its rhythm."""
    last = season.said_on.get((kind, what))
    return since <= on and (last is None or last < since or (on - last).days >= EVERY[kind])


def _due(season: Season, on: date) -> Iterator[Item]:
    """Yield what a round must say, water apart."""
    trays_fed: dict[str, bool] = {}
    for s in season.sowings.values():
        if s.set_out and on <= s.set_out + ESTABLISHED * ONE:
            if _shown(season, s.crop, s.set_out + BED_LOOK * ONE, "bed", on):
                yield "bed", s.crop
        if s.finished:
            continue
        if s.first_up is None:
            assert on <= s.p90, f"{s.code}: nothing in this season is overdue"
            if _shown(season, s.crop, s.p50, "count", on):
                yield "count", s.crop
            continue
        assert s.plant_out is not None
        start = max(s.plant_out - HARDEN_DAYS * ONE, s.first_up + SEED_LEAVES * ONE)
        yield from _grown(season, s, start, on)
        if not s.outings:
            fed = _fed(season, s)
            since = fed + FEED_EVERY * ONE if fed else s.first_up + FEED_AFTER * ONE
            if _feed_shown(season, s.tray, since, on):
                trays_fed[s.tray] = trays_fed.get(s.tray, False) or fed is not None
            if _shown(season, s.crop, start, "harden", on):
                yield "harden", f"{s.crop} out {on + HARDEN_DAYS * ONE}"
            continue
        done, ready = _course(season, s, start, on)
        if done < HARDEN_DAYS:
            yield "out", f"{s.crop} day {done + 1} of {HARDEN_DAYS}"
        elif _shown(season, s.crop, ready, "plant", on):
            yield "plant", f"{s.crop} {s.alive}"
    for tray, again in trays_fed.items():
        yield ("feed" if again else "first_feed"), tray
    warn = CLOSED[0] - WARN_DAYS * ONE
    if on < CLOSED[0] and _shown(season, "break", warn, "break", on):
        # it names the trays; which may not last is learned, so its text is taken
        yield "break", _line_of(season, on, "Closed from Mon 29 Mar") or "Closed from Mon 29 Mar"


def _feed_shown(season: Season, tray: str, since: date, on: date) -> bool:
    """A tray is fed as one, whichever of its sowings asks for it."""
    return all(_shown(season, tray, since, kind, on) for kind in ("feed", "first_feed"))


def _grown(season: Season, s: Sowing, start: date, on: date) -> Iterator[Item]:
    assert s.first_up is not None
    since = s.first_up + THIN_AFTER * ONE
    if s.seeds > s.cells and s.up > s.cells and not s.thinned and not s.potted:
        if _shown(season, s.crop, since, "thin", on):
            yield "thin", s.crop
    since = s.first_up + POT_UP_AFTER * ONE
    assert s.plant_out is not None
    late = s.plant_out - (HARDEN_DAYS + POT_UP_BEFORE_HARDENING) * ONE
    if s.crop in POTTED_UP and not s.potted and not s.outings and since <= late:
        if _shown(season, s.crop, since, "pot_up", on):
            yield "pot_up", s.crop


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


# --- once more, cold, Friday ---


def _again(season: Season, today: Day, said: dict[tuple[str, str], Message]) -> Iterator[str]:
    """Whoever got a list and reported nothing hears once more of what cannot wait."""
    who = DUTY[today.on.weekday()]
    asked = [
        item
        for m in season.messages
        if m.at.date() == today.on and m.kind in ("nudge", "round")
        for item in m.items()
    ]
    again, late = said.pop(("again", who), None), said.pop(("late", "group"), None)
    silent = any(r.by == who and _is_report(r) for r in today.reports)
    left: set[Item] = set()
    trays: set[str] = set()
    for kind, subject in asked:
        code = subject.split()[0]
        if kind == "water":
            tray = season.trays.get(code, Tray())
            if tray.watered != today.on and not (tray.look and tray.look[0] == today.on):
                left.add((kind, code))
                trays.add(code)
        elif kind in ("out", "harden"):
            sowing = next(s for s in season.sowings.values() if s.crop == code)
            if today.on not in sowing.outings:
                left.add((kind, subject))
                trays.add(str(sowing.tray))
    wanted = {("again", tray) for tray in trays} if not silent and who in PRIVATE else set()
    named = re.findall(r"\bT\d+", again.lines[0]) if again is not None else []
    yield from _differ("again", wanted, set(), Counter(("again", tray) for tray in named))
    if again is not None and not again.lines[0].startswith("In case the day got busy"):
        yield f"the second word begins {again.lines[0]!r}"
    if late is not None and not any(kind == "water" for kind, _ in left):
        yield "the group hears late of what somebody saw to"
    if late is not None and any(name in late.text for name in season.members):
        yield "somebody is named who did not answer"


def _cold(season: Season, today: Day, said: dict[tuple[str, str], Message]) -> Iterator[str]:
    """A cold night is told at once and at dusk, with what stands outside."""
    low = season.cold.get(today.on)
    cold = [
        s.crop
        for s in season.sowings.values()
        if low is not None and s.outings and not s.finished and low < LIMIT_C.get(s.crop, -99.0)
    ]
    for kind in ("alarm", "dusk"):
        told = said.pop((kind, "group"), None)
        named = [crop for crop in CROPS if told and re.search(rf"\b{crop}\b", told.text)]
        if sorted(named) != sorted(cold):
            yield f"{kind} for {named} instead of {cold}"


def _friday(season: Season, on: date) -> Iterator[Item]:
    """On Fridays: what came up in the week, and thanks to all who reported."""
    if on.weekday() != 4:
        return
    week = [on - n * ONE for n in range(7)]
    came = [
        f"{s.crop} {s.up} of {s.seeds}" for s in season.sowings.values() if s.counted_on in week
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
