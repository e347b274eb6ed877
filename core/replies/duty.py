"""Who looks after what, who is away, when the place is closed, and swapped days."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from core.group.cover import Cover
from core.group.garden import ClosureOf, DutyOf
from core.replies.base import Choice, Reply


@dataclass(frozen=True, slots=True, kw_only=True)
class DutyChanged(Reply):
    """A duty given or taken away.

    Attributes:
        who: names.
        weekdays: 0 = Monday; days: single dates.
        trays: codes; empty = all.
        off: taken away.
        now: what each of them has now, by member id.
    """

    who: tuple[str, ...]
    weekdays: tuple[int, ...]
    days: tuple[date, ...]
    trays: tuple[str, ...]
    off: bool
    now: tuple[DutyOf, ...]
    cover: Cover = field(default_factory=Cover)


@dataclass(frozen=True, slots=True, kw_only=True)
class RotaShown(Reply):
    """The whole rota.

    Attributes:
        weekly: those with weekdays; days: those of single days from today on.
        away: (name, first, last) of absences not over.
        coming: (day, names) of the next seven days; () = nobody; None = closed.
    """

    weekly: tuple[DutyOf, ...]
    days: tuple[DutyOf, ...]
    away: tuple[tuple[str, date, date], ...]
    coming: tuple[tuple[date, tuple[str, ...] | None], ...]
    cover: Cover = field(default_factory=Cover)


@dataclass(frozen=True, slots=True, kw_only=True)
class AwaySaid(Reply):
    """An absence noted or ended.

    Attributes:
        open_end: no last day was named.
        duties: that member's duty days within it.
    """

    name: str
    first: date | None
    last: date | None
    off: bool
    open_end: bool = False
    duties: tuple[date, ...] = ()
    cover: Cover = field(default_factory=Cover)


@dataclass(frozen=True, slots=True, kw_only=True)
class AwayListed(Reply):
    """Who is away, now and later: (name, first, last)."""

    away: tuple[tuple[str, date, date], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedSaid(Reply):
    """Closures noted or lifted."""

    first: date | None
    last: date | None
    weekdays: tuple[int, ...]
    label: str | None
    off: bool
    cover: Cover = field(default_factory=Cover)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedListed(Reply):
    """The closures that stand, from today on."""

    closures: tuple[ClosureOf, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosuresImported(Reply):
    """A calendar file read.

    Attributes:
        added, changed, same, ended: spans; counts.
        spans: (first, last, label) of what stands from this file, the earliest first.
        left_out: (label, reason) of events that are no closures: `hours` or `opening`.
    """

    name: str
    added: int
    changed: int
    same: int
    ended: int
    spans: tuple[tuple[date, date, str], ...]
    left_out: tuple[tuple[str, str], ...]
    cover: Cover = field(default_factory=Cover)


@dataclass(frozen=True, slots=True, kw_only=True)
class SwapOffered(Reply):
    """A duty day held out to the others.

    Attributes:
        offer: id of its notice.
        private: said in private; `for_group` is then posted in the group too.
    """

    offer: int
    name: str
    day: date
    trays: tuple[str, ...]
    private: bool = False
    for_group: Reply | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SwapTaken(Reply):
    """An offered day was taken."""

    name: str
    by: str
    day: date
    trays: tuple[str, ...]
    for_group: Reply | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SwapDays(Choice):
    """Which of one's coming duty days to offer; `values` of an option: day."""
