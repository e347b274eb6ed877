"""A plan's list from a file: read whole, or the rows that are not clear are named."""

import datetime

import pytest

from bot.grammar.context import GrammarContext
from bot.grammar.files import PLAN, PlanFileUnclear, Purpose, plan_items, purpose
from bot.incoming import Event, Incoming
from bot.wording.mistakes.gathered import WORDS
from bot.wording.voice import Voice
from core.requests import PlanItem


def test_rows_give_crop_plants_sowings_and_variety():
    text = "crop,plants,sowings,variety\nTomatoes,24,,Amber Pip\nlettuce,40,2,\n"
    assert plan_items(text) == (
        PlanItem(crop="tomato", plants=24, variety="Amber Pip"),
        PlanItem(crop="lettuce", plants=40, sowings=2),
    )


@pytest.mark.parametrize("text", ["tomato;24\nbasil;6\n", "\ufefftomato\t24\nbasil\t6\n"])
def test_semicolons_tabs_and_a_byte_order_mark_are_read(text):
    assert [item.crop for item in plan_items(text)] == ["tomato", "basil"]


def test_rows_of_no_clear_crop_are_named_and_nothing_is_planned():
    with pytest.raises(PlanFileUnclear) as caught:
        plan_items("tomato,24\nunobtainium,3\nsquash,2\n")
    assert caught.value.names == ("unobtainium", "squash")
    words = WORDS[PlanFileUnclear](caught.value, Voice(today=datetime.date(2027, 2, 1)))
    assert "unobtainium and squash" in words.text


def test_a_file_without_rows_is_no_wish_to_see_the_plan():
    with pytest.raises(PlanFileUnclear):
        plan_items("crop,plants\n")


def test_a_list_longer_than_a_plan_is_refused_before_its_crops_are_looked_up():
    with pytest.raises(PlanFileUnclear) as caught:
        plan_items("tomatoe,24\n" * 400_000)
    assert caught.value.rows == 400_000


@pytest.mark.parametrize("caption", ["/plan", "plan", "/plán", "Plan:"])
def test_a_file_sent_with_the_word_plan_is_a_plan(caption):
    incoming = Incoming(
        platform="test", key="1", chat="c", event=Event.FILE, text=caption, file_name="w.csv",
        private=True, user="u", name="U",
    )  # fmt: skip
    meant = purpose(incoming, GrammarContext(today=datetime.date(2027, 2, 1), private=True))
    assert isinstance(meant, Purpose)
    assert meant.kind == PLAN
