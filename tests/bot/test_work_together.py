"""Updates of several chats in one transaction: as one by one, and a fault hurts only its own."""

from __future__ import annotations

import threading
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select

from bot.incoming import Event, Incoming
from bot.talk import conversation, worker
from core.errors import NotMember
from core.records import models as m
from core.records import people
from core.records.database import Database
from tests.databases import new_database, new_url

NOW = datetime(2027, 3, 1, 9, 0, tzinfo=UTC)


def _group(database: Database, users: list[str]) -> None:
    """Make one group of some people, who talk in private."""
    with database.transaction() as session:
        group = people.found_group(session, "Bench", NOW)
        for user in users:
            person = people.person_of(
                session, "telegram", user, name=f"P{user}", username=None, now=NOW
            )
            people.join(session, group.id, person, f"P{user}", NOW)


def _say(database: Database, lines: list[tuple[str, str]]) -> list[int]:
    """Store what (user, text) say in private; return the ids."""
    updates = [
        Incoming(
            platform="telegram",
            key=f"{n}:{user}:{text}",
            chat=user,
            private=True,
            event=Event.TEXT,
            text=text,
            user=user,
            name=f"P{user}",
        )
        for n, (user, text) in enumerate(lines)
    ]
    worker.store(database, updates, NOW)
    return [row_id for row_id, _ in worker.waiting(database)]


def _texts(database: Database) -> list[str]:
    with database.transaction() as session:
        return [row["text"] for row in session.scalars(select(m.Outbox.body).order_by(m.Outbox.id))]


def _tasks(ids: list[int]) -> list[worker.Task]:
    return [worker.Task(row_id=row_id) for row_id in ids]


@pytest.mark.usefixtures("both_engines")
def test_all_are_handled_in_one_transaction(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(worker, "TOGETHER_S", 60.0)
    database = new_database(new_url(tmp_path))
    _group(database, ["1", "2", "3"])
    ids = _say(database, [("1", "/note one"), ("2", "/note two"), ("3", "/note three")])
    opened = []
    begin = database.transaction
    monkeypatch.setattr(database, "transaction", lambda: opened.append(1) or begin())
    assert worker.work_together(database, _tasks(ids), NOW) == ([True, True, True], False)
    assert len(opened) == 1
    assert _texts(database) == ["Noted: one", "Noted: two", "Noted: three"]


@pytest.mark.usefixtures("both_engines")
def test_when_the_time_is_up_the_rest_is_left(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(worker, "TOGETHER_S", -1.0)
    database = new_database(new_url(tmp_path))
    _group(database, ["1", "2"])
    ids = _say(database, [("1", "/note one"), ("2", "/note two")])
    assert worker.work_together(database, _tasks(ids), NOW) == ([True], False)
    assert [row_id for row_id, _ in worker.waiting(database)] == ids[1:]


@pytest.mark.usefixtures("both_engines")
def test_only_the_one_at_fault_is_parked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(worker, "TOGETHER_S", 60.0)
    database = new_database(new_url(tmp_path))
    _group(database, ["1", "2", "3"])
    ids = _say(database, [("1", "/note one"), ("2", "/note two"), ("3", "/note three")])
    respond = worker.respond

    def fail(session: Any, incoming: Incoming, *rest: Any, **more: Any) -> Any:
        found = respond(session, incoming, *rest, **more)
        if incoming.chat == "2":
            raise ZeroDivisionError
        return found

    monkeypatch.setattr(worker, "respond", fail)
    tasks = _tasks(ids)
    while tasks:
        tasks = tasks[len(worker.work_together(database, tasks, NOW)[0]) :]
    with database.transaction() as session:
        states = session.scalars(select(m.Inbox.state).order_by(m.Inbox.id)).all()
        notes = session.scalars(select(m.Report.values).order_by(m.Report.id)).all()
    assert states == ["done", "parked", "done"]
    assert [values["text"] for values in notes] == ["one", "three"]
    assert len(_texts(database)) == 3  # two answers and an excuse


@pytest.mark.usefixtures("both_engines")
@pytest.mark.parametrize("when", ["before it wrote", "after", "with something not yet written"])
def test_what_a_mistake_wrote_is_undone_and_no_more(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, when: str
) -> None:
    monkeypatch.setattr(worker, "TOGETHER_S", 60.0)
    database = new_database(new_url(tmp_path))
    _group(database, ["1", "2", "3"])
    ids = _say(database, [("1", "/note one"), ("2", "/note two"), ("3", "/note three")])
    answer = conversation.answer

    def mistaken(request: Any, scene: Any, session: Any) -> Any:
        if request.text != "two":
            return answer(request, scene, session)
        if when == "after":
            answer(request, scene, session)
        if when == "with something not yet written":
            session.get_one(m.Group, scene.group_id).name = "Elsewhere"
        raise NotMember

    monkeypatch.setattr(conversation, "answer", mistaken)
    opened = []
    begin = database.transaction
    monkeypatch.setattr(database, "transaction", lambda: opened.append(1) or begin())
    tasks = _tasks(ids)
    while tasks:
        tasks = tasks[len(worker.work_together(database, tasks, NOW)[0]) :]
    if when == "before it wrote":
        assert len(opened) == 1  # nothing to undo
    with begin() as session:
        states = session.scalars(select(m.Inbox.state).order_by(m.Inbox.id)).all()
        notes = session.scalars(select(m.Report.values).order_by(m.Report.id)).all()
        names = session.scalars(select(m.Group.name)).all()
    assert states == ["done"] * 3
    assert [values["text"] for values in notes] == ["one", "three"]
    assert names == ["Bench"]
    assert len(_texts(database)) == 3


@pytest.mark.usefixtures("on_postgres")
@pytest.mark.postgres
def test_two_processes_give_no_two_acts_of_a_group_one_number(tmp_path: Path) -> None:
    database = new_database(new_url(tmp_path))
    users = ["1", "2", "3", "4"]
    _group(database, users)
    ids = _say(database, [(user, f"/note {n}") for n in range(8) for user in users])
    with database.transaction() as session:
        chat_of = dict(session.execute(select(m.Inbox.id, m.Inbox.chat)).all())

    def work(user: str) -> None:
        for row_id in ids:
            if chat_of[row_id] == user:
                assert worker.work(database, worker.Task(row_id=row_id), NOW + timedelta(seconds=1))

    threads = [threading.Thread(target=work, args=(user,)) for user in users]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    with database.transaction() as session:
        assert set(session.scalars(select(m.Inbox.state))) == {"done"}
        numbers = session.scalars(select(m.Act.number).order_by(m.Act.number)).all()
    assert numbers == list(range(1, 33))
