"""Each caution has its moments and points to whoever has the last word."""

from __future__ import annotations

import pytest

from core.trade.cautions import CAUTIONS, DefersTo, Trigger, cautions_for, crop_cautions
from core.trade.crops.table import CROPS

TOPICS = [
    "mains_near_water",
    "heat_mat",
    "treated_seed",
    "bleach",
    "toxic_seed",
    "toxic_plant",
    "potting_dust",
    "children_data",
    "pesticide",
    "unvented_heater",
]


@pytest.mark.parametrize("topic", TOPICS)
def test_every_topic_of_harm_has_a_caution_with_a_source(topic: str) -> None:
    row = CAUTIONS.by_id()[topic]
    assert row.sources
    assert row.text
    assert row.defers


@pytest.mark.parametrize("trigger", list(Trigger))
def test_every_moment_has_a_caution(trigger: Trigger) -> None:
    assert cautions_for(trigger) != ()


def test_every_crop_with_a_hazard_has_a_caution_and_others_have_none() -> None:
    hazardous = [crop for crop in CROPS.rows() if crop.hazards]
    assert hazardous
    for crop in CROPS.rows():
        assert bool(crop_cautions(crop.hazards)) is bool(crop.hazards), crop.id


def test_a_hazard_without_a_trigger_is_the_callers_mistake() -> None:
    with pytest.raises(ValueError, match="crop_glows"):
        crop_cautions(["glows"])


def test_setting_up_a_lamp_or_mat_brings_up_mains_near_water() -> None:
    for trigger in (Trigger.SHELF_LAMP_SET_UP, Trigger.HEAT_MAT_SET_UP):
        assert "mains_near_water" in [row.id for row in cautions_for(trigger)]


def test_electricity_is_left_to_an_electrician_and_poisoning_to_a_poison_centre() -> None:
    by_id = CAUTIONS.by_id()
    assert by_id["mains_near_water"].defers_to is DefersTo.ELECTRICIAN
    assert by_id["toxic_seed"].defers_to is DefersTo.POISON_CENTRE
    assert by_id["pesticide"].defers_to is DefersTo.LABEL
    assert by_id["children_data"].defers_to is DefersTo.SCHOOL


def test_no_caution_gives_a_pesticide_dose_or_certifies_a_set_up() -> None:
    pesticide = CAUTIONS.by_id()["pesticide"]
    assert not any(c.isdigit() for c in pesticide.text + pesticide.defers)
    for row in CAUTIONS.rows():
        words = row.text.lower()
        assert not any(claim in words for claim in ("is safe", "are safe", "perfectly", "harmless"))
