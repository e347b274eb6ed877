"""Take updates from the inbox one by one: in order within a chat, each in one transaction."""

from __future__ import annotations

import itertools
import logging
import time
import uuid
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.exc import IntegrityError, SQLAlchemyError
from sqlalchemy.orm import Session

from bot.incoming import Event, Incoming
from bot.operate.fault import place
from bot.talk.caller import find_caller, voice_for
from bot.talk.conversation import respond
from bot.talk.document import File, FileWanted
from bot.wording.voice import Voice
from core.apart import Errand, Worked
from core.handlers.rights import RightsWanted
from core.records import inbox, outbox
from core.records import models as m
from core.records.database import Database, away, open_engine
from core.records.undoing import whole
from core.scene import Standing

log = logging.getLogger(__name__)

ATTEMPTS = 3
TOGETHER_S = 0.04  # of the processor: so long the database is kept from what is more urgent


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """A stored update to handle; see `work`.

    Attributes:
        standing: what the messenger says of the speaker's rights.
        file: the document's bytes, once fetched.
        worked: what was worked out for it, by errand; None = nothing is worked out apart.
    """

    row_id: int
    standing: Standing = Standing.RECORDED
    file: File | None = None
    worked: Mapping[str, Worked] | None = None


Handled = bool | FileWanted | RightsWanted | Errand
"""Whether an update was handled, or what is to be had for it first."""


def store(database: Database, updates: list[Incoming], now: datetime) -> int:
    """Put updates on disk; return how many were new. Nothing is confirmed before this returns."""
    with database.transaction() as session:
        rows = [(u.platform, u.key, u.chat, u.body()) for u in updates]
        return len(inbox.store(session, rows, now))


def work(database: Database, task: Task, now: datetime, *, bot_name: str = "") -> Handled:
    """Handle one stored update; False when it was handled before or it is not its turn.

    This is the one place that catches everything: an update that cannot be handled is parked
    with its error, the member is told an id to quote, and the next update goes on. A database
    that is away or in conflict is no fault of the update: SQLAlchemyError is raised after a
    few attempts, and the update waits.
    """
    for attempt in itertools.count(1):
        try:
            return _work(database, task, now, bot_name, last=attempt == ATTEMPTS)
        except SQLAlchemyError as error:
            if attempt == ATTEMPTS or not (away(error) or isinstance(error, IntegrityError)):
                raise
    raise AssertionError("the loop ends by itself")


def _work(database: Database, task: Task, now: datetime, bot_name: str, *, last: bool) -> Handled:
    try:
        with database.transaction() as session:
            return _handle(session, task, now, bot_name)
    except (FileWanted, RightsWanted, Errand) as wanted:
        return wanted
    except Exception as error:
        if away(error) or (isinstance(error, IntegrityError) and not last):
            raise  # another process may have written the same row at the same moment
        park(database, task.row_id, error, now)
        return True


def _handle(session: Session, task: Task, now: datetime, bot_name: str) -> bool:
    row = inbox.turn(session, task.row_id)
    if row is None:
        return False
    incoming = Incoming.of(row.body)
    if incoming.event is not Event.MOVED:  # a chat that moved took its updates with it
        incoming = replace(incoming, chat=row.chat)
    respond(
        session,
        incoming,
        now,
        inbox_id=row.id,
        bot_name=bot_name,
        file=task.file,
        worked=task.worked,
        standing=task.standing,
    )
    left = {"event": incoming.event.value, "message": incoming.message}  # no words are kept
    inbox.settle(session, row.id, left, now)
    return True


def work_together(
    database: Database,
    tasks: Sequence[Task],
    now: datetime,
    *,
    bot_name: str = "",
    along: Callable[[Session], None] | None = None,
    took: list[float] | None = None,
) -> tuple[list[Handled], bool]:
    """Handle updates of different chats in one transaction, for one writing through to the disk.

    As many as TOGETHER_S allows, the first at least; returns what `work` returns for each of
    those. When anything goes wrong all of it is undone, and they are handled one by one: only
    the one at fault is parked.

    `along` is done at the end of the transaction; also returns whether that is on disk. The
    seconds of the processor each took are added to `took`.
    """
    took = [] if took is None else took
    results: list[Handled] = []
    try:
        with database.transaction() as session:
            whole(session)
            for task in tasks:
                at = time.thread_time()
                results.append(_handle(session, task, now, bot_name))
                session.flush()
                session.expunge_all()  # each begins with nothing in memory
                took.append(time.thread_time() - at)
                if sum(took) > TOGETHER_S:
                    break
            if along is not None:
                along(session)
        return results, along is not None
    except Exception as error:  # noqa: BLE001 - the one at fault meets it again by itself
        log.info("handled one by one after all: %s", type(error).__name__)
    del took[:]
    one_by_one: list[Handled] = []
    for task in tasks[: len(results) + 1]:
        at = time.thread_time()
        one_by_one.append(work(database, task, now, bot_name=bot_name))
        took.append(time.thread_time() - at)
    return one_by_one, False


def park(database: Database, row_id: int, fault: Exception | str, now: datetime) -> None:
    """Set an update aside that cannot be handled, and tell its chat an id to quote, once."""
    ticket = uuid.uuid4().hex[:8]
    error = fault if isinstance(fault, str) else place(fault)
    log.error("an update is parked as %s: %s", ticket, error)
    with database.transaction() as session:
        row = session.get(m.Inbox, row_id)
        if row is None:
            return
        row.tries += 1
        inbox.park(session, row, f"{ticket}: {error}", now)
        try:
            with session.begin_nested():
                _say(
                    session,
                    row,
                    now,
                    f"parked:{row_id}",
                    lambda voice: voice.say(
                        "Something went wrong here, not with you. It is kept under {ticket}; "
                        "nothing was recorded.",
                        ticket=ticket,
                    ),
                )
        except Exception as unsaid:  # noqa: BLE001 - the update is set aside all the same
            log.error("no excuse could be sent for %s: %s", ticket, place(unsaid))


def tell_waiting(database: Database, row_id: int, now: datetime) -> None:
    """Tell the chat of an update that it waits its turn."""
    with database.transaction() as session:
        row = session.get(m.Inbox, row_id)
        if row is not None:
            _say(
                session,
                row,
                now,
                f"waits:{row_id}",
                lambda voice: voice.say(
                    "That is more at once than I can read. Nothing is lost: I take it up bit "
                    "by bit."
                ),
            )


def leave_unread(database: Database, row_id: int, now: datetime, *, tell: bool) -> bool:
    """Settle an update of somebody who has had their share; False when it is not its turn.

    `tell`: say so in the chat.
    """
    with database.transaction() as session:
        row = inbox.turn(session, row_id)
        if row is None:
            return False
        incoming = Incoming.of(row.body)
        if tell:
            _say(
                session,
                session.get_one(m.Inbox, row_id),
                now,
                f"unread:{row_id}",
                lambda voice: voice.say(
                    "{name}, that is more than I can read from one person. Some of your messages "
                    "stay unread: in a few minutes send again what still matters.",
                    name=incoming.name,
                ),
            )
        left = {"event": incoming.event.value, "message": incoming.message}
        inbox.settle(session, row_id, left, now)
    return True


def leave_most(database: Database, row_id: int, keep: int, now: datetime) -> None:
    """Settle, unread, what waits of an update's chat beyond the oldest `keep`; tell it so."""
    with database.transaction() as session:
        row = session.get(m.Inbox, row_id)
        if row is None:
            return
        left = {"event": Event.OTHER.value, "message": None}
        count = inbox.leave_unread(session, row.platform, row.chat, keep, left, now)
        if count:
            log.warning("%s updates of one chat stay unread", count)
            _say(
                session,
                row,
                now,
                f"most:{row_id}",
                lambda voice: voice.say_n(
                    "One message that came after too many others stays unread.",
                    "{n} messages that came after too many others stay unread.",
                    count,
                ),
            )


def _say(
    session: Session, row: m.Inbox, now: datetime, key: str, words: Callable[[Voice], str]
) -> None:
    """Say something to the chat of an update, where somebody waits for an answer."""
    incoming = Incoming.of(row.body)
    if incoming.event not in (Event.TEXT, Event.PRESS, Event.FILE):
        return
    caller = find_caller(session, incoming, now)
    voice = voice_for(session, caller.group, caller.person, now, private=incoming.private)
    outbox.put(session, key, caller.chat.id, {"text": words(voice)}, now)


def work_by_itself(
    url: str, row_ids: list[int], now: datetime, bot_name: str
) -> Iterator[tuple[int, bool]]:
    """Handle updates one after the other; yield each when it is done, and (0, True) before them.

    To be run in a process of its own: some of them may have ended a process before. False: it
    was not handled, and is to be begun as usual.
    """
    database = Database(open_engine(url, pool_size=1))
    yield 0, True  # it has begun
    for row_id in row_ids:
        try:
            task = Task(row_id=row_id, standing=Standing.OLD, worked={})
            done = work(database, task, now, bot_name=bot_name)
        except SQLAlchemyError:
            done = False
        yield row_id, done is True


def waiting(database: Database, limit: int = 200) -> list[tuple[int, str]]:
    """Return the stored updates not handled yet, oldest first: (row id, chat)."""
    with database.transaction() as session:
        rows = session.execute(
            select(m.Inbox.id, m.Inbox.chat)
            .where(m.Inbox.state == "new")
            .order_by(m.Inbox.id)
            .limit(limit)
        )
        return [(row.id, row.chat) for row in rows]
