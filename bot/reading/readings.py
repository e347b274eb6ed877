"""What the reader makes of one clause."""

from __future__ import annotations

from dataclasses import dataclass, field

from core.requests import Request


@dataclass(slots=True)
class Reading:
    """One report as read.

    Attributes:
        frame: what happened, a request's word; empty where nothing was told.
        request: complete, or as far as it goes when `missing` says what is not.
        missing: count, tray, crop, cells, date, unit, place, what: the one piece to ask for.
        choices: complete requests, one of which is meant.
        prefix: command words before a typed answer.
        doubts: why it is read back first: `slip`, `whole`, `guess`.
        blocked: why it is no report: question, ahead, request, not, if, elsewhere.
        typed: the words read, for quoting.
        slips: (typed, read) pairs.
        unread: words that carry a meaning and were not accounted for.
        counted: the crop stands right at its number, or with its cells.
    """

    frame: str = ""
    request: Request | None = None
    missing: str = ""
    choices: tuple[Request, ...] = ()
    prefix: str = ""
    doubts: list[str] = field(default_factory=list)
    blocked: str = ""
    typed: str = ""
    slips: list[tuple[str, str]] = field(default_factory=list)
    unread: tuple[str, ...] = ()
    counted: bool = False
