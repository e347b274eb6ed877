"""How well questions in members' own words are answered: totals over a table of questions.

`python -m tests.asking.score learn` prints the totals and every miss; any other half prints its
totals only: the sealed half is scored and never read.
"""

from __future__ import annotations

import csv
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from core.trade.crops.table import crop_by_id
from core.trouble.asked import read_question, with_crop
from core.trouble.diagnosis import Chance, Diagnosis, diagnose
from core.trouble.evidence import Evidence
from core.trouble.kind import Kind, kind_of
from core.trouble.tray_evidence import limits_of
from tests.asking.trays import tray_for

HERE = Path(__file__).parent


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One question with what a grower accepts as its cause, and what would harm."""

    text: str
    language: str
    accepted: frozenset[str]
    harmful: frozenset[str]
    ours: bool


@dataclass(slots=True, kw_only=True)
class Totals:
    """Counts of one pass; `calibration` holds hits and causes by the word said."""

    ours: int = 0
    first: int = 0
    three: int = 0
    harmful: int = 0
    silent: int = 0
    out: int = 0
    out_told: int = 0
    calibration: dict[str, list[int]] = field(default_factory=dict)
    misses: list[str] = field(default_factory=list)


def rows_of(half: str) -> Iterator[Row]:
    """Return the questions of one half."""
    with (HERE / f"{half}.tsv").open(encoding="utf-8") as file:
        for raw in csv.DictReader(file, delimiter="\t", quoting=csv.QUOTE_NONE):
            yield Row(
                text=raw["text"],
                language=raw["lang"],
                accepted=frozenset(filter(None, (raw["accepted"] or "").split("|"))),
                harmful=frozenset(filter(None, (raw["harmful"] or "").split("|"))),
                ours=raw["scope"] == "in",
            )


def answered(text: str, tray: Evidence) -> tuple[Kind, Diagnosis]:
    """Return what the bot makes of a question, with this much on record."""
    question = read_question(text)
    crop = crop_by_id(question.crop) if question.crop else None
    known = with_crop(question.said.over(tray), crop)
    limits = limits_of(question.crop) if question.crop else None
    diagnosis = diagnose(question.heard, known, limits)
    return kind_of(question.sentence, question.heard, diagnosis).kind, diagnosis


def score(half: str, *, with_tray: bool = False) -> dict[str, Totals]:
    """Return the totals of one half: `all`, and by language."""
    totals = {"all": Totals(), "en": Totals(), "es": Totals()}
    for row in rows_of(half):
        tray = tray_for(row.accepted) if with_tray else Evidence()
        kind, diagnosis = answered(row.text, tray)
        for name in ("all", row.language):
            _count(totals[name], row, kind, diagnosis)
    return totals


def _count(totals: Totals, row: Row, kind: Kind, diagnosis: Diagnosis) -> None:
    if not row.ours:
        totals.out += 1
        totals.out_told += kind is Kind.NOT_OURS
        if kind is not Kind.NOT_OURS:
            totals.misses.append(f"OUT {row.text} -> {_said(diagnosis)}")
        return
    totals.ours += 1
    causes = diagnosis.causes if kind is Kind.TROUBLE else ()
    ids = [ranked.cause.id for ranked in causes]
    totals.silent += not causes
    hit = bool(ids) and ids[0] in row.accepted
    totals.first += hit
    totals.three += bool(set(ids[:3]) & row.accepted)
    harm = bool(ids) and bool(
        ({ids[0]} | {f"advice_{a}" for a in causes[0].cause.advises}) & row.harmful
    )
    totals.harmful += harm
    for ranked in causes[:3]:
        said = totals.calibration.setdefault(ranked.chance, [0, 0])
        said[0] += ranked.cause.id in row.accepted
        said[1] += 1
    if not hit or harm:
        mark = "HARM" if harm else "MISS"
        accepted = "|".join(sorted(row.accepted))
        totals.misses.append(f"{mark} {kind} {row.text} | {accepted} -> {_said(diagnosis)}")


def _said(diagnosis: Diagnosis) -> str:
    return ", ".join(f"{r.cause.id} {r.share:.2f}" for r in diagnosis.causes[:4])


def line(name: str, totals: Totals) -> str:
    """Return one line of totals."""
    n = max(totals.ours, 1)
    calibration = " ".join(
        f"{chance}={totals.calibration[chance][0]}/{totals.calibration[chance][1]}"
        for chance in Chance
        if chance in totals.calibration
    )
    return (
        f"{name}: n={totals.ours} top1={totals.first / n:.3f} top3={totals.three / n:.3f} "
        f"harmful_first={totals.harmful} no_answer={totals.silent / n:.3f} "
        f"out={totals.out_told}/{totals.out} {calibration}"
    )


def main(half: str) -> None:
    """Print the totals; the misses only of the half that is learnt from."""
    totals = score(half)
    out = [line(f"{half} {name}", found) for name, found in totals.items()]
    out.append(line(f"{half} with a consistent tray", score(half, with_tray=True)["all"]))
    if half == "learn":
        out += totals["all"].misses
    sys.stdout.write("\n".join(out) + "\n")


if __name__ == "__main__":
    main(sys.argv[1])
