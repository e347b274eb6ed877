"""School calendars: all-day, recurring, moved and cancelled events, sent again and corrected."""

from __future__ import annotations

import time
from datetime import UTC, date, datetime

import pytest

from core.replies.base import Reply
from core.replies.duty import ClosuresImported
from core.requests import SetClosed
from core.set_up_errors import CalendarUnreadable
from core.trade.closure_file import read_closures
from tests.core.handlers.one_group import OneGroup

TODAY = date(2027, 3, 1)
AT = datetime(2027, 3, 1, 12, tzinfo=UTC)


def calendar(*events: str) -> str:
    body = "".join(f"BEGIN:VEVENT\n{event}\nEND:VEVENT\n" for event in events)
    return f"BEGIN:VCALENDAR\nVERSION:2.0\nPRODID:-//invented//EN\n{body}END:VCALENDAR\n"


def all_day(uid: str, first: str, end: str, summary: str, *more: str) -> str:
    lines = [f"UID:{uid}", f"DTSTART;VALUE=DATE:{first}", f"DTEND;VALUE=DATE:{end}"]
    return "\n".join([*lines, f"SUMMARY:{summary}", *more])


BREAK = all_day("spring", "20270405", "20270410", "Spring break")
FRIDAYS = all_day(
    "fri", "20270305", "20270306", "Workshop closed",
    "RRULE:FREQ=WEEKLY;UNTIL=20270326", "EXDATE;VALUE=DATE:20270312",
)  # fmt: skip
MOVED = "\n".join(
    ("UID:fri", "RECURRENCE-ID;VALUE=DATE:20270319", "DTSTART;VALUE=DATE:20270318",
     "SUMMARY:Workshop closed, moved")
)  # fmt: skip


def read(text: str) -> list[tuple[date, date]]:
    return [(closing.first, closing.last) for closing in read_closures(text, TODAY).closings]


def test_the_end_of_an_all_day_event_is_not_part_of_it() -> None:
    assert read(calendar(BREAK)) == [(date(2027, 4, 5), date(2027, 4, 9))]
    one = "UID:one\nDTSTART;VALUE=DATE:20270405\nSUMMARY:Closed"
    assert read(calendar(one)) == [(date(2027, 4, 5), date(2027, 4, 5))]


def test_a_weekly_event_falls_on_its_days_less_exceptions_with_the_moved_one_moved() -> None:
    days = [first for first, _ in read(calendar(FRIDAYS, MOVED))]
    assert days == [date(2027, 3, 5), date(2027, 3, 18), date(2027, 3, 26)]


def test_a_yearly_holiday_without_an_end_stops_at_the_horizon() -> None:
    yearly = all_day("may", "20200501", "20200502", "Holiday", "RRULE:FREQ=YEARLY")
    assert read(calendar(yearly)) == [
        (date(2027, 5, 1), date(2027, 5, 1)),
        (date(2028, 5, 1), date(2028, 5, 1)),
    ]


def test_hours_and_openings_are_no_closures_and_are_named() -> None:
    hours = "UID:h\nDTSTART:20270310T170000Z\nDTEND:20270310T190000Z\nSUMMARY:Parents' evening"
    opening = all_day("o", "20270412", "20270413", "Summer term begins")
    found = read_closures(calendar(hours, opening), TODAY)
    assert found.closings == ()
    assert dict(found.left_out) == {
        "Parents' evening": "hours",
        "Summer term begins": "opening",
    }


def test_a_whole_day_written_with_times_counts_in_the_sites_zone() -> None:
    text = calendar("UID:t\nDTSTART:20270406T060000Z\nDTEND:20270407T060000Z\nSUMMARY:Closed")
    found = read_closures(text, TODAY, zone="America/Denver")  # six hours behind in April
    assert [(c.first, c.last) for c in found.closings] == [(date(2027, 4, 6), date(2027, 4, 6))]


def test_what_is_over_is_left_and_what_began_before_today_is_kept() -> None:
    past = all_day("p", "20270101", "20270108", "Winter break")
    now = all_day("n", "20270225", "20270304", "Half term")
    assert read(calendar(past, now)) == [(date(2027, 2, 25), date(2027, 3, 3))]


@pytest.mark.parametrize("text", ["", "hello", "a,b\n1,2\n", "BEGIN:VCALENDAR\nrubbish"])
def test_what_is_no_calendar_is_refused(text: str) -> None:
    with pytest.raises(CalendarUnreadable):
        OneGroup(AT).ask(SetClosed(file_name="x.ics", file_text=text))


@pytest.mark.parametrize(
    "rule",
    ["FREQ=SECONDLY", "FREQ=MINUTELY;INTERVAL=5", "FREQ=HOURLY", "FREQ=DAILY;BYHOUR=1,2;BYMINUTE=3",
     "FREQ=", "FREQ=FORTNIGHTLY"],
)  # fmt: skip
def test_what_comes_back_within_a_day_is_never_worked_out_and_is_named(rule: str) -> None:
    fine = "\n".join(("UID:f", "DTSTART:19000101T000000Z", "SUMMARY:Bell", f"RRULE:{rule}"))
    found = read_closures(calendar(fine, BREAK), TODAY)
    assert [closing.label for closing in found.closings] == ["Spring break"]
    assert ("Bell", "hours") in found.left_out


LONG = [all_day(f"d{n}", "20150301", "20150302", "Daily", "RRULE:FREQ=DAILY") for n in range(60)]
AGES = all_day("a", "15000101", "15000102", "Old", "RRULE:FREQ=DAILY")
STILL = all_day("z", "20270301", "20270302", "Still", "RRULE:FREQ=DAILY;INTERVAL=0")
DATES = all_day("r", "20270301", "20270302", "Dates", "RDATE;VALUE=DATE:" + "20270401," * 5001 + "20270402")  # noqa: E501  # fmt: skip


@pytest.mark.parametrize(
    "events",
    [LONG, [AGES], [STILL], [DATES], [all_day(f"e{n}", "20270405", "20270406", "Closed")
     for n in range(2001)]],
    ids=["long", "ages", "still", "dates", "events"],
)  # fmt: skip
def test_what_is_more_than_a_school_has_is_refused_at_once(events: list[str]) -> None:
    began = time.process_time()
    with pytest.raises(CalendarUnreadable) as refused:
        OneGroup(AT).ask(SetClosed(file_name="x.ics", file_text=calendar(*events)))
    assert refused.value.reason == "size"
    assert time.process_time() - began < 5


def imported(reply: Reply) -> ClosuresImported:
    assert isinstance(reply, ClosuresImported)
    return reply


def closed_days(group: OneGroup) -> set[date]:
    from datetime import timedelta

    from core.records import snapshot

    with group.database.transaction() as session:
        garden = snapshot.garden(session, group.ids[0], TODAY)
    days = (TODAY + timedelta(days=n) for n in range(120))
    return {day for day in days if garden.closed(day)}


def send(group: OneGroup, text: str, name: str = "school.ics") -> ClosuresImported:
    return imported(group.ask(SetClosed(file_name=name, file_text=text)))


def test_sent_again_a_calendar_doubles_nothing() -> None:
    group = OneGroup(AT)
    first = send(group, calendar(BREAK, FRIDAYS, MOVED))
    assert (first.added, first.changed, first.same, first.ended) == (4, 0, 0, 0)
    days = closed_days(group)
    again = send(group, calendar(BREAK, FRIDAYS, MOVED))
    assert (again.added, again.changed, again.same, again.ended) == (0, 0, 4, 0)
    assert closed_days(group) == days


def test_a_corrected_calendar_moves_and_lifts_what_it_had_closed() -> None:
    group = OneGroup(AT)
    send(group, calendar(BREAK, FRIDAYS))
    later = all_day("spring", "20270412", "20270417", "Spring break")
    fewer = all_day(
        "fri", "20270305", "20270306", "Workshop closed", "RRULE:FREQ=WEEKLY;UNTIL=20270305"
    )
    reply = send(group, calendar(later, fewer))
    assert (reply.added, reply.changed, reply.same, reply.ended) == (0, 1, 1, 2)
    assert closed_days(group) == {date(2027, 3, 5)} | {date(2027, 4, n) for n in range(12, 17)}
    gone = all_day("spring", "20270412", "20270417", "Spring break", "STATUS:CANCELLED")
    assert send(group, calendar(gone, fewer)).ended == 1
    assert closed_days(group) == {date(2027, 3, 5)}


def test_a_second_calendar_leaves_the_first_one_standing() -> None:
    group = OneGroup(AT)
    send(group, calendar(BREAK))
    city = calendar(all_day("city-1", "20270501", "20270502", "Labour day"))
    assert send(group, city, "city.ics").added == 1
    assert date(2027, 4, 5) in closed_days(group)
    assert date(2027, 5, 1) in closed_days(group)
    text = group.hear(SetClosed(file_name="city.ics", file_text=city)).text
    assert "1 known already" in text
    assert "Labour day" in text


def test_a_day_lifted_by_hand_stays_open_when_the_file_comes_again_unchanged() -> None:
    group = OneGroup(AT)
    send(group, calendar(BREAK))
    group.ask(SetClosed(first=date(2027, 4, 7), off=True))
    days = closed_days(group)
    assert date(2027, 4, 7) not in days
    assert send(group, calendar(BREAK)).same == 1
    assert closed_days(group) == days


def test_a_day_taken_out_of_a_series_closes_again_when_the_series_has_it_again() -> None:
    group = OneGroup(AT)
    send(group, calendar(FRIDAYS))
    short = FRIDAYS.replace("UNTIL=20270326", "UNTIL=20270319")
    assert send(group, calendar(short)).ended == 1
    assert date(2027, 3, 26) not in closed_days(group)
    assert send(group, calendar(FRIDAYS)).changed == 1
    assert date(2027, 3, 26) in closed_days(group)
