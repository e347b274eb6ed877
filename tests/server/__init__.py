"""A local Bot API server for tests."""

from tests.server.server import BotApiServer

__all__ = ["BotApiServer"]
