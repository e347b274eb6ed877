"""Take updates from the inbox one by one: in order within a chat, each in one transaction."""

from __future__ import annotations

import itertools
import logging
import time
import uuid
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.exc import SQLAlchemyError
from sqlalchemy.orm import Session

from bot.incoming import Event, Incoming
from bot.operate.fault import place
from bot.talk.conversation import find_caller, respond, voice_for
from core.records import inbox, outbox
from core.records import models as m
from core.records.database import Database, away
from core.records.undoing import whole

log = logging.getLogger(__name__)

ATTEMPTS = 3
TOGETHER_S = 0.04  # so long the database may be kept from what is more urgent


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """A stored update to handle; see `work`."""

    row_id: int
    file_text: str | None = None
    admin: bool = False


def store(database: Database, updates: list[Incoming], now: datetime) -> int:
    """Put updates on disk; return how many were new. Nothing is confirmed before this returns."""
    with database.transaction() as session:
        rows = [(u.platform, u.key, u.chat, u.body()) for u in updates]
        return len(inbox.store(session, rows, now))


def work(
    database: Database,
    row_id: int,
    now: datetime,
    *,
    bot_name: str = "",
    file_text: str | None = None,
    admin: bool = False,
) -> bool:
    """Handle one stored update; False when it was handled before or it is not its turn.

    `admin`: the messenger says that the sender runs the chat.

    This is the one place that catches everything: an update that cannot be handled is parked
    with its error, the member is told an id to quote, and the next update goes on. A database
    that is away or in conflict is no fault of the update: SQLAlchemyError is raised after a
    few attempts, and the update waits.
    """
    for attempt in itertools.count(1):
        try:
            return _work(database, row_id, now, bot_name, file_text, admin)
        except SQLAlchemyError as error:
            if attempt == ATTEMPTS or not away(error):
                raise
    raise AssertionError("the loop ends by itself")


def _work(
    database: Database,
    row_id: int,
    now: datetime,
    bot_name: str,
    file_text: str | None,
    admin: bool,
) -> bool:
    try:
        with database.transaction() as session:
            return _handle(session, row_id, now, bot_name, file_text, admin)
    except Exception as error:
        if away(error):
            raise
        park(database, row_id, error, now)
        return True


def _handle(
    session: Session, row_id: int, now: datetime, bot_name: str, file_text: str | None, admin: bool
) -> bool:
    row = inbox.turn(session, row_id)
    if row is None:
        return False
    incoming = Incoming.of(row.body)
    if incoming.event is not Event.MOVED:  # a chat that moved took its updates with it
        incoming = replace(incoming, chat=row.chat, admin=admin or incoming.admin)
    respond(session, incoming, now, inbox_id=row.id, bot_name=bot_name, file_text=file_text)
    inbox.settle(session, row.id, {"event": incoming.event.value}, now)  # no words are kept
    return True


def work_together(
    database: Database,
    tasks: Sequence[Task],
    now: datetime,
    *,
    bot_name: str = "",
    along: Callable[[Session], None] | None = None,
) -> tuple[list[bool], bool]:
    """Handle updates of different chats in one transaction, for one writing through to the disk.

    As many as TOGETHER_S allows, the first at least; returns what `work` returns for each of
    those. When anything goes wrong all of it is undone, and they are handled one by one: only
    the one at fault is parked.

    `along` is done at the end of the transaction; also returns whether that is on disk.
    """
    began = time.monotonic()
    results: list[bool] = []
    try:
        with database.transaction() as session:
            whole(session)
            for task in tasks:
                results.append(
                    _handle(session, task.row_id, now, bot_name, task.file_text, task.admin)
                )
                session.flush()
                session.expunge_all()  # each begins with nothing in memory
                if time.monotonic() - began > TOGETHER_S:
                    break
            if along is not None:
                along(session)
        return results, along is not None
    except Exception as error:  # noqa: BLE001 - the one at fault meets it again by itself
        log.info("handled one by one after all: %s", type(error).__name__)
    one_by_one = [
        work(
            database,
            task.row_id,
            now,
            bot_name=bot_name,
            file_text=task.file_text,
            admin=task.admin,
        )
        for task in tasks[: len(results) + 1]
    ]
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
                incoming = Incoming.of(row.body)
                if incoming.event not in (Event.TEXT, Event.PRESS, Event.FILE):
                    return
                caller = find_caller(session, incoming, now)
                voice = voice_for(
                    session, caller.group, caller.person, now, private=incoming.private
                )
                text = voice.say(
                    "Something went wrong here, not with you. It is kept under {ticket}; "
                    "nothing was recorded.",
                    ticket=ticket,
                )
                outbox.put(session, f"parked:{row_id}", caller.chat.id, {"text": text}, now)
        except Exception as unsaid:  # noqa: BLE001 - the update is set aside all the same
            log.error("no excuse could be sent for %s: %s", ticket, place(unsaid))


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
