"""A notice on its way to be worded."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from core.due.day import Notice
from core.due.ticks import Tick
from core.replies.base import Reply


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticeSaid(Reply):
    """One notice with its row's id, for its buttons.

    Attributes:
        people: member id → account, of those whom the group's message is to alert.
        ticks: what was done of it since; `notice.items` is then what is still open.
        undo: number of the report that a press of its buttons recorded last.
    """

    id: int
    notice: Notice
    people: Mapping[int, int] = field(default_factory=dict)
    ticks: tuple[Tick, ...] = ()
    undo: int | None = None
