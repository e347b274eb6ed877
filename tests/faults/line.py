"""A line between the bot and the platform that can be cut, in each of the ways lines are."""

from __future__ import annotations

import asyncio
import contextlib
import socket
import struct
import threading
from types import TracebackType
from typing import Self

OPEN, REFUSED, RESET, SILENT = "open", "refused", "reset", "silent"
CUTS = (REFUSED, RESET, SILENT)


class Line:
    """Forwards a port on loopback to another; a context manager.

    `refused`: nobody listens. `reset`: every connection is cut at once. `silent`: connections
    are taken and nothing passes, either way. Each cut ends what was under way in its own manner.
    """

    def __init__(self, url: str) -> None:
        self._to = int(url.rpartition(":")[2])
        self._loop = asyncio.new_event_loop()
        self._thread = threading.Thread(target=self._loop.run_forever, daemon=True)
        self._writers: set[asyncio.StreamWriter] = set()
        self._passing: asyncio.Event | None = None
        self._mode, self._port = OPEN, 0
        self._server: asyncio.Server | None = None

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self._port}"

    def put(self, mode: str) -> None:
        """Open or cut the line."""
        asyncio.run_coroutine_threadsafe(self._put(mode), self._loop).result(10)

    async def _put(self, mode: str) -> None:
        assert self._passing is not None
        self._mode = mode
        if mode == SILENT:
            self._passing.clear()
        else:
            self._passing.set()
        if mode in (REFUSED, RESET):
            for writer in [*self._writers]:
                _reset(writer)
        if mode == REFUSED and self._server is not None:
            self._server.close()
            self._server = None
        elif mode != REFUSED and self._server is None:
            self._server = await asyncio.start_server(self._serve, "127.0.0.1", self._port)

    async def _serve(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        if self._mode == RESET:
            _reset(writer)
            return
        self._writers.add(writer)
        try:
            theirs, out = await asyncio.open_connection("127.0.0.1", self._to)
            self._writers.add(out)
            await asyncio.gather(self._pass(reader, out), self._pass(theirs, writer))
        except OSError:
            _reset(writer)
        finally:
            self._writers.discard(writer)

    async def _pass(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        assert self._passing is not None
        with contextlib.suppress(OSError):
            while chunk := await reader.read(2**16):
                await self._passing.wait()
                writer.write(chunk)
                await writer.drain()
        self._writers.discard(writer)
        writer.close()

    def __enter__(self) -> Self:
        self._thread.start()

        async def begin() -> None:
            self._passing = asyncio.Event()
            self._passing.set()
            self._server = await asyncio.start_server(self._serve, "127.0.0.1", 0)
            self._port = self._server.sockets[0].getsockname()[1]

        asyncio.run_coroutine_threadsafe(begin(), self._loop).result(10)
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        async def end() -> None:
            await self._put(REFUSED)
            others = asyncio.all_tasks() - {asyncio.current_task()}
            for task in others:
                task.cancel()
            await asyncio.gather(*others, return_exceptions=True)

        asyncio.run_coroutine_threadsafe(end(), self._loop).result(10)
        self._loop.call_soon_threadsafe(self._loop.stop)
        self._thread.join(10)
        self._loop.close()


def _reset(writer: asyncio.StreamWriter) -> None:
    """Cut a connection by RST, not by a farewell."""
    raw = writer.get_extra_info("socket")
    with contextlib.suppress(OSError):
        raw.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
    writer.transport.abort()
