"""What buttons carry, and questions that lead on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.requests.base import NOWHERE, Report, Request, Where


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
