"""Start `serve` many times without reading its code from disk each time.

One process imports everything and then forks: each child runs the command line `serve` from its
beginning, with an environment of its own. What is left out of a start is the import of modules,
which touches neither database nor network; a start of two seconds of processor becomes one of a
few hundredths, so that hundreds of kills fit into minutes.

`python -m tests.faults.nursery`: reads a JSON object a line, {"environment", "folder", "log"},
and prints the id of the process started for it.
"""

from __future__ import annotations

import gc
import importlib
import json
import os
import signal
import sys
import traceback

MODULES = (
    "bot.__main__",
    "bot.grammar.files",
    "bot.talk.heartbeat",
    "bot.operate.open_database",
    "bot.operate.settings",
    "bot.telegram.serve",
    "core.trade.crops.table",
    "core.due.rules",
    "core.handlers.care",
    "core.group.outlook",
    "psycopg",
    "sqlalchemy.dialects.postgresql.psycopg",
    "sqlalchemy.dialects.sqlite.pysqlite",
)


def _serve(asked: dict[str, object]) -> int:
    """Be a `serve` of its own; return its exit status."""
    from bot.__main__ import main

    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    os.setsid()
    environment = asked["environment"]
    assert isinstance(environment, dict)
    os.environ.update(environment)
    os.chdir(str(asked["folder"]))
    log = os.open(str(asked["log"]), os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o644)
    nothing = os.open(os.devnull, os.O_RDONLY)
    for target, source in ((0, nothing), (1, log), (2, log)):
        os.dup2(source, target)
    return main(["serve"])


def main() -> None:
    """Start what is asked for until nobody asks any more."""
    for name in MODULES:
        importlib.import_module(name)
    gc.freeze()
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # whoever is killed is gone at once
    sys.stdout.write("ready\n")
    sys.stdout.flush()
    for line in iter(sys.stdin.readline, ""):
        asked = json.loads(line)
        child = os.fork()
        if child == 0:
            status = 70
            try:
                status = _serve(asked)
            except BaseException:  # noqa: BLE001 - told in the log of that process
                traceback.print_exc()
            finally:
                sys.stdout.flush()
                sys.stderr.flush()
                os._exit(status)
        sys.stdout.write(f"{child}\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
