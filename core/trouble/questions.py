"""Follow-up questions: what is asked, and what each answer says about the tray."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from core.trade.tables.registry import Complaint, Problem, ident, plain, register
from core.trouble.evidence import Evidence, Origin, Reading, variables_if_sound

CODE_BYTES = 16  # an answer's code travels in a button beside others; own choice


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One answer: its code for a button, its English text, and the readings it stands for."""

    code: str = ident()
    text: str = plain()
    set: Mapping[str, Any] = plain()

    @property
    def readings(self) -> Mapping[str, Reading]:
        """The readings of this answer, with origin `answer`."""
        return {name: _reading(raw) for name, raw in self.set.items()}


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One follow-up question and its possible answers.

    Attributes:
        id: what is asked, and the name under which it counts as asked.
        text: the question, English.
        needs_meter: most members would have to fetch an instrument to answer.
        options: possible answers, in the order of their buttons.
    """

    id: str = ident()
    text: str = plain()
    needs_meter: bool = plain(default=False)
    options: tuple[Option, ...] = plain()

    @property
    def variables(self) -> frozenset[str]:
        """Every variable that some answer settles."""
        return frozenset(name for option in self.options for name in option.set)

    def answered(self, evidence: Evidence, code: str) -> Evidence:
        """Return the evidence with one answer added; raise ValueError for an unknown code."""
        for option in self.options:
            if option.code == code:
                return Evidence(readings={**evidence.readings, **option.readings})
        raise ValueError(f"question {self.id} has no answer {code!r}")


def _reading(raw: object) -> Reading:
    if isinstance(raw, dict):
        return Reading(value=raw["value"], held_days=raw["days"], origin=Origin.ANSWER)
    assert isinstance(raw, bool | int | float | str)
    return Reading(value=raw, origin=Origin.ANSWER)


def _check_questions(rows: tuple[Question, ...]) -> Iterator[Complaint]:
    for row in rows:
        codes = [option.code for option in row.options]
        if len(codes) < 2 or len(set(codes)) < len(codes):
            yield Complaint(row=row.id, field="options", values={"codes": tuple(codes)})
        for option in row.options:
            if len(option.code.encode()) > CODE_BYTES:
                values = {"given": option.code, "lo": 1, "hi": CODE_BYTES}
                yield Complaint(
                    row=row.id, field="options", problem=Problem.OUT_OF_RANGE, values=values
                )
            if variables_if_sound() is None:
                continue
            try:
                Evidence(readings=option.readings)
            except (ValueError, KeyError, AssertionError) as error:
                yield Complaint(row=row.id, field="options", values={"reason": str(error)})


QUESTIONS = register("question", Question, check=_check_questions)
