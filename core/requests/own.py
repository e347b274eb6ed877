"""Sharing out, papers, and one's own settings."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import time

from core.requests.base import NOWHERE, Request, Where


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish(Request):
    """What a member would like to take home; nothing = show the wishes."""

    plants: int | None = None
    crop: str | None = None
    variety: str | None = None
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
class Import(Request):
    """Records from a file: an export's archive, or a plain table of sowings and counts.

    Attributes:
        data: the file's bytes; None where none came with it.
        dialogue: id of the table that was shown as read and is to be written now.
    """

    file_name: str | None = None
    data: bytes | None = None
    dialogue: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ForgetMe(Request):
    """Take the speaker's name and ids out of the records."""

    sure: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class EndGroup(Request):
    """Delete the group with everything in it; only `sure` carries it out."""

    sure: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Help(Request):
    """How to say things; `topic` a command word without the slash."""

    topic: str | None = None
