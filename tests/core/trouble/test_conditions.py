"""The condition syntax: three truth values, crop-relative limits, durations."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.trouble.conditions import Known, Lookup, Outcome, evaluate, names_in, parse_condition


def looking(values: Mapping[str, object]) -> Lookup:
    def lookup(name: str) -> Known | None:
        value = values.get(name)
        if isinstance(value, tuple):
            return Known(value=value[0], held_days=value[1])
        return None if value is None else Known(value=value)  # type: ignore[arg-type]

    return lookup


def tried(when: Mapping[str, object], values: Mapping[str, object]) -> Outcome:
    return evaluate(parse_condition(when), looking(values))


@pytest.mark.parametrize(
    ("operator", "at", "below", "above"),
    [
        ("below", False, True, False),
        ("above", False, False, True),
        ("at_least", True, False, True),
        ("at_most", True, True, False),
    ],
)
def test_each_operator_is_right_on_and_either_side_of_its_limit(
    operator: str, at: bool, below: bool, above: bool
) -> None:
    when = {"dli": {operator: 8}}
    assert tried(when, {"dli": 8}).holds is at
    assert tried(when, {"dli": 7.99}).holds is below
    assert tried(when, {"dli": 8.01}).holds is above


def test_a_limit_may_be_a_crop_field_with_an_offset_or_a_multiple_of_a_variable() -> None:
    when = {"air_day_c": {"below": "crop.day_min_c - 5"}}
    assert tried(when, {"air_day_c": 12.9, "crop.day_min_c": 18}).holds is True
    assert tried(when, {"air_day_c": 13.0, "crop.day_min_c": 18}).holds is False
    twice = {"days": {"above": "2 * expected"}}
    assert tried(twice, {"days": 21, "expected": 10}).holds is True
    assert tried(twice, {"days": 20, "expected": 10}).holds is False


def test_an_unknown_limit_leaves_the_condition_open_and_is_named_as_missing() -> None:
    outcome = tried({"mix_temp_c": {"below": "crop.germ_min_c"}}, {"mix_temp_c": 5})
    assert outcome.holds is None
    assert outcome.missing == ("crop.germ_min_c",)
    assert outcome.used == ("mix_temp_c",)


def test_a_duration_is_open_when_nobody_knows_how_long() -> None:
    when = {"mix_moisture": {"at_least": 4, "for_days": 3}}
    assert tried(when, {"mix_moisture": (4, 3.0)}).holds is True
    assert tried(when, {"mix_moisture": (4, 2.9)}).holds is False
    assert tried(when, {"mix_moisture": (4, None)}).holds is None
    assert tried(when, {"mix_moisture": (3, None)}).holds is False


def test_all_is_false_as_soon_as_one_part_is_and_any_true_as_soon_as_one_is() -> None:
    both = {"a": True, "b": True}
    assert tried(both, {"a": False}).holds is False
    assert tried(both, {"a": True}).holds is None
    either = {"any": [{"a": True}, {"b": True}]}
    assert tried(either, {"a": True}).holds is True
    assert tried(either, {"a": False}).holds is None
    assert tried(either, {"a": False, "b": False}).holds is False


def test_only_the_part_that_settles_it_counts_as_used() -> None:
    either = {"any": [{"a": True}, {"b": True}]}
    outcome = tried(either, {"a": False, "b": True})
    assert (outcome.used, outcome.missing) == (("b",), ())


def test_the_share_met_counts_what_already_holds() -> None:
    three = {"a": True, "b": True, "c": True}
    assert tried(three, {"a": True}).share_met == pytest.approx(1 / 3)
    assert tried(three, {"a": True, "b": True}).share_met == pytest.approx(2 / 3)


@pytest.mark.parametrize(
    "when",
    [
        {},
        {"a": {}},
        {"a": {"under": 3}},
        {"a": {"below": "crop day_min_c"}},
        {"a": {"below": True}},
        {"a": {"one_of": []}},
        {"a": {"at_least": 3, "for_days": "long"}},
        {"any": []},
        {"any": {"a": 1}},
        {"any": [3]},
        {"a": [1, 2]},
    ],
)
def test_what_is_not_in_the_syntax_is_refused(when: Mapping[str, object]) -> None:
    with pytest.raises(ValueError, match=r".+"):
        parse_condition(when)


def test_names_are_listed_once_in_order() -> None:
    when = {"a": {"below": "crop.x"}, "any": [{"b": True}, {"a": {"above": 3}}]}
    assert names_in(parse_condition(when)) == ("a", "crop.x", "b")


@given(st.dictionaries(st.sampled_from("abc"), st.booleans()))
def test_learning_more_never_turns_a_settled_condition_round(known: dict[str, bool]) -> None:
    when = {"a": True, "any": [{"b": True}, {"c": False}]}
    settled = tried(when, known).holds
    for name in "abc":
        for value in (True, False):
            if name not in known and settled is not None:
                assert tried(when, {**known, name: value}).holds is settled
