"""Dates of a crop from frost dates, on invented crops, so that no table change moves them."""

from dataclasses import dataclass, replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import CropTimesMissing, PlantOutDateNeeded
from core.trade.crops.hardiness import HARDINESS, hardiness_of, timing_days
from core.trade.crops.row import HardinessClass, Method
from core.trade.dates.resow import ResowBasis, latest_resow
from core.trade.dates.schedule import AnchorBasis, WeeksBasis, schedule_crop
from core.trade.dates.seasons import SeasonKind
from core.trade.frost.estimate import dates_from_levels, dates_from_typical, dates_from_years
from core.trade.frost.seasons import FrostSide, Hemisphere

NORTH, SOUTH = Hemisphere.NORTH, Hemisphere.SOUTH
LAST, FIRST = FrostSide.LAST, FrostSide.FIRST


@dataclass(frozen=True, kw_only=True)
class FakeCrop:
    id: str = "invented"
    hardiness_class: HardinessClass = HardinessClass.TENDER
    method: Method = Method.TRANSPLANT
    weeks_sow_to_plantout_min: float | None = 6
    weeks_sow_to_plantout_max: float | None = 8
    weeks_max: float | None = 10
    plantout_weeks_vs_last_frost_min: float | None = 0
    plantout_weeks_vs_last_frost_max: float | None = 2
    emergence_days_min: int | None = 6
    emergence_days_max: int | None = 8
    maturity_days_min: int | None = 60
    maturity_days_max: int | None = 80
    spring_last_days: float | None = None
    pot_up: bool = True
    resents_root_disturbance: bool = False


TENDER = FakeCrop()
HARDY = FakeCrop(
    hardiness_class=HardinessClass.HARDY,
    plantout_weeks_vs_last_frost_min=-4,
    plantout_weeks_vs_last_frost_max=-2,
    pot_up=False,
)
# Chance of frost 10 % on 15 May, 50 % on 28 April, 90 % on 9 April.
SITE = dates_from_levels(
    {0.1: date(2021, 5, 15), 0.5: date(2021, 4, 28), 0.9: date(2021, 4, 9)}, LAST, NORTH
)
NEVER = dates_from_years([None] * 12, LAST, NORTH)
AUTUMN = dates_from_levels({0.1: date(2021, 10, 1), 0.5: date(2021, 10, 19)}, FIRST, NORTH)


def test_a_tender_crop_waits_for_its_level_and_says_by_how_much():
    plan = schedule_crop(TENDER, SITE, 2027)
    assert plan.anchor == date(2027, 4, 28)
    assert (plan.anchor_basis, plan.weeks_basis) == (
        AnchorBasis.AVERAGE_LAST_FROST,
        WeeksBasis.CROP,
    )
    assert (plan.level, plan.level_date, plan.held_days) == (0.1, date(2027, 5, 15), 17)
    assert plan.indoors.plant_out.earliest == plan.indoors.plant_out.target == date(2027, 5, 15)
    # 150 days after the last frost, less 60 to maturity, its fewest, and four weeks
    assert plan.indoors.plant_out.latest == date(2027, 6, 29)
    assert plan.indoors.chance.fitted == pytest.approx(0.10)
    assert plan.outdoors is None


def test_sowing_potting_and_hardening_count_back_from_planting_out():
    indoors = schedule_crop(TENDER, SITE, 2027).indoors
    assert indoors.sow.earliest == date(2027, 5, 15) - timedelta(weeks=8)
    assert indoors.sow.target == date(2027, 5, 15) - timedelta(weeks=7)
    assert indoors.sow.latest == date(2027, 6, 29) - timedelta(weeks=6)
    assert indoors.pot_up_on == indoors.sow.target + timedelta(days=7 + 14)
    assert (indoors.harden_days, indoors.harden_from) == (14, date(2027, 5, 1))


def test_a_hardy_crop_keeps_its_weeks_whatever_the_frost():
    plan = schedule_crop(HARDY, SITE, 2027)
    assert (plan.level, plan.level_date, plan.held_days) == (1.0, None, 0)
    assert plan.indoors.plant_out.earliest == date(2027, 3, 31)
    assert plan.indoors.plant_out.target == date(2027, 4, 7)
    # 150 days after the last frost, less 70 to maturity: light frost does not end it
    assert plan.indoors.plant_out.latest == date(2027, 7, 17)
    assert plan.indoors.chance.fitted > 0.9
    assert plan.indoors.pot_up_on is None
    assert plan.indoors.harden_days == 7


def test_plants_from_under_lamps_harden_longest():
    plain, lamps = (
        schedule_crop(HARDY, SITE, 2027, lamp_raised=raised).indoors for raised in (False, True)
    )
    assert lamps.harden_days == timing_days("harden_lamp_raised") == 14
    assert plain.harden_from - lamps.harden_from == timedelta(days=7)
    assert plain.plant_out == lamps.plant_out


@pytest.mark.parametrize(("weeks", "days"), [(2, 5), (3, 7), (4, 10), (5, 14), (8, 14)])
def test_a_crop_of_few_weeks_is_hardened_for_half_its_life_at_most(weeks, days):
    crop = replace(TENDER, weeks_sow_to_plantout_min=weeks, weeks_sow_to_plantout_max=weeks)
    indoors = schedule_crop(crop, SITE, 2027).indoors
    assert (indoors.harden_days, indoors.harden_shortened) == (days, days < 14)


def test_a_level_asked_for_replaces_the_class_level():
    plan = schedule_crop(TENDER, SITE, 2027, level=0.5)
    assert (plan.held_days, plan.indoors.plant_out.earliest) == (0, date(2027, 4, 28))
    assert schedule_crop(TENDER, SITE, 2027, level=1.0).level_date is None


def test_seed_sown_outdoors_goes_by_the_crop_s_own_weeks():
    direct = replace(TENDER, method=Method.DIRECT)
    plan = schedule_crop(direct, SITE, 2027)
    assert plan.indoors is None
    assert plan.outdoors.sow.earliest == date(2027, 4, 28)
    assert plan.outdoors.sow.target == date(2027, 5, 5)
    assert plan.outdoors.up_on == date(2027, 5, 11)
    assert 0.1 < plan.outdoors.chance.fitted < 0.3
    half = replace(
        direct, hardiness_class=HardinessClass.HALF_HARDY, plantout_weeks_vs_last_frost_min=-5
    )
    assert schedule_crop(half, SITE, 2027).outdoors.sow.earliest == date(2027, 3, 24)


@pytest.mark.parametrize(
    "told",
    [
        {"hardiness_class": HardinessClass.VERY_TENDER},
        {"level": 0.1},
        {"plantout_weeks_vs_last_frost_min": None},
    ],
)
def test_seed_waits_for_the_level_less_its_days_below_ground(told):
    """What warmth suits, weeks that are only the class's, and a risk somebody named."""
    level = told.pop("level", None)
    direct = replace(TENDER, method=Method.DIRECT, **told)
    plan = schedule_crop(direct, SITE, 2027, level=level)
    assert plan.outdoors.sow.earliest == plan.level_date - timedelta(days=6)
    assert plan.outdoors.chance.fitted <= plan.level + 1e-6


def test_a_crop_of_either_kind_gets_both_sets_of_dates():
    plan = schedule_crop(replace(TENDER, method=Method.EITHER), SITE, 2027)
    assert plan.indoors is not None
    assert plan.outdoors is not None
    untimed = replace(TENDER, method=Method.EITHER, weeks_sow_to_plantout_min=None)
    assert schedule_crop(untimed, SITE, 2027).indoors is None


def test_missing_weeks_around_the_frost_fall_back_to_the_class_and_say_so():
    bare = replace(HARDY, plantout_weeks_vs_last_frost_min=None)
    plan = schedule_crop(bare, SITE, 2027)
    row = hardiness_of(HardinessClass.HARDY)
    assert plan.weeks_basis is WeeksBasis.HARDINESS_CLASS
    assert plan.indoors.plant_out.earliest == plan.anchor + timedelta(
        weeks=row.weeks_vs_last_frost_min
    )


def test_a_crop_raised_indoors_without_weeks_names_what_is_missing():
    with pytest.raises(CropTimesMissing) as refused:
        schedule_crop(replace(TENDER, weeks_sow_to_plantout_max=None), SITE, 2027)
    assert refused.value.fields == ("weeks_sow_to_plantout_min", "weeks_sow_to_plantout_max")


def test_where_no_season_freezes_the_date_is_asked_for_and_then_used():
    with pytest.raises(PlantOutDateNeeded) as asked:
        schedule_crop(TENDER, NEVER, 2027)
    assert asked.value.n_seasons == 12
    plan = schedule_crop(TENDER, NEVER, 2027, plant_out=date(2027, 3, 1))
    assert (plan.anchor_basis, plan.weeks_basis) == (AnchorBasis.DATE_GIVEN, WeeksBasis.NONE)
    assert (plan.level_date, plan.held_days) == (None, 0)
    out = plan.indoors.plant_out
    assert out.earliest == out.target == out.latest == date(2027, 3, 1)
    assert plan.indoors.chance.fitted == 0
    assert plan.indoors.chance.fitted_interval.high > 0.1  # twelve seasons prove little


def test_a_date_the_person_names_is_kept_and_its_chance_stated():
    plan = schedule_crop(TENDER, SITE, 2027, plant_out=date(2027, 4, 28))
    assert plan.indoors.plant_out.target == date(2027, 4, 28)
    assert plan.indoors.chance.fitted == pytest.approx(0.5)
    assert plan.level_date == date(2027, 5, 15)


def test_where_few_seasons_freeze_the_weeks_count_from_the_middle_of_those():
    frosts = [date(2001, 3, 1)] * 4 + [None] * 8
    plan = schedule_crop(TENDER, dates_from_years(frosts, LAST, NORTH), 2027)
    assert plan.anchor_basis is AnchorBasis.SEASONS_WITH_FROST
    assert plan.anchor == date(2027, 3, 1)
    assert plan.indoors.chance.fitted <= 0.1


def test_the_southern_spring_is_half_a_year_away():
    site = dates_from_typical(date(2021, 10, 20), LAST, SOUTH)
    plan = schedule_crop(TENDER, site, 2027)
    assert plan.anchor == date(2027, 10, 20)
    assert plan.indoors.sow.earliest.year == plan.indoors.plant_out.latest.year == 2027
    late = dates_from_typical(date(2021, 12, 20), LAST, SOUTH)
    assert schedule_crop(TENDER, late, 2027).indoors.plant_out.latest.year == 2028


def test_a_mild_site_sows_in_the_year_before():
    site = dates_from_typical(date(2021, 1, 5), LAST, NORTH)
    plan = schedule_crop(HARDY, site, 2027)
    assert plan.indoors.sow.target.year == 2026
    assert plan.indoors.plant_out.target < date(2027, 1, 5)


def test_potting_up_leaves_a_week_before_hardening_or_is_left_out():
    quick = replace(TENDER, weeks_sow_to_plantout_min=3, weeks_sow_to_plantout_max=3)
    assert schedule_crop(quick, SITE, 2027).indoors.pot_up_on is None
    slower = replace(TENDER, weeks_sow_to_plantout_min=5, weeks_sow_to_plantout_max=5)
    indoors = schedule_crop(slower, SITE, 2027).indoors
    assert indoors.pot_up_on == indoors.harden_from - timedelta(days=7)
    unknown = replace(TENDER, emergence_days_max=None)
    assert schedule_crop(unknown, SITE, 2027).indoors.pot_up_on is None


def test_the_callers_mistakes_are_refused():
    with pytest.raises(ValueError, match="last frosts"):
        schedule_crop(TENDER, AUTUMN, 2027)
    with pytest.raises(ValueError, match="level"):
        schedule_crop(TENDER, SITE, 2027, level=0.0)


crops = st.builds(
    FakeCrop,
    hardiness_class=st.sampled_from(HardinessClass),
    method=st.sampled_from(Method),
    weeks_sow_to_plantout_min=st.floats(2, 6),
    weeks_sow_to_plantout_max=st.floats(6, 12),
    plantout_weeks_vs_last_frost_min=st.floats(-6, 0),
    plantout_weeks_vs_last_frost_max=st.floats(0, 3),
    emergence_days_min=st.integers(2, 10),
    emergence_days_max=st.integers(10, 30),
    pot_up=st.booleans(),
)


@given(crops, st.integers(60, 300), st.sampled_from(Hemisphere), st.booleans())
def test_dates_stand_in_order_and_keep_within_the_accepted_chance(crop, number, hemisphere, lamp):
    typical = date(2021, 1, 1) + timedelta(days=number)
    frost = dates_from_typical(typical, LAST, hemisphere)
    plan = schedule_crop(crop, frost, 2027, lamp_raised=lamp)
    assert plan.held_days >= 0
    for window in (
        plan.indoors and plan.indoors.sow,
        plan.indoors and plan.indoors.plant_out,
        plan.outdoors and plan.outdoors.sow,
    ):
        assert window is None or window.earliest <= window.target <= window.latest
    if plan.indoors is not None:
        inside = plan.indoors
        assert inside.sow.target < inside.plant_out.target
        assert inside.harden_from + timedelta(days=inside.harden_days) == inside.plant_out.target
        if inside.pot_up_on is not None:
            assert inside.sow.target < inside.pot_up_on < inside.harden_from
        assert inside.chance.fitted <= plan.level + 1e-6
    if plan.outdoors is not None and crop.hardiness_class is HardinessClass.VERY_TENDER:
        assert plan.outdoors.chance.fitted <= plan.level + 1e-6


@given(crops, st.floats(0.02, 0.5), st.floats(0.02, 0.5))
def test_accepting_less_risk_never_plants_sooner(crop, one, other):
    careful, bold = (
        schedule_crop(replace(crop, method=Method.TRANSPLANT), SITE, 2027, level=level)
        for level in sorted((one, other))
    )
    assert careful.indoors.plant_out.target >= bold.indoors.plant_out.target


def test_every_class_has_a_row_and_more_tender_never_means_more_risk():
    rows = [hardiness_of(hardiness) for hardiness in HardinessClass]
    assert len(rows) == len(HARDINESS.rows()) == 5
    assert [row.level for row in rows] == sorted((row.level for row in rows), reverse=True)
    assert [row.harden_days for row in rows] == [7, 7, 10, 14, 14]


def test_resowing_without_a_maturity_ends_with_the_planting_out_window():
    last = latest_resow(TENDER, schedule_crop(TENDER, SITE, 2027))
    assert (last.on, last.basis) == (date(2027, 5, 18), ResowBasis.PLANT_OUT_WINDOW)
    direct = replace(TENDER, method=Method.DIRECT)
    plan = schedule_crop(direct, SITE, 2027)
    last = latest_resow(direct, plan)
    assert (last.on, last.basis) == (plan.outdoors.sow.latest, ResowBasis.SOWING_WINDOW)


def test_resowing_with_a_maturity_counts_back_from_the_autumn_frost():
    plan = schedule_crop(TENDER, SITE, 2027)
    last = latest_resow(TENDER, plan, first_frost=AUTUMN, days_to_maturity=70)
    assert last.ripe_by == date(2027, 10, 1)
    assert last.level == 0.1
    assert last.on == date(2027, 10, 1) - timedelta(days=70 + 42)
    from_seed = latest_resow(
        TENDER, plan, first_frost=AUTUMN, days_to_maturity=70, from_planting_out=False
    )
    assert from_seed.on == date(2027, 10, 1) - timedelta(days=70)
    hardy = latest_resow(
        HARDY, schedule_crop(HARDY, SITE, 2027), first_frost=AUTUMN, days_to_maturity=70
    )
    assert hardy.ripe_by == date(2027, 10, 19)


def test_the_southern_season_ends_in_the_next_calendar_year():
    spring = dates_from_typical(date(2021, 10, 20), LAST, SOUTH)
    autumn = dates_from_typical(date(2021, 5, 1), FIRST, SOUTH)
    plan = schedule_crop(TENDER, spring, 2027)
    last = latest_resow(TENDER, plan, first_frost=autumn, days_to_maturity=60)
    assert last.ripe_by.year == 2028
    assert date(2027, 10, 20) < last.on < last.ripe_by


def test_without_an_autumn_frost_the_planting_out_window_decides():
    frostless = dates_from_years([None] * 12, FIRST, NORTH)
    plan = schedule_crop(TENDER, SITE, 2027)
    last = latest_resow(TENDER, plan, first_frost=frostless, days_to_maturity=60)
    assert last.basis is ResowBasis.PLANT_OUT_WINDOW
    with pytest.raises(ValueError, match="first frosts"):
        latest_resow(TENDER, plan, first_frost=SITE, days_to_maturity=60)
    with pytest.raises(ValueError, match="days_to_maturity"):
        latest_resow(TENDER, plan, first_frost=AUTUMN, days_to_maturity=0)


SPRING = replace(HARDY, spring_last_days=20, maturity_days_min=40, maturity_days_max=60)


def test_what_the_heat_ends_has_a_spring_and_an_autumn():
    plan = schedule_crop(SPRING, SITE, 2027)
    assert [s.kind for s in plan.stretches] == [SeasonKind.SPRING, SeasonKind.AUTUMN]
    assert plan.indoors.plant_out.latest == date(2027, 4, 28) + timedelta(days=20)
    summer = schedule_crop(SPRING, SITE, 2027, on=date(2027, 6, 20))
    assert summer.stretch.kind is SeasonKind.AUTUMN
    assert summer.indoors.plant_out.latest == date(2027, 9, 25) - timedelta(days=50)
    assert summer.indoors.plant_out.earliest == date(2027, 6, 22)
    assert summer.indoors.sow.latest >= date(2027, 6, 20)


def test_the_first_frost_given_ends_the_season_where_nothing_else_does():
    late = dates_from_typical(date(2027, 10, 30), FrostSide.FIRST, Hemisphere.NORTH)
    soon = dates_from_typical(date(2027, 9, 10), FrostSide.FIRST, Hemisphere.NORTH)
    ends = [
        schedule_crop(HARDY, SITE, 2027, first_frost=frost).indoors.plant_out.latest
        for frost in (soon, late)
    ]
    assert ends == [date(2027, 7, 2), date(2027, 8, 21)]
    # no room before the frost: the published first dates stay
    tight = schedule_crop(
        replace(TENDER, maturity_days_max=120, maturity_days_min=120),
        SITE, 2027, first_frost=soon,
    )  # fmt: skip
    assert tight.indoors.plant_out.latest == date(2027, 5, 29)
    assert tight.stretch.ends_by == "first_dates"


def test_a_tight_season_asks_for_large_plants_and_a_long_one_does_not():
    long = schedule_crop(TENDER, SITE, 2027, first_frost=AUTUMN).indoors
    assert (long.large, long.weeks) == (False, (6, 8))
    early = dates_from_levels({0.1: date(2021, 8, 30), 0.5: date(2021, 9, 12)}, FIRST, NORTH)
    tight = schedule_crop(TENDER, SITE, 2027, first_frost=early).indoors
    assert (tight.large, tight.weeks) == (True, (8, 10))
    assert tight.plant_out.target == long.plant_out.target
    assert (tight.plant_out.target - tight.sow.target).days == 63
    hardy = schedule_crop(HARDY, SITE, 2027, first_frost=early).indoors
    assert not hardy.large
    assert not schedule_crop(TENDER, SITE, 2027).indoors.large  # nobody gave the autumn
