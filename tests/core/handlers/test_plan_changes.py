"""A plan changed line by line: pins stay where they were set, whatever else is said."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import DateTooOld, NoPlan
from core.handlers.plan_changes import items_wanted
from core.plan.body import item_values
from core.plan_errors import PlanLineMissing
from core.requests import MakePlan, PlanItem

TODAY = date(2027, 3, 1)
CROPS = ("tomato", "pepper", "basil", "kale")
VARIETIES = (None, "Amber Pip", "Ruby Drop")
PINS = st.one_of(st.none(), st.integers(0, 120).map(lambda days: TODAY + timedelta(days=days)))
ITEMS = st.builds(
    PlanItem, crop=st.sampled_from(CROPS), variety=st.sampled_from(VARIETIES),
    plants=st.integers(1, 60), sow_on=PINS,
)  # fmt: skip
LINE = st.tuples(st.sampled_from(CROPS), st.sampled_from(VARIETIES))
STEPS = st.one_of(
    st.lists(ITEMS, min_size=1, max_size=3).map(
        lambda items: MakePlan(items=tuple(items), change=True)
    ),
    st.just(MakePlan(change=True)),
    LINE.map(lambda line: MakePlan(without=(line,))),
)


@given(st.lists(ITEMS, min_size=1, max_size=4), st.lists(STEPS, max_size=12))
def test_changes_in_any_order_keep_what_they_do_not_name(first, steps):
    """Against a plain record of lines by crop and variety, the last word on each counting."""
    lines: dict[tuple[str, str | None], PlanItem] = {}
    body: dict[str, object] = {}
    wanted = items_wanted(MakePlan(items=tuple(first)), None, TODAY)
    for item in wanted:
        lines[item.crop, item.variety] = item
    body = {"items": [item_values(item) for item in lines.values()]}
    for step in steps:
        if any(not _held(lines, crop, variety) for crop, variety in step.without):
            with pytest.raises(PlanLineMissing):
                items_wanted(step, body, TODAY)
            continue
        found = items_wanted(step, body, TODAY)
        for crop, variety in step.without:
            for key in [k for k in lines if k[0] == crop and variety in (None, k[1])]:
                del lines[key]
        before = dict(lines)
        for item in step.items:
            key = (item.crop, item.variety)
            pinned = before[key].sow_on if key in before else None
            lines[key] = replace(item, sow_on=item.sow_on or pinned)
        assert set(found) == set(lines.values())
        body = {"items": [item_values(item) for item in found]}


def _held(lines, crop, variety):
    return any(crop == one and variety in (None, other) for one, other in lines)


def test_any_day_takes_a_pin_away():
    pinned = PlanItem(crop="pepper", plants=24, sow_on=date(2027, 3, 20))
    body = {"items": [item_values(pinned)]}
    free = MakePlan(items=(PlanItem(crop="pepper", plants=24, any_day=True),), change=True)
    assert items_wanted(free, body, TODAY) == (PlanItem(crop="pepper", plants=24),)


def test_what_cannot_be_done_is_said():
    with pytest.raises(NoPlan):
        items_wanted(MakePlan(change=True), None, TODAY)
    late = PlanItem(crop="pepper", plants=24, sow_on=date(2027, 2, 1))
    with pytest.raises(DateTooOld):
        items_wanted(MakePlan(items=(late,)), None, TODAY)
