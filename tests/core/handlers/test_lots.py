"""Packets of seed: kept, judged with their basis, and used up."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from core.errors import LotUnknown, ValueAbsurd
from core.group.garden import LotOf
from core.handlers.lots import viability
from core.replies.lots import LotSaid, LotsFound, LotsListed, LotUsedUp
from core.requests import SetLot
from core.set_up_errors import LotCropMissing
from core.trade.seed.lots import GerminationBasis, LotAdvice, lot_viability
from tests.core.handlers.one_group import OneGroup

AT = datetime(2027, 3, 1, 12, tzinfo=UTC)
TODAY = date(2027, 3, 1)


def said(group: OneGroup, request: SetLot) -> LotSaid:
    reply = group.ask(request)
    assert isinstance(reply, LotSaid)
    return reply


def test_lots_are_numbered_and_a_code_in_use_is_passed_over() -> None:
    group = OneGroup(AT)
    assert said(group, SetLot(code="L2", crop="basil")).judged.lot.code == "L2"
    codes = [said(group, SetLot(crop="tomato")).judged.lot.code for _ in range(2)]
    assert codes == ["L1", "L3"]


def test_a_lot_is_changed_part_by_part_and_only_looked_at_without_any() -> None:
    group = OneGroup(AT)
    said(group, SetLot(crop="tomato", variety="Amber Pip", packed_for=2025))
    changed = said(group, SetLot(code="l1", tested_up=9, tested_of=10))
    assert (changed.new, changed.changed) == (False, True)
    assert (changed.judged.lot.variety, changed.judged.lot.packed_for) == ("Amber Pip", 2025)
    assert changed.judged.lot.tested_on == TODAY
    shown = said(group, SetLot(code="L1"))
    assert (shown.new, shown.changed) == (False, False)


def test_what_is_expected_is_the_belief_of_label_age_and_test() -> None:
    lot = LotOf(
        id=1, code="L1", crop="tomato", packed_for=2025, label_percent=88.0, tested_up=9,
        tested_of=10, tested_on=TODAY,
    )  # fmt: skip
    found = viability(lot, TODAY)
    assert found.basis is GerminationBasis.LABEL
    assert found.age_years == pytest.approx(2 + 59 / 365.25, abs=0.01)
    assert found.tested_seeds == 10
    bare = lot_viability(
        label=0.88, standard=0.75, age_years=found.age_years, storage_years=found.storage_years
    )
    assert found.belief.mean != pytest.approx(bare.belief.mean)
    assert bare.belief.weight < found.belief.weight


def test_the_answer_names_the_basis_and_the_range() -> None:
    text = (
        OneGroup(AT).hear(SetLot(crop="tomato", packed_for=2025, tested_up=10, tested_of=10)).text
    )
    assert "what seed of its kind usually shows, 88%" in text  # half way from the legal 75 %
    assert "your test, 10 of 10" in text
    assert "likely" in text


def test_seed_of_unknown_age_is_to_be_tested_first() -> None:
    reply = said(OneGroup(AT), SetLot(crop="basil"))
    assert reply.judged.viability.advice is LotAdvice.TEST_FIRST


def test_treated_seed_brings_its_caution() -> None:
    group = OneGroup(AT)
    assert said(group, SetLot(crop="tomato", treated=True)).cautions == ("treated_seed",)
    assert said(group, SetLot(crop="tomato")).cautions == ()


def test_a_lot_used_up_is_gone_from_the_list_and_can_come_back() -> None:
    group = OneGroup(AT)
    group.ask(SetLot(crop="tomato"))
    assert isinstance(group.ask(SetLot(crop="tomato", used_up=True)), LotUsedUp)
    assert group.ask(SetLot()) == LotsListed(lots=())
    assert said(group, SetLot(code="L1", crop="tomato")).judged.lot.code == "L1"


def test_of_two_packets_of_a_crop_the_used_one_is_asked_for() -> None:
    group = OneGroup(AT)
    group.ask(SetLot(crop="tomato", variety="One"))
    group.ask(SetLot(crop="tomato", variety="Two"))
    which = group.ask(SetLot(crop="tomato", used_up=True))
    assert isinstance(which, LotsFound)
    assert isinstance(group.ask(which.options[1].request), LotUsedUp)
    listed = group.ask(SetLot())
    assert isinstance(listed, LotsListed)
    assert [judged.lot.variety for judged in listed.lots] == ["One"]


def test_what_cannot_be_is_refused() -> None:
    group = OneGroup(AT)
    group.ask(SetLot(crop="tomato"))
    with pytest.raises(LotCropMissing):
        group.ask(SetLot(packed_for=2026))
    with pytest.raises(LotUnknown):
        group.ask(SetLot(code="L9", tested_up=1, tested_of=2))
    with pytest.raises(LotUnknown):
        group.ask(SetLot(code="L1", crop="basil"))
    with pytest.raises(ValueAbsurd):
        group.ask(SetLot(crop="tomato", packed_for=1950))
