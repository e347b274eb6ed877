"""Causes rank by what is known; questions are few and tell the leaders apart."""

from __future__ import annotations

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.trade.stage import TrayStage
from core.trouble.conditions import names_in
from core.trouble.diagnosis import MAX_CAUSES, MAX_QUESTIONS, Cause, Diagnosis, diagnose
from core.trouble.evidence import CropValues, Evidence, Origin
from core.trouble.evidence_text import evidence_in
from core.trouble.questions import QUESTIONS, Question
from core.trouble.rules import RULES, Strength, example_basis
from core.trouble.symptoms import SYMPTOMS, SymptomMatch, match_symptoms

TOMATO = CropValues(
    germ_min_c=10,
    germ_opt_lo_c=21,
    germ_max_c=35,
    day_min_c=18,
    day_max_c=24,
    night_min_c=16,
    weeks_max=8,
    outdoor_min_c=10,
)
RANKS = (Strength.STRONG, Strength.MODERATE, Strength.WEAK)


def of(**values: float | bool | str) -> Evidence:
    return Evidence.of(Origin.REPORT, values)


def sign(name: str) -> tuple[SymptomMatch, ...]:
    return (SymptomMatch(symptom=SYMPTOMS.by_id()[name], score=0.7, phrase=name),)


def ids(diagnosis: Diagnosis) -> list[str]:
    return [cause.rule.id for cause in diagnosis.causes]


def cause_of(diagnosis: Diagnosis, rule: str) -> Cause:
    return next(cause for cause in diagnosis.causes if cause.rule.id == rule)


def test_tall_and_floppy_under_a_dim_lamp_is_too_little_light() -> None:
    found = match_symptoms("why are my tomatoes tall and floppy")
    result = diagnose(found, of(dli=5, light_hours=14), TOMATO, TrayStage.TRUE_LEAVES)
    assert result.causes[0].rule.id == "leggy-low-dli"
    assert result.causes[0].holds
    assert [(u.name, u.value, u.origin) for u in result.causes[0].used] == [
        ("dli", 5, Origin.REPORT)
    ]


def test_the_sentence_itself_can_decide() -> None:
    text = "seedlings are leggy, lamp is on 9 hours a day"
    result = diagnose(match_symptoms(text), evidence_in(text), TOMATO, TrayStage.COTYLEDON)
    assert result.causes[0].rule.id == "leggy-short-day"


def test_wet_wilting_and_dry_wilting_part_ways() -> None:
    wet = diagnose(match_symptoms("wilting but the soil is soggy"), of(mix_moisture=4), TOMATO)
    dry = diagnose(match_symptoms("wilting and the tray is dry"), of(mix_moisture=2), TOMATO)
    assert wet.causes[0].rule.id == "wilt-wet"
    assert dry.causes[0].rule.id == "wilt-dry"
    assert "wilt-dry" in [rule.id for rule in wet.ruled_out]


def test_a_value_of_the_crop_is_shown_as_used() -> None:
    result = diagnose(sign("no_emergence"), of(mix_temp_c=8), TOMATO, TrayStage.BEFORE_EMERGENCE)
    used = {u.name: (u.value, u.origin) for u in result.causes[0].used}
    assert used == {
        "mix_temp_c": (8, Origin.REPORT),
        "crop.germ_min_c": (10, Origin.CROP_TABLE),
    }


def test_a_contradicted_cause_is_dropped() -> None:
    result = diagnose(sign("leggy"), of(dli=12, light_hours=16), TOMATO)
    assert not {"leggy-low-dli", "leggy-short-day"} & set(ids(result))
    assert {"leggy-low-dli", "leggy-short-day"} <= {rule.id for rule in result.ruled_out}


def test_when_everything_is_contradicted_nothing_is_claimed() -> None:
    result = diagnose(
        sign("fungus_gnats"), of(mix_moisture=2, tray_standing_water=False, algae_present=False)
    )
    assert result.causes == ()
    assert result.question is None


def test_no_signs_give_no_causes_and_no_question() -> None:
    result = diagnose((), of(dli=2, mix_moisture=5), TOMATO)
    assert (result.causes, result.question) == ((), None)


@pytest.mark.parametrize("rule", RULES.rows(), ids=lambda rule: rule.id)
def test_the_firing_example_puts_a_rule_above_all_unsettled_ones(rule) -> None:  # type: ignore[no-untyped-def]
    basis = example_basis(rule.fires)
    stage = rule.stages[0] if rule.stages else None
    result = diagnose(sign(rule.symptom), basis.evidence, basis.crop, stage)
    found = cause_of(result, rule.id)
    assert found.holds
    above = result.causes[: result.causes.index(found)]
    assert all(
        c.holds and RANKS.index(c.rule.strength) <= RANKS.index(rule.strength) for c in above
    )


@pytest.mark.parametrize("rule", RULES.rows(), ids=lambda rule: rule.id)
def test_the_silent_example_rules_a_rule_out(rule) -> None:  # type: ignore[no-untyped-def]
    basis = example_basis(rule.silent)
    result = diagnose(sign(rule.symptom), basis.evidence, basis.crop)
    if not set(rule.silent) & set(SYMPTOMS.by_id()[rule.symptom].implies):
        assert rule.id not in ids(result)
    assert rule.id in [r.id for r in result.ruled_out]


def test_of_two_that_hold_the_stronger_leads() -> None:
    both = of(lamp_type="fluorescent", light_distance_cm=12, light_source="window")
    held = [c.rule.strength for c in diagnose(sign("leggy"), both).causes if c.holds]
    assert held == sorted(held, key=RANKS.index)
    assert len(held) >= 2


def test_an_unknown_reading_lowers_a_rule_and_knowing_part_lifts_it_less_than_all() -> None:
    def score(**values: float | bool | str) -> float:
        return cause_of(diagnose(sign("white_fuzz"), of(**values)), "fuzz-harmless").score

    nothing, part = score(), score(mix_moisture=4)
    everything = score(mix_moisture=4, humidity_cover_on=True)
    assert nothing < part < everything


def test_rules_of_another_stage_are_left_out() -> None:
    result = diagnose(sign("leggy"), Evidence(), TOMATO, TrayStage.POTTED)
    assert all(not c.rule.stages or TrayStage.POTTED in c.rule.stages for c in result.causes)


def test_an_odd_stage_still_gets_an_answer() -> None:
    result = diagnose(
        sign("seed_rot"), of(tray_reused=True, tray_sanitised=False), TOMATO, TrayStage.POTTED
    )
    assert ids(result) != []


def test_a_question_parts_the_two_leading_causes() -> None:
    result = diagnose(sign("wilting"), Evidence(), TOMATO, TrayStage.TRUE_LEAVES)
    assert result.question is not None
    assert result.question.id == "moisture"
    leads = {
        diagnose(
            sign("wilting"),
            result.question.answered(Evidence(), option.code),
            TOMATO,
            TrayStage.TRUE_LEAVES,
        )
        .causes[0]
        .rule.id
        for option in result.question.options
    }
    assert {"wilt-wet", "wilt-dry"} <= leads


def test_what_anyone_can_see_is_asked_before_what_needs_a_meter() -> None:
    result = diagnose(sign("leggy"), Evidence(), TOMATO, TrayStage.COTYLEDON)
    assert [cause.rule.id for cause in result.causes[:2]] == ["leggy-low-dli", "leggy-short-day"]
    assert result.question is not None
    assert result.question.id == "light_hours"
    assert QUESTIONS.by_id()["light_level"].needs_meter


def test_no_question_when_the_leaders_hold() -> None:
    result = diagnose(sign("leggy"), of(dli=4, light_hours=8), TOMATO, TrayStage.COTYLEDON)
    assert [c.holds for c in result.causes[:2]] == [True, True]
    assert result.question is None


def test_no_question_that_could_not_change_the_lead() -> None:
    result = diagnose(sign("whitefly"), Evidence())
    assert result.causes[0].holds
    assert result.question is None


@pytest.mark.parametrize("symptom", SYMPTOMS.rows(), ids=lambda row: row.id)
def test_never_more_than_two_questions_and_none_twice(symptom) -> None:  # type: ignore[no-untyped-def]
    evidence = Evidence()
    asked: list[str] = []
    for _ in range(5):
        result = diagnose(sign(symptom.id), evidence, TOMATO, asked=asked)
        if result.question is None:
            break
        assert result.question.id not in asked
        wanted = {name for cause in result.causes[:2] for name in cause.missing}
        assert result.question.variables & wanted
        asked.append(result.question.id)
        evidence = result.question.answered(evidence, result.question.options[0].code)
    assert len(asked) <= MAX_QUESTIONS


def test_a_question_passed_over_is_not_asked_again() -> None:
    first = diagnose(sign("leggy"), Evidence(), TOMATO).question
    assert first is not None
    second = diagnose(sign("leggy"), Evidence(), TOMATO, asked=[first.id]).question
    assert second is None or second.id != first.id
    assert diagnose(sign("leggy"), Evidence(), TOMATO, asked=[first.id, "ph"]).question is None


def test_an_answer_is_marked_as_an_answer_and_an_unknown_code_is_refused() -> None:
    question: Question = QUESTIONS.by_id()["moisture"]
    evidence = question.answered(of(dli=5), "wet")
    assert evidence.origin_of("mix_moisture") is Origin.ANSWER
    assert evidence.origin_of("dli") is Origin.REPORT
    with pytest.raises(ValueError, match="moisture"):
        question.answered(evidence, "purple")


def test_what_a_sign_implies_gives_way_to_a_reading() -> None:
    result = diagnose(sign("two_in_cell"), of(plants_per_cell=1))
    assert ids(result) == []
    implied = diagnose(sign("two_in_cell"), Evidence()).causes[0]
    assert [u.origin for u in implied.used] == [Origin.SYMPTOM]


def test_several_signs_share_one_answer_and_the_clearer_sign_weighs_more() -> None:
    found = match_symptoms("pale all over and leggy, dli is 5")
    result = diagnose(found, of(dli=5), TOMATO, TrayStage.TRUE_LEAVES)
    assert {cause.rule.symptom for cause in result.causes if cause.holds} == {"pale", "leggy"}
    assert len(result.causes) <= MAX_CAUSES


VALUES = st.fixed_dictionaries(
    {},
    optional={
        "dli": st.floats(0, 40),
        "light_hours": st.floats(0, 24),
        "mix_moisture": st.integers(1, 5).map(float),
        "mix_temp_c": st.floats(0, 40),
        "air_day_c": st.floats(0, 40),
        "air_night_c": st.floats(0, 30),
        "days_since_feed": st.floats(0, 60),
        "heat_mat_on": st.booleans(),
        "light_source": st.sampled_from(["lamp", "window"]),
    },
)


@settings(max_examples=60, deadline=None)
@given(VALUES, st.sampled_from(sorted(SYMPTOMS.by_id())), st.sampled_from([None, *TrayStage]))
def test_the_same_evidence_gives_the_same_answer_in_any_order(
    values: dict[str, float], symptom: str, stage: TrayStage | None
) -> None:
    forward = diagnose(sign(symptom), of(**values), TOMATO, stage)
    backward = diagnose(sign(symptom), of(**dict(reversed(values.items()))), TOMATO, stage)
    assert forward == backward
    scores = [cause.score for cause in forward.causes]
    assert scores == sorted(scores, reverse=True)
    assert all(score > 0 for score in scores)


@settings(max_examples=60, deadline=None)
@given(VALUES, st.sampled_from(sorted(SYMPTOMS.by_id())))
def test_a_cause_that_holds_never_stands_below_one_that_is_open(
    values: dict[str, float], symptom: str
) -> None:
    holds = [cause.holds for cause in diagnose(sign(symptom), of(**values), TOMATO).causes]
    assert holds == sorted(holds, reverse=True)


@settings(max_examples=60, deadline=None)
@given(VALUES, st.sampled_from(sorted(SYMPTOMS.by_id())), st.data())
def test_forgetting_a_reading_never_lifts_a_cause_that_held(
    values: dict[str, float], symptom: str, data: st.DataObject
) -> None:
    if not values:
        return
    gone = data.draw(st.sampled_from(sorted(values)))
    before = diagnose(sign(symptom), of(**values), TOMATO)
    after = diagnose(sign(symptom), of(**{k: v for k, v in values.items() if k != gone}), TOMATO)
    scores = {cause.rule.id: cause.score for cause in after.causes}
    for cause in before.causes:
        if cause.holds and cause.rule.id in scores:
            assert scores[cause.rule.id] <= cause.score


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=200))
def test_no_text_crashes_from_words_to_causes(text: str) -> None:
    result = diagnose(match_symptoms(text), evidence_in(text), TOMATO)
    assert len(result.causes) <= MAX_CAUSES


def test_a_cause_names_what_is_missing_only_when_it_is_open() -> None:
    for cause in diagnose(sign("leggy"), of(dli=5), TOMATO).causes:
        assert (cause.missing == ()) is cause.holds
        assert set(cause.missing) <= set(names_in(cause.rule.condition))


@pytest.mark.bench
def test_words_to_causes_take_under_fifty_milliseconds() -> None:
    text = "tall and floppy and a bit purple, leaves pale, lights on 10 hours and gnats everywhere"
    diagnose(match_symptoms(text), evidence_in(text), TOMATO)
    taken = []
    for _ in range(20):
        start = time.perf_counter()
        diagnose(match_symptoms(text), evidence_in(text), TOMATO)
        taken.append(time.perf_counter() - start)
    assert sorted(taken)[10] < 0.050
