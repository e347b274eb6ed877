"""Every handler test runs on both engines."""

import pytest


@pytest.fixture(autouse=True)
def _both_engines(both_engines: str) -> None:
    """Whatever a test opens is of the engine at hand."""
