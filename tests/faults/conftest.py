"""A database for processes of their own, on either engine."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from core.records.database import Database
from tests.databases import new_database, new_url
from tests.postgres import PostgresServer


@pytest.fixture
def on_sqlite(tmp_path: Path) -> Iterator[tuple[str, Database]]:
    """The URL of a new SQLite file, and it open."""
    url = new_url(tmp_path)
    database = new_database(url)
    yield url, database
    database.close()


@pytest.fixture
def on_postgresql(on_postgres: PostgresServer) -> tuple[str, Database]:
    """The URL of a new PostgreSQL database, and it open."""
    url = new_url()
    return url, new_database(url)
