"""What is most likely wrong: causes ranked by what is known, and the question that helps most.

A rule whose condition holds ranks by its strength. One that the evidence contradicts is left
out. One that cannot be settled ranks below any that holds for the same sign, the lower the
less of it is known. At most two questions are asked, each the one whose answers would best
tell the two leading causes apart.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from core.trade.stage import TrayStage
from core.trouble.conditions import Outcome, Value, evaluate
from core.trouble.evidence import Basis, CropLimits, Evidence, Origin, with_computed
from core.trouble.questions import QUESTIONS, Question
from core.trouble.rules import Rule, Strength, rules_of
from core.trouble.symptoms import SymptomMatch

MAX_QUESTIONS = 2
MAX_CAUSES = 5

_WEIGHT = {Strength.STRONG: 3.0, Strength.MODERATE: 2.0, Strength.WEAK: 1.0}
_UNSETTLED = 0.1  # of a rule's weight when nothing of its condition is known
_PARTLY = 0.2  # added in proportion to what already holds; together under 1/3, so that a
# strong guess never passes a weak rule that holds
_WRONG_STAGE = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class EvidenceUsed:
    """One value a cause rests on; `name` may be a crop field such as `crop.day_min_c`."""

    name: str
    value: Value
    origin: Origin
    held_days: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """One rule that is not contradicted.

    Attributes:
        rule: the row with its texts, strength, basis and sources.
        holds: True when the evidence meets its condition, False when that is not known.
        score: rank, dimensionless, > 0; comparable within one diagnosis only.
        used: values it rests on, with where each came from.
        missing: names that would settle it; empty when it holds.
    """

    rule: Rule
    holds: bool
    score: float
    used: tuple[EvidenceUsed, ...]
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Diagnosis:
    """Ranked causes, those ruled out, and the question to ask next (None: nothing to ask)."""

    causes: tuple[Cause, ...]
    ruled_out: tuple[Rule, ...]
    question: Question | None


def diagnose(
    symptoms: Sequence[SymptomMatch],
    evidence: Evidence,
    crop: CropLimits | None = None,
    stage: TrayStage | None = None,
    *,
    asked: Collection[str] = (),
) -> Diagnosis:
    """Return what is likely wrong, best first, at most five causes.

    Args:
        symptoms: what `match_symptoms` found; empty gives an empty diagnosis.
        evidence: everything known about the tray.
        crop: the crop's limits, or None when the crop is not known.
        stage: how far the plants are; rules of other stages are left out unless none remain.
        asked: ids of questions already asked, answered or not.

    Pure and deterministic. Checked by: tests/core/trouble/test_diagnosis.py.
    """
    known = _with_implied(symptoms, evidence)
    found, ruled_out = _rank(symptoms, Basis(evidence=known, crop=crop), stage)
    question = None
    if len(set(asked)) < MAX_QUESTIONS:
        question = _best_question(found[:2], symptoms, known, crop, stage, asked)
    return Diagnosis(causes=found[:MAX_CAUSES], ruled_out=ruled_out, question=question)


def _with_implied(symptoms: Sequence[SymptomMatch], evidence: Evidence) -> Evidence:
    """Add what the signs themselves say; a reading that is there already stands."""
    for match in reversed(symptoms):
        evidence = evidence.over(Evidence.of(Origin.SYMPTOM, match.symptom.implies))
    return with_computed(evidence)


def _rank(
    symptoms: Sequence[SymptomMatch], basis: Basis, stage: TrayStage | None
) -> tuple[tuple[Cause, ...], tuple[Rule, ...]]:
    best = max((match.score for match in symptoms), default=1.0)
    causes: list[tuple[bool, Cause]] = []
    ruled_out: list[Rule] = []
    for match in symptoms:
        for rule in rules_of(match.symptom.id):
            outcome = evaluate(rule.condition, basis.lookup)
            if outcome.holds is False:
                ruled_out.append(rule)
                continue
            fits = stage is None or not rule.stages or stage in rule.stages
            score = (match.score / best) * _weigh(rule, outcome) * (1.0 if fits else _WRONG_STAGE)
            causes.append((fits, _cause(rule, outcome, score, basis)))
    if any(fits for fits, _ in causes):
        causes = [entry for entry in causes if entry[0]]
    # a stable sort: equal scores keep the order of the signs and of the table
    ranked = sorted((cause for _, cause in causes), key=lambda cause: -cause.score)
    return tuple(ranked), tuple(ruled_out)


def _weigh(rule: Rule, outcome: Outcome) -> float:
    weight = _WEIGHT[rule.strength]
    if outcome.holds:
        return weight
    return weight * (_UNSETTLED + _PARTLY * outcome.share_met)


def _cause(rule: Rule, outcome: Outcome, score: float, basis: Basis) -> Cause:
    used: list[EvidenceUsed] = []
    for name in outcome.used:
        reading = basis.reading(name)
        if reading is not None:
            used.append(
                EvidenceUsed(
                    name=name,
                    value=reading.value,
                    origin=reading.origin,
                    held_days=reading.held_days,
                )
            )
    return Cause(
        rule=rule,
        holds=bool(outcome.holds),
        score=round(score, 6),
        used=tuple(used),
        missing=outcome.missing,
    )


def _best_question(
    leaders: Sequence[Cause],
    symptoms: Sequence[SymptomMatch],
    evidence: Evidence,
    crop: CropLimits | None,
    stage: TrayStage | None,
    asked: Collection[str],
) -> Question | None:
    """Return the question whose answers tell the leading causes apart best, or None.

    Each answer is tried out. What counts, in this order: how many different pairs of verdicts
    on the leaders the answers give; that no meter is needed; how many answers leave a leader
    that holds; how many change which cause leads.
    """
    if not leaders or all(cause.holds for cause in leaders):
        return None
    wanted = {name for cause in leaders for name in cause.missing}
    best: Question | None = None
    best_worth = (0, False, 0, 0)
    for question in QUESTIONS.rows():
        if question.id in asked or not question.variables & wanted:
            continue
        verdicts: set[tuple[bool | None, ...]] = set()
        overtaken = settled = 0
        for option in question.options:
            trial = with_computed(question.answered(evidence, option.code))
            basis = Basis(evidence=trial, crop=crop)
            verdicts.add(tuple(evaluate(c.rule.condition, basis.lookup).holds for c in leaders))
            first, _ = _rank(symptoms, basis, stage)
            overtaken += not first or first[0].rule.id != leaders[0].rule.id
            settled += bool(first) and first[0].holds
        if len(verdicts) < 2 or (len(leaders) > 1 and leaders[0].holds and not overtaken):
            continue  # whatever the answer, the same cause leads
        worth = (len(verdicts), not question.needs_meter, settled, overtaken)
        if worth > best_worth:
            best, best_worth = question, worth
    return best
