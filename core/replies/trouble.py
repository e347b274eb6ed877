"""Answers to trouble described in plain words."""

from __future__ import annotations

from dataclasses import dataclass

from core.replies.base import Reply
from core.trouble.diagnosis import Cause


@dataclass(frozen=True, slots=True, kw_only=True)
class Causes(Reply):
    """Ranked causes, the evidence they rest on, and the question that would decide.

    Attributes:
        symptoms: ids of the signs heard in the sentence, best first.
        about: what it was taken to be about: sowing code, crop id and tray, as far as known.
        dialogue: id under which an answer to `question` is to be given; 0 = none asked.
        question: id of a row of questions.toml.
    """

    symptoms: tuple[str, ...]
    about: tuple[str | None, str | None, str | None]
    causes: tuple[Cause, ...]
    dialogue: int
    question: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class NotRecognised(Reply):
    """No sign was recognised: how to ask."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerLate(Reply):
    """The question of a button is closed, or was never asked of this person."""
