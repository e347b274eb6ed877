"""Who talks in a run, and what falls due in it.

The bot runs its real code by the machine's clock. So that reminders fall due all through a run of
a few minutes, each of many groups has its round at another instant of it: the group's hour is set
in its row, as `/site` would, and it has a tray that wants looking at. Every other group has had
its round a little before, so that its look makes the nudge to the member on duty, in private.

The talkers report: every report is a note with a marker of its own, by which it is found again in
the database and in the answer.
"""

from __future__ import annotations

import itertools
import re
import threading
import time as clock
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

from sqlalchemy.orm import Session

from core.due.hours import NUDGE_AFTER
from core.records import models as m
from core.records import people
from core.records.database import Database
from tests.faults.processes import ServerProcess

BOT = "@traywarden_test_bot"
TALKER, ON_DUTY = 1_000_000, 2_000_000  # first user ids
GROUP = -3_000_000  # chat ids of talkers' groups go down from here, those of rounds from ROUND
ROUND = -5_000_000
MIDNIGHT = time(0)
MARKER = re.compile(r"\bk\d+\b")
NEVER = datetime.max.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a talker talks: in private when `chat` is the user's own id."""

    user: int
    chat: int

    @property
    def private(self) -> bool:
        return self.user == self.chat


@dataclass(slots=True, kw_only=True)
class Scene:
    """What was set up, and what was posted since.

    Attributes:
        rounds: chat id → the instant from which its one notice is due (a group's, or the private
            chat of who is on duty).
        posted: marker → when it was posted, Unix seconds.
        settled_at: when all that was due by then was found done.
    """

    places: list[Place] = field(default_factory=list)
    rounds: dict[int, datetime] = field(default_factory=dict)
    posted: dict[str, float] = field(default_factory=dict)
    settled_at: datetime = NEVER


def morning_zone(now: datetime) -> str:
    """Return a zone in which it is about eight in the morning: no run goes past midnight."""
    ahead = (8 - now.astimezone(UTC).hour) % 24
    return f"Etc/GMT-{ahead}" if ahead <= 12 else f"Etc/GMT+{24 - ahead}"


def set_up(
    server: ServerProcess,
    database: Database,
    *,
    talkers: int,
    in_groups: int = 0,
    rounds: int = 0,
    first_round_s: float = 0.0,
    round_every_s: float = 1.0,
) -> Scene:
    """Fill the server and the database; the first `in_groups` talkers talk in a group of theirs."""
    now = datetime.now(UTC)
    scene = Scene()
    users = [{"first_name": f"P{n}", "id": TALKER + n, "started": True} for n in range(talkers)] + [
        {"first_name": f"D{n}", "id": ON_DUTY + n, "started": True} for n in range(rounds)
    ]
    groups = [
        {"title": f"Bench {n}", "id": GROUP - n, "creator": TALKER + n} for n in range(in_groups)
    ] + [{"title": f"Round {n}", "id": ROUND - n, "creator": ON_DUTY + n} for n in range(rounds)]
    server.ask("users", users=users)
    server.ask("groups", groups=groups)
    zone = morning_zone(now)
    with database.transaction() as session:
        for n in range(talkers):
            chat = GROUP - n if n < in_groups else TALKER + n
            _found(session, chat if n < in_groups else None, TALKER + n, f"P{n}", zone, now)
            scene.places.append(Place(user=TALKER + n, chat=chat))
        for n in range(rounds):
            at = now + timedelta(seconds=first_round_s + n * round_every_s)
            group, member = _found(session, ROUND - n, ON_DUTY + n, f"D{n}", zone, now)
            early = timedelta()
            if n % 2:
                scene.rounds[ON_DUTY + n] = at
                early = NUDGE_AFTER
                session.add_all([_duty(group, member), _said(group, zone, at - early)])
            else:
                scene.rounds[ROUND - n] = at
            group.round_at = (at - early).astimezone(ZoneInfo(zone)).time()
            group.next_look_at = at
    return scene


def _found(
    session: Session, chat: int | None, user: int, name: str, zone: str, now: datetime
) -> tuple[m.Group, m.Member]:
    """Found a group with one coordinator and a tray sown three days ago."""
    group = people.found_group(session, f"Bench {user}", now - timedelta(days=10))
    group.zone, group.quiet_from, group.quiet_to = zone, MIDNIGHT, MIDNIGHT
    person = people.person_of(
        session, "telegram", str(user), name=name, username=None, now=now - timedelta(days=10)
    )
    member = people.join(session, group.id, person, name, now, coordinator=True)
    people.chat_of(session, "telegram", str(user), private=True).person_id = person.id
    if chat is not None:
        people.chat_of(session, "telegram", str(chat), private=False).group_id = group.id
    tray = m.Tray(
        group_id=group.id,
        code="T1",
        rows=6,
        cols=12,
        cell_ml=None,
        shelf_id=None,
        retired_on=None,
    )
    sown_at = now - timedelta(days=3)
    act = m.Act(
        group_id=group.id,
        number=1,
        kind="sow",
        by_id=member.id,
        did_id=member.id,
        for_name=None,
        recorded_at=sown_at,
        summary={"crop": "tomato", "tray": "T1"},
        undone_at=None,
        undone_by_id=None,
    )
    session.add_all([tray, act])
    session.flush()
    session.add(
        m.Sowing(
            group_id=group.id,
            act_id=act.id,
            number=1,
            crop="tomato",
            variety=None,
            lot_id=None,
            tray_id=tray.id,
            cells="A1 A2 A3 A4",
            sown_on=sown_at.date(),
            seeds_per_cell=1,
            depth_mm=None,
            plan_item=None,
            speed_ratio=None,
            speed_seeds=None,
            closed_on=None,
        )
    )
    group.next_act = group.next_sowing = 2
    return group, member


def _duty(group: m.Group, member: m.Member) -> m.Duty:
    return m.Duty(
        group_id=group.id,
        member_id=member.id,
        weekdays="0123456",
        on_day=None,
        ended_at=None,
    )


def _said(group: m.Group, zone: str, at: datetime) -> m.Notice:
    return m.Notice(
        group_id=group.id,
        recipient=0,
        kind="round",
        subject="day",
        on_day=at.astimezone(ZoneInfo(zone)).date(),
        made_at=at,
        body={"keys": [], "kinds": []},
        answered_at=None,
        answered_by_id=None,
    )


class Talk:
    """Talkers report in turn, `per_s` reports a second in all, until `stop`."""

    def __init__(self, server: ServerProcess, scene: Scene, per_s: float) -> None:
        self._server, self._scene, self._per_s = server, scene, per_s
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._talk, daemon=True)
        self._thread.start()

    def _talk(self) -> None:
        turns = itertools.cycle(self._scene.places)
        began = clock.monotonic()
        for n in itertools.count():
            wait_s = began + n / self._per_s - clock.monotonic()
            if self._over.wait(max(0.0, wait_s)):
                return
            say(self._server, self._scene, [next(turns)])

    def stop(self) -> None:
        """End after the report in hand."""
        self._over.set()
        self._thread.join(70)


def say(server: ServerProcess, scene: Scene, places: list[Place]) -> None:
    """Let one report be posted at each place, all at once."""
    first = len(scene.posted) + 1
    messages = [
        {
            "user": place.user,
            "chat": place.chat,
            "text": f"/note{'' if place.private else BOT} k{n}",
        }
        for n, place in enumerate(places, first)
    ]
    at = clock.time()
    server.ask("say", messages=messages)
    scene.posted |= {f"k{n}": at for n in range(first, first + len(places))}


def wait(what: str, condition: Callable[[], bool], timeout_s: float, every_s: float = 0.1) -> None:
    """Return once the condition holds; raise TimeoutError."""
    deadline = clock.monotonic() + timeout_s
    while not condition():
        if clock.monotonic() > deadline:
            raise TimeoutError(f"{what}: not within {timeout_s:.0f} s")
        clock.sleep(every_s)
