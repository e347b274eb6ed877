"""Words of other worlds are known, and what the trade says with them is not taken for one."""

from __future__ import annotations

import pytest

from core.trade.crops.table import CROPS
from core.trouble.causes import CAUSES
from core.trouble.concepts import fold
from core.trouble.kind import OUTSIDE, Kind, kind_of_question
from core.trouble.worlds import WORLDS, world_of

SURE = [
    ("my spider plants have brown tips", "grown_plants"),
    ("the hydrangea turned green", "grown_plants"),
    ("how long to boil beetroot", "kitchen"),
    ("is lettuce ok for guinea pigs", "animals"),
    ("green water in my fish tank", "animals"),
    ("when is the parents evening", "people_and_place"),
    ("se le caen las hojas a mi ficus", "grown_plants"),
    ("cuanto tiempo se cuecen los ejotes", "kitchen"),
]
WEAK = ["the dog is in the garden", "what is in the shed", "el perro"]
OURS = [
    "my dog chewed up a couple of tomato seedlings",
    "mi gato se acuesta encima de la bandeja de semillas",
    "why does the packet say put seeds in the fridge",
    "the seed trays are in the shed and it is hot",
    "T3 stands on the radiator, leaves go yellow",
    "rabbits ate the lettuce plants",
]


@pytest.mark.parametrize(("text", "belongs"), SURE)
def test_a_word_of_another_world_is_sure(text: str, belongs: str) -> None:
    found = world_of(fold(text))
    assert found is not None
    assert (found.belongs, found.sure) == (belongs, True)
    assert kind_of_question(text).kind is Kind.NOT_OURS


@pytest.mark.parametrize("text", WEAK)
def test_a_word_that_the_trade_uses_as_well_is_not_sure(text: str) -> None:
    found = world_of(fold(text))
    assert found is not None
    assert not found.sure


@pytest.mark.parametrize("text", OURS)
def test_what_is_said_of_seedlings_stays_ours(text: str) -> None:
    assert kind_of_question(text).kind is not Kind.NOT_OURS


def test_every_world_belongs_somewhere_and_holds_no_crop() -> None:
    crops = {fold(n) for c in CROPS.rows() for n in (c.name, c.name_es or "", *c.synonyms)}
    places = {row.id for row in OUTSIDE.rows()}
    for row in WORLDS.rows():
        assert row.belongs in places
        sure = {fold(w) for w in (*row.words, *row.words_es)} - {fold(w) for w in row.weak}
        assert sure & crops == set()


def test_no_example_of_a_cause_is_taken_for_another_world() -> None:
    texts = [text for row in CAUSES.rows() for text in (row.fires, row.fires_es)]
    assert len(texts) >= 2 * 140
    assert [t for t in texts if kind_of_question(t).kind is Kind.NOT_OURS] == []
