"""Before a closure each tray is told apart, after it each is checked; the group hears once."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest

from bot.wording.pieces.work_lines import work_lines
from core.due.day import Day, Notice, Said
from core.due.items import Work
from core.due.notices import due_now
from core.due.open_work import due_items
from core.group import outlook
from core.group.breaks import (
    Check,
    Lasts,
    Measure,
    Stretch,
    break_plan,
    coming_break,
    past_break,
    stretches,
)
from core.group.garden import ClosureOf, DutyOf, Garden
from core.records import snapshot
from core.replies.breaks import BreakAhead, BreakOver, NoBreakAhead
from core.requests import (
    Break,
    Harden,
    MakePlan,
    Out,
    PlanItem,
    SetClosed,
    SetDuty,
    SetFrost,
    SetShelf,
    SetTray,
    Sow,
    Up,
    Where,
)
from tests.core.handlers.one_group import OneGroup

AT = datetime(2027, 2, 10, 9, tzinfo=UTC)
FIRST, LAST = date(2027, 2, 20), date(2027, 2, 26)


def group(*, first: date | None = FIRST, last: date = LAST) -> OneGroup:
    one = OneGroup(AT)
    one.ask(SetFrost(typical=date(2027, 4, 28)))
    one.ask(SetShelf(code="A", lamp="white_led", places=4, heat_mat=True, timer=True))
    one.ask(SetShelf(code="B", lamp="white_led", places=4))
    one.ask(SetTray(codes=("T1",), cells=72, shelf="A"))
    one.ask(SetTray(codes=("T2",), cells=18, shelf="B"))
    one.ask(SetTray(codes=("T3",), cells=72, shelf="B"))
    if first is not None:
        one.ask(SetClosed(first=first, last=last))
    return one


def garden(one: OneGroup) -> Garden:
    with one.database.transaction() as session:
        return snapshot.garden(session, one.ids[0], one.scene.today)


def sown(one: OneGroup, tray: str, crop: str) -> None:
    one.ask(Sow(where=Where(trays=(tray,)), crop=crop, cell_count=12))


def ahead(one: OneGroup) -> BreakAhead:
    reply = one.ask(Break())
    assert isinstance(reply, BreakAhead)
    return reply


def test_a_run_of_closed_days_is_one_stretch_whatever_closes_them():
    here = replace(
        garden(group(first=None)),
        closures=(
            ClosureOf(id=1, weekday=5),
            ClosureOf(id=2, weekday=6),
            ClosureOf(id=3, first=date(2027, 2, 15), last=date(2027, 2, 16), label="Fair"),
        ),
    )
    found = list(stretches(here, date(2027, 2, 10), date(2027, 2, 24)))
    assert [(s.first, s.last) for s in found] == [
        (date(2027, 2, 13), date(2027, 2, 16)),
        (date(2027, 2, 20), date(2027, 2, 21)),
    ]
    assert coming_break(here, date(2027, 2, 10)) == found[0]
    assert coming_break(here, date(2027, 2, 15)) == found[0]  # it is on
    assert coming_break(here, date(2027, 2, 17)) is None  # weekends are no break


def test_a_group_never_open_ends_its_stretch():
    always = tuple(ClosureOf(id=n, weekday=n) for n in range(7))
    here = replace(garden(group(first=None)), closures=always)
    found = coming_break(here, AT.date())
    assert found is not None
    assert found.days >= 100


@pytest.mark.parametrize("days", [3, 7])
def test_each_tray_is_told_whether_it_lasts_by_its_own_interval(days):
    one = group(last=FIRST + timedelta(days=days - 1))
    for tray, crop in (("T1", "tomato"), ("T2", "pepper"), ("T3", "lettuce")):
        sown(one, tray, crop)
    plan = ahead(one).plan
    here = garden(one)
    assert [tray.tray for tray in plan.trays] == ["T1", "T2", "T3"]
    for tray in plan.trays:
        lasts = outlook.tray_interval(here, tray.tray, AT.date())
        assert lasts is not None
        assert tray.gap_days == days + 1
        expected = (
            Lasts.YES
            if lasts.low >= days + 1
            else Lasts.PERHAPS
            if lasts.usual >= days + 1
            else Lasts.NO
        )
        assert tray.lasts is expected
        wanted = Measure.CAPILLARY if days >= 5 else Measure.RESERVOIR
        assert (wanted in tray.measures) == (expected is not Lasts.YES)
    assert plan.dry == tuple(t.tray for t in plan.trays if t.lasts is not Lasts.YES)


def test_the_mat_goes_off_and_the_cover_once_seedlings_are_up():
    one = group()
    sown(one, "T1", "lettuce")
    assert not {Measure.MAT_OFF, Measure.COVER_OFF} & set(ahead(one).plan.trays[0].measures)
    one.at += timedelta(days=6)
    one.ask(Up(where=Where(trays=("T1",)), count=5))
    measures = ahead(one).plan.trays[0].measures
    assert {Measure.MAT_OFF, Measure.COVER_OFF} <= set(measures)
    assert "Heat mat off." in one.hear(Break()).text


def test_a_sowing_that_would_come_up_in_the_closed_building_is_named():
    one = group()
    one.at = datetime(2027, 2, 16, 9, tzinfo=UTC)
    sown(one, "T3", "tomato")
    plan = ahead(one).plan
    (each,) = plan.emerging
    window = outlook.emergence(garden(one), garden(one).sowings[0], one.scene.today)
    assert (each.sowing, each.tray, each.first) == ("S1", "T3", window.p10_on)
    assert Measure.TAKE_HOME in plan.trays[0].measures
    assert "S1 tomato comes up" in one.hear(Break()).text


def test_a_planned_sowing_is_postponed_to_come_up_after_the_break():
    one = group(first=None)
    reply = one.ask(MakePlan(items=(PlanItem(crop="tomato", plants=12),)))
    one.ask(MakePlan(accept=reply.plan))  # type: ignore[attr-defined]
    sow_on = reply.sowings[0].sow_on  # type: ignore[attr-defined]
    first = sow_on + timedelta(days=6)
    one.ask(SetClosed(first=first, last=first + timedelta(days=6)))
    one.at = datetime.combine(sow_on - timedelta(days=1), time(9), UTC)
    (each,) = ahead(one).plan.emerging
    assert (each.entry, each.sow_on) == ("P1-1", sow_on)
    assert each.sow_from is not None
    stretch = ahead(one).plan.stretch
    moved = each.first - sow_on + each.sow_from
    assert moved == stretch.last + timedelta(days=1)  # the first may show on the first day back
    assert "better sown from" in one.hear(Break()).text


def test_whoever_said_they_come_halves_the_gap():
    one = group()
    sown(one, "T1", "lettuce")
    alone = ahead(one).plan
    one.ask(SetDuty(who=("Ana",), days=(date(2027, 2, 23),)))
    helped = ahead(one).plan
    assert helped.visits == ((date(2027, 2, 23), (one.ids[1],)),)
    assert (alone.trays[0].gap_days, helped.trays[0].gap_days) == (8, 4)
    assert "key and alarm" in speak_for_ana(one)


def speak_for_ana(one: OneGroup) -> str:
    from bot.wording.speak import speak

    voice = replace(one.voice, people={one.ids[1]: "Ana"})
    return speak(one.ask(Break()), voice).text


def test_the_weekly_rota_does_not_open_a_closed_building():
    here = garden(group())
    rota = replace(here, duties=(DutyOf(id=1, member=1, weekdays=(0, 1, 2, 3, 4, 5, 6)),))
    stretch = Stretch(first=FIRST, last=LAST)
    plan = break_plan(rota, stretch, AT.date())
    assert plan.visits == ()
    assert (plan.before, plan.after) == ((1,), (1,))


def test_a_lamp_without_a_timer_is_named():
    one = group()
    sown(one, "T1", "lettuce")
    sown(one, "T3", "lettuce")
    assert ahead(one).plan.lamps_by_hand == ("B",)


def test_without_a_closure_there_is_nothing_to_prepare():
    one = group(first=None)
    assert one.ask(Break()) == NoBreakAhead()
    one.ask(SetClosed(first=FIRST, last=FIRST + timedelta(days=1)))
    assert one.ask(Break()) == NoBreakAhead()


def test_after_it_each_tray_has_its_checks():
    one = group()
    sown(one, "T1", "lettuce")
    sown(one, "T3", "tomato")
    one.at = datetime(2027, 2, 16, 9, tzinfo=UTC)
    one.ask(Up(where=Where(trays=("T1",)), count=12))
    one.ask(Harden(where=Where(trays=("T1",))))
    one.ask(Out(where=Where(trays=("T1",)), hours=2))
    one.at = datetime(2027, 2, 27, 9, tzinfo=UTC)
    reply = one.ask(Break(after=True))
    assert isinstance(reply, BreakOver)
    assert reply.stretch is not None
    assert (reply.stretch.first, reply.stretch.last) == (FIRST, LAST)
    checks = {check.tray: set(check.checks) for check in reply.checks}
    assert checks == {
        "T1": {Check.POUR_OFF, Check.FEEL, Check.STRETCHED, Check.MOULD, Check.HARDEN_AGAIN},
        "T3": {Check.POUR_OFF, Check.FEEL, Check.COUNT},
    }
    text = one.hear(Break(after=True)).text
    assert "T1 lettuce:" in text
    assert "pour it off" in text
    assert past_break(garden(one), date(2027, 3, 30)) is None  # too long ago


def as_said(number: int, notice: Notice, now: datetime) -> Said:
    return Said(
        id=number,
        recipient=notice.recipient,
        kind=notice.kind,
        subject=notice.subject,
        on=notice.on,
        made_at=now,
        body={"keys": [item.key for item in notice.items]},
        answered=False,
    )


def said(one: OneGroup, first: date, last: date) -> list[date]:
    """Return the days on which the round speaks of the closure."""
    here, days = garden(one), []
    before: tuple[Said, ...] = ()
    day = first
    while day <= last:
        now = datetime.combine(day, time(8), UTC)
        look = Day(garden=here, now=now, today=day, said=before, heard_at=now)
        for number, notice in enumerate(due_now(look), start=len(before) + 1):
            before = (*before, as_said(number, notice, now))
            if notice.kind == "round" and any(i.kind is Work.BREAK for i in notice.items):
                days.append(day)
        day += timedelta(days=1)
    return days


def test_the_round_speaks_of_it_once_three_days_before():
    one = group()
    sown(one, "T1", "lettuce")
    assert said(one, AT.date(), LAST) == [date(2027, 2, 17)]


def test_on_a_closed_day_the_round_speaks_of_it_the_day_before():
    one = group()
    sown(one, "T1", "lettuce")
    one.ask(SetClosed(weekdays=(2,)))  # the 17th is a Wednesday
    assert said(one, AT.date(), LAST) == [date(2027, 2, 16)]


def test_empty_shelves_need_no_warning():
    assert said(group(), AT.date(), LAST) == []


def test_the_warning_names_the_trays_and_the_way():
    one = group()
    sown(one, "T1", "lettuce")
    items = due_items(garden(one), date(2027, 2, 17))
    lines = work_lines(tuple(i for i in items if i.kind is Work.BREAK), one.voice)
    assert len(lines) == 1
    assert "T1 may dry out" in lines[0]
    assert lines[0].endswith("/break")
