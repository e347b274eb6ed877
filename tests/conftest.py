"""Options of the test run, and the fixtures that choose an engine."""

import os
from collections.abc import Iterator

import pytest
from hypothesis import settings

from tests import databases
from tests.postgres import PostgresServer, find_programs, in_memory

# A busy machine is no fault of the law under test, so examples have no deadline.
settings.register_profile("house", deadline=None)
settings.load_profile("house")

NO_POSTGRES = "no PostgreSQL programs (initdb, postgres) on this machine"


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--bench", action="store_true", help="run the measurements too")
    parser.addoption(
        "--rewrite", action="store_true", help="write what is heard into the conversation scripts"
    )


def pytest_configure() -> None:
    """Let `tmp_path` lie in memory too: SQLite waits for the disk at each commit."""
    folder = in_memory()
    if folder is not None:
        os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", folder)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    no_postgres = find_programs() is None
    for item in items:
        if item.get_closest_marker("bench") and not config.getoption("--bench"):
            item.add_marker(pytest.mark.skip(reason="a measurement; run with --bench"))
        if no_postgres and item.get_closest_marker("postgres"):
            item.add_marker(pytest.mark.skip(reason=NO_POSTGRES))


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[PostgresServer]:
    """The one PostgreSQL server of this run; tests that ask for it are marked `postgres`."""
    if find_programs() is None:
        pytest.skip(NO_POSTGRES)
    server = PostgresServer()
    yield server
    server.stop()


@pytest.fixture(
    params=[
        databases.SQLITE,
        pytest.param(databases.POSTGRESQL, marks=pytest.mark.postgres),
    ]
)
def both_engines(request: pytest.FixtureRequest) -> Iterator[str]:
    """Run the test once on each engine; the engine's name."""
    databases.begin(request.param, lambda: request.getfixturevalue("postgres_server"))
    yield request.param
    databases.end()


@pytest.fixture
def postgres_if_any(request: pytest.FixtureRequest) -> Iterator[str]:
    """Run the test on PostgreSQL, where its programs are; else on SQLite. The engine's name.

    Scripts are written anew on SQLite, which begins at once.
    """
    plain = find_programs() is None or request.config.getoption("--rewrite")
    engine = databases.SQLITE if plain else databases.POSTGRESQL
    databases.begin(engine, lambda: request.getfixturevalue("postgres_server"))
    yield engine
    databases.end()


@pytest.fixture
def on_postgres(postgres_server: PostgresServer) -> Iterator[PostgresServer]:
    """Run the test on PostgreSQL only."""
    databases.begin(databases.POSTGRESQL, lambda: postgres_server)
    yield postgres_server
    databases.end()
