"""Count what became of everything: from the server's transcript, and from the database."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from itertools import pairwise
from typing import Any

from sqlalchemy import and_, func, or_, select

from core.records import models as m
from core.records.database import Database
from tests.faults.processes import Json, ServerProcess
from tests.faults.scene import MARKER, Scene, wait

STILL_S = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """What a run came to.

    Attributes:
        reports, notices: how many there were to be.
        lost: reports that are not in the database; doubled: those there more than once.
        unanswered: reports whose answer never reached the chat.
        notices_lost: chats whose notice never came; notices_doubled: whose notice was made twice.
        repeats: messages that reached a chat once more, in all.
        after_kill: number of a kill → repeats it is the cause of (see `repeats_by_kill`).
        parked: messages and updates set aside.
        too_fast: messages the server refused for the bot's own pace, by limit.
        impatient: messages that came before a `retry_after` had run out.
        stray: messages of the bot nobody expected.
        disordered: answers that came before that of an earlier report in the same chat.
    """

    reports: int
    notices: int
    lost: list[str] = field(default_factory=list)
    doubled: list[str] = field(default_factory=list)
    unanswered: list[str] = field(default_factory=list)
    notices_lost: list[int] = field(default_factory=list)
    notices_doubled: int = 0
    repeats: int = 0
    after_kill: dict[int, int] = field(default_factory=dict)
    parked: int = 0
    too_fast: dict[str, int] = field(default_factory=dict)
    impatient: int = 0
    stray: list[str] = field(default_factory=list)
    disordered: list[str] = field(default_factory=list)

    @property
    def line(self) -> str:
        """The figures on one line."""
        most = max(self.after_kill.values(), default=0)
        return (
            f"{self.reports} reports: {len(self.lost)} lost, {len(self.doubled)} recorded twice, "
            f"{len(self.unanswered)} never answered; {self.notices} notices: "
            f"{len(self.notices_lost)} lost, {self.notices_doubled} made twice; "
            f"{self.repeats} messages said again, at most {most} after one kill; "
            f"{self.parked} parked; 429 for our own pace: {self.too_fast}"
        )


def tally(
    server: ServerProcess, database: Database, scene: Scene, kills: Iterable[float] = ()
) -> Tally:
    """Count, once all is settled; `kills` are their Unix times in order."""
    said = server.said()
    stats = server.ask("stats")
    by_bot = [entry for entry in said if entry["sender"] == "bot"]
    recorded = _recorded(database)
    answers: defaultdict[str, list[Json]] = defaultdict(list)
    notices: defaultdict[int, list[Json]] = defaultdict(list)
    stray = []
    for entry in by_bot:
        found = MARKER.findall(entry["text"])
        if entry["chat_id"] in scene.rounds:
            notices[entry["chat_id"]].append(entry)
        elif found and all(marker in scene.posted for marker in found):
            for marker in found:  # answers that waited go as one message
                answers[marker].append(entry)
        else:
            stray.append(entry["text"])
    again = _said_again(by_bot) + [times for times in notices.values() if len(times) > 1]
    due = {chat for chat, at in scene.rounds.items() if at <= scene.settled_at}
    with database.transaction() as session:
        parked = (session.scalar(select(func.count()).where(m.Outbox.state == "parked")) or 0) + (
            session.scalar(select(func.count()).where(m.Inbox.state == "parked")) or 0
        )
        made = session.scalars(
            select(func.count())
            .select_from(m.Notice)
            .join(m.Outbox, m.Outbox.notice_id == m.Notice.id)
            .group_by(m.Notice.group_id)
        ).all()
    return Tally(
        reports=len(scene.posted),
        notices=len(due),
        lost=[marker for marker in scene.posted if not recorded[marker]],
        doubled=[marker for marker in scene.posted if recorded[marker] > 1],
        unanswered=[marker for marker in scene.posted if not answers[marker]],
        notices_lost=[chat for chat in due if not notices[chat]],
        notices_doubled=sum(count - 1 for count in made),
        repeats=sum(len(times) - 1 for times in again),
        after_kill=repeats_by_kill(again, list(kills)),
        parked=parked,
        too_fast=stats["refused"],
        impatient=stats["early"],
        stray=stray,
        disordered=_disordered(by_bot),
    )


def _said_again(by_bot: list[Json]) -> list[list[Json]]:
    """Return (before, again) of each message that repeats an answer its chat had."""
    first: dict[tuple[int, str], Json] = {}
    again = []
    for entry in by_bot:
        markers = [(entry["chat_id"], marker) for marker in MARKER.findall(entry["text"])]
        before = [first[marker] for marker in markers if marker in first]
        if before:
            again.append([before[-1], entry])
        for marker in markers:
            first[marker] = entry
    return again


def _disordered(by_bot: list[Json]) -> list[str]:
    """Return the answers that came to their chat before that of an earlier report."""
    newest: dict[int, int] = {}
    seen: set[str] = set()
    found = []
    for entry in by_bot:
        for marker in MARKER.findall(entry["text"]):
            number = int(marker[1:])
            if marker not in seen and number < newest.get(entry["chat_id"], 0):
                found.append(marker)
            seen.add(marker)
            newest[entry["chat_id"]] = max(number, newest.get(entry["chat_id"], 0))
    return found


def _recorded(database: Database) -> Counter[str]:
    """Return how many reports of the database bear each marker."""
    found: Counter[str] = Counter()
    with database.transaction() as session:
        for values in session.scalars(select(m.Report.values).where(m.Report.kind == "note")):
            found[str(values["text"])] += 1
    return found


def repeats_by_kill(again: Iterable[list[Json]], kills: list[float]) -> dict[int, int]:
    """Return number of a kill → messages said again because of it.

    A message is said again because whoever sent it was killed before it could settle that: each
    repeat belongs to the kill nearest to the time it was said before. What was on its way at a
    kill reaches the chat a little after it, within STILL_S. A repeat without such a kill is
    counted under -1.
    """
    found: Counter[int] = Counter()
    for times in again:
        for before, after in pairwise(times):
            near = [
                (abs(at - before["at"]), n)
                for n, at in enumerate(kills)
                if before["at"] - STILL_S <= at <= after["at"]
            ]
            found[min(near)[1] if near else -1] += 1
    return dict(found)


def settled(database: Database, scene: Scene) -> bool:
    """Whether nothing waits: every update handled, every message due sent, every look made.

    When so, the scene keeps the instant: what falls due after it is not counted.
    """
    now = datetime.now(UTC)
    if any(waiting(database, scene, now).values()):
        return False
    scene.settled_at = now
    return True


def waiting(database: Database, scene: Scene, now: datetime) -> dict[str, int]:
    """Return how many of each kind wait for the bot.

    What flows from one count into the next is counted in that order. Messages are counted by the
    time at which that is done: the answer to a report handled since `now` is due after it, and
    the database may have been busy for a while before it could be asked.
    """
    with database.transaction() as session:

        def count(*where: Any) -> int:
            return session.scalar(select(func.count()).where(*where)) or 0

        stored = session.scalar(select(func.count()).select_from(m.Inbox)) or 0
        return {
            "not stored": max(0, len(scene.posted) - stored),
            "not handled": count(m.Inbox.state == "new"),
            "not looked at": count(m.Group.next_look_at <= now),
            "not sent": count(
                or_(
                    m.Outbox.state == "sending",
                    and_(m.Outbox.state == "due", m.Outbox.due_at <= datetime.now(UTC)),
                )
            ),
        }


def settle(database: Database, scene: Scene, timeout_s: float) -> None:
    """Wait until all is settled; raise TimeoutError that tells what waits."""
    try:
        wait("settled", lambda: settled(database, scene), timeout_s, 0.25)
    except TimeoutError as error:
        raise TimeoutError(f"{error}: {waiting(database, scene, datetime.now(UTC))}") from None
