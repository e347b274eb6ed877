"""Run the server as a process: `python -m tests.server --port 8081`; control under /control/.

Prints one line with its address once it listens; ends on SIGTERM or SIGINT.
"""

from __future__ import annotations

import argparse
import asyncio
import signal
import sys

from tests.server.server import BotApiServer


async def _run(options: argparse.Namespace) -> None:
    ended = asyncio.Event()
    for name in (signal.SIGTERM, signal.SIGINT):
        asyncio.get_running_loop().add_signal_handler(name, ended.set)
    server = BotApiServer(
        options.token,
        username=options.username,
        port=options.port,
        paced=options.paced,
        privacy=not options.no_privacy,
        privacy_mentions=options.privacy_mentions,
    )
    async with server:
        sys.stdout.write(f"listening at {server.url}\n")
        sys.stdout.flush()
        await ended.wait()


def main() -> None:
    """Read the options and serve."""
    parser = argparse.ArgumentParser(prog="python -m tests.server", description=__doc__)
    parser.add_argument("--port", type=int, default=0, help="0 takes a free one")
    parser.add_argument("--token", default="1234567:local-test-token")
    parser.add_argument("--username", default="traywarden_test_bot")
    parser.add_argument("--paced", action="store_true", help="answer 429 over the limits")
    parser.add_argument("--no-privacy", action="store_true")
    parser.add_argument("--privacy-mentions", action="store_true")
    asyncio.run(_run(parser.parse_args()))


if __name__ == "__main__":
    main()
