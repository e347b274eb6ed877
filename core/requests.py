"""What a member can ask or report: one frozen value per request, never a phrase.

The grammar makes them, `core/handlers` answers them, and a button carries one. Dates are the
site's local dates; temperatures are in degrees Celsius, lengths in millimetres unless the name
says otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time
from enum import StrEnum

from core.cells import CellSpec


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """Base of every request."""


# --- where something is meant -------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Where:
    """The trays, cells, crop, sowing or shelf that a member named; all may be absent.

    Attributes:
        trays: tray codes, upper case, in the order typed.
        cells: cells within the one tray named.
        crop: crop id.
        sowing: sowing code such as `S3`.
        shelf: shelf code.
        lot: lot code such as `L2`.
        everything: the member said "all" without naming a tray.
        variety: name of a variety, as a lot or a sowing carries it.
    """

    trays: tuple[str, ...] = ()
    cells: CellSpec | None = None
    crop: str | None = None
    sowing: str | None = None
    shelf: str | None = None
    lot: str | None = None
    everything: bool = False
    variety: str | None = None

    @property
    def empty(self) -> bool:
        return self == NOWHERE


NOWHERE = Where()


@dataclass(frozen=True, slots=True, kw_only=True)
class Report(Request):
    """Base of what a member says happened.

    Attributes:
        where: what it is about.
        on: local date it happened; None = today.
        for_whom: the helper or member who did it, when somebody else reports.
        notice: id of the notice this answers (a `Done` button), else None.
    """

    where: Where = NOWHERE
    on: date | None = None
    for_whom: str | None = None
    notice: int | None = None


# --- set up -------------------------------------------------------------------------------


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
        fahrenheit: True for °F; None = unchanged.
        inches: True for inches; None = unchanged.
        round_at, quiet_from, quiet_to: local wall times.
        name: the group's own name.
        channel: where reminders go, a value of core/due/kinds.py `Channel`.
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
    """

    code: str | None = None
    crop: str | None = None
    variety: str | None = None
    packed_for: int | None = None
    tested_up: int | None = None
    tested_of: int | None = None
    label_percent: float | None = None
    treated: bool | None = None
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
    """Name a member, make one a coordinator or not, or take one out; absent = list."""

    name: str | None = None
    new_name: str | None = None
    coordinator: bool | None = None
    removed: bool = False


# --- plan ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class When(Request):
    """Dates for one crop."""

    crop: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HowMany(Request):
    """Seeds and cells for `plants` plants at `assurance` (0..1)."""

    plants: int
    crop: str
    lot: str | None = None
    assurance: float | None = None
    seeds_per_cell: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanItem:
    """One wish of a plan: `plants` of `crop`, spread over `sowings` sowings."""

    crop: str
    plants: int
    sowings: int = 1
    variety: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MakePlan(Request):
    """Work out a season; no items = show the plan that stands."""

    items: tuple[PlanItem, ...] = ()
    accept: int | None = None  # id of a proposed plan
    drop: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Season(Request):
    """The season as a picture."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendar(Request):
    """The plan and duties as a calendar file."""


# --- report -------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Sow(Report):
    """Seed went into cells.

    Attributes:
        crop: crop id; None when the lot tells it.
        lot: lot code.
        cell_count: "12 cells of T1": the bot picks the next free ones; 0 = cells are named.
        seeds_per_cell: 0 = not said.
        depth_mm: None = not said.
        again: it is another one than the same told a moment ago.
    """

    crop: str | None = None
    variety: str | None = None
    lot: str | None = None
    cell_count: int = 0
    seeds_per_cell: int = 0
    depth_mm: float | None = None
    again: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Up(Report):
    """Emerged so far: a running total, or `more` than last time.

    Attributes:
        count: seedlings (0 = nothing yet); None with `all_up`.
        more: the count is to be added to the last total.
        all_up: every cell shows.
    """

    count: int | None = None
    more: bool = False
    all_up: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Watered(Report):
    """Trays were watered; nothing named = all that are due, or all on duty."""

    from_below: bool = False
    for_round: date | None = None


class Moisture(StrEnum):
    """How the mix looked and felt."""

    DRY = "dry"
    RIGHT = "right"
    WET = "wet"


@dataclass(frozen=True, slots=True, kw_only=True)
class Moist(Report):
    """The state of the mix when looked at."""

    level: Moisture


class TempKind(StrEnum):
    """What a temperature was of."""

    MIX = "mix"
    AIR = "air"
    OUTSIDE = "outside"
    LOW = "low"  # last night's low outside
    FORECAST = "forecast"  # the low expected tonight


@dataclass(frozen=True, slots=True, kw_only=True)
class Temp(Report):
    """A temperature, in degrees Celsius. `kind` None: mix where a tray or shelf is named."""

    temp_c: float
    kind: TempKind | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Light(Report):
    """A light reading or a change of lamp; at least one part is given.

    Attributes:
        ppfd: µmol m-2 s-1.
        lux: lx (foot-candles are converted by the grammar, 1 fc = 10.764 lx).
        height_mm: lamp over the canopy.
        hours: lamp hours a day.
    """

    ppfd: float | None = None
    lux: float | None = None
    height_mm: float | None = None
    hours: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Thinned(Report):
    """Thinned to `per_cell` (1 unless said)."""

    per_cell: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Potted(Report):
    """Potted up, into another tray where one is named.

    Attributes:
        count: plants moved; None = all alive.
        into_tray: tray code, upper case; None = pots, whose tray is made.
        into_cells: cells there; None = the next free ones.
        pot_mm: width of the pots; None = not said.
        onto_shelf: shelf code where the pots stand; None = not said.
    """

    count: int | None = None
    into_tray: str | None = None
    into_cells: CellSpec | None = None
    pot_mm: float | None = None
    onto_shelf: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Move(Report):
    """A sowing, or cells of it, stands in another tray now; or on another shelf.

    Attributes:
        into_tray: tray code, upper case.
        into_cells: cells there; None = the next free ones.
        onto_shelf: shelf code; the trays named move there as they are.
    """

    into_tray: str | None = None
    into_cells: CellSpec | None = None
    onto_shelf: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Harden(Report):
    """Hardening off begins: a decision, which hours outside alone are not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fed(Report):
    """Fed at `ppm_n` mg nitrogen per litre, where known."""

    ppm_n: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Out(Report):
    """Stood outside to harden off for `hours`; `overnight` with the night.

    `once`: it was an outing and begins nothing.
    """

    hours: float | None = None
    overnight: bool = False
    once: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Planted(Report):
    """Planted out, or handed out for planting; None = all alive."""

    count: int | None = None
    to_whom: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lost(Report):
    """Plants or cells lost; None = all of them."""

    count: int | None = None
    cause: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Note(Report):
    """A remark worth keeping."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Undo(Request):
    """Take back a report: the one named, else list the last five."""

    report: str | None = None
    last: bool = False


# --- look ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Due(Request):
    """What is due today, for the group or the speaker."""

    mine: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Trays(Request):
    """Every tray in a line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShowTray(Request):
    """One tray, cell by cell, with its picture."""

    tray: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve(Request):
    """The emergence curve of a sowing or a crop."""

    where: Where = NOWHERE


@dataclass(frozen=True, slots=True, kw_only=True)
class ShowShelf(Request):
    """One shelf's light and temperature log; None = space on all shelves by week."""

    shelf: str | None = None
    space: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Results(Request):
    """What worked: germination by lot, place and method."""

    as_file: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Compare(Request):
    """Two sets of sowings of one crop held against each other."""

    left: Where
    right: Where


@dataclass(frozen=True, slots=True, kw_only=True)
class CropInfo(Request):
    """What the crop table says of a crop; without one, which crops it has."""

    crop: str | None = None


# --- ask ----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask(Request):
    """Trouble in plain words."""

    text: str
    where: Where = NOWHERE


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer(Request):
    """An answer to the question a dialogue stands at."""

    dialogue: int
    choice: str


# --- share out ----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish(Request):
    """What a member would like to take home; nothing = show the wishes."""

    plants: int | None = None
    crop: str | None = None
    for_whom: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ShareOut(Request):
    """Wishes against what is alive, by the stated rule."""

    crop: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Labels(Request):
    """Labels to print; `shape` is `stake`, `card`, `sheet` (adhesive), or None: plain paper."""

    where: Where = NOWHERE
    shape: str | None = None
    letter_paper: bool | None = None
    grid: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet(Request):
    """A sheet for the wall; `kind` is `week` (a fortnight), `sowing`, `rota` or `season`."""

    kind: str = "week"
    letter_paper: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tags(Request):
    """Tags to take home with care cards, of all crops or one."""

    crop: str | None = None
    letter_paper: bool | None = None


# --- own ----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Me(Request):
    """One's own settings; all absent = show them."""

    name: str | None = None
    language: str | None = None
    fahrenheit: bool | None = None
    inches: bool | None = None
    reminders: bool | None = None
    quiet_from: time | None = None
    quiet_to: time | None = None
    remind_at: time | None = None
    thanks: bool | None = None  # may be named under the thanks of a report
    group: int | None = None  # which group private messages are about


@dataclass(frozen=True, slots=True, kw_only=True)
class Export(Request):
    """All the group's records, or one's own, as files."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ForgetMe(Request):
    """Take the speaker's name and ids out of the records."""

    sure: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Help(Request):
    """How to say things; `topic` a command word without the slash."""

    topic: str | None = None


# --- buttons of notices -------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Done(Request):
    """The work of a notice is done: records its reports, once.

    Attributes:
        part: `water`, `out`, `fed` or `thin`: the work that is done; `in`: plants were carried in;
            `on`: reminders go on; "" = all the work.
    """

    notice: int
    part: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead(Request):
    """The next piece of a report or a setting that was begun with its word alone.

    Attributes:
        act: command word, such as `up`, `sow`, `site`.
        where: what is named so far.
        part: what of a setting: `place`, `units`, `language`, `round`, `reminders` of the site,
            `last` or `first` frost, `new` trays.
        who: member's name.
        number: month of a frost, 1..12, or how many trays.
        cells: size of new trays; 0 = not said.
    """

    act: str
    where: Where = NOWHERE
    part: str | None = None
    who: str | None = None
    number: int | None = None
    cells: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Instead(Request):
    """An edited message: one report is taken back and another recorded in its place.

    Attributes:
        report: number of the act, such as `R12`.
        what: what is recorded instead.
    """

    report: str
    what: Report


@dataclass(frozen=True, slots=True, kw_only=True)
class Nothing(Request):
    """A proposal or question was not meant: nothing is recorded."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Swap(Request):
    """Offer a duty day to the others, or take an offered one."""

    day: date | None = None
    take: int | None = None  # id of the notice that offered it


@dataclass(frozen=True, slots=True, kw_only=True)
class Break(Request):
    """Before and after a closure: what each tray needs to last."""

    after: bool = False
