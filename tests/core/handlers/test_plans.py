"""The season plan: dates inside their windows, space never overrun, reminders on its dates."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.grammar import GrammarContext, parse
from bot.wording.speak import speak
from core.due.day import Day
from core.due.items import Work
from core.due.notices import due_now
from core.due.open_work import due_items
from core.errors import CoordinatorsOnly, NoFrostYet, NoPlan, UserError, ValueAbsurd
from core.group import outlook
from core.group.garden import Garden
from core.handlers.table import answer
from core.plan.body import fullest_weeks, why_moved
from core.plan.question import first_monday, merged
from core.plan.season_plan import SeasonPlan, plan_season
from core.plan.space import plan_shelves, usual_tray_cells
from core.plan.wishes import PlanInstance, PlanShelf, PlanWish
from core.plan_errors import PlanTooLate
from core.records import models as m
from core.records import snapshot
from core.replies.amounts import AmountSaid
from core.replies.base import Reply
from core.replies.plans import (
    PlanDoesNotFit,
    PlanDropped,
    PlanNoWindow,
    PlanSaid,
    SeasonSaid,
)
from core.requests import (
    HowMany,
    MakePlan,
    PlanItem,
    Request,
    Season,
    SetClosed,
    SetFrost,
    SetLot,
    SetShelf,
    SetTray,
    Sow,
    Where,
)
from core.trade.crops.table import crop_by_id, is_fine
from tests.core.handlers.one_group import OneGroup

AT = datetime(2027, 2, 10, 9, tzinfo=UTC)  # a Wednesday
TODAY = AT.date()
LAST_FROST = date(2027, 4, 28)
WISHES = (
    PlanItem(crop="tomato", plants=24),
    PlanItem(crop="pepper", plants=12),
    PlanItem(crop="lettuce", plants=40, sowings=2),
    PlanItem(crop="basil", plants=6),
    PlanItem(crop="carrot", plants=30),
)
PLAN = MakePlan(items=WISHES)


def group(places: int = 8, *, frost: bool = True) -> OneGroup:
    one = OneGroup(AT)
    if frost:
        one.ask(SetFrost(typical=LAST_FROST))
    one.ask(SetShelf(code="A", lamp="white_led", places=places))
    one.ask(SetTray(codes=("T1",), cells=72, shelf="A"))
    return one


def garden(one: OneGroup) -> Garden:
    with one.database.transaction() as session:
        return snapshot.garden(session, one.ids[0], one.scene.today)


def proposed(one: OneGroup, request: MakePlan = PLAN) -> PlanSaid:
    reply = one.ask(request)
    assert isinstance(reply, PlanSaid), reply
    assert reply.state == "proposed"
    return reply


def accepted(one: OneGroup, request: MakePlan = PLAN) -> PlanSaid:
    reply = one.ask(MakePlan(accept=proposed(one, request).plan))
    assert isinstance(reply, PlanSaid)
    return reply


def as_member(one: OneGroup, request: Request) -> Reply:
    with one.database.transaction() as session:
        return answer(request, replace(one.scene, coordinator=False), session)


def test_a_plan_stays_inside_every_crops_windows():
    one = group()
    reply = proposed(one)
    here = garden(one)
    assert {s.crop for s in reply.sowings} == {"tomato", "pepper", "lettuce", "basil"}
    for sowing in reply.sowings:
        schedule = outlook.schedule_of(here, sowing.crop, TODAY)
        assert schedule is not None
        assert schedule.indoors is not None
        slack = timedelta(days=6)  # dates are whole weeks
        shift = timedelta(weeks=2 if sowing.crop == "lettuce" else 0)
        assert schedule.indoors.sow.earliest <= sowing.sow_on
        assert sowing.sow_on <= schedule.indoors.sow.latest + shift + slack
        assert sowing.plant_out >= schedule.indoors.plant_out.earliest
        crop = crop_by_id(sowing.crop)
        weeks = (sowing.plant_out - sowing.sow_on).days / 7
        assert (crop.weeks_sow_to_plantout_min or 0) <= weeks + 1
        assert weeks <= (crop.weeks_sow_to_plantout_max or 99)
        if sowing.frost_chance is not None:
            frost = outlook.frost_of(here)
            assert frost is not None
            chance = frost.chance_on_or_after(sowing.plant_out).fitted
            assert sowing.frost_chance == pytest.approx(chance, abs=1e-4)
            assert chance <= schedule.level + 1e-6


def test_the_cells_are_those_that_the_amounts_of_one_crop_give():
    one = group()
    for crop, plants in (("tomato", 24), ("basil", 6)):
        alone = one.ask(HowMany(plants=plants, crop=crop))
        assert isinstance(alone, AmountSaid)
        assert alone.size is not None
        sowing = next(s for s in proposed(one).sowings if s.crop == crop)
        assert (sowing.cells, sowing.seeds_per_cell) == (
            alone.size.chosen.cells,
            alone.size.chosen.seeds_per_cell,
        )


def test_two_sowings_share_the_plants_and_lie_two_weeks_apart():
    lettuce = [s for s in proposed(group()).sowings if s.crop == "lettuce"]
    assert [s.plants for s in lettuce] == [20, 20]
    assert (lettuce[1].sow_on - lettuce[0].sow_on).days >= 14


def test_a_crop_sown_outdoors_takes_no_space_and_has_outdoor_dates():
    reply = proposed(group())
    (carrot,) = reply.direct
    assert carrot.crop == "carrot"
    assert carrot.earliest <= carrot.sow_on <= carrot.latest


def test_potting_up_is_planned_where_the_crop_wants_it():
    by_crop = {s.crop: s for s in proposed(group()).sowings}
    tomato, lettuce = by_crop["tomato"], by_crop["lettuce"]
    assert tomato.pot_on is not None
    assert tomato.sow_on < tomato.pot_on < tomato.plant_out
    assert tomato.pots >= 24
    assert tomato.pot_trays == pytest.approx(-(-tomato.pots * 12 // 18) / 12, abs=0.01)
    assert lettuce.pot_on is None


def test_a_proposed_plan_reminds_of_nothing_until_it_is_accepted():
    one = group()
    proposed(one)
    assert garden(one).plan is None
    accepted(one)
    plan = garden(one).plan
    assert plan is not None
    assert len(plan["sowings"]) == 5


@settings(
    max_examples=8, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    items=st.lists(
        st.builds(
            PlanItem,
            crop=st.sampled_from(("tomato", "pepper", "lettuce", "basil", "celery", "cabbage")),
            plants=st.integers(2, 30),
            sowings=st.integers(1, 2),
        ),
        min_size=1,
        max_size=4,
        unique_by=lambda item: item.crop,
    ),
    weekend=st.booleans(),
)
def test_an_accepted_plan_gives_each_sowing_its_reminder_on_its_date(items, weekend):
    one = group(places=12)
    if weekend:
        one.ask(SetClosed(weekdays=(0,)))  # Mondays: each sowing moves to the Tuesday
    reply = accepted(one, MakePlan(items=tuple(items)))
    here = garden(one)
    wanted = {s.id: s.sow_on for s in reply.sowings}
    said: dict[str, date] = {}
    last = max(wanted.values())
    day = TODAY
    while day <= last:
        now = datetime.combine(day, time(8), UTC)
        for notice in due_now(Day(garden=here, now=now, today=day)):
            for item in notice.items:
                if notice.kind == "round" and item.kind is Work.SOW:
                    said.setdefault(item.values["id"], day)
        day += timedelta(days=1)
    assert said == wanted
    assert not weekend or all(day.weekday() != 0 for day in wanted.values())


def test_sowing_what_is_planned_ends_its_reminder():
    one = group()
    reply = accepted(one)
    first = reply.sowings[0]
    one.at = datetime.combine(first.sow_on, time(9), UTC)
    assert any(i.kind is Work.SOW for i in due_items(garden(one), one.scene.today))
    one.ask(Sow(where=Where(trays=("T1",)), crop=first.crop, cell_count=first.cells))
    assert not any(i.kind is Work.SOW for i in due_items(garden(one), one.scene.today))
    shown = one.ask(MakePlan())
    assert isinstance(shown, PlanSaid)
    assert (shown.state, shown.sowings[0].sown) == ("stands", "S1")


def test_a_new_plan_replaces_the_old_one_and_counts_what_is_sown():
    one = group()
    old = accepted(one)
    first = old.sowings[0]
    one.at = datetime.combine(first.sow_on, time(9), UTC)
    one.ask(Sow(where=Where(trays=("T1",)), crop=first.crop, cell_count=first.cells))
    new = accepted(one)
    kept = [s for s in new.sowings if s.sown]
    fresh = [s for s in new.sowings if not s.sown]
    assert [(s.id, s.crop) for s in kept] == [(first.id, "lettuce")]
    assert sum(s.plants for s in fresh if s.crop == "lettuce") == 20
    assert not {s.id for s in fresh} & {s.id for s in old.sowings}
    with one.database.transaction() as session:
        rows = session.query(m.Plan).order_by(m.Plan.id).all()
        standing = [r.id for r in rows if r.accepted_at is not None and r.dropped_at is None]
    assert standing == [new.plan]
    assert not any(
        i.kind is Work.SOW and i.values["id"] == first.id
        for i in due_items(garden(one), one.scene.today)
    )


def test_members_may_work_out_and_look_but_only_coordinators_accept():
    one = group()
    reply = as_member(one, PLAN)
    assert isinstance(reply, PlanSaid)
    labels = [b.label for row in speak(reply, one.voice).rows for b in row]
    assert labels == ["Drop"]
    with pytest.raises(CoordinatorsOnly):
        as_member(one, MakePlan(accept=reply.plan))
    one.ask(MakePlan(accept=reply.plan))
    with pytest.raises(CoordinatorsOnly):
        as_member(one, MakePlan(drop=True))
    assert isinstance(as_member(one, MakePlan()), PlanSaid)


def test_a_dropped_plan_is_gone():
    one = group()
    with pytest.raises(NoPlan):
        one.ask(MakePlan())
    reply = accepted(one)
    assert one.ask(MakePlan(drop=True)) == PlanDropped(plan=reply.plan, stood=True)
    assert garden(one).plan is None
    for request in (MakePlan(), MakePlan(drop=True), MakePlan(accept=reply.plan)):
        with pytest.raises(NoPlan):
            one.ask(request)


def test_another_groups_plan_is_out_of_reach():
    one = group()
    plan = proposed(one).plan
    with one.database.transaction() as session:
        row = session.get_one(m.Plan, plan)
        other = m.Group(name="Other", created_at=AT, zone="UTC", place=None, latitude=None,
                        longitude=None, frost=None, next_look_at=None, looked_at=None,
                        closed_at=None)  # fmt: skip
        session.add(other)
        session.flush()
        row.group_id = other.id
    with pytest.raises(NoPlan):
        one.ask(MakePlan(accept=plan))


def test_what_does_not_fit_says_what_is_short_and_each_way_out_mends_it():
    one = group(places=2)
    big = MakePlan(items=(PlanItem(crop="tomato", plants=60), PlanItem(crop="basil", plants=6)))
    reply = one.ask(big)
    assert isinstance(reply, PlanDoesNotFit)
    assert reply.crop == "tomato"
    assert reply.places == max(places for _, places in reply.weeks)
    kinds = {option.kind: option for option in reply.ways}
    assert set(kinds) == {"fewer_plants", "more_places"}
    assert isinstance(one.ask(kinds["fewer_plants"].request), PlanSaid)
    one.ask(kinds["more_places"].request)
    assert isinstance(one.ask(big), PlanSaid)


def test_a_plan_never_takes_more_places_than_there_are():
    one = group(places=3)
    one.ask(Sow(where=Where(trays=("T1",)), crop="lettuce", cell_count=24))
    accepted(one, MakePlan(items=(PlanItem(crop="tomato", plants=20), WISHES[3])))
    space = (garden(one).plan or {})["space"]
    used = space["shelves"]["A"]["used"]
    assert len(used) == len(space["weeks"])
    assert max(used) <= 3
    assert used[0] == 1  # the tray that stands there now


def test_what_grows_now_takes_its_place_until_it_is_planted_out():
    one = group(places=4)
    one.ask(Sow(where=Where(trays=("T1",)), crop="lettuce", cell_count=24))
    here = garden(one)
    monday = first_monday(TODAY)
    (shelf,) = plan_shelves(here, monday, 30, TODAY)
    out_on = outlook.plant_out_on(here, here.sowings[0], TODAY)
    assert out_on is not None
    weeks = -(-(out_on - monday).days // 7)
    assert shelf.taken == (*[1] * weeks, *[0] * (30 - weeks))


def test_plants_that_will_be_potted_up_take_more_room_from_then_on():
    one = group(places=8)
    one.ask(Sow(where=Where(trays=("T1",)), crop="tomato", cell_count=54))
    (shelf,) = plan_shelves(garden(one), first_monday(TODAY), 30, TODAY)
    assert shelf.taken[0] == 1
    assert max(shelf.taken) == 3  # 54 pots, 18 a place (TRAY-GEOM)


def test_the_fullest_weeks_are_the_fullest():
    one = group()
    reply = accepted(one)
    space = (garden(one).plan or {})["space"]
    used = space["shelves"]["A"]["used"]
    assert max(n for _, n, _ in reply.fullest) == max(used)
    assert all(places == 8 for _, _, places in reply.fullest)
    assert fullest_weeks({}) == ()


def test_without_frost_dates_there_is_no_plan():
    with pytest.raises(NoFrostYet):
        group(frost=False).ask(PLAN)


def test_what_is_too_late_is_said_and_the_rest_planned():
    one = group()
    one.at = datetime(2027, 5, 10, 9, tzinfo=UTC)
    reply = proposed(one)
    late = {crop for crop, _, _ in reply.late}
    assert "pepper" in late
    assert "tomato" in {s.crop for s in reply.sowings}
    one.at = datetime(2027, 7, 20, 9, tzinfo=UTC)
    with pytest.raises(PlanTooLate) as caught:
        one.ask(MakePlan(items=(PlanItem(crop="tomato", plants=4),)))
    assert caught.value.crops[0][2] < date(2027, 7, 20)
    assert "Too late" in one.hear(MakePlan(items=(PlanItem(crop="tomato", plants=4),))).text


def test_a_closed_month_moves_sowings_or_leaves_no_week():
    one = group()
    tomato = MakePlan(items=(PlanItem(crop="tomato", plants=24),))
    usual = proposed(one, tomato).sowings[0]
    monday = usual.sow_on - timedelta(days=usual.sow_on.weekday())
    one.ask(SetClosed(first=monday, last=monday + timedelta(days=6)))
    moved = proposed(one, tomato).sowings[0]
    assert moved.sow_on != usual.sow_on
    assert not monday <= moved.sow_on <= monday + timedelta(days=6)
    if moved.moved_weeks:
        assert moved.why == "closed"
        assert "you are closed" in one.hear(tomato).text
    one.ask(SetClosed(first=date(2027, 2, 12), last=date(2027, 7, 30)))
    reply = one.ask(tomato)
    assert isinstance(reply, PlanNoWindow)
    assert reply.fault == "closed"
    assert "no week is left" in one.hear(tomato).text


def test_fine_seed_never_comes_up_while_closed():
    one = group()
    assert is_fine(crop_by_id("celery"))
    assert not is_fine(crop_by_id("tomato"))
    celery = MakePlan(items=(PlanItem(crop="celery", plants=10),))
    usual = proposed(one, celery).sowings[0]
    crop = crop_by_id("celery")
    first = usual.sow_on + timedelta(days=crop.emergence_days_min or 0)
    first -= timedelta(days=first.weekday())
    one.ask(SetClosed(first=first, last=first + timedelta(days=6)))
    reply = one.ask(celery)
    if isinstance(reply, PlanSaid):
        moved = reply.sowings[0]
        low = moved.sow_on + timedelta(days=(crop.emergence_days_min or 0) // 7 * 7)
        high = moved.sow_on + timedelta(days=(crop.emergence_days_max or 0) // 7 * 7 + 6)
        assert high < first or low > first + timedelta(days=6)
    else:
        assert isinstance(reply, PlanNoWindow)


def test_why_a_sowing_is_moved_is_told_by_what_would_let_it_stay():
    monday = date(2027, 3, 1)
    pepper = PlanWish(
        crop="pepper", plants=72, pot_cells=18, pot_up_weeks=4,
        sow_earliest=2, sow_target=2, sow_latest=2, weeks_min=8, weeks_max=8,
    )  # fmt: skip
    lettuce = PlanWish(
        crop="lettuce", plants=72,
        sow_earliest=5, sow_target=6, sow_latest=10, weeks_min=4, weeks_max=4,
    )  # fmt: skip

    def moved(instance: PlanInstance, index: int) -> tuple[int, str | None]:
        plan = plan_season(instance)
        assert isinstance(plan, SeasonPlan)
        crop = instance.wishes[index].crop
        (planned,) = (s for s in plan.sowings if s.crop == crop)
        return planned.moved_weeks, why_moved(instance, index, planned)

    both = PlanInstance(
        first_monday=monday, wishes=(pepper, lettuce), shelves=(PlanShelf(name="A", places=4),)
    )
    assert moved(both, 1) == (4, "space")  # the potted peppers fill the shelf until week 10
    assert moved(replace(both, shelves=(PlanShelf(name="A", places=5),)), 1) == (0, None)
    alone = replace(both, wishes=(lettuce,))
    week = frozenset(monday + timedelta(weeks=6, days=n) for n in range(7))
    weeks, why = moved(replace(alone, closed_on=week), 0)
    assert weeks != 0
    assert why == "closed"
    cold = replace(lettuce, frost_risk=(*[1.0] * 11, 0.0), risk_max=0.5)
    assert moved(replace(alone, wishes=(cold,)), 0) == (1, "frost")


def test_a_move_is_said_with_its_reason():
    one = group()
    reply = proposed(one)
    for why, words in (("space", "for the space"), ("closed", "you are closed")):
        sowing = replace(reply.sowings[0], moved_weeks=2, why=why, behind_days=0)
        text = speak(replace(reply, sowings=(sowing,)), one.voice).text
        assert f"2 weeks later than usual{',' if why == 'space' else ':'} {words}." in text


def test_the_words_name_each_sowing_and_the_buttons_read_back():
    one = group()
    message = one.hear(PLAN)
    assert message.text.startswith("It fits: 5 sowings.")
    for crop in ("tomato", "pepper", "lettuce", "basil", "carrot"):
        assert crop in message.text
    assert "12 Apr: tomato, 30 cells of 2 seeds" in message.text
    (attachment,) = message.attachments
    assert (attachment.what, attachment.name) == ("space", "shelf-space.png")
    assert attachment.values["group_id"] == one.ids[0]
    for row in message.rows:
        for button in row:
            (line,) = parse(button.command, GrammarContext(today=TODAY))
            assert line.request == button.request


def test_without_shelves_the_plan_says_that_space_is_not_known():
    one = OneGroup(AT)
    one.ask(SetFrost(typical=LAST_FROST))
    message = one.hear(PLAN)
    assert "No shelf is set up" in message.text
    assert not message.attachments


def test_the_season_lists_what_grows_and_what_is_planned():
    one = group()
    with pytest.raises(UserError):
        one.ask(Season())
    reply = accepted(one)
    first = reply.sowings[0]
    one.at = datetime.combine(first.sow_on, time(9), UTC)
    one.ask(Sow(where=Where(trays=("T1",)), crop=first.crop, cell_count=first.cells))
    season = one.ask(Season())
    assert isinstance(season, SeasonSaid)
    assert len(season.lines) == 5
    assert [line.sowing for line in season.lines if line.sowing] == ["S1"]
    message = one.hear(Season())
    assert [a.what for a in message.attachments] == ["season"]
    assert "S1 lettuce: sown" in message.text


def test_one_crop_named_twice_is_one_wish():
    items = (PlanItem(crop="tomato", plants=4), PlanItem(crop="tomato", plants=5, sowings=2))
    assert merged(items) == (PlanItem(crop="tomato", plants=9, sowings=2),)
    apart = (*items, PlanItem(crop="tomato", plants=2, variety="Amber Pip"))
    assert len(merged(apart)) == 2


def test_absurd_numbers_are_refused():
    with pytest.raises(ValueAbsurd):
        group().ask(MakePlan(items=(PlanItem(crop="tomato", plants=99_999),)))


def test_weeks_begin_on_monday_and_from_friday_on_with_the_next():
    assert first_monday(date(2027, 2, 11)) == date(2027, 2, 8)
    assert first_monday(date(2027, 2, 12)) == date(2027, 2, 15)


def test_the_tray_most_used_is_taken_and_72_cells_where_there_is_none():
    one = group()
    one.ask(SetTray(codes=("T2", "T3"), cells=50, shelf="A"))
    one.ask(SetTray(codes=("T4", "T5", "T6"), cells=18, shelf="A"))
    assert usual_tray_cells(garden(one)) == 50
    assert usual_tray_cells(replace(garden(one), trays={})) == 72


def test_the_answer_says_what_its_seed_figures_rest_on():
    one = group()
    assert "by what seed of its kind usually shows; one plant lost in ten" in (one.hear(PLAN).text)
    one.ask(SetLot(crop="tomato", packed_for=2027, tested_up=10, tested_of=10))
    text = one.hear(PLAN).text
    assert "by lot L1 and what seed of its kind usually shows" in text
    alone = one.hear(MakePlan(items=WISHES[:1])).text
    assert "by lot L1; one plant" in alone


def test_a_good_lot_needs_fewer_cells():
    one = group()
    before = proposed(one, MakePlan(items=WISHES[:1])).sowings[0]
    one.ask(SetLot(crop="tomato", packed_for=2027, tested_up=40, tested_of=40))
    after = proposed(one, MakePlan(items=WISHES[:1])).sowings[0]
    assert after.cells * after.seeds_per_cell < before.cells * before.seeds_per_cell
