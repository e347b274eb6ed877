"""The rota, what it leaves open, who could fill it, and days swapped."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from core.errors import CoordinatorsOnly, MemberUnknown
from core.group.cover import cover_offers, gaps_ahead, load
from core.group.garden import Garden
from core.handlers.table import answer
from core.records import people, snapshot
from core.replies.base import Reply
from core.replies.duty import (
    AwaySaid,
    ClosedListed,
    ClosedSaid,
    DutyChanged,
    SwapDays,
    SwapOffered,
    SwapTaken,
)
from core.requests import (
    Request,
    SetAway,
    SetClosed,
    SetDuty,
    SetTray,
    Sow,
    Swap,
    Watered,
    Where,
)
from core.set_up_errors import AwayThen, DatesReversed, DutyUnclear, NotOnDuty, SwapGone
from tests.core.handlers.one_group import OneGroup

MONDAY = date(2027, 3, 1)
AT = datetime(2027, 3, 1, 12, tzinfo=UTC)


def day(offset: int) -> date:
    return MONDAY + timedelta(days=offset)


class Bench(OneGroup):
    """Ana the coordinator, Bo and Cy; two trays with something in them, watered today."""

    def __init__(self) -> None:
        super().__init__(AT)
        self.members = {"Ana": self.ids[1]}
        self.persons = {"Ana": self.ids[2]}
        with self.database.transaction() as session:
            for name in ("Bo", "Cy"):
                person = people.person_of(
                    session, "test", name, name=name, username=None, now=self.at
                )
                member = people.join(session, self.ids[0], person, name, self.at)
                self.members[name], self.persons[name] = member.id, person.id
        self.ask(SetTray(codes=("T1", "T2"), cells=72))
        for tray in ("T1", "T2"):
            self.ask(Sow(crop="basil", where=Where(trays=(tray,)), cell_count=6))
        self.ask(Watered(where=Where(everything=True)))

    def by(self, name: str, request: Request, *, private: bool = False) -> Reply:
        scene = replace(
            self.scene,
            member_id=self.members[name],
            person_id=self.persons[name],
            coordinator=name == "Ana",
            private=private,
        )
        with self.database.transaction() as session:
            return answer(request, scene, session)

    def garden(self) -> Garden:
        with self.database.transaction() as session:
            return snapshot.garden(session, self.ids[0], self.scene.today)

    def on(self, offset: int, tray: str | None = None) -> set[str]:
        garden = self.garden()
        return {garden.members[member].name for member in garden.on_duty(day(offset), tray)}


def changed(reply: Reply) -> DutyChanged:
    assert isinstance(reply, DutyChanged)
    return reply


def test_weekdays_given_twice_become_one_row() -> None:
    bench = Bench()
    bench.ask(SetDuty(who=("Bo",), weekdays=(0, 2)))
    reply = changed(bench.ask(SetDuty(who=("Bo",), weekdays=(2, 4))))
    assert [duty.weekdays for duty in reply.now] == [(0, 2, 4)]
    bench.ask(SetDuty(who=("Bo",), weekdays=(2,), off=True))
    assert bench.on(2) == set()
    assert bench.on(0) == bench.on(4) == {"Bo"}


def test_trays_of_a_duty_are_kept_apart() -> None:
    bench = Bench()
    bench.ask(SetDuty(who=("Bo",), weekdays=(0,), where=Where(trays=("T1",))))
    bench.ask(SetDuty(who=("Cy",), weekdays=(0,), where=Where(trays=("T2",))))
    assert bench.on(0, "T1") == {"Bo"}
    assert bench.on(0, "T2") == {"Cy"}


def test_members_set_their_own_duty_and_only_coordinators_that_of_others() -> None:
    bench = Bench()
    bench.by("Bo", SetDuty(who=("me",), weekdays=(5,)))
    assert bench.on(5) == {"Bo"}
    with pytest.raises(CoordinatorsOnly):
        bench.by("Bo", SetDuty(who=("Cy",), weekdays=(5,)))
    with pytest.raises(CoordinatorsOnly):
        bench.by("Bo", SetAway(first=day(1), last=day(2), who="Cy"))
    with pytest.raises(MemberUnknown):
        bench.ask(SetDuty(who=("Zed",), weekdays=(5,)))


def test_a_duty_needs_days_and_one_that_is_not_there_cannot_be_taken_off() -> None:
    bench = Bench()
    with pytest.raises(DutyUnclear):
        bench.ask(SetDuty(who=("Bo",)))
    with pytest.raises(DutyUnclear):
        bench.ask(SetDuty(who=("Bo",), weekdays=(1,), off=True))
    with pytest.raises(DatesReversed):
        bench.ask(SetDuty(who=("Bo",), days=(day(-1),)))


def test_one_day_off_the_weekly_rota_is_that_day_only() -> None:
    bench = Bench()
    bench.ask(SetDuty(who=("Bo",), weekdays=(2,)))
    bench.ask(SetDuty(who=("Bo",), days=(day(2),), off=True))
    assert bench.on(2) == set()
    assert bench.on(9) == {"Bo"}


def test_a_gap_is_named_with_its_days_when_duty_changes() -> None:
    bench = Bench()
    every_day = SetDuty(who=("Bo",), weekdays=(0, 1, 2, 3, 4, 5, 6))
    assert changed(bench.ask(every_day)).cover.gaps == ()
    reply = changed(bench.ask(SetDuty(who=("Bo",), weekdays=(3, 4, 5, 6), off=True)))
    first = reply.cover.gaps[0]
    assert (first.first, first.last) == (day(3), day(6))
    assert set(first.trays) == {"T1", "T2"}
    assert day(3) <= first.dry_on <= day(6)
    assert "Nobody is in from" in bench.hear(SetDuty()).text


def test_a_group_without_a_rota_is_taken_to_come_every_open_day() -> None:
    bench = Bench()
    assert gaps_ahead(bench.garden(), MONDAY) == ()
    reply = bench.ask(SetClosed(first=day(1), last=day(9)))
    assert isinstance(reply, ClosedSaid)
    assert [(gap.first, gap.last) for gap in reply.cover.gaps] == [(day(1), day(9))]
    assert reply.cover.closed
    assert reply.cover.offers == ()


def test_the_offers_close_every_gap_that_has_an_open_day() -> None:
    bench = Bench()
    reply = changed(bench.ask(SetDuty(who=("Ana",), weekdays=(0,))))
    assert reply.cover.gaps
    for offer in reply.cover.offers:
        bench.ask(SetDuty(who=(offer.name,), days=(offer.day,)))
    assert gaps_ahead(bench.garden(), MONDAY) == ()


def test_the_least_loaded_come_first_and_those_away_never() -> None:
    bench = Bench()
    bench.ask(SetDuty(who=("Ana",), weekdays=(0,)))
    bench.ask(SetDuty(who=("Bo",), weekdays=(1,)))
    garden = bench.garden()
    loads = {name: load(garden, bench.members[name], MONDAY) for name in ("Ana", "Bo", "Cy")}
    assert loads["Cy"] == 0
    assert loads["Ana"] >= 8
    assert {offer.name for offer in cover_offers(garden, MONDAY)} == {"Cy"}
    reply = bench.by("Cy", SetAway(first=day(0), last=day(30)))
    assert isinstance(reply, AwaySaid)
    assert reply.cover.offers
    assert "Cy" not in {offer.name for offer in reply.cover.offers}


def test_the_load_of_a_holiday_is_shared_within_one_day() -> None:
    bench = Bench()
    bench.ask(SetDuty(who=("Ana",), days=(day(0),)))
    taken = [offer.name for offer in cover_offers(bench.garden(), MONDAY)]
    assert len(taken) >= 3
    counts = [taken.count(name) for name in ("Bo", "Cy")]
    assert max(counts) - min(counts) <= 1


def test_an_absence_is_noted_once_and_ended_from_today_on() -> None:
    bench = Bench()
    bench.ask(SetDuty(who=("Bo",), weekdays=(2,)))
    reply = bench.by("Bo", SetAway(first=day(-3), last=day(9)))
    assert isinstance(reply, AwaySaid)
    assert reply.duties == (day(2), day(9))
    bench.by("Bo", SetAway(first=day(-3), last=day(9)))
    assert len(bench.garden().absences) == 1
    bench.by("Bo", SetAway(off=True))
    (kept,) = bench.garden().absences
    assert kept.last == day(-1)  # the days that were, were
    with pytest.raises(DatesReversed):
        bench.by("Bo", SetAway(first=day(5), last=day(4)))
    with pytest.raises(DatesReversed):
        bench.by("Bo", SetAway(first=day(-5), last=day(-4)))


def test_lifting_one_day_of_a_closure_leaves_the_rest_closed() -> None:
    bench = Bench()
    bench.ask(SetClosed(first=day(1), last=day(9), label="flood"))
    bench.ask(SetClosed(weekdays=(6,)))
    bench.ask(SetClosed(first=day(4), off=True))
    garden = bench.garden()
    closed = [offset for offset in range(0, 14) if garden.closed(day(offset))]
    assert closed == [1, 2, 3, 5, 6, 7, 8, 9, 13]
    listed = bench.ask(SetClosed())
    assert isinstance(listed, ClosedListed)
    assert len(listed.closures) == 3
    bench.ask(SetClosed(weekdays=(6,), off=True))
    assert not bench.garden().closed(day(13))
    with pytest.raises(DutyUnclear):
        bench.ask(SetClosed(weekdays=(5,), off=True))


def offered(reply: Reply) -> int:
    assert isinstance(reply, SwapOffered)
    return reply.offer


def test_an_offered_day_is_taken_once_and_only_by_another() -> None:
    bench = Bench()
    bench.ask(SetDuty(who=("Bo",), weekdays=(3,)))
    offer = offered(bench.by("Bo", Swap(day=day(3))))
    assert bench.on(3) == {"Bo"}  # until somebody takes it
    for name, reason in (("Bo", "own"), ("Cy", None), ("Ana", "taken"), ("Bo", "taken")):
        if reason is None:
            assert isinstance(bench.by(name, Swap(take=offer)), SwapTaken)
            continue
        with pytest.raises(SwapGone) as caught:
            bench.by(name, Swap(take=offer))
        assert caught.value.reason == reason
    assert bench.on(3) == {"Cy"}
    assert bench.on(10) == {"Bo"}


def test_a_swap_moves_only_the_trays_that_were_offered() -> None:
    bench = Bench()
    bench.ask(SetDuty(who=("Ana",), weekdays=(3,), where=Where(trays=("T2",))))
    bench.ask(SetDuty(who=("Bo",), weekdays=(3,), where=Where(trays=("T1",))))
    offer = offered(bench.by("Bo", Swap(day=day(3))))
    bench.by("Cy", Swap(take=offer))
    assert bench.on(3, "T1") == {"Cy"}
    assert bench.on(3, "T2") == {"Ana"}
    assert bench.on(3) == {"Ana", "Cy"}


def test_of_two_on_duty_the_one_who_did_not_swap_stays() -> None:
    bench = Bench()
    bench.ask(SetDuty(who=("Ana", "Bo"), weekdays=(3,)))
    bench.by("Cy", Swap(take=offered(bench.by("Bo", Swap(day=day(3))))))
    assert bench.on(3) == {"Ana", "Cy"}


def test_a_swapped_day_can_be_offered_on() -> None:
    bench = Bench()
    bench.ask(SetDuty(who=("Bo",), weekdays=(3,)))
    bench.by("Cy", Swap(take=offered(bench.by("Bo", Swap(day=day(3))))))
    bench.by("Bo", Swap(take=offered(bench.by("Cy", Swap(day=day(3))))))
    assert bench.on(3) == {"Bo"}
    bench.by("Ana", Swap(take=offered(bench.by("Bo", Swap(day=day(3))))))
    assert bench.on(3) == {"Ana"}


def test_only_a_day_one_has_is_offered_and_nobody_away_takes_it() -> None:
    bench = Bench()
    bench.ask(SetDuty(who=("Bo",), weekdays=(3,)))
    with pytest.raises(NotOnDuty) as caught:
        bench.by("Bo", Swap(day=day(4)))
    assert caught.value.days[0] == day(3)
    with pytest.raises(NotOnDuty):
        bench.by("Cy", Swap())
    which = bench.by("Bo", Swap())
    assert isinstance(which, SwapDays)
    assert which.options[0].request == Swap(day=day(3))
    offer = offered(bench.by("Bo", Swap(day=day(3))))
    bench.by("Cy", SetAway(first=day(3)))
    with pytest.raises(AwayThen):
        bench.by("Cy", Swap(take=offer))
    with pytest.raises(SwapGone):
        bench.by("Cy", Swap(take=offer + 50))
    bench.at += timedelta(days=5)
    with pytest.raises(SwapGone) as late:
        bench.by("Ana", Swap(take=offer))
    assert late.value.reason == "past"


def test_an_offer_made_in_private_is_said_in_the_group_too() -> None:
    bench = Bench()
    bench.ask(SetDuty(who=("Bo",), weekdays=(3,)))
    reply = bench.by("Bo", Swap(day=day(3)), private=True)
    assert isinstance(reply, SwapOffered)
    assert isinstance(reply.for_group, SwapOffered)
    assert not reply.for_group.private
