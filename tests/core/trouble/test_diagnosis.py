"""The weighing keeps its laws: unknown changes nothing, nothing counts twice, danger is first."""

from __future__ import annotations

from dataclasses import replace

import pytest

from core.trouble.causes import CAUSES, cues_of
from core.trouble.concepts import Heard, heard_in
from core.trouble.diagnosis import Chance, diagnose
from core.trouble.evidence import Evidence, Origin
from core.trouble.questions import QUESTIONS
from core.trouble.tray_evidence import limits_of

NOTHING = Evidence()


def told(text: str, known: Evidence = NOTHING, crop: str | None = None) -> list[str]:
    found = diagnose(heard_in(text), known, limits_of(crop) if crop else None)
    return [ranked.cause.id for ranked in found.causes]


def test_shares_add_up_to_one() -> None:
    shares = diagnose(heard_in("tall and floppy, window only"), NOTHING).shares
    assert sum(shares.values()) == pytest.approx(1.0)
    assert len(shares) == len(CAUSES.rows())


def test_nothing_heard_names_nothing() -> None:
    found = diagnose(Heard(), NOTHING)
    assert found.causes == ()
    assert found.question is None


def test_a_reading_that_bears_on_nothing_said_changes_no_order() -> None:
    text = "tall thin and pale, only the window"
    feed = Evidence.of(Origin.REPORT, {"mix_ph": 6.0})
    assert told(text) == told(text, feed)


def test_a_finding_counts_once() -> None:
    cause = CAUSES.by_id()["light_too_little"]
    heavy = max(c.weight for c in cues_of(cause.id) if c.names <= {"tall", "dim"})
    heard = Heard(found={"tall": "tall", "dim": "dim"})
    ranked = next(r for r in diagnose(heard, NOTHING).causes if r.cause is cause)
    assert ranked.support == pytest.approx(heavy * 0.9)


def test_what_speaks_against_lowers_and_does_not_strike_out() -> None:
    dim = diagnose(heard_in("seedlings tall and thin"), NOTHING)
    bright = diagnose(
        heard_in("seedlings tall and thin"), Evidence.of(Origin.REPORT, {"dli": 16.0})
    )
    assert 0 < bright.shares["light_too_little"] < dim.shares["light_too_little"]


def test_what_is_not_logged_is_not_taken_for_not_done() -> None:
    assert "nitrogen_shortage" not in told("T5 seedlings tall and floppy")[:1]
    assert "underwatering" not in told("T5 seedlings tall and floppy")[:1]


def test_a_danger_is_said_first() -> None:
    text = "tomato leaves droop beside the paraffin heater and we have headaches"
    assert told(text)[0] == "carbon_monoxide_danger"


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("insects on the window and kale stems rotting at the soil", "aphids"),
        ("one leaf of my chard dried up", "hydrophobic_mix"),
        ("dahlia wilting, mouse mat under it", "mice_rats"),
    ],
)
def test_a_sign_does_not_prove_itself(text: str, wrong: str) -> None:
    assert told(text)[:1] != [wrong]


def test_kinds_that_need_cold_are_not_told_to_be_warmed() -> None:
    known = Evidence.of(Origin.REPORT, {"mix_temp_c": 20.0, "days_since_sowing": 36.0})
    assert told("larkspur nothing coming up", known, "larkspur")[0] == "needs_cold_stratification"


def test_depth_on_record_is_held_against_the_crops_own() -> None:
    known = Evidence.of(Origin.REPORT, {"sow_depth_mm": 50.0})
    assert told("tomato nothing coming up", known, "tomato")[0] == "sown_too_deep"


def test_the_question_asked_can_change_the_answer() -> None:
    heard = heard_in("nothing has come up")
    asked = diagnose(heard, NOTHING).question
    assert asked is not None
    firsts = {
        diagnose(heard, asked.answered(NOTHING, option.code)).causes[0].cause.id
        for option in asked.options
    }
    assert len(firsts) > 1
    assert diagnose(heard, NOTHING, asked=[row.id for row in QUESTIONS.rows()][:2]).question is None


def test_words_follow_the_probability() -> None:
    ranked = diagnose(heard_in("the seedlings lean hard to the window"), NOTHING).causes
    assert ranked[0].chance is Chance.LIKELY
    assert all(r.chance is not Chance.LIKELY for r in ranked[1:])


def test_findings_passed_over_for_want_of_readings_hold_nothing() -> None:
    from core.trouble.conditions import evaluate
    from core.trouble.evidence import Basis
    from core.trouble.findings import _conditions, found_in

    situations = [NOTHING] + [
        question.answered(NOTHING, option.code)
        for question in QUESTIONS.rows()
        for option in question.options
    ]
    for evidence in situations:
        for crop in (None, limits_of("tomato")):
            basis = Basis(evidence=evidence, crop=crop)
            wanted: dict[str, tuple[str, ...]] = {}
            for row, condition, _ in _conditions():
                known = row.unless_known is not None and basis.lookup(row.unless_known)
                outcome = evaluate(condition, basis.lookup)
                if not known and outcome.holds:
                    wanted.setdefault(row.says, outcome.used)
            assert found_in(basis) == wanted


def test_a_diagnosis_without_a_question_is_otherwise_the_same() -> None:
    heard = heard_in("seedlings tall and floppy")
    asked, told = diagnose(heard, NOTHING), diagnose(heard, NOTHING, asking=False)
    assert asked.question is not None
    assert told == replace(asked, question=None)
