"""Both engines keep what is given to them, as it was given."""

from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from sqlalchemy import select, text

from core.records import marks, people
from core.records import models as m
from tests.databases import new_database, new_url

NOW = datetime(2027, 3, 14, 8, 30, 15, 123456, tzinfo=UTC)

pytestmark = pytest.mark.usefixtures("both_engines")


def test_the_engine_is_the_one_asked_for(both_engines: str, tmp_path: Path) -> None:
    assert new_database().engine.dialect.name == both_engines
    assert new_database(new_url(tmp_path)).engine.dialect.name == both_engines


def test_a_new_database_is_empty_and_apart_from_others() -> None:
    first, second = new_database(), new_database()
    with first.transaction() as session:
        people.found_group(session, "Bench", NOW)
    for database, count in ((first, 1), (second, 0)):
        with database.transaction() as session:
            assert len(session.scalars(select(m.Group)).all()) == count


def test_an_instant_comes_back_aware_in_utc_to_the_microsecond() -> None:
    database = new_database()
    elsewhere = NOW.astimezone(timezone(timedelta(hours=-6)))
    with database.transaction() as session:
        marks.put(session, "heard", "x", elsewhere)
    with database.transaction() as session:
        found = session.get_one(m.Mark, "heard").at
    assert (found, found.utcoffset()) == (NOW, timedelta(0))


def test_a_naive_instant_is_refused() -> None:
    database = new_database()
    with pytest.raises(Exception, match="naive"), database.transaction() as session:
        marks.put(session, "heard", "x", NOW.replace(tzinfo=None))


def test_a_failed_transaction_leaves_nothing() -> None:
    database = new_database()

    def fail_half_way() -> None:
        with database.transaction() as session:
            people.found_group(session, "Bench", NOW)
            raise LookupError

    with pytest.raises(LookupError):
        fail_half_way()
    with database.transaction() as session:
        assert session.scalar(text("SELECT count(*) FROM groups")) == 0


def test_several_may_remember_the_same_for_the_first_time_at_once(tmp_path: Path) -> None:
    database = new_database(new_url(tmp_path))
    together = threading.Barrier(4)

    def put(number: int) -> None:
        together.wait()
        with database.transaction() as session:
            marks.put(session, "heard", str(number), NOW)

    with ThreadPoolExecutor(4) as threads:
        list(threads.map(put, range(4)))  # raises what one of them raised
    with database.transaction() as session:
        found = session.scalars(select(m.Mark)).all()
        assert [mark.name for mark in found] == ["heard"]
        assert found[0].value in {"0", "1", "2", "3"}
