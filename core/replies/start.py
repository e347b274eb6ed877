"""First words, the questions of the first minute, and help."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import time

from core.replies.base import Reply


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUpQuestion(Reply):
    """One question of the first minute.

    Attributes:
        step: a name of core/handlers/first_minute.py STEPS.
        number, of: its place among the steps, counted from 1.
        place: the place set, for the zone's question.
        zone: the zone that stands; local_time: what clocks there show.
        code: the shelf's or tray's code to be made; shelf: where the tray is to stand.
    """

    step: str
    number: int
    of: int
    place: str | None = None
    zone: str = "UTC"
    local_time: time | None = None
    code: str = ""
    shelf: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUpDone(Reply):
    """The first minute is over; `left` are the steps that were skipped or are open."""

    left: tuple[str, ...]
    tray: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Followed(Reply):
    """A reply of the set-up with what comes next, in one message."""

    reply: Reply
    following: Reply
    language: str
    fahrenheit: bool
    inches: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Introduced(Reply):
    """A group was founded here."""

    name: str
    coordinator: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Welcomed(Reply):
    """A member met again, with what they can do now.

    Attributes:
        groups: names of the groups they belong to.
        due: pieces of work open today in the group spoken of; None = no one group.
        mine: those of them on trays they look after today.
        to_set_up: steps of the first minute not answered, for a coordinator.
    """

    groups: tuple[str, ...]
    due: int | None
    mine: int = 0
    private: bool = False
    to_set_up: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StrangerMet(Reply):
    """Somebody who belongs to no group: how to get in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUpPaused(Reply):
    """The first minute was put off; `left` are the steps not answered."""

    left: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostExplained(Reply):
    """How to find the last frost dates of a place."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HelpShown(Reply):
    """All commands, or one; `topic` as typed, None = all."""

    topic: str | None
    coordinator: bool
    private: bool
