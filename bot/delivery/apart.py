"""Run a call in a process of its own, which is ended when it takes too long or too much memory.

What strangers send is read there: whatever a file does to its reader, it does not do it to the
service. Few run at a time; those that wait hold up nothing but their own chat.
"""

from __future__ import annotations

import asyncio
import io
import logging
import os
import pickle
import sys
from dataclasses import dataclass
from typing import Any

from bot.delivery.apart_child import MISTAKE
from core.apart import Worked
from core.errors import UserError

log = logging.getLogger(__name__)

LIMIT_S = 20.0
MEMORY_BYTES = 2_000_000_000  # of addresses, most of which are never touched
AT_ONCE = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Ran:
    """What a call gave before it ended: `whole` when it came to its own end."""

    values: tuple[Any, ...]
    whole: bool
    late: bool = False


class Apart:
    """Runs calls, AT_ONCE at a time."""

    def __init__(self, *, limit_s: float = LIMIT_S) -> None:
        self._room = asyncio.Semaphore(AT_ONCE)
        self._limit_s = limit_s

    async def worked(self, work: bytes) -> Worked:
        """Return what came of an errand's work."""
        ran = await self.run(work)
        if not ran.whole or not ran.values:
            log.warning("work was given up after %s", "its time" if ran.late else "its process")
            return Worked(given_up=True)
        value = ran.values[0]
        return Worked(mistake=value) if isinstance(value, UserError) else Worked(value=value)

    async def run(self, work: bytes, *, each_s: float | None = None) -> Ran:
        """Return the values a pickled call gives: each that it yields, or the one it returns.

        `each_s`: from the first value on, the longest until the next.
        """
        async with self._room:
            return await self._run(work, each_s)

    async def _run(self, work: bytes, each_s: float | None) -> Ran:
        limit_s = self._limit_s
        child = await asyncio.create_subprocess_exec(
            sys.executable,
            "-P",
            "-m",
            "bot.delivery.apart_child",
            str(int(limit_s) + 2),
            str(MEMORY_BYTES),
            stdin=asyncio.subprocess.PIPE,
            stdout=asyncio.subprocess.PIPE,
            stderr=asyncio.subprocess.DEVNULL,
            env={**os.environ, "PYTHONPATH": os.pathsep.join(path for path in sys.path if path)},
            limit=2**20,
        )
        assert child.stdin is not None
        assert child.stdout is not None
        found = bytearray()
        late = False
        try:
            async with asyncio.timeout(limit_s) as limit:
                child.stdin.write(work)
                child.stdin.close()
                while chunk := await child.stdout.read(2**16):
                    found += chunk
                    if each_s is not None:
                        limit.reschedule(asyncio.get_running_loop().time() + each_s)
                await child.wait()
        except TimeoutError:
            late = True
        except (BrokenPipeError, ConnectionResetError):
            pass  # it ended before it had read all
        finally:
            if child.returncode is None:
                child.kill()
                await child.wait()
        return Ran(values=_values(bytes(found)), whole=child.returncode == 0, late=late)


def _values(found: bytes) -> tuple[Any, ...]:
    """Return the whole values at the beginning of what a process wrote."""
    stream = io.BytesIO(found)
    values: list[Any] = []
    while stream.tell() < len(found):
        try:
            values.append(pickle.load(stream))
        except (EOFError, pickle.UnpicklingError):
            break
    return tuple(
        _mistake(*value) if isinstance(value, tuple) and value[:1] == (MISTAKE,) else value
        for value in values
    )


def _mistake(_: str, kind: type[UserError], parts: dict[str, Any]) -> UserError:
    """Return a mistake as it was raised over there: its parts have no order to be made from."""
    mistake = kind.__new__(kind)
    mistake.__dict__.update(parts)
    return mistake
