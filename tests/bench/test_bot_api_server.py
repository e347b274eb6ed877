"""How many requests a second the local Bot API server answers, as a process of its own."""

import asyncio
import json
import os
import re
import sys
import time
from pathlib import Path

import aiohttp
import pytest

ROOT = Path(__file__).parents[2]
USER = 11


async def _ask(port: int, method: bytes, body: bytes, count: int) -> None:
    """Ask the same `count` times over one connection, with as little client as can be."""
    reader, writer = await asyncio.open_connection("127.0.0.1", port)
    request = (
        b"POST /bot1234567:local-test-token/%s HTTP/1.1\r\nHost: x\r\n"
        b"Content-Type: application/x-www-form-urlencoded\r\nContent-Length: %d\r\n\r\n%s"
    ) % (method, len(body), body)
    for _ in range(count):
        writer.write(request)
        head = await reader.readuntil(b"\r\n\r\n")
        found = re.search(rb"Content-Length: (\d+)", head)
        assert found is not None
        answer = await reader.readexactly(int(found[1]))
        assert answer.startswith(b'{"ok":true')
    writer.close()
    await writer.wait_closed()


@pytest.mark.bench
async def test_more_than_1500_requests_a_second_on_one_core() -> None:
    process = await asyncio.create_subprocess_exec(
        sys.executable,
        "-m",
        "tests.server",
        stdout=asyncio.subprocess.PIPE,
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    try:
        assert process.stdout is not None
        url = (await process.stdout.readline()).decode().split()[-1]
        people = {"users": [{"first_name": "Alice", "id": USER, "started": True}]}
        async with aiohttp.ClientSession() as session:
            await session.post(f"{url}/control/users", data=json.dumps(people))
        port = int(url.rpartition(":")[2])
        text = b"chat_id=%d&text=%%3Cb%%3ETray%%3C%%2Fb%%3E+T1&parse_mode=HTML" % USER
        for method, body in ((b"sendMessage", text), (b"getUpdates", b"offset=1&timeout=0")):
            start = time.perf_counter()
            await asyncio.gather(*(_ask(port, method, body, 1000) for _ in range(8)))
            rate = 8000 / (time.perf_counter() - start)
            print(f"{method.decode()}: {rate:.0f} requests/s")
            assert rate > 1500
    finally:
        process.terminate()
        await process.wait()
