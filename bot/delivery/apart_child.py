"""The other end of bot/delivery/apart.py: one call, read from the input, then the end.

python -m bot.delivery.apart_child SECONDS BYTES
"""

from __future__ import annotations

import contextlib
import os
import pickle
import sys
from collections.abc import Iterator
from typing import Any

MISTAKE = "a mistake"
LATER = 5  # steps behind the service, whose answers do not wait for the processor


def main() -> None:
    """Run the call within the seconds of running time and bytes of addresses given."""
    seconds, memory = int(sys.argv[1]), int(sys.argv[2])
    with contextlib.suppress(ImportError, ValueError, OSError):
        import resource

        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
        resource.setrlimit(resource.RLIMIT_AS, (memory, memory))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    if not _filtered():
        with contextlib.suppress(AttributeError, OSError):
            os.nice(LATER)
    out = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # whatever prints, prints elsewhere
    from core.errors import UserError

    call, args, kwargs = pickle.load(sys.stdin.buffer)
    try:
        given: Any = call(*args, **kwargs)
        for value in given if isinstance(given, Iterator) else (given,):
            pickle.dump(value, out)
            out.flush()
    except UserError as mistake:
        pickle.dump((MISTAKE, type(mistake), mistake.__dict__), out)
        out.flush()


def _filtered() -> bool:
    """Whether a filter watches the system calls: it may end who asks for a priority."""
    try:
        with open("/proc/self/status", encoding="ascii", errors="replace") as status:
            return any(line.split() == ["Seccomp:", "2"] for line in status)
    except OSError:
        return False


if __name__ == "__main__":
    main()
