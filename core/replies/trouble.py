"""Answers to questions in plain words."""

from __future__ import annotations

from dataclasses import dataclass

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
