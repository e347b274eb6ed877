"""A rehearsal agrees, message by message, with the same weeks really played."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Mapping
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy import select

from bot.talk import heartbeat
from core.cells import ALL_CELLS
from core.due.day import GROUP
from core.due.items import keyed
from core.due.kinds import NoticeKind
from core.due.rehearsal import Habit, Heard, rehearse
from core.group.growing import follow
from core.group.standing import free_cells
from core.group.to_sow import to_sow
from core.handlers.table import answer
from core.records import models as m
from core.records import people, snapshot
from core.records.notices import read_day
from core.replies.base import Reply
from core.replies.plans import PlanSaid
from core.requests import (
    Done,
    MakePlan,
    PlanItem,
    Planted,
    Request,
    SetClosed,
    SetDuty,
    SetFrost,
    SetPause,
    SetShelf,
    SetSite,
    SetTray,
    Sow,
    Up,
    Where,
)
from core.scene import Scene, local_date
from tests.databases import new_database

BEGIN = datetime(2027, 3, 1, 14, tzinfo=UTC)
ZONE = "America/Chicago"
NAMES = ("Ana", "Ben", "Chen", "Dara")
CROPS = ("lettuce", "kale", "tomato", "pepper", "onion")
PARTS = {"water": "water", "out": "out", "harden": "out", "feed": "fed", "thin": "thin"}


class Weeks:
    """A group, really played: its clock moves from look to look and answer to answer."""

    def __init__(self, names: tuple[str, ...], crops: tuple[str, ...]) -> None:
        self.database = new_database()
        self.now = BEGIN
        self.members: dict[int, tuple[int, int]] = {}  # member → person, chat
        with self.database.transaction() as session:
            group = people.found_group(session, "Bench", BEGIN)
            chat = people.chat_of(session, "test", "bench", private=False)
            chat.group_id = group.id
            self.group = group.id
            for name in names:
                person = people.person_of(
                    session, "test", name, name=name, username=None, now=BEGIN
                )
                member = people.join(
                    session, group.id, person, name, BEGIN, coordinator=not self.members
                )
                own = people.chat_of(session, "test", f"p{name}", private=True)
                own.person_id = person.id
                session.flush()
                self.members[member.id] = (person.id, own.id)
        self.first = next(iter(self.members))
        self.do(self.first, SetSite(place="Chicago, Illinois"))
        self.do(self.first, SetFrost(typical=date(2027, 4, 28)))
        self.do(self.first, SetShelf(code="A", usual_temp_c=20.0, places=12))
        for number, crop in enumerate(crops, 1):
            self.do(self.first, SetTray(codes=(f"T{number}",), cells=72, shelf="A"))
            where = Where(trays=(f"T{number}",), cells=ALL_CELLS)
            self.do(self.first, Sow(crop=crop, where=where, seeds_per_cell=1 + number % 2))

    def do(self, member: int, request: Request) -> Reply:
        person, chat = self.members[member]
        with self.database.transaction() as session:
            group = session.get_one(m.Group, self.group)
            scene = Scene(
                now=self.now, group_id=self.group, member_id=member, person_id=person,
                chat_id=chat, private=True, coordinator=True, appointed=True, zone=group.zone,
            )  # fmt: skip
            return answer(request, scene, session)

    def rehearsed(self, last: date, habits: Mapping[int, Habit]) -> tuple[Heard, ...]:
        with self.database.transaction() as session:
            group = session.get_one(m.Group, self.group)
            day = read_day(session, group, self.now)
            return rehearse(day, last, habits, first=group.next_look_at).heard

    def played(self, last: date, habits: Mapping[int, Habit]) -> list[Heard]:
        """Let the weeks pass on the real clock; return what was said."""
        asked: Counter[int] = Counter()
        answers: list[tuple[datetime, int, m.Notice]] = []
        seen = {row.id for row in self.notices()}
        found: list[Heard] = []
        while True:
            with self.database.transaction() as session:
                at = session.get_one(m.Group, self.group).next_look_at
            assert at is not None
            if local_date(at, ZONE) > last:
                return found
            for due in sorted((a for a in answers if a[0] <= at), key=lambda a: a[0]):
                self.now = due[0]
                self._answer(due[1], due[2])
            answers = [a for a in answers if a[0] > at]
            self.now = at
            heartbeat.look_at(self.database, self.group, at)
            for row in self.notices():
                if row.id in seen:
                    continue
                seen.add(row.id)
                found.append(
                    Heard(
                        at=at, on=row.on_day, recipient=row.recipient, kind=NoticeKind(row.kind),
                        keys=tuple(row.body["keys"]),
                    )
                )  # fmt: skip
                who = self._who(row, habits, asked)
                if who is not None:
                    answers.append((at + timedelta(minutes=20), who, row))

    def notices(self) -> list[m.Notice]:
        with self.database.transaction() as session:
            return list(session.scalars(select(m.Notice).order_by(m.Notice.id)))

    def _who(self, row: m.Notice, habits: Mapping[int, Habit], asked: Counter[int]) -> int | None:
        if row.kind == "quiet":
            return None
        candidates: tuple[int, ...] = (row.recipient,)
        if row.recipient == GROUP:
            with self.database.transaction() as session:
                garden = snapshot.garden(session, self.group, row.on_day)
            candidates = garden.on_duty(row.on_day) or tuple(self.members)
        for member in candidates:
            asked[member] += 1
            habit = habits.get(member, Habit.ALWAYS)
            if habit is Habit.ALWAYS or (habit is Habit.SOMETIMES and asked[member] % 2):
                return member
        return None

    def _answer(self, member: int, row: m.Notice) -> None:
        """Press what has a button, then type the rest."""
        works = [keyed(key) for key in row.body["keys"]]
        for part in dict.fromkeys(PARTS[work.kind] for work in works if work.kind in PARTS):
            self.do(member, Done(notice=row.id, part=part))
        with self.database.transaction() as session:
            garden = snapshot.garden(session, self.group, local_date(self.now, ZONE))
        standing = {sowing.code: (sowing, follow(sowing)) for sowing in garden.sowings}
        for work in works:
            kind, code = work.kind, work.place
            if kind == "sow":
                assert work.crop is not None
                self._sow(member, work.crop)
            if code not in standing:
                continue
            sowing, growing = standing[code]
            where = Where(sowing=code)
            if kind in ("count", "overdue") and growing.first_up_on is None:
                self.do(member, Up(where=where, count=sowing.seeds))
            if kind == "plant" and growing.alive:
                self.do(member, Planted(where=where, count=growing.alive))

    def _sow(self, member: int, crop: str) -> None:
        """Sow what the plan says of a crop into the first tray that it names."""
        today = local_date(self.now, ZONE)
        with self.database.transaction() as session:
            garden = snapshot.garden(session, self.group, today)
        for one in to_sow(garden, today, today):
            if one.crop == crop and one.trays and one.cells and one.on <= today:
                tray = garden.trays[one.trays[0][0]]
                count = min(one.cells, len(free_cells(garden, tray)))
                where = Where(trays=(tray.code,))
                self.do(
                    member,
                    Sow(
                        crop=crop, where=where, cell_count=count, variety=one.variety,
                        seeds_per_cell=one.seeds_per_cell or 1, again=True,
                    ),
                )  # fmt: skip
                return


def weeks(*requests: Request, names: tuple[str, ...] = NAMES) -> Weeks:
    """Return a group whose members take turns, and what was asked of the first of them."""
    found = Weeks(names, CROPS)
    for number, name in enumerate(names):
        found.do(found.first, SetDuty(who=(name,), weekdays=(number,)))
    for request in requests:
        found.do(found.first, request)
    return found


def lines(heard: list[Heard] | tuple[Heard, ...]) -> list[str]:
    zone = ZoneInfo(ZONE)
    return [
        f"{h.at.astimezone(zone):%a %Y-%m-%d %H:%M} {h.recipient} {h.kind.value} {sorted(h.keys)}"
        for h in heard
    ]


@pytest.mark.parametrize("seed", range(2))
def test_a_rehearsal_agrees_with_the_weeks_really_played(seed: int) -> None:
    group = weeks(
        SetClosed(first=date(2027, 3, 27), last=date(2027, 4, 4)),
        SetPause(trays=("T5",), until=date(2027, 4, 20)),
    )
    draw = random.Random(seed)
    habits = {member: draw.choice(list(Habit)) for member in group.members}
    last = date(2027, 5, 16)
    rehearsed = lines(group.rehearsed(last, habits))
    played = lines(group.played(last, habits))
    assert len(played) > 20
    assert rehearsed == played


def test_a_planned_season_is_sown_on_the_way() -> None:
    group = weeks(SetTray(codes=("T8", "T9"), cells=72, shelf="A"))
    items = (PlanItem(crop="basil", plants=8), PlanItem(crop="lettuce", plants=10))
    proposed = group.do(group.first, MakePlan(items=items))
    assert isinstance(proposed, PlanSaid)
    group.do(group.first, MakePlan(accept=proposed.plan))
    last = date(2027, 5, 16)
    rehearsed = lines(group.rehearsed(last, {}))
    assert any("count:S6@" in line for line in rehearsed)  # it was sown, and is to be counted
    assert rehearsed == lines(group.played(last, {}))


def test_nothing_is_written_by_a_rehearsal() -> None:
    group = weeks()
    before = len(group.notices())
    assert group.rehearsed(date(2027, 4, 1), {})
    assert len(group.notices()) == before
    with group.database.transaction() as session:
        assert session.scalars(select(m.Outbox)).all() == []
