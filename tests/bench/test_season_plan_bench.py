"""Seconds for 40 crops on 6 shelves, and 500 plans proved; run with --bench -s."""

import random
import time
from dataclasses import replace

import pytest

from core.plan.season_plan import SeasonPlan, plan_season
from core.plan.ways_out import PlanShort
from core.plan.wishes import PlanInstance, PlanShelf
from tests.core.plan.cases import MONDAY, best_cost, check_plan, random_instance
from tests.core.plan.test_season_plan import warm_plans

pytestmark = pytest.mark.bench

LIMIT_S = 5.0


def forty_crops(seed: int, *, places: int, share: bool, wide: bool) -> PlanInstance:
    """Return 40 invented crops on 6 shelves; `wide` opens every window by weeks."""
    rng = random.Random(seed)
    wishes = []
    case = 1000 + 100 * seed
    while len(wishes) < 40:
        for wish in random_instance(case).wishes[: 40 - len(wishes)]:
            more = {"risk_max": 1.0, "crop": f"crop-{len(wishes)}"}
            if wide:
                more["sow_latest"] = wish.sow_latest + rng.randint(2, 5)
                more["weeks_max"] = wish.weeks_max + 2
            wishes.append(replace(wish, **more))
        case += 1
    shelves = tuple(PlanShelf(name=f"S{n}", places=places) for n in range(6))
    return PlanInstance(
        first_monday=MONDAY, wishes=tuple(wishes), shelves=shelves, share_trays=share
    )


@pytest.mark.parametrize("wide", [False, True])
@pytest.mark.parametrize("share", [False, True])
def test_forty_crops_on_six_shelves_solve_within_five_seconds(share, wide):
    worst = 0.0
    for seed in range(4):
        for places in (6, 8, 9, 10, 12, 20):
            instance = forty_crops(seed, places=places, share=share, wide=wide)
            start = time.perf_counter()
            answer = plan_season(instance)
            seconds = time.perf_counter() - start
            worst = max(worst, seconds)
            if isinstance(answer, SeasonPlan):
                assert check_plan(instance, answer) == ()
                found = f"cost {answer.cost:.1f} gap {answer.gap:.4f} moves {answer.shelf_moves}"
            else:
                assert isinstance(answer, PlanShort)
                found = f"short by {answer.places}"
            print(
                f"share {share} wide {wide} seed {seed} places {places}: {seconds:.2f} s, {found}"
            )
    assert worst < LIMIT_S


def test_five_hundred_plans_keep_every_rule_and_none_beats_them():
    plans = compared = seed = 0
    while plans < 500:
        instance = random_instance(seed)
        answer = plan_season(instance)
        if isinstance(answer, SeasonPlan):
            plans += 1
            assert answer.gap == 0, seed
            assert check_plan(instance, answer) == (), seed
        if len(instance.wishes) <= 5:
            best = best_cost(instance)
            compared += best is not None
            found = answer.cost if isinstance(answer, SeasonPlan) else None
            assert best == (None if found is None else pytest.approx(found, abs=1e-6)), seed
        seed += 1
    print(f"{plans} plans of {seed} instances, {compared} compared with trying every one")


def test_five_hundred_pinned_plans_on_warm_and_cool_shelves():
    assert warm_plans(500, most=2000) == 500
