"""The calendar file: strict iCalendar, and the same event under the same UID in every file."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from bot.papers.calendar import content
from core.errors import CoordinatorsOnly
from core.handlers.table import answer
from core.records import snapshot
from core.replies.calendar import CalendarSaid
from core.requests import (
    Calendar,
    MakePlan,
    PlanItem,
    SetAway,
    SetClosed,
    SetDuty,
    SetFrost,
    SetLot,
    SetShelf,
    SetTray,
    Sow,
    Where,
)
from tests.core.handlers.one_group import OneGroup

AT = datetime(2027, 2, 10, 9, tzinfo=UTC)
ITEMS = (
    PlanItem(crop="tomato", plants=24),
    PlanItem(crop="lettuce", plants=40, sowings=2, variety="Oak, red; long"),
)

# --- a strict reader, written from RFC 5545 alone -------------------------------------------

NAME = r"[A-Za-z0-9-]+"
PARAM_VALUE = r'(?:"[^"\x00-\x08\x0a-\x1f\x7f]*"|[^";:,\x00-\x08\x0a-\x1f\x7f]*)'
CONTENT_LINE = re.compile(  # 3.1
    rf"({NAME})((?:;{NAME}={PARAM_VALUE}(?:,{PARAM_VALUE})*)*):([^\x00-\x08\x0a-\x1f\x7f]*)"
)
CALENDAR_ONCE = {"PRODID", "VERSION"}  # 3.6
CALENDAR_MOST_ONCE = {"CALSCALE", "METHOD"}
EVENT_ONCE = {"UID", "DTSTAMP"}  # 3.6.1
EVENT_MOST_ONCE = {
    "DTSTART", "CLASS", "CREATED", "DESCRIPTION", "GEO", "LAST-MODIFIED", "LOCATION", "ORGANIZER",
    "PRIORITY", "SEQUENCE", "STATUS", "SUMMARY", "TRANSP", "URL", "RECURRENCE-ID", "DTEND",
}  # fmt: skip
TEXTS = {"SUMMARY", "DESCRIPTION", "UID", "LOCATION", "PRODID"}
TEXT = re.compile(r"(?:[^\\;,]|\\[\\;,Nn])*")  # 3.3.11
UTC_TIME = re.compile(r"\d{8}T\d{6}Z")  # 3.3.5, form 2
DAY = re.compile(r"\d{8}")  # 3.3.4
STATUS = {"TENTATIVE", "CONFIRMED", "CANCELLED"}  # 3.8.1.11


def read_strictly(raw: bytes) -> list[dict[str, str]]:
    """Return the events of an iCalendar stream as property → value; fail where RFC 5545 does."""
    assert raw.endswith(b"\r\n")
    lines = raw[:-2].split(b"\r\n")
    assert not any(b"\r" in line or b"\n" in line for line in lines), "3.1: lines end by CRLF"
    assert all(len(line) <= 75 for line in lines), "3.1: at most 75 octets"
    unfolded: list[bytes] = []
    for line in lines:
        if line[:1] in (b" ", b"\t"):
            unfolded[-1] += line[1:]
        else:
            assert line, "an empty line"
            unfolded.append(line)
    events: list[dict[str, str]] = []
    calendar: dict[str, str] = {}
    open_: list[str] = []
    for line in unfolded:
        match = CONTENT_LINE.fullmatch(line.decode("utf-8"))
        assert match, line
        name, params, value = match[1].upper(), match[2].upper(), match[3]
        if name == "BEGIN":
            assert value == ("VEVENT" if open_ else "VCALENDAR")
            assert len(open_) < 2
            open_.append(value)
            if value == "VEVENT":
                events.append({})
            continue
        if name == "END":
            assert open_.pop() == value
            continue
        assert open_, "a property outside any component"
        holder = events[-1] if open_[-1] == "VEVENT" else calendar
        once = EVENT_ONCE | EVENT_MOST_ONCE if open_[-1] == "VEVENT" else (
            CALENDAR_ONCE | CALENDAR_MOST_ONCE
        )  # fmt: skip
        assert name in once or name.startswith("X-"), f"{name} has no place here"
        assert name not in holder, f"{name} twice"
        if name in TEXTS:
            assert TEXT.fullmatch(value), value
        if name in ("DTSTART", "DTEND"):
            assert ";VALUE=DATE" in params, "a whole day is a DATE"
            assert DAY.fullmatch(value)
            date.fromisoformat(value)
        if name in ("DTSTAMP", "LAST-MODIFIED"):
            assert UTC_TIME.fullmatch(value)
            datetime.fromisoformat(value)
        if name == "SEQUENCE":
            assert 0 <= int(value) < 2**31
        if name == "STATUS":
            assert value in STATUS
        if name == "TRANSP":
            assert value in ("OPAQUE", "TRANSPARENT")
        holder[name] = value
    assert not open_, "a component is left open"
    assert calendar.keys() >= CALENDAR_ONCE
    assert calendar["VERSION"] == "2.0"
    for event in events:
        assert event.keys() >= EVENT_ONCE
        assert "METHOD" in calendar or "DTSTART" in event
        if "DTEND" in event:
            assert event["DTEND"] > event["DTSTART"], "3.8.2.2: the end is later"
    uids = [event["UID"] for event in events]
    assert len(set(uids)) == len(uids), "3.8.4.7: a UID is unique"
    return events


@pytest.mark.parametrize(
    "broken",
    [
        lambda raw: raw.replace(b"\r\n", b"\n"),
        lambda raw: raw.replace(b"UID:", b"UID :", 1),
        lambda raw: raw.replace(b"DTSTAMP:2", b"DTSTAMP:x", 1),
        lambda raw: raw.replace(b";VALUE=DATE", b"", 1),
        lambda raw: raw.replace(b"END:VEVENT\r\n", b"", 1),
        lambda raw: raw.replace(b"SUMMARY:", b"SUMMARY:a,b", 1),
        lambda raw: raw.replace(b"VERSION:2.0\r\n", b"", 1),
        lambda raw: raw.replace(b"SUMMARY:", b"SUMMARY:" + b"x" * 80, 1),
    ],
)
def test_the_reader_refuses_what_the_standard_forbids(broken):
    raw = made(group())
    read_strictly(raw)
    with pytest.raises(AssertionError):
        read_strictly(broken(raw))


# --- the group and its file -----------------------------------------------------------------


def group() -> OneGroup:
    one = OneGroup(AT)
    one.ask(SetFrost(typical=date(2027, 4, 28)))
    one.ask(SetShelf(code="A", lamp="white_led", places=8))
    one.ask(SetTray(codes=("T1",), cells=72, shelf="A"))
    one.ask(SetDuty(who=("Ana",), weekdays=(0, 2)))
    one.ask(MakePlan(accept=one.ask(MakePlan(items=ITEMS)).plan))  # type: ignore[attr-defined]
    return one


def made(one: OneGroup, member: int | None = None, **values: object) -> bytes:
    given = {"group_id": one.ids[0], "member_id": member, "language": "en", **values}
    return content(one.database, given, one.at)


def by_uid(raw: bytes) -> dict[str, dict[str, str]]:
    return {event["UID"]: event for event in read_strictly(raw)}


def day(text: str) -> date:
    return date.fromisoformat(text)


def test_every_date_of_the_plan_stands_in_the_file():
    one = group()
    events = by_uid(made(one))
    with one.database.transaction() as session:
        plan = snapshot.garden(session, one.ids[0], AT.date()).plan or {}
    assert len(plan["sowings"]) == 3
    for entry in plan["sowings"]:
        uid = f"g{one.ids[0]}-{entry['id']}"
        sow, out = events[f"{uid}-sow@traywarden"], events[f"{uid}-plant_out@traywarden"]
        assert day(sow["DTSTART"]).isoformat() == entry["sow_on"]
        assert day(out["DTSTART"]).isoformat() == entry["plant_out"]
        harden = events[f"{uid}-harden@traywarden"]
        assert day(harden["DTSTART"]).isoformat() == entry["harden_from"]
        assert harden["DTEND"] == out["DTSTART"]  # it ends the day before planting out
        assert (f"{uid}-pot_up@traywarden" in events) == (entry["pot_on"] is not None)


def test_a_names_commas_and_semicolons_are_escaped():
    raw = made(group())
    summaries = [event["SUMMARY"] for event in read_strictly(raw)]
    assert r"Sow lettuce (Oak\, red\; long)" in summaries


def test_made_again_the_file_moves_the_same_events():
    one = group()
    first = by_uid(made(one))
    one.at += timedelta(days=3)
    second = by_uid(made(one))
    shared = first.keys() & second.keys()
    assert all("-duty-" in uid for uid in first.keys() - second.keys())  # no date falls out
    for uid in shared:
        assert first[uid]["DTSTART"] == second[uid]["DTSTART"]
        assert int(second[uid]["SEQUENCE"]) > int(first[uid]["SEQUENCE"])
        assert second[uid]["DTSTAMP"] == "20270213T090000Z"


def test_a_planned_sowing_keeps_its_events_when_it_is_sown_late():
    one = group()
    before = by_uid(made(one))
    with one.database.transaction() as session:
        plan = snapshot.garden(session, one.ids[0], AT.date()).plan or {}
    entry = next(e for e in plan["sowings"] if e["crop"] == "tomato")
    one.at = datetime.fromisoformat(f"{entry['sow_on']}T09:00+00:00") + timedelta(days=14)
    one.ask(Sow(where=Where(trays=("T1",)), crop="tomato", cell_count=30))
    after = by_uid(made(one))
    uid = f"g{one.ids[0]}-{entry['id']}"
    assert f"{uid}-sow@traywarden" not in after
    moved = after[f"{uid}-plant_out@traywarden"]
    assert moved["DTSTART"] > before[f"{uid}-plant_out@traywarden"]["DTSTART"]


def duties(events: dict[str, dict[str, str]]) -> dict[str, dict[str, str]]:
    return {uid: event for uid, event in events.items() if "-duty-" in uid}


def test_duty_days_follow_the_rota_and_what_falls_out_is_cancelled():
    one = group()
    found = duties(by_uid(made(one)))
    uid, last = min(found), max(found)
    assert found[uid]["STATUS"] == "CONFIRMED"
    assert found[uid]["SUMMARY"] == "Seedlings: Ana"
    assert {day(event["DTSTART"]).weekday() for event in found.values()} <= {0, 2}
    gone, shut = day(found[uid]["DTSTART"]), day(found[last]["DTSTART"])
    one.ask(SetAway(first=gone, last=gone))
    assert by_uid(made(one))[uid]["STATUS"] == "CANCELLED"
    one.ask(SetClosed(first=shut, last=shut + timedelta(days=2), label="Spring break"))
    events = by_uid(made(one))
    assert events[last]["STATUS"] == "CANCELLED"
    (closed,) = [event for event in events.values() if event["SUMMARY"] == "Closed: Spring break"]
    assert (day(closed["DTSTART"]), day(closed["DTEND"])) == (shut, shut + timedelta(days=3))


def test_nobody_has_duty_before_there_is_work_to_expect():
    one = group()
    events = by_uid(made(one))
    first_sow = min(e["DTSTART"] for e in events.values() if e["SUMMARY"].startswith("Sow "))
    assert min(event["DTSTART"] for event in duties(events).values()) >= first_sow
    idle = OneGroup(AT)
    idle.ask(SetDuty(who=("Ana",), weekdays=(0, 2)))
    assert duties(by_uid(made(idle))) == {}
    idle.ask(SetTray(codes=("T1",), cells=72))
    idle.ask(Sow(crop="basil", where=Where(trays=("T1",)), cell_count=6))
    assert duties(by_uid(made(idle)))


def test_a_sowing_says_from_which_packet_into_which_tray_and_how_much():
    one = group()
    one.ask(SetLot(crop="tomato", variety="Amber Pip", packed_for=2027))
    texts = [
        event.get("DESCRIPTION", "")
        for event in by_uid(made(one)).values()
        if event["SUMMARY"].startswith("Sow tomato")
    ]
    (text,) = texts
    assert "From lot L1" in text
    assert "Free now: T1" in text
    assert re.search(r"\d+ seeds", text)


def test_a_members_own_file_holds_only_their_duties():
    one = group()
    own = by_uid(made(one, member=one.ids[1]))
    mine = [event for uid, event in own.items() if "-duty-" in uid]
    assert mine
    assert {event["SUMMARY"] for event in mine} == {"Seedlings: your turn"}
    other = by_uid(made(one, member=9999))
    assert not [uid for uid in other if "-duty-" in uid]


def test_whole_days_are_the_sites_whatever_the_zone():
    one = group()
    dates = {uid: e["DTSTART"] for uid, e in by_uid(made(one)).items() if "-P" in uid}
    for zone in ("Pacific/Kiritimati", "America/Adak"):
        with one.group() as row:
            row.zone = zone
        again = {uid: e["DTSTART"] for uid, e in by_uid(made(one)).items() if "-P" in uid}
        assert again == dates


def test_the_answer_counts_the_events_and_sends_the_file():
    one = group()
    reply = one.ask(Calendar())
    assert isinstance(reply, CalendarSaid)
    live = [e for e in read_strictly(made(one)) if e["STATUS"] == "CONFIRMED"]
    assert sum(n for _, n in reply.counts) == len(live)
    message = one.hear(Calendar())
    (file,) = message.attachments
    assert (file.what, file.name, file.picture) == ("calendar", "traywarden.ics", False)
    assert read_strictly(content(one.database, file.values, one.at))


def test_a_group_with_nothing_to_do_is_told_so():
    one = OneGroup(AT)
    assert "nothing to put in a calendar" in one.hear(Calendar()).text
    assert read_strictly(content(one.database, {"group_id": one.ids[0]}, AT)) == []


def test_no_file_is_made_of_a_group_that_is_none():
    with pytest.raises(LookupError):
        content(OneGroup(AT).database, {"group_id": 99}, AT)


def test_a_calendar_file_sets_closures_and_only_for_coordinators():
    one = OneGroup(AT)
    text = (
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//y//EN\r\nBEGIN:VEVENT\r\nUID:a@b\r\n"
        "DTSTAMP:20270101T000000Z\r\nDTSTART;VALUE=DATE:20270315\r\n"
        "DTEND;VALUE=DATE:20270320\r\nSUMMARY:Spring break\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"
    )
    request = SetClosed(file_name="school.ics", file_text=text)
    with pytest.raises(CoordinatorsOnly), one.database.transaction() as session:
        answer(request, replace(one.scene, coordinator=False), session)
    assert not isinstance(one.ask(request), CalendarSaid)
    with one.database.transaction() as session:
        garden = snapshot.garden(session, one.ids[0], AT.date())
    assert [garden.closed(date(2027, 3, n)) for n in (14, 15, 19, 20)] == [
        False,
        True,
        True,
        False,
    ]
