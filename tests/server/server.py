"""The HTTP side: one asyncio server on loopback that answers as the Bot API does."""

from __future__ import annotations

import asyncio
import json
import socket
import struct
import time
from collections import Counter
from collections.abc import Callable
from typing import Any, TypeVar
from urllib.parse import parse_qsl

from aiohttp import BodyPartReader, web

from tests.server import control
from tests.server.chats import Json, World
from tests.server.contract import ApiError, Upload, check
from tests.server.faults import PAGES, Fault, Faults
from tests.server.methods import Methods
from tests.server.pace import Pace, too_many
from tests.server.places import Places
from tests.server.transcript import Call, Entry
from tests.server.updates import UpdateQueue

Answer = TypeVar("Answer")
_JSON = {"Content-Type": "application/json"}
_PAGE = "<html><body>\n<h1>Not now</h1>\n</body></html>"
_RESET = struct.pack("ii", 1, 0)


class BotApiServer(Places):
    """A Bot API server for one bot, in this process; see the package docstring for its use.

    Attributes:
        world, updates, pace, faults, methods: the parts, open to tests.
        calls: every request, in order; counts: the same by (method, status).
    """

    def __init__(
        self,
        token: str = "1234567:local-test-token",
        *,
        username: str = "traywarden_test_bot",
        first_name: str = "Test bot",
        privacy: bool = True,
        privacy_mentions: bool = False,
        paced: bool = False,
        port: int = 0,
        first_update_id: int = 100_001,
        clock: Callable[[], float] = time.time,
        monotonic: Callable[[], float] = time.monotonic,
    ) -> None:
        """Prepare; `clock` gives message dates (Unix s), `monotonic` drives the pace (s)."""
        self.token = token
        self.port = port
        bot: Json = {
            "id": int(token.partition(":")[0]),
            "is_bot": True,
            "first_name": first_name,
            "username": username,
            "can_join_groups": True,
            "can_read_all_group_messages": not privacy,
            "supports_inline_queries": False,
            "can_connect_to_business": False,
            "has_main_web_app": False,
        }
        self.updates = UpdateQueue(first_update_id, clock)
        world = World(
            bot=bot,
            updates=self.updates,
            wall=clock,
            privacy=privacy,
            privacy_mentions=privacy_mentions,
        )
        super().__init__(world)
        self.pace = Pace(enabled=paced)
        self.faults = Faults()
        self.monotonic = monotonic
        self.methods = Methods(self.world, self.updates, self.pace, monotonic)
        self.calls: list[Call] = []
        self.counts: Counter[tuple[str, int]] = Counter()
        self.world.on_change = self.updates.on_change = self._changed
        self.updates.on_answer = self._webhook_answer
        self._waiters: list[asyncio.Future[None]] = []
        self._stopping = False
        self._hanging: set[asyncio.Future[None]] = set()
        self._runner: web.ServerRunner | None = None

    # Lifetime ------------------------------------------------------------------------------

    async def __aenter__(self) -> BotApiServer:
        await self.start()
        return self

    async def __aexit__(self, *_: object) -> None:
        await self.stop()

    async def start(self) -> None:
        """Listen on 127.0.0.1, on a free port unless one was given."""
        server = web.Server(self._handle, access_log=None)
        self._runner = web.ServerRunner(server, shutdown_timeout=0.2)
        await self._runner.setup()
        await web.TCPSite(self._runner, "127.0.0.1", self.port).start()
        self.port = self._runner.addresses[0][1]

    async def stop(self) -> None:
        """Let go of pollers and hanging calls, then close."""
        self._stopping = True
        self.let_go()
        await self.updates.close()
        if self._runner is not None:
            await self._runner.cleanup()

    def let_go(self) -> None:
        """End the wait of every call that hangs."""
        for waiter in self._hanging:
            if not waiter.done():
                waiter.set_result(None)

    @property
    def url(self) -> str:
        """Root address, in place of the public one."""
        return f"http://127.0.0.1:{self.port}"

    @property
    def connections(self) -> int:
        """How many connections clients hold open."""
        server = self._runner.server if self._runner is not None else None
        return sum(one.connected for one in server.connections) if server is not None else 0

    @property
    def base_url(self) -> str:
        """`base_url` of python-telegram-bot: the token is appended."""
        return f"{self.url}/bot"

    @property
    def base_file_url(self) -> str:
        """`base_file_url` of python-telegram-bot."""
        return f"{self.url}/file/bot"

    # Watching ------------------------------------------------------------------------------

    async def until(self, condition: Callable[[], Answer], timeout: float = 90.0) -> Answer:
        """Return `condition()` once it is true; it is tried after each change, never by sleep.

        Raises TimeoutError after `timeout` seconds, naming the last things said.
        """
        loop = asyncio.get_running_loop()
        deadline = loop.time() + timeout
        while not (value := condition()):
            waiter = loop.create_future()
            self._waiters.append(waiter)
            try:
                await asyncio.wait_for(waiter, max(0.0, deadline - loop.time()))
            except TimeoutError:
                last = [f"{e.method} {e.sender}: {e.text}" for e in self.transcript[-5:]]
                raise TimeoutError(f"not true within {timeout} s; last said: {last}") from None
        return value

    def _changed(self) -> None:
        if self._waiters:
            waiters, self._waiters = self._waiters, []
            for waiter in waiters:
                if not waiter.done():
                    waiter.set_result(None)

    # Requests ------------------------------------------------------------------------------

    async def _handle(self, request: web.BaseRequest) -> web.StreamResponse:
        path = request.path
        if path.startswith("/bot"):
            token, _, method = path[4:].partition("/")
            if token != self.token:
                code = 401 if ":" in token else 404
                return _refusal(ApiError(code, "Unauthorized" if code == 401 else "Not Found"))
            return await self._call(request, method)
        if path.startswith("/file/bot"):
            token, _, rest = path[9:].partition("/")
            stored = self.world.files.by_path.get(rest)
            if token != self.token or stored is None:
                return _refusal(ApiError(404, "Not Found"))
            return web.Response(body=stored.data, content_type="application/octet-stream")
        if path.startswith("/control/"):
            return await control.answer(self, request, path.removeprefix("/control/"))
        return _refusal(ApiError(404, "Not Found"))

    async def _call(self, request: web.BaseRequest, method: str) -> web.StreamResponse:
        said = len(self.transcript)
        given: Json = {}
        fault: Fault | None = None
        try:
            given = await _parameters(request)
            chat_id = _number(given.get("chat_id"))
            params = check(method, given)
            fault = self.faults.pick(method, chat_id)
            if fault is not None and fault.kind in PAGES:
                self._log(method, given, PAGES[fault.kind], "", fault)
                return web.Response(status=PAGES[fault.kind], text=_PAGE, content_type="text/html")
            if fault is not None:
                await self._before(request, fault, method, chat_id)
            if method == "getUpdates":
                body = await self._get_updates(params)
            else:
                result = self.methods.table[method](params)
                body = json.dumps({"ok": True, "result": result}, separators=(",", ":")).encode()
            response = web.Response(body=body, headers=_JSON)
        except ApiError as error:
            self._log(method, given, error.code, error.description, fault)
            return _refusal(error)
        except ConnectionResetError:
            self._log(method, given, 0, "", fault)
            return web.Response(status=500)
        if fault is not None:
            await self._after(request, fault, self.transcript[said:])
        cut = fault is not None and fault.kind == "reset_after"
        self._log(method, given, 0 if cut else 200, "", fault)
        return response

    async def _before(
        self, request: web.BaseRequest, fault: Fault, method: str, chat_id: Any
    ) -> None:
        if fault.kind == "500":
            raise ApiError(500, "Internal Server Error")
        if fault.kind == "429":
            # A wait asked of a question for admins, say, is not one for messages.
            if isinstance(chat_id, int) and method.startswith("send"):
                self.pace.hold(chat_id, self.monotonic(), fault.retry_after_s)
            raise too_many(fault.retry_after_s)
        if fault.kind == "hang_before":
            await self._hang(fault.hang_s)
        if fault.kind in ("reset_before", "hang_before"):
            _cut(request)
            raise ConnectionResetError

    async def _after(self, request: web.BaseRequest, fault: Fault, new: list[Entry]) -> None:
        if fault.kind == "hang":
            await self._hang(fault.hang_s)
        if fault.kind == "reset_after":
            _cut(request)
        if request.transport is None or request.transport.is_closing():
            for entry in new:
                entry.reply_lost = True

    async def _hang(self, hang_s: float) -> None:
        if self._stopping:
            return
        waiter = asyncio.get_running_loop().create_future()
        self._hanging.add(waiter)
        try:
            await asyncio.wait_for(waiter, hang_s)
        except TimeoutError:
            return
        finally:
            self._hanging.discard(waiter)

    async def _get_updates(self, params: Json) -> bytes:
        limit, timeout_s = params.get("limit", 100), params.get("timeout", 0)
        if not 1 <= limit <= 100:
            raise ApiError(400, "Bad Request: limit must be 1-100")
        if timeout_s < 0:
            raise ApiError(400, "Bad Request: timeout must not be negative")
        self.updates.allow(params.get("allowed_updates"))
        bodies = await self.updates.get(params.get("offset", 0), limit, timeout_s)
        return b'{"ok":true,"result":[' + b",".join(bodies) + b"]}"

    async def _webhook_answer(self, given: Json) -> None:
        method = str(given.pop("method", ""))
        try:
            self.methods.table[method](check(method, given))
            self._log(method, given, 200, "", None)
        except ApiError as error:
            self._log(method, given, error.code, error.description, None)

    def _log(
        self, method: str, given: Json, status: int, description: str, fault: Fault | None
    ) -> None:
        kind = fault.kind if fault else None
        chat_id = _number(given.get("chat_id"))
        self.calls.append(Call(self.monotonic(), method, chat_id, status, description, kind))
        self.counts[method, status] += 1
        self._changed()


def _number(value: Any) -> Any:
    if isinstance(value, str) and value.lstrip("-").isdigit():
        return int(value)
    return value


def _refusal(error: ApiError) -> web.Response:
    body: Json = {"ok": False, "error_code": error.code, "description": error.description}
    if error.parameters:
        body["parameters"] = error.parameters
    return web.Response(status=error.code, body=json.dumps(body).encode(), headers=_JSON)


def _cut(request: web.BaseRequest) -> None:
    """Close the connection with RST, so that the client sees a reset."""
    transport = request.transport
    if transport is not None:
        handle = transport.get_extra_info("socket")
        if handle is not None:
            handle.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, _RESET)
        transport.abort()


async def _parameters(request: web.BaseRequest) -> Json:
    """Return the parameters of query string and body, in any of the four published ways."""
    given: Json = dict(request.query) if request.query_string else {}
    if request.method == "GET":
        return given
    if request.method != "POST":
        raise ApiError(405, "Method Not Allowed")
    kind = request.content_type
    if kind == "multipart/form-data":
        reader = await request.multipart()
        while (part := await reader.next()) is not None:
            if not isinstance(part, BodyPartReader) or part.name is None:
                raise ApiError(400, "Bad Request: malformed multipart body")
            data = bytes(await part.read())
            if part.filename is None:
                given[part.name] = data.decode()
            else:
                mime = part.headers.get("Content-Type", "application/octet-stream")
                given[part.name] = Upload(part.filename, mime, data)
        return given
    body = await request.content.read()
    if not body:
        return given
    if kind == "application/json":
        try:
            loaded = json.loads(body)
        except ValueError:
            loaded = None
        if not isinstance(loaded, dict):
            raise ApiError(400, "Bad Request: can't parse JSON body as an object")
        return given | loaded
    if kind == "application/x-www-form-urlencoded":
        return given | dict(parse_qsl(body.decode(), keep_blank_values=True))
    raise ApiError(400, f"Bad Request: unsupported content type {kind}")
