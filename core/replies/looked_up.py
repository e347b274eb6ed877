"""What the group's own records say to a question."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.replies.base import Reply


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """One line of what the records say.

    Attributes:
        tray, sowing, crop, variety: what it is about, as far as it is about one.
        on: local date of what happened, or is to happen; None = nothing of it is on record.
        act: row of the message it was told in; None = it was told in none.
        did, by: member id of who did it, or the name of a helper without an account.
        n, of: plants or seeds, counts.
        days, days_up: since it was sown, and since the first came up.
        why: the cause a member named for a loss, in their words.
        kind: what was reported, by core/report_kinds.py, where a line tells of one report.
        to: tray, shelf or person that it went to.
        text, level, temp_c: a note's words; moisture as called; temperature read, °C.
        shelf, mat: where a tray stands, and whether that is warmed from below.
        lot, packed_for: the seed that was sown.
        pot_on, out_on: when it is to be potted up and planted out.
        crops: what stands in a tray, crop ids.
        place: "pots" for loose pots, else "".
    """

    tray: str | None = None
    sowing: str | None = None
    crop: str | None = None
    variety: str | None = None
    on: date | None = None
    act: int | None = None
    did: int | None = None
    by: str | None = None
    n: int | None = None
    of: int | None = None
    days: int | None = None
    days_up: int | None = None
    why: str | None = None
    kind: str = ""
    to: str | None = None
    text: str | None = None
    level: str | None = None
    temp_c: float | None = None
    shelf: str | None = None
    mat: bool | None = None
    lot: str | None = None
    packed_for: int | None = None
    pot_on: date | None = None
    out_on: date | None = None
    crops: tuple[str, ...] = ()
    place: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Differs:
    """One thing done differently in two trays.

    Attributes:
        what: shelf | crop | lot | sown_on | depth_mm | seeds_per_cell | temp_c |
            watered | fed | potted | up.
        left, right: as recorded: codes, crop ids, dates, mm, °C or counts of days;
            None = not on record.
    """

    what: str
    left: str | float | date | None
    right: str | float | date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LookedUpSaid(Reply):
    """What the group's records say to a question.

    Attributes:
        sought: a `Sought`: id of a row of looked_up.toml or deeds.toml.
        found: shown lines, the most telling first; `more` = how many are left out.
        on: the day asked about, for duty.
        people: members on duty that day; `closed` = nobody can get in.
        due: trays of which nobody said that they are dry, due for a look by the reckoning.
        trays: the two trays compared; `differs` what was done differently.
        since, until: the days asked about, both included; None = no day was named.
        whom: the name asked about.
        none_then: nothing of it is on record then or of them; `found` is the last there is.
        rota: who is on duty day by day: (day, members, closed).
        mine: one member's days were asked for: the speaker's, or those of `whom`.
    """

    sought: str
    found: tuple[Found, ...] = ()
    more: int = 0
    on: date | None = None
    people: tuple[int, ...] = ()
    closed: bool = False
    due: tuple[str, ...] = ()
    trays: tuple[str, ...] = ()
    differs: tuple[Differs, ...] = ()
    since: date | None = None
    until: date | None = None
    whom: str | None = None
    none_then: bool = False
    rota: tuple[tuple[date, tuple[int, ...], bool], ...] = ()
    mine: bool = False
