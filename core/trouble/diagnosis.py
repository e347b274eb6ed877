"""What is most likely wrong: causes weighed by what is known, and the question that helps most.

Each cause starts from how common it is at this stage and is multiplied by the likelihood ratio
of every finding that bears on it. A finding counts once for a cause: what a heavier cue has
used, a lighter one does not count again. What is not known changes nothing; what speaks against
a cause lowers it and never strikes it out. The shares of all causes add up to one.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from core.trade.stage import TrayStage
from core.trouble.causes import CAUSES, Cause, cues_of
from core.trouble.concepts import Heard, heard_in
from core.trouble.conditions import Value
from core.trouble.evidence import Basis, CropLimits, Evidence, Origin, with_computed
from core.trouble.findings import found_in
from core.trouble.questions import QUESTIONS, Question

MAX_QUESTIONS = 2  # own choice: more than two tire who asks
MAX_CAUSES = 5  # own choice
SHARPNESS = 0.9  # of summed log ratios: findings are not quite independent; own choice
LEAST_SUPPORT = 1.0  # log ratio some finding must give before a cause is named; own choice
PLAIN_SUPPORT = 2.5  # log ratio from which a cause named is taken at its word; own choice
LIKELY = 0.6  # share from which a cause is called likely; own choice
POSSIBLE = 0.2  # own choice
DANGER_SHARE = 0.12  # a danger this probable is said first; own choice
LEAST_GAIN = 0.03  # nats an answer must be expected to tell to be asked for; own choice
_WRONG_STAGE = math.log(0.5)  # own choice
_DENIED = math.log(0.5)  # own choice
_UNEXPLAINED = math.log(0.04)  # a cause that explains nothing that was said; own choice


class Chance(StrEnum):
    """How a computed probability is said."""

    LIKELY = "likely"
    POSSIBLE = "possible"
    LESS_LIKELY = "less_likely"


@dataclass(frozen=True, slots=True, kw_only=True)
class EvidenceUsed:
    """One reading a cause rests on; `name` may be a crop field such as `crop.day_min_c`."""

    name: str
    value: Value
    origin: Origin
    held_days: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranked:
    """One cause with its probability.

    Attributes:
        cause: the row.
        share: probability among all causes; 0..1.
        support: log likelihood ratio of everything that bears on it.
        words: words of the question that speak for it, as typed, folded.
        used: readings that speak for it, with where each came from.
    """

    cause: Cause
    share: float
    support: float
    words: tuple[str, ...] = ()
    used: tuple[EvidenceUsed, ...] = ()

    @property
    def chance(self) -> Chance:
        """How probable, in words; thresholds set where the words hold what they say."""
        if self.share >= LIKELY:
            return Chance.LIKELY
        return Chance.POSSIBLE if self.share >= POSSIBLE else Chance.LESS_LIKELY


@dataclass(frozen=True, slots=True, kw_only=True)
class Diagnosis:
    """Ranked causes and the question to ask next (None: nothing to ask)."""

    causes: tuple[Ranked, ...]
    question: Question | None = None
    shares: Mapping[str, float] = field(default_factory=dict)


def diagnose(
    heard: Heard,
    evidence: Evidence,
    crop: CropLimits | None = None,
    stage: TrayStage | None = None,
    *,
    asked: Collection[str] = (),
    asking: bool = True,
) -> Diagnosis:
    """Return what is likely wrong, best first, at most five causes.

    Args:
        heard: what the sentence speaks of.
        evidence: everything known about the tray.
        crop: the crop's limits, or None when the crop is not known.
        stage: how far the plants are, or None when it is not known.
        asked: ids of questions already asked, answered or not.
        asking: whether a question to ask next is looked for, which takes the most time.

    Pure and deterministic. Checked by: tests/core/trouble/test_diagnosis.py.
    """
    basis = Basis(evidence=with_computed(evidence), crop=crop)
    readings = found_in(basis)
    sums, bearing = _weighed(heard, readings, stage)
    shares = _shares(sums)
    named = [c for c in CAUSES.rows() if _supported(bearing[c.id])]
    named.sort(key=lambda c: (-shares[c.id], -c.prior, c.id))
    if named:
        # safety first: a danger that is at all probable is said before anything else
        dangers = [c for c in named if c.danger and shares[c.id] >= DANGER_SHARE]
        named = dangers + [c for c in named if c not in dangers]
    causes = tuple(
        _ranked(cause, shares[cause.id], bearing[cause.id], heard, readings, basis)
        for cause in named[:MAX_CAUSES]
    )
    question = None
    if asking and causes and not causes[0].cause.danger and len(set(asked)) < MAX_QUESTIONS:
        question = _best_question(heard, evidence, crop, stage, shares, asked)
    return Diagnosis(causes=causes, question=question, shares=shares)


def cause_told(text: str) -> Cause | None:
    """Return the cause somebody names outright ("slugs"), or None when it is not plain."""
    causes = diagnose(heard_in(text), Evidence(), asking=False).causes
    if not causes or causes[0].support < PLAIN_SUPPORT or causes[0].share < LIKELY:
        return None
    return causes[0].cause


def _weighed(
    heard: Heard,
    readings: Mapping[str, tuple[str, ...]],
    stage: TrayStage | None,
    causes: Collection[Cause] | None = None,
) -> tuple[dict[str, float], dict[str, list[tuple[frozenset[str], float]]]]:
    known = set(heard.found) | set(readings)
    sums: dict[str, float] = {}
    bearing: dict[str, list[tuple[frozenset[str], float]]] = {}
    for cause in CAUSES.rows() if causes is None else causes:
        total = math.log(cause.prior)
        used: set[str] = set()
        bears: list[tuple[frozenset[str], float]] = []
        for cue in cues_of(cause.id):
            if not cue.names <= known:
                missing = cue.names - known
                if len(cue.names) == 1 and missing <= heard.denied and cue.weight > 2:
                    total += _DENIED
                continue
            fresh = len(cue.names - used) / len(cue.names)
            if fresh == 0:
                continue
            weight = cue.weight * fresh * SHARPNESS
            total += weight
            used |= cue.names
            bears.append((cue.names, weight))
        if not _supported(bears):
            total += _UNEXPLAINED
        if stage is not None and cause.stages and stage not in cause.stages:
            total += _WRONG_STAGE
        sums[cause.id] = total
        bearing[cause.id] = bears
    return sums, bearing


def _supported(bears: list[tuple[frozenset[str], float]]) -> bool:
    return sum(weight for _, weight in bears) >= LEAST_SUPPORT


def _shares(sums: Mapping[str, float]) -> dict[str, float]:
    top = max(sums.values())
    raw = {name: math.exp(value - top) for name, value in sums.items()}
    whole = sum(raw.values())
    return {name: value / whole for name, value in raw.items()}


def _ranked(
    cause: Cause,
    share: float,
    bears: list[tuple[frozenset[str], float]],
    heard: Heard,
    readings: Mapping[str, tuple[str, ...]],
    basis: Basis,
) -> Ranked:
    names = [name for found, weight in bears if weight > 0 for name in sorted(found)]
    words = tuple(dict.fromkeys(heard.found[n] for n in names if n in heard.found))
    variables = dict.fromkeys(v for n in names for v in readings.get(n, ()))
    used = []
    for variable in variables:
        reading = basis.reading(variable)
        if reading is not None:
            used.append(
                EvidenceUsed(
                    name=variable,
                    value=reading.value,
                    origin=reading.origin,
                    held_days=reading.held_days,
                )
            )
    support = sum(weight for _, weight in bears)
    return Ranked(cause=cause, share=share, support=support, words=words, used=tuple(used))


def _best_question(
    heard: Heard,
    evidence: Evidence,
    crop: CropLimits | None,
    stage: TrayStage | None,
    shares: Mapping[str, float],
    asked: Collection[str],
) -> Question | None:
    """Return the question whose answer is expected to tell most about the leading causes.

    How likely each answer is under a cause follows from how far the answer would lift that
    cause; the gain is the mutual information of cause and answer, in nats.
    """
    leaders = _leaders(shares)
    whole = sum(shares[name] for name in leaders)
    weights = [shares[name] / whole for name in leaders]
    best: tuple[float, str] | None = None
    causes = [CAUSES.by_id()[name] for name in leaders]
    before = found_in(Basis(evidence=with_computed(evidence), crop=crop))
    base, _ = _weighed(heard, before, stage, causes)
    for question in QUESTIONS.rows():
        if question.id in asked or any(evidence.get(v) is not None for v in question.variables):
            continue
        rows: list[list[float]] = []
        for option in question.options:
            known = with_computed(question.answered(evidence, option.code))
            sums, _ = _weighed(heard, found_in(Basis(evidence=known, crop=crop)), stage, causes)
            rows.append([math.exp(sums[name] - base[name]) for name in leaders])
        gain = _gain(rows, weights) * (0.7 if question.needs_meter else 1.0)
        if gain > LEAST_GAIN and (best is None or gain > best[0] + 1e-12):
            best = (gain, question.id)
    return None if best is None else QUESTIONS.by_id()[best[1]]


def _gain(rows: list[list[float]], weights: list[float]) -> float:
    """Return the mutual information of answer (row) and cause (column), nats, >= 0."""
    totals = [sum(row[n] for row in rows) for n in range(len(weights))]
    gain = 0.0
    for row in rows:
        given = [row[n] / totals[n] for n in range(len(weights))]
        overall = sum(w * p for w, p in zip(weights, given, strict=True))
        gain += sum(w * p * math.log(p / overall) for w, p in zip(weights, given, strict=True))
    return gain


def _leaders(shares: Mapping[str, float]) -> list[str]:
    return sorted(shares, key=lambda name: -shares[name])[:6]
