"""The season plan: feasible, never worse than trying everything, and honest when it is short."""

from dataclasses import replace
from datetime import timedelta

import pytest

from core.plan.options import units_for
from core.plan.season_plan import SeasonPlan, plan_season
from core.plan.solver import choose
from core.plan.ways_out import NoWindow, PlanShort, WayKind, WindowFault
from core.plan.wishes import PlanInstance, PlanShelf, PlanWish
from core.trade.crops.trays import TRAYS
from tests.core.plan.cases import MONDAY, best_cost, check_plan, ill_placed, random_instance, warmed

INSTANCES = 500

PEPPER = PlanWish(
    crop="pepper",
    plants=72,
    pot_cells=18,
    pot_up_weeks=4,
    sow_earliest=2,
    sow_target=2,
    sow_latest=5,
    weeks_min=8,
    weeks_max=8,
)
LETTUCE = PlanWish(
    crop="lettuce",
    plants=72,
    sow_earliest=5,
    sow_target=6,
    sow_latest=8,
    weeks_min=4,
    weeks_max=5,
)


def ask(*wishes, places=5, **more):
    shelves = (PlanShelf(name="S1", places=places),)
    return PlanInstance(first_monday=MONDAY, wishes=wishes, shelves=shelves, **more)


def closing(*weeks, days=7):
    return frozenset(
        MONDAY + timedelta(weeks=week, days=day) for week in weeks for day in range(days)
    )


def places_by_week(plan):
    found = {}
    for entry in plan.shelf_weeks:
        found[entry.week] = found.get(entry.week, 0) + entry.places
    return found


def most_places(plan):
    return max(places_by_week(plan).values())


def test_random_plans_keep_every_rule_and_none_beats_them():
    kinds = {SeasonPlan: 0, PlanShort: 0, NoWindow: 0}
    compared = bound = 0
    for seed in range(INSTANCES):
        instance = random_instance(seed)
        answer = plan_season(instance)
        kinds[type(answer)] += 1
        if isinstance(answer, SeasonPlan):
            assert check_plan(instance, answer) == (), seed
            roomy = replace(instance, shelves=(PlanShelf(name="all", places=999),))
            unbound = choose(roomy)
            assert unbound is not None
            bound += unbound.cost < answer.cost - 1e-9
        if len(instance.wishes) <= 5:
            best = best_cost(instance)
            compared += best is not None
            if isinstance(answer, SeasonPlan):
                assert best == pytest.approx(answer.cost, abs=1e-6), seed
            else:
                assert best is None, seed
    # the sample must hold enough of each kind, and of plans that space really moved
    assert kinds[SeasonPlan] > 250, kinds
    assert kinds[PlanShort] > 50, kinds
    assert compared > 100
    assert bound > 40


def test_pinned_plans_on_warm_and_cool_shelves_keep_every_rule():
    """A hundred here; five hundred in the bench."""
    assert warm_plans(100) >= 50


def warm_plans(plans_wanted: int, *, most: int = 100) -> int:
    """Check plans of questions with pins and warmth; return how many there were."""
    plans = 0
    for seed in range(most):
        instance = warmed(random_instance(seed), seed)
        answer = plan_season(instance)
        found = answer.cost if isinstance(answer, SeasonPlan) else None
        if isinstance(answer, SeasonPlan):
            plans += 1
            assert check_plan(instance, answer) == (), seed
            assert ill_placed(instance, answer) == (), seed
        if len(instance.wishes) <= 4:
            best = best_cost(instance)
            assert best == (None if found is None else pytest.approx(found, abs=1e-6)), seed
        if plans == plans_wanted:
            break
    return plans


def test_the_check_of_warmth_sees_an_eggplant_in_the_cold():
    shelves = (
        PlanShelf(name="warm", places=4, warm_c=24.0),
        PlanShelf(name="cool", places=4, warm_c=16.0),
    )
    wishes = (replace(PEPPER, warm=True), replace(LETTUCE, warm=False))
    instance = PlanInstance(first_monday=MONDAY, wishes=wishes, shelves=shelves)
    plan = plan_season(instance)
    assert isinstance(plan, SeasonPlan)
    sown_on = {s.crop: s.stands[0].shelf for s in plan.sowings}
    assert sown_on == {"pepper": "warm", "lettuce": "cool"}
    assert ill_placed(instance, plan) == ()
    other_way = tuple(replace(wish, warm=not wish.warm) for wish in wishes)
    assert ill_placed(replace(instance, wishes=other_way), plan)


def test_checker_sees_a_broken_plan():
    plan = plan_season(ask(PEPPER, LETTUCE, places=9))
    assert isinstance(plan, SeasonPlan)
    assert check_plan(ask(PEPPER, LETTUCE, places=9), plan) == ()
    assert check_plan(ask(PEPPER, LETTUCE, places=1), plan)
    assert check_plan(ask(PEPPER, LETTUCE, places=9, closed_on=closing(2)), plan)
    assert check_plan(ask(replace(PEPPER, plants=73), LETTUCE, places=9), plan)
    late = replace(plan.sowings[0], sow_week=plan.sowings[0].sow_week + 1)
    assert check_plan(
        ask(PEPPER, LETTUCE, places=9), replace(plan, sowings=(late, *plan.sowings[1:]))
    )


def test_potting_72_cells_into_three_inch_pots_takes_four_times_the_space():
    # geometry of the flat: 6 x 12 cells against 3 x 6 three-inch pots
    kinds = TRAYS.by_id()
    pots = kinds["pots_3in"].cells
    assert 72 / pots == 4.0
    plan = plan_season(ask(PEPPER))
    assert isinstance(plan, SeasonPlan)
    by_week = places_by_week(plan)
    assert [by_week.get(week, 0) for week in range(1, 11)] == [0, 1, 1, 1, 1, 4, 4, 4, 4, 0]
    assert plan.sowings[0].pot_on == MONDAY + timedelta(weeks=6)


def test_without_pressure_everything_is_on_target():
    plan = plan_season(ask(PEPPER, LETTUCE, places=9))
    assert isinstance(plan, SeasonPlan)
    assert [s.moved_weeks for s in plan.sowings] == [0, 0]
    assert (plan.cost, plan.gap, plan.shelf_moves) == (0.0, 0.0, 0)


def test_pressure_moves_a_date_within_its_window():
    later = replace(PEPPER, crop="eggplant", sow_target=5, sow_latest=12)
    roomy = plan_season(ask(PEPPER, later, places=8))
    tight = plan_season(ask(PEPPER, later, places=5))
    assert isinstance(roomy, SeasonPlan)
    assert isinstance(tight, SeasonPlan)
    assert (most_places(roomy), most_places(tight)) == (8, 5)
    assert tight.cost > roomy.cost == 0
    moved = {s.crop: s.moved_weeks for s in tight.sowings}
    assert moved == {"pepper": 0, "eggplant": 1}


def test_frost_risk_is_weighed_against_lateness():
    risk = (*([1.0] * 10), 0.5, 0.05, 0.0)
    plan = plan_season(ask(replace(PEPPER, frost_risk=risk), places=9))
    assert isinstance(plan, SeasonPlan)
    (sowing,) = plan.sowings
    # week 10: 0.5 x 10; week 11: 1 + 0.05 x 10; week 12: 2 + 0
    assert (sowing.out_week, sowing.frost_risk, plan.cost) == (11, 0.05, pytest.approx(1.5))


def test_a_greater_risk_than_allowed_is_never_planned():
    risk = (*([1.0] * 10), 0.5, 0.05, 0.0)
    plan = plan_season(ask(replace(PEPPER, frost_risk=risk, risk_max=0.01), places=9))
    assert isinstance(plan, SeasonPlan)
    assert plan.sowings[0].out_week == 12
    frozen = plan_season(ask(replace(PEPPER, frost_risk=(1.0,), risk_max=0.5)))
    assert frozen == NoWindow(crop="pepper", sowing=1, fault=WindowFault.FROST)


def test_nothing_is_sown_and_no_fine_seed_emerges_in_a_closed_week():
    shut = ask(PEPPER, places=9, closed_on=closing(2))
    plan = plan_season(shut)
    assert isinstance(plan, SeasonPlan)
    assert plan.sowings[0].sow_week == 3
    fine = plan_season(ask(replace(PEPPER, fine_seed=True), places=9, closed_on=closing(4)))
    assert isinstance(fine, SeasonPlan)
    assert fine.sowings[0].sow_week == 5  # sown in 2 or 3 it would emerge in 4; 4 is closed
    coarse = plan_season(ask(PEPPER, places=9, closed_on=closing(4)))
    assert isinstance(coarse, SeasonPlan)
    assert coarse.sowings[0].sow_week == 2


def test_a_closed_week_moves_potting_up_and_a_closed_day_only_the_date():
    plan = plan_season(ask(PEPPER, places=9, closed_on=closing(6)))
    assert isinstance(plan, SeasonPlan)
    assert plan.sowings[0].pot_week == 7
    monday_off = plan_season(ask(PEPPER, places=9, closed_on=closing(2, days=1)))
    assert isinstance(monday_off, SeasonPlan)
    assert monday_off.sowings[0].sow_on == MONDAY + timedelta(weeks=2, days=1)


def test_all_weeks_closed_names_the_crop():
    answer = plan_season(ask(PEPPER, closed_on=closing(*range(2, 6))))
    assert answer == NoWindow(crop="pepper", sowing=1, fault=WindowFault.CLOSED)


def test_short_space_names_weeks_places_and_ways_that_work():
    instance = ask(PEPPER, replace(PEPPER, crop="eggplant"), places=3)
    answer = plan_season(instance)
    assert isinstance(answer, PlanShort)
    # sown in weeks 2 and 5 at the widest, both stand potted in week 9: 4 + 4 places of 3
    assert answer.places == max(week.places for week in answer.weeks) == 5
    assert answer.weeks[0].monday == MONDAY + timedelta(weeks=answer.weeks[0].week)
    assert len(answer.ways) >= 2
    kinds = {way.kind for way in answer.ways}
    assert WayKind.MORE_PLACES in kinds


def apply(instance, way):
    """Return the instance after a way out, written from the words of `WayKind`."""
    wishes = list(instance.wishes)
    for index, wish in enumerate(wishes):
        if way.kind is WayKind.FEWER_OF_ALL:
            plants = wish.plants * way.amount // 100
            wishes[index] = replace(wish, plants=plants, sowings=min(wish.sowings, plants))
        elif wish.crop == way.crop and way.kind is WayKind.FEWER_PLANTS:
            sowings = min(wish.sowings, way.amount)
            wishes[index] = replace(wish, plants=way.amount, sowings=sowings)
        elif wish.crop == way.crop and way.kind is WayKind.LATER_POT_UP:
            wishes[index] = replace(wish, pot_up_weeks=wish.pot_up_weeks + way.amount)
        elif wish.crop == way.crop and way.kind is WayKind.NO_POT_UP:
            wishes[index] = replace(wish, pot_up_weeks=None)
    shelves = instance.shelves
    if way.kind is WayKind.MORE_PLACES:
        shelves = (*shelves, PlanShelf(name="extra", places=way.amount))
    kept = tuple(wish for wish in wishes if wish.plants > 0)
    return replace(instance, wishes=kept, shelves=shelves)


def test_every_way_out_makes_a_plan_and_a_little_less_does_not():
    seen, exact = set(), 0
    for seed in range(60):
        instance = random_instance(seed)
        answer = plan_season(instance)
        if not isinstance(answer, PlanShort):
            continue
        assert len(answer.ways) >= 2, seed
        assert max(week.places for week in answer.weeks) == answer.places
        assert answer.crop in {wish.crop for wish in instance.wishes}
        for way in answer.ways:
            seen.add(way.kind)
            mended = apply(instance, way)
            plan = plan_season(mended)
            assert isinstance(plan, SeasonPlan), (seed, way)
            assert check_plan(mended, plan) == (), (seed, way)
            exact += answer.exact
            if not answer.exact:
                continue
            if way.kind is WayKind.MORE_PLACES:
                less = replace(way, amount=way.amount - 1)
                assert not isinstance(plan_season(apply(instance, less)), SeasonPlan), seed
            if way.kind in (WayKind.FEWER_PLANTS, WayKind.FEWER_OF_ALL):
                more = replace(way, amount=way.amount + 1)
                assert not isinstance(plan_season(apply(instance, more)), SeasonPlan), seed
    assert exact > 30
    assert {WayKind.MORE_PLACES, WayKind.FEWER_PLANTS, WayKind.FEWER_OF_ALL} <= seen


def test_more_places_never_make_a_plan_dearer():
    for seed in range(60):
        instance = random_instance(seed)
        first = plan_season(instance)
        more = replace(instance, shelves=(*instance.shelves, PlanShelf(name="more", places=2)))
        second = plan_season(more)
        if isinstance(first, SeasonPlan):
            assert isinstance(second, SeasonPlan), seed
            assert second.cost <= first.cost + 1e-9, seed


def test_small_sowings_share_a_tray_when_told_to():
    herbs = [replace(LETTUCE, crop=f"herb {n}", plants=6) for n in range(12)]
    whole = plan_season(ask(*herbs, places=12))
    shared = plan_season(ask(*herbs, places=12, share_trays=True))
    assert isinstance(whole, SeasonPlan)
    assert isinstance(shared, SeasonPlan)
    assert (most_places(whole), most_places(shared)) == (12, 1)
    assert units_for(ask(share_trays=True), 6, 72) == 1


def test_space_already_taken_is_left_alone():
    shelf = PlanShelf(name="S1", places=5, taken=(0, 0, 5, 5))
    instance = replace(ask(PEPPER), shelves=(shelf,))
    plan = plan_season(instance)
    assert isinstance(plan, SeasonPlan)
    assert plan.sowings[0].sow_week == 4
    assert check_plan(instance, plan) == ()


def test_an_empty_list_is_an_empty_plan():
    plan = plan_season(ask())
    assert isinstance(plan, SeasonPlan)
    assert (plan.sowings, plan.cost, plan.shelf_weeks) == ((), 0.0, ())


@pytest.mark.parametrize(
    "wrong",
    [
        {"plants": 0},
        {"sow_latest": 1},
        {"weeks_min": 9},
        {"frost_risk": (1.5,)},
        {"cells_per_plant": 0.5},
    ],
)
def test_contradictions_are_a_callers_mistake(wrong):
    with pytest.raises(ValueError, match="pepper"):
        plan_season(ask(replace(PEPPER, **wrong)))
    with pytest.raises(ValueError, match="Monday"):
        plan_season(replace(ask(PEPPER), first_monday=MONDAY + timedelta(days=1)))
    with pytest.raises(ValueError, match="share a name"):
        plan_season(ask(PEPPER, PEPPER))
