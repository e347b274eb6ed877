"""Every row of the trouble-shooting tables proves both sides of its own boundary."""

from __future__ import annotations

from collections import Counter

import pytest

from core.trade.cautions import CAUTIONS, Trigger
from core.trade.stage import TrayStage
from core.trouble.conditions import comparisons_in, evaluate, names_in
from core.trouble.evidence import VARIABLES, Basis, Evidence
from core.trouble.questions import QUESTIONS
from core.trouble.rules import RULES, Rule, ThresholdBasis, example_basis, rules_of
from core.trouble.symptoms import SYMPTOMS, match_symptoms

EVERY_RULE = pytest.mark.parametrize("rule", RULES.rows(), ids=lambda rule: rule.id)


@EVERY_RULE
def test_a_rule_fires_on_its_firing_example(rule: Rule) -> None:
    assert evaluate(rule.condition, example_basis(rule.fires).lookup).holds is True


@EVERY_RULE
def test_a_rule_is_contradicted_by_its_silent_example(rule: Rule) -> None:
    assert evaluate(rule.condition, example_basis(rule.silent).lookup).holds is False


@EVERY_RULE
def test_a_rule_cannot_be_settled_on_no_evidence(rule: Rule) -> None:
    outcome = evaluate(rule.condition, Basis(evidence=Evidence()).lookup)
    assert outcome.holds is None
    assert set(outcome.missing) == set(names_in(rule.condition))


@EVERY_RULE
def test_a_rules_sentence_finds_its_sign_first(rule: Rule) -> None:
    found = [match.symptom.id for match in match_symptoms(rule.phrase_fires)]
    assert found[:1] == [rule.symptom]


@EVERY_RULE
def test_a_rules_other_sentence_does_not_find_its_sign(rule: Rule) -> None:
    found = [match.symptom.id for match in match_symptoms(rule.phrase_silent)]
    assert rule.symptom not in found


def test_the_silent_example_differs_from_the_firing_one() -> None:
    assert [rule.id for rule in RULES.rows() if rule.fires == rule.silent] == []


def test_there_are_at_least_ninety_rules_and_each_sign_has_one() -> None:
    assert len(RULES.rows()) >= 90
    counted = Counter(rule.symptom for rule in RULES.rows())
    assert set(counted) == {symptom.id for symptom in SYMPTOMS.rows()}


def test_a_published_threshold_has_a_published_source() -> None:
    unsourced = [
        rule.id
        for rule in RULES.rows()
        if rule.threshold_basis is ThresholdBasis.PUBLISHED
        and set(rule.sources) <= {"from memory", "common practice"}
    ]
    assert unsourced == []


def test_a_rule_resting_on_memory_says_so_in_its_sources() -> None:
    silent = [
        rule.id
        for rule in RULES.rows()
        if rule.threshold_basis is ThresholdBasis.FROM_MEMORY and "from memory" not in rule.sources
    ]
    assert silent == []


def test_numbers_in_a_condition_are_named_in_its_threshold_text() -> None:
    """A row whose condition holds a number may not call its boundary a sign without a number."""
    unnamed = [
        rule.id
        for rule in RULES.rows()
        if rule.threshold == "sign, no number"
        and any(test.limit is not None for test in comparisons_in(rule.condition))
    ]
    assert unnamed == []


def test_every_rule_stage_is_a_stage_of_its_sign() -> None:
    stages = {row.id: set(row.stages) or set(TrayStage) for row in SYMPTOMS.rows()}
    outside = [
        rule.id
        for rule in RULES.rows()
        if rule.stages and not set(rule.stages) & stages[rule.symptom]
    ]
    assert outside == []


def test_every_sign_has_at_least_eight_wordings() -> None:
    assert min(len(set(symptom.phrases)) for symptom in SYMPTOMS.rows()) >= 8


def test_every_wording_finds_its_own_sign() -> None:
    lost = [
        (symptom.id, phrase)
        for symptom in SYMPTOMS.rows()
        for phrase in symptom.phrases
        if symptom.id not in [match.symptom.id for match in match_symptoms(phrase)]
    ]
    assert lost == []


def test_every_question_can_settle_a_variable_of_some_rule() -> None:
    used = {name for rule in RULES.rows() for name in names_in(rule.condition)}
    idle = [question.id for question in QUESTIONS.rows() if not question.variables & used]
    assert idle == []


def test_every_answer_fits_its_variables() -> None:
    variables = VARIABLES.by_id()
    for question in QUESTIONS.rows():
        for option in question.options:
            for name, reading in option.readings.items():
                assert variables[name].accepts(reading.value), (question.id, option.code, name)


def test_a_caution_named_by_a_rule_is_meant_for_advice_and_none_is_orphaned() -> None:
    by_id = CAUTIONS.by_id()
    named = {name for rule in RULES.rows() for name in rule.cautions}
    assert all(Trigger.ADVICE in by_id[name].triggers for name in named)
    for_advice = {row.id for row in CAUTIONS.rows() if Trigger.ADVICE in row.triggers}
    assert for_advice == named


def test_advice_with_bleach_or_spray_carries_its_caution() -> None:
    for rule in RULES.rows():
        words = f"{rule.remedy} {rule.caution}".lower()
        if "bleach" in words:
            assert "bleach" in rule.cautions, rule.id
        if "soap spray" in words or "bait" in words or "pellets" in words:
            assert "pesticide" in rule.cautions, rule.id


def test_rules_of_a_sign_keep_table_order() -> None:
    ids = [rule.id for rule in RULES.rows() if rule.symptom == "leggy"]
    assert [rule.id for rule in rules_of("leggy")] == ids
