"""Season plans for the tests: random questions, a checker and an exhaustive search.

All of it is written from the rules, sharing no code with the solver's options and rows.
"""

import math
import random
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction

from core.plan.season_plan import SeasonPlan
from core.plan.wishes import PlanInstance, PlanShelf, PlanWeights, PlanWish

MONDAY = date(2027, 1, 4)


def random_instance(seed: int, *, most_crops: int = 12) -> PlanInstance:
    """Return an invented question; some fit easily, some tightly, some not at all."""
    rng = random.Random(seed)
    wishes = []
    for number in range(rng.randint(1, most_crops)):
        target = rng.randint(1, 10)
        youngest = rng.randint(3, 8)
        pots = rng.random() < 0.5
        last_frost = rng.randint(8, 18)
        wishes.append(
            PlanWish(
                crop=f"crop-{number}",
                plants=rng.randint(4, 150),
                sowings=rng.choice([1, 1, 1, 2]),
                gap_weeks=rng.randint(1, 3),
                cells_per_plant=rng.choice([1.0, 1.25, 1.6]),
                tray_cells=rng.choice([50, 72, 128]),
                pot_cells=18 if pots else None,
                pot_up_weeks=rng.randint(2, 4) if pots else None,
                pots_per_plant=rng.choice([1.0, 1.1]),
                sow_earliest=max(0, target - rng.randint(0, 2)),
                sow_target=target,
                sow_latest=target + rng.randint(0, 3),
                weeks_min=youngest,
                weeks_max=youngest + rng.randint(0, 2),
                frost_risk=tuple(
                    round(1 / (1 + math.exp(0.8 * (week - last_frost))), 4) for week in range(26)
                ),
                risk_max=0.97 if rng.random() < 0.1 else 1.0,
                fine_seed=rng.random() < 0.2,
                emerge_weeks=(1, 1 + rng.randint(0, 1)),
            )
        )
    closed: set[date] = set()
    if rng.random() < 0.3:
        start = MONDAY + timedelta(weeks=rng.randint(2, 9))
        closed = {start + timedelta(days=day) for day in range(rng.choice([3, 5, 7]))}
    shelves = tuple(
        PlanShelf(
            name=f"S{number}",
            places=rng.randint(1, 4) + len(wishes) // 3,
            taken=tuple(rng.randint(0, 2) for _ in range(rng.randint(0, 8))),
        )
        for number in range(rng.randint(1, 4))
    )
    return PlanInstance(
        first_monday=MONDAY,
        wishes=tuple(wishes),
        shelves=shelves,
        closed_on=frozenset(closed),
        share_trays=rng.random() < 0.3,
    )


def warmed(instance: PlanInstance, seed: int) -> PlanInstance:
    """Return the question with warm and cool shelves, crops that like either, and pinned dates."""
    rng = random.Random(seed + 10_000)
    wishes = []
    for wish in instance.wishes:
        more = {"warm": rng.choice([True, False, None])}
        if rng.random() < 0.15:
            week = rng.randint(wish.sow_earliest, wish.sow_latest)
            more |= {"pinned": True, "sow_earliest": week, "sow_target": week, "sow_latest": week}
        wishes.append(replace(wish, **more))
    shelves = tuple(
        replace(shelf, warm_c=rng.choice([None, 16.0, 20.0, 24.0])) for shelf in instance.shelves
    )
    return replace(instance, wishes=tuple(wishes), shelves=shelves)


def ill_placed(instance: PlanInstance, plan: SeasonPlan) -> tuple[str, ...]:
    """Return the sowings that stand, when sown, on one shelf though one they like better has room
    for all of them."""
    warmth = {s.name: 18.0 if s.warm_c is None else s.warm_c for s in instance.shelves}
    wishes = {wish.crop: wish for wish in instance.wishes}
    broken = []
    for sowing in plan.sowings:
        warm, week = wishes[sowing.crop].warm, sowing.sow_week
        here = [stand for stand in sowing.stands if stand.week == week]
        if warm is None or len(here) != 1:
            continue
        for shelf in instance.shelves:
            used = sum(
                stand.places
                for other in plan.sowings
                for stand in other.stands
                if (stand.shelf, stand.week) == (shelf.name, week)
            )
            taken = shelf.taken[week] if week < len(shelf.taken) else 0
            better = (warmth[shelf.name] - warmth[here[0].shelf]) * (1 if warm else -1)
            if better > 0 and shelf.places - taken - used >= here[0].places - 1e-9:
                broken.append(f"{sowing.crop} {sowing.sowing}: {shelf.name} is better")
    return tuple(broken)


def closed_weeks(instance: PlanInstance) -> set[int]:
    """Weeks with four closed days or more, counted day by day."""
    per_week: dict[int, int] = {}
    for day in instance.closed_on:
        week = (day - instance.first_monday).days // 7
        per_week[week] = per_week.get(week, 0) + 1
    return {week for week, days in per_week.items() if days >= 4}


def space(instance: PlanInstance, items: int, per_place: int) -> Fraction:
    """Places that items take: whole trays, or twelfths rounded up when trays are shared."""
    part = Fraction(1, 12) if instance.share_trays else Fraction(1)
    return math.ceil(Fraction(items, per_place) / part) * part


def split(wish: PlanWish) -> list[int]:
    """Plants of each sowing: as even as can be, the greater first."""
    return sorted([(wish.plants + k) // wish.sowings for k in range(wish.sowings)], reverse=True)


def frost(wish: PlanWish, week: int) -> float:
    """Frost risk of a week; the last one given holds on, none given is none."""
    return [*wish.frost_risk, *[(wish.frost_risk or (0.0,))[-1]] * (week + 1)][week]


def price(weights: PlanWeights, wish: PlanWish, sowing: int, sown: int, out: int) -> float:
    """Cost of one sowing as `PlanWeights` words it."""
    target = wish.sow_target + sowing * wish.gap_weeks
    usual = (wish.weeks_min + wish.weeks_max) // 2
    late = max(out - (target + usual), 0)
    early = max(target - sown, 0)
    risk = frost(wish, out)
    return (
        late * weights.late
        + risk * weights.frost
        + early * weights.early
        + abs(out - sown - usual) * weights.age
    )


def check_plan(instance: PlanInstance, plan: SeasonPlan) -> tuple[str, ...]:
    """Return every rule the plan breaks, in words for the test's output."""
    broken: list[str] = []
    shut = closed_weeks(instance)
    wishes = {wish.crop: wish for wish in instance.wishes}
    wanted = {(w.crop, k + 1) for w in instance.wishes for k in range(w.sowings)}
    if sorted((s.crop, s.sowing) for s in plan.sowings) != sorted(wanted):
        broken.append("sowings are missing or double")
    total = 0.0
    for s in plan.sowings:
        wish, name = wishes[s.crop], f"{s.crop} {s.sowing}"
        shift = (s.sowing - 1) * wish.gap_weeks
        plants = split(wish)[s.sowing - 1]
        if not wish.sow_earliest + shift <= s.sow_week <= wish.sow_latest + shift:
            broken.append(f"{name}: sown outside its window")
        if not wish.weeks_min <= s.out_week - s.sow_week <= wish.weeks_max:
            broken.append(f"{name}: wrong age at planting out")
        worked = {s.out_week, s.pot_week} | (set() if wish.pinned else {s.sow_week})
        if worked & shut:
            broken.append(f"{name}: work in a closed week")
        if (
            wish.fine_seed
            and not wish.pinned
            and shut
            & set(range(s.sow_week + wish.emerge_weeks[0], s.sow_week + wish.emerge_weeks[1] + 1))
        ):
            broken.append(f"{name}: fine seed emerges in a closed week")
        risk = frost(wish, s.out_week)
        if risk > wish.risk_max or abs(risk - s.frost_risk) > 1e-12:
            broken.append(f"{name}: frost risk")
        if wish.pot_up_weeks is None or s.sow_week + wish.pot_up_weeks >= s.out_week:
            if s.pot_week is not None:
                broken.append(f"{name}: potted up without need")
        elif s.pot_week is None or not 0 <= s.pot_week - s.sow_week - wish.pot_up_weeks <= 2:
            broken.append(f"{name}: not potted up in time")
        cells = math.ceil(round(plants * wish.cells_per_plant, 9))
        if (s.plants, s.cells) != (plants, cells):
            broken.append(f"{name}: plants or cells")
        for week in range(s.sow_week, s.out_week):
            if s.pot_week is not None and week >= s.pot_week:
                pots = math.ceil(round(plants * wish.pots_per_plant, 9))
                need = space(instance, pots, wish.pot_cells)
            else:
                need = space(instance, cells, wish.tray_cells)
            stands = sum(
                Fraction(st.places).limit_denominator(12) for st in s.stands if st.week == week
            )
            if stands != need:
                broken.append(f"{name}: week {week} stands on {stands}, needs {need}")
        if any(not s.sow_week <= st.week < s.out_week for st in s.stands):
            broken.append(f"{name}: stands before sowing or after planting out")
        monday = instance.first_monday + timedelta(weeks=s.sow_week)
        closed = s.sow_on in instance.closed_on and not wish.pinned  # a set date stands
        if closed or not monday <= s.sow_on < monday + timedelta(days=7):
            broken.append(f"{name}: date of sowing")
        total += price(instance.weights, wish, s.sowing - 1, s.sow_week, s.out_week)
        earlier = [e for e in plan.sowings if (e.crop, e.sowing) == (s.crop, s.sowing - 1)]
        if any(s.sow_week - e.sow_week < wish.gap_weeks for e in earlier):
            broken.append(f"{name}: too soon after the one before")
    if abs(total - plan.cost) > 1e-6:
        broken.append(f"cost {plan.cost} is {total}")
    for shelf in instance.shelves:
        for week in range(40):
            used = sum(
                Fraction(st.places).limit_denominator(12)
                for s in plan.sowings
                for st in s.stands
                if (st.shelf, st.week) == (shelf.name, week)
            )
            taken = shelf.taken[week] if week < len(shelf.taken) else 0
            if used > max(0, shelf.places - taken):
                broken.append(f"{shelf.name}: week {week} holds {used}")
            stated = [w.places for w in plan.shelf_weeks if (w.shelf, w.week) == (shelf.name, week)]
            if stated != ([math.ceil(used)] if used else []):
                broken.append(f"{shelf.name}: week {week} states {stated}, holds {used}")
    return tuple(broken)


def best_cost(instance: PlanInstance) -> float | None:
    """Return the least cost of all plans by trying every one; None when none fits."""
    shut = closed_weeks(instance)
    weeks = 45
    room = [
        sum(
            max(0, s.places - (s.taken[week] if week < len(s.taken) else 0))
            for s in instance.shelves
        )
        for week in range(weeks)
    ]
    room_left = [Fraction(places) for places in room]
    jobs = []
    for wish in instance.wishes:
        for sowing, plants in enumerate(split(wish)):
            jobs.append((wish, sowing, _ways(instance, wish, sowing, plants, shut)))
    floor = [0.0] * (len(jobs) + 1)
    for index in range(len(jobs) - 1, -1, -1):
        floor[index] = floor[index + 1] + min((way[0] for way in jobs[index][2]), default=math.inf)
    best = math.inf

    def descend(index: int, cost: float, before: int) -> None:
        nonlocal best
        if cost + floor[index] >= best - 1e-12:
            return
        if index == len(jobs):
            best = cost
            return
        wish, sowing, ways = jobs[index]
        for way_cost, sown, need in ways:
            if sowing and sown - before < wish.gap_weeks:
                continue
            if any(room_left[week] < places for week, places in need):
                continue
            for week, places in need:
                room_left[week] -= places
            descend(index + 1, cost + way_cost, sown)
            for week, places in need:
                room_left[week] += places

    descend(0, 0.0, 0)
    return None if math.isinf(best) else best


def _ways(instance, wish, sowing, plants, shut):
    """Return (cost, week sown, [(week, places)]) of every allowed way, cheapest first."""
    ways = []
    shift = sowing * wish.gap_weeks
    cells = math.ceil(round(plants * wish.cells_per_plant, 9))
    pots = math.ceil(round(plants * wish.pots_per_plant, 9))
    for sown in range(wish.sow_earliest + shift, wish.sow_latest + shift + 1):
        emerging = range(sown + wish.emerge_weeks[0], sown + wish.emerge_weeks[1] + 1)
        closed = sown in shut or (wish.fine_seed and set(emerging) & shut)
        if closed and not wish.pinned:
            continue
        for out in range(sown + wish.weeks_min, sown + wish.weeks_max + 1):
            if out in shut or frost(wish, out) > wish.risk_max:
                continue
            potted = out
            if wish.pot_up_weeks is not None and sown + wish.pot_up_weeks < out:
                due = sown + wish.pot_up_weeks
                opened = [w for w in (due, due + 1, due + 2) if w < out and w not in shut]
                if not opened:
                    continue
                potted = opened[0]
            need = [(w, space(instance, cells, wish.tray_cells)) for w in range(sown, potted)]
            need += [(w, space(instance, pots, wish.pot_cells)) for w in range(potted, out)]
            ways.append((price(instance.weights, wish, sowing, sown, out), sown, need))
    return sorted(ways, key=lambda way: way[0])
