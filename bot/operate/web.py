"""A small web server beside the rest, on the same event loop: for the webhook and for health."""

from __future__ import annotations

import asyncio
import socket
from collections.abc import Sequence
from typing import Any

from tornado.httpserver import HTTPServer
from tornado.web import Application, RequestHandler

from bot.operate.settings import Address

LONGEST_BODY = 1_000_000  # bytes; an update is a few thousand
CLOSE_S = 1.0

Route = tuple[str, type[RequestHandler], dict[str, Any]]


class Plain(RequestHandler):
    """Answers in plain text, tells nothing of itself, and is never kept by anyone on the way."""

    def set_default_headers(self) -> None:
        self.set_header("Content-Type", "text/plain; charset=utf-8")
        self.set_header("Cache-Control", "no-store")
        self.set_header("Server", "traywarden")

    def write_error(self, status_code: int, **kwargs: Any) -> None:
        self.finish(f"{status_code}\n")


class CannotListen(OSError):
    """An address that is taken, or none of this machine's; its text says so in one line."""


class WebServer:
    """Listens between `start` and `stop`. Port 0 takes any free one, told by `port`."""

    def __init__(self, listen: Address, routes: Sequence[Route]) -> None:
        self._listen = listen
        self._application = Application(
            list(routes), log_function=_log_nothing, default_handler_class=_Nowhere
        )
        self._server: HTTPServer | None = None
        self.port = listen.port

    def start(self) -> None:
        """Raise CannotListen where the address cannot be listened on."""
        family = socket.AF_INET6 if ":" in self._listen.host else socket.AF_INET
        try:
            bound = socket.create_server((self._listen.host, self._listen.port), family=family)
        except OSError as error:
            where = f"{self._listen.host}:{self._listen.port}"
            raise CannotListen(f"cannot listen on {where}: {error.strerror}") from error
        bound.setblocking(False)
        self.port = bound.getsockname()[1]
        self._server = HTTPServer(self._application, max_body_size=LONGEST_BODY)
        self._server.add_sockets([bound])

    async def stop(self) -> None:
        """Take no more requests; those in hand have a second to end."""
        if self._server is None:
            return
        self._server.stop()
        try:
            async with asyncio.timeout(CLOSE_S):
                await self._server.close_all_connections()
        except TimeoutError:
            pass


class _Nowhere(Plain):
    def prepare(self) -> None:
        self.send_error(404)


def _log_nothing(handler: RequestHandler) -> None:
    """Addresses of requests may hold what must not be logged."""
