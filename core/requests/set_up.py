"""Setting up a group: its place, frost, shelves, trays, lots, rota and members."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time

from core.requests.base import NOWHERE, Request, Where


@dataclass(frozen=True, slots=True, kw_only=True)
class Start(Request):
    """First words, or the way back to them."""

    payload: str | None = None  # what a link carried, such as a tray's code


@dataclass(frozen=True, slots=True, kw_only=True)
class SetSite(Request):
    """Change the group's place and habits; every part optional, none = show them.

    Attributes:
        place: a place name to look up, as typed.
        zone: IANA zone name.
        language: code of a language, or `EACH` of core/languages.py.
        fahrenheit: True for °F; None = unchanged.
        inches: True for inches; None = unchanged.
        round_at, quiet_from, quiet_to: local wall times.
        name: the group's own name.
        channel: where reminders go, a value of core/due/kinds.py `Channel`.
        brief: plain reports in the group get a mark in place of an answer.
    """

    place: str | None = None
    zone: str | None = None
    language: str | None = None
    fahrenheit: bool | None = None
    inches: bool | None = None
    round_at: time | None = None
    quiet_from: time | None = None
    quiet_to: time | None = None
    name: str | None = None
    channel: str | None = None
    brief: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SetFrost(Request):
    """Last-frost dates of the site; month and day matter, the year does not.

    Attributes:
        typical: one usual last-frost date.
        late, middle, early: dates with a 10, 50 and 90 % chance of frost on or after them.
        first: a usual first autumn frost date.
        file_name, file_text: a file of daily minima.
        fahrenheit: the file's unit when the member states it.
    """

    typical: date | None = None
    late: date | None = None
    middle: date | None = None
    early: date | None = None
    first: date | None = None
    file_name: str | None = None
    file_text: str | None = None
    fahrenheit: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SetShelf(Request):
    """Add or change a shelf; `code` None = show all shelves.

    Attributes:
        lamp: lamp kind id of core/data/lamps.toml, `window` for none.
        tubes: number of tubes or panels.
        height_mm: lamp over the canopy.
        on_at, off_at: local wall times of the lamp.
        places: tray places.
        heat_mat, timer: True or False; None = unchanged.
        usual_temp_c: what the mix usually shows.
    """

    code: str | None = None
    lamp: str | None = None
    tubes: int | None = None
    height_mm: float | None = None
    on_at: time | None = None
    off_at: time | None = None
    places: int | None = None
    heat_mat: bool | None = None
    timer: bool | None = None
    usual_temp_c: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SetTray(Request):
    """Add trays, move one to another shelf, or retire one.

    Attributes:
        codes: codes to add or change, upper case.
        cells: standard size by count (18, 32, 36, 50, 72, 98, 128, 200); 0 = not given.
        rows, cols: an own size; 0 = not given.
        shelf: shelf code to stand on.
        retired: take the tray out of use.
    """

    codes: tuple[str, ...]
    cells: int = 0
    rows: int = 0
    cols: int = 0
    shelf: str | None = None
    retired: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SetLot(Request):
    """Add or change a lot of seed; all absent = list the lots.

    Attributes:
        code: lot code such as `L2`; None = give the next one.
        packed_for: year on the packet.
        tested_up, tested_of: home germination test, `10 of 10`.
        label_percent: germination printed on the packet, 0-100.
        treated: coated or dyed seed.
        seeds, grams: what the packet holds now.
        maturity_days: days to maturity of the variety, as the packet says.
    """

    code: str | None = None
    crop: str | None = None
    variety: str | None = None
    packed_for: int | None = None
    tested_up: int | None = None
    tested_of: int | None = None
    label_percent: float | None = None
    treated: bool | None = None
    seeds: int | None = None
    grams: float | None = None
    maturity_days: int | None = None
    used_up: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SetDuty(Request):
    """Who looks after which trays on which days; all absent = show the rota.

    Attributes:
        who: member names or `me`.
        weekdays: 0 = Monday .. 6 = Sunday.
        where: trays or a shelf; empty = all.
        days: single local dates (a cover or a swap).
        off: take the duty away.
    """

    who: tuple[str, ...] = ()
    weekdays: tuple[int, ...] = ()
    where: Where = NOWHERE
    days: tuple[date, ...] = ()
    off: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SetAway(Request):
    """A member is away from `first` to `last`, both included; absent = show."""

    first: date | None = None
    last: date | None = None
    who: str | None = None
    off: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SetPause(Request):
    """Reminders rest, or go on (`off`): of trays, to a member, or of the whole group.

    Attributes:
        who: member's name or `me`.
        until: the first day with reminders again; None = until somebody says so.
    """

    trays: tuple[str, ...] = ()
    who: str | None = None
    until: date | None = None
    off: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SetReminder(Request):
    """Remind somebody on a day of something that is no work I know of.

    Attributes:
        who: member's name or `me`; None = whoever is on duty that day.
        on: None = tomorrow.
    """

    text: str
    on: date | None = None
    who: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class EndReminder(Request):
    """Take a reminder back, or tell that what it was about is done."""

    reminder: int
    done: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Rehearse(Request):
    """Play the coming weeks and show who would hear what.

    Attributes:
        weeks: 1..MOST_WEEKS of core/handlers/rehearsal.py; 0 = the usual two.
        habits: (member's name, `always`, `sometimes` or `never`); "" is everybody else.
    """

    weeks: int = 0
    habits: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SetClosed(Request):
    """Days nobody can get in: dates, weekdays every week, or a calendar file."""

    first: date | None = None
    last: date | None = None
    weekdays: tuple[int, ...] = ()
    label: str | None = None
    file_name: str | None = None
    file_text: str | None = None
    off: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SetMember(Request):
    """Name a member, make one a coordinator or not, add or take one out; absent = list.

    Attributes:
        added: put on the list before they have spoken here, for instance a bench of children.
    """

    name: str | None = None
    new_name: str | None = None
    coordinator: bool | None = None
    removed: bool = False
    added: bool = False
