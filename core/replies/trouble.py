"""Answers to questions in plain words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.replies.base import Reply
from core.requests import NOWHERE, Where
from core.trouble.diagnosis import Ranked

PARTS = ("others", "why", "sources")
"""What may be shown of an answer beyond its short form; codes of buttons."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Causes(Reply):
    """Ranked causes, the evidence they rest on, and the question that would decide.

    Attributes:
        sowing, crop, tray: what the question was taken to be about, as far as known.
        causes: likeliest first.
        dialogue: id under which an answer is to be given; 0 = none can be.
        question: id of a row of questions.toml; None = nothing is asked.
        part: "short", or one of PARTS.
        first_before: id of the cause that stood first before the last answer; None = no answer.
    """

    sowing: str | None
    crop: str | None
    tray: str | None
    causes: tuple[Ranked, ...]
    dialogue: int
    question: str | None
    part: str = "short"
    first_before: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class NotOurs(Reply):
    """A question about something else; `belongs` is a row of outside.toml, or "elsewhere"."""

    text: str
    belongs: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NotRecognised(Reply):
    """No sign was recognised: how to ask; `near` are topics it may have meant.

    `unwell`: plants at `where` are said to look ill, and the sign is to be asked.
    """

    text: str
    near: tuple[str, ...] = ()
    unwell: bool = False
    where: Where = NOWHERE


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerLate(Reply):
    """The question of a button is closed, or was never asked of this person."""


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Differs:
    """One thing done differently in two trays.

    Attributes:
        what: shelf | crop | lot | sown_on | depth_mm | seeds_per_cell | temp_c |
            watered | fed | potted.
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
        sought: id of a row of looked_up.toml.
        found: shown lines, the most telling first; `more` = how many are left out.
        on: the day asked about, for duty.
        people: members on duty that day; `closed` = nobody can get in.
        due: trays of which nobody said that they are dry, due for a look by the reckoning.
        trays: the two trays compared; `differs` what was done differently.
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
