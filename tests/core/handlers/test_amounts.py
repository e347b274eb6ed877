"""How much to sow: what it rests on, where it fits, and what is said."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from core.errors import LotUnknown, ValueAbsurd
from core.handlers.amounts import RECORD_WEIGHT
from core.replies.amounts import AmountSaid
from core.requests import HowMany, Lost, SetLot, SetTray, Sow, Thinned, Up, Where
from core.trade.seed.amounts import sowing_size
from core.trade.seed.lots import LotAdvice
from tests.core.handlers.one_group import OneGroup

AT = datetime(2027, 3, 1, 12, tzinfo=UTC)


def ask(group: OneGroup, request: HowMany) -> AmountSaid:
    reply = group.ask(request)
    assert isinstance(reply, AmountSaid)
    return reply


def grown(group: OneGroup, seeds: int, up: int, *, lot: str | None = None, tray: str) -> None:
    """A tomato sowing that came up, was thinned, and so is over."""
    group.ask(SetTray(codes=(tray,), cells=200))
    group.ask(Sow(crop="tomato", lot=lot, where=Where(trays=(tray,)), cell_count=seeds))
    group.at += timedelta(days=12)
    group.ask(Up(where=Where(trays=(tray,)), count=up))
    group.ask(Thinned(where=Where(trays=(tray,))))


def test_without_lot_or_record_what_its_kind_usually_shows_is_taken() -> None:
    got = ask(OneGroup(AT), HowMany(plants=24, crop="tomato"))
    assert got.germination.judged is None
    assert got.germination.record is None
    assert got.germination.mean == pytest.approx(0.875)  # half way from 75 %, 7 CFR 201.31
    assert got.survival_of is None
    assert got.size is not None
    assert got.size.chosen.chance >= 0.9
    assert got.size.chosen.chance_one_cell_less < 0.9


def test_a_kind_without_a_standard_takes_what_seed_usually_shows() -> None:
    got = ask(OneGroup(AT), HowMany(plants=4, crop="borage"))
    assert not got.germination.of_kind
    assert got.germination.mean == pytest.approx(got.germination.first) == pytest.approx(0.75)


def test_the_lot_named_is_taken_and_an_unknown_one_refused() -> None:
    group = OneGroup(AT)
    group.ask(SetLot(crop="tomato", packed_for=2027, tested_up=10, tested_of=10))
    group.ask(SetLot(crop="tomato", packed_for=2018))
    got = ask(group, HowMany(plants=24, crop="tomato", lot="l2"))
    assert got.germination.judged is not None
    assert got.germination.judged.lot.code == "L2"
    assert got.germination.judged.viability.past_storage
    assert got.advice is LotAdvice.TEST_FIRST
    with pytest.raises(LotUnknown):
        group.ask(HowMany(plants=24, crop="tomato", lot="L9"))
    with pytest.raises(LotUnknown):
        group.ask(HowMany(plants=24, crop="basil", lot="L1"))


def test_of_several_lots_the_best_is_taken_and_the_rest_counted() -> None:
    group = OneGroup(AT)
    group.ask(SetLot(crop="tomato", packed_for=2018))
    group.ask(SetLot(crop="tomato", packed_for=2027, tested_up=10, tested_of=10))
    got = ask(group, HowMany(plants=24, crop="tomato"))
    assert got.germination.judged is not None
    assert got.germination.judged.lot.code == "L2"
    assert got.germination.other_lots == 1


def test_an_older_lot_needs_more_seed() -> None:
    group = OneGroup(AT)
    group.ask(SetLot(crop="tomato", packed_for=2027, label_percent=90))
    group.ask(SetLot(crop="tomato", packed_for=2020, label_percent=90))
    fresh = ask(group, HowMany(plants=24, crop="tomato", lot="L1"))
    old = ask(group, HowMany(plants=24, crop="tomato", lot="L2"))
    assert fresh.size is not None
    assert old.size is not None
    assert old.germination.mean < fresh.germination.mean
    assert old.size.chosen.seeds > fresh.size.chosen.seeds


def test_the_groups_own_finished_sowings_are_learned_from() -> None:
    group = OneGroup(AT)
    before = ask(group, HowMany(plants=24, crop="tomato"))
    grown(group, 60, 30, tray="T1")
    after = ask(group, HowMany(plants=24, crop="tomato"))
    assert after.germination.record == (30, 60, 1)
    assert after.germination.mean == pytest.approx((8.75 + 30) / (10 + 60))
    assert before.size is not None
    assert after.size is not None
    assert after.size.chosen.seeds > before.size.chosen.seeds


def test_a_sowing_still_coming_up_or_given_up_unseen_is_no_record() -> None:
    group = OneGroup(AT)
    group.ask(SetTray(codes=("T1",), cells=72))
    group.ask(Sow(crop="tomato", where=Where(trays=("T1",)), cell_count=24))
    group.ask(Sow(crop="tomato", where=Where(trays=("T1",)), cell_count=12))
    group.at += timedelta(days=5)
    group.ask(Up(where=Where(sowing="S1"), count=3))
    group.ask(Lost(where=Where(sowing="S2"), cause="mice"))
    assert ask(group, HowMany(plants=24, crop="tomato")).germination.record is None


def test_a_long_record_weighs_at_most_so_many_seeds() -> None:
    group = OneGroup(AT)
    grown(group, 200, 100, tray="T1")
    grown(group, 200, 100, tray="T2")
    got = ask(group, HowMany(plants=24, crop="tomato")).germination
    assert got.record == (200, 400, 2)
    assert got.mean == pytest.approx((8.75 + RECORD_WEIGHT / 2) / (10 + RECORD_WEIGHT))


def test_assurance_and_seeds_per_cell_are_as_asked() -> None:
    group = OneGroup(AT)
    got = ask(group, HowMany(plants=24, crop="tomato", assurance=0.99, seeds_per_cell=1))
    assert got.size is not None
    assert got.size.chosen.seeds_per_cell == 1
    assert got.size.chosen.chance >= 0.99
    plain = sowing_size(24, 0.875, assurance=0.99, per_cell=1)
    assert got.size.chosen.cells > plain.chosen.cells  # an unsure figure needs more


def test_trays_with_room_are_named() -> None:
    group = OneGroup(AT)
    group.ask(SetTray(codes=("T1", "T2"), cells=72))
    group.ask(SetTray(codes=("T3",), cells=18))
    group.ask(Sow(crop="basil", where=Where(trays=("T1",)), cell_count=60))
    got = ask(group, HowMany(plants=24, crop="tomato"))
    assert got.free == (("T2", 72),)
    assert got.free_in_all == 12 + 72 + 18
    assert {(f.cells, f.trays) for f in got.filled} == {(18, 2), (72, 1)}
    assert "T2 (72 free)" in group.hear(HowMany(plants=24, crop="tomato")).text


@pytest.mark.parametrize("plants", [0, 5001])
def test_absurd_numbers_are_refused(plants: int) -> None:
    with pytest.raises(ValueAbsurd):
        OneGroup(AT).ask(HowMany(plants=plants, crop="tomato"))


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_answer_has_six_lines_and_says_what_it_rests_on(language: str) -> None:
    group = OneGroup(AT, language=language)
    group.ask(SetLot(crop="tomato", packed_for=2025, tested_up=10, tested_of=10))
    for request in (
        HowMany(plants=24, crop="tomato"),
        HowMany(plants=24, crop="basil"),
        HowMany(plants=1, crop="tomato", assurance=0.999),
        HowMany(plants=5000, crop="celery", seeds_per_cell=1),
        HowMany(plants=24, crop="tomato", seeds_per_cell=3),
    ):
        lines = group.hear(request).text.splitlines()
        assert len(lines) == 6
        assert "{" not in "".join(lines)


def test_the_words_hold_the_basis_and_the_common_rule() -> None:
    group = OneGroup(AT)
    group.ask(SetLot(crop="tomato", packed_for=2026, tested_up=10, tested_of=10))
    text = group.hear(HowMany(plants=24, crop="tomato")).text
    assert "Rests on L1" in text
    assert "your test, 10 of 10" in text
    assert "what seed of its kind usually shows" in text
    assert "rule of thumb" in text
    assert "five seeds a plant, takes 120" in text


def test_hopeless_seed_is_not_promised() -> None:
    group = OneGroup(AT)
    group.ask(SetLot(crop="pepper", packed_for=2010, tested_up=0, tested_of=100))
    got = ask(group, HowMany(plants=200, crop="pepper"))
    assert got.size is None
    assert "get fresh seed" in group.hear(HowMany(plants=200, crop="pepper")).text
