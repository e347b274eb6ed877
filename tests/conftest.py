"""Options of the test run."""

import pytest
from hypothesis import settings

# A busy machine is no fault of the law under test, so examples have no deadline.
settings.register_profile("house", deadline=None)
settings.load_profile("house")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--bench", action="store_true", help="run the measurements too")
    parser.addoption(
        "--rewrite", action="store_true", help="write what is heard into the conversation scripts"
    )


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if config.getoption("--bench"):
        return
    skip = pytest.mark.skip(reason="a measurement; run with --bench")
    for item in items:
        if item.get_closest_marker("bench"):
            item.add_marker(skip)
