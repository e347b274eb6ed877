"""The work to expect on days to come."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise

from core.group.calendar_dates import dates
from core.group.expected import expected
from core.group.garden import Garden
from tests.core.group.test_to_sow import entry
from tests.pictures.gardens import TODAY, block, garden, sample, sowing


def kinds(of: Garden, days: int = 14) -> dict[int, list[str]]:
    found = expected(of, dates(of, TODAY), TODAY, days)
    return {(day - TODAY).days: [job.kind for job in jobs] for day, jobs in found.items()}


def test_an_empty_garden_asks_for_nothing() -> None:
    assert kinds(garden()) == {}


def test_a_plan_ahead_asks_for_its_sowing_and_for_looks_after_it() -> None:
    of = garden(plan={"sowings": [entry(1, "tomato", 5, 20, plant_out="2027-06-01")]})
    assert kinds(of, 10) == {5: ["sow"], 7: ["feel"], 9: ["feel"]}


def test_a_late_sowing_stands_on_the_first_day() -> None:
    of = garden(plan={"sowings": [entry(1, "tomato", -5, 20, plant_out="2027-06-01")]})
    assert kinds(of, 2)[0] == ["sow"]


def test_what_grows_is_felt_as_often_as_its_tray_lasts_and_counted_when_it_should_show() -> None:
    of = garden((sowing(1, "lettuce", block(0, 0, 5), days_ago=1),))
    found = kinds(of, 21)
    assert sum("count" in jobs for jobs in found.values()) == 2
    feels = [day for day, jobs in found.items() if "feel" in jobs]
    assert len(feels) >= 4
    assert len({b - a for a, b in pairwise(feels)}) == 1


def test_hardening_stands_on_each_of_its_days() -> None:
    of = garden(
        plan={"sowings": [entry(1, "tomato", -40, 20, harden_from="2027-04-05",
                                plant_out="2027-04-09")]}
    )  # fmt: skip
    found = kinds(of, 14)
    assert [day for day, jobs in found.items() if "harden" in jobs] == [2, 3, 4, 5]
    assert "plant_out" in found[6]


def test_all_days_lie_within_what_was_asked() -> None:
    found = expected(sample(), dates(sample(), TODAY), TODAY, 14)
    assert all(TODAY <= day < TODAY + timedelta(days=14) for day in found)
