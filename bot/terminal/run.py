"""Sit at the terminal: a prompt with history at a TTY, plain lines from a pipe."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

from bot.terminal.chat import TerminalChat

TICK_SECONDS = 20.0
LONGEST_LINE = 20_000  # characters; what comes after is cut off


def from_pipe(chat: TerminalChat, lines: BinaryIO) -> None:
    """Read lines, echo each as `> line`, and answer; until the end of input or `:quit`.

    Bytes that are no UTF-8 are read as replacement characters.
    """
    chat.catch_up()
    for raw in lines:
        for line in decoded(raw):
            if not chat.open:
                return
            print(f"> {line}")
            chat.feed(line)
    # what falls due later is said when somebody next looks


def decoded(raw: bytes) -> Iterator[str]:
    """Yield the lines in some bytes, without the characters that steer a terminal."""
    for line in raw.decode("utf-8", "replace").splitlines() or [""]:
        yield "".join(c if c.isprintable() or c == "\t" else "\ufffd" for c in line)[:LONGEST_LINE]


def at_prompt(chat: TerminalChat, history: Path) -> None:
    """Prompt with history and say what falls due while nobody types; until Ctrl-D or `:quit`.

    Ctrl-C drops the line; on an empty line it leaves.
    """
    from prompt_toolkit import PromptSession
    from prompt_toolkit.history import FileHistory, History, InMemoryHistory
    from prompt_toolkit.patch_stdout import patch_stdout

    kept: History = InMemoryHistory()
    try:
        history.parent.mkdir(parents=True, exist_ok=True)
        history.touch(mode=0o600)
        kept = FileHistory(str(history))
    except OSError:
        pass  # a prompt without a history is better than none
    session: PromptSession[str] = PromptSession(history=kept)
    lock = threading.Lock()
    leaving = threading.Event()
    ticker = threading.Thread(target=tick, args=(chat, lock, leaving), daemon=True)
    with lock:
        chat.catch_up()
    ticker.start()
    try:
        with patch_stdout():
            while chat.open:
                line = _typed(session, chat)
                if line is None:
                    return
                with lock:
                    for part in decoded(line.encode("utf-8", "replace")):
                        chat.feed(part)
    finally:
        leaving.set()
        ticker.join(timeout=5)


def _typed(session: object, chat: TerminalChat) -> str | None:
    """Return what is typed; "" after Ctrl-C on words, None to leave."""
    from prompt_toolkit import PromptSession

    assert isinstance(session, PromptSession)
    where = " (private)" if chat.private else ""
    try:
        return str(session.prompt(f"{chat.speaker}{where}> "))
    except KeyboardInterrupt:
        return "" if session.default_buffer.text else None
    except EOFError:
        return None


def tick(
    chat: TerminalChat,
    lock: threading.Lock,
    leaving: threading.Event,
    *,
    every_seconds: float = TICK_SECONDS,
) -> None:
    """Say what has fallen due, time and again, until told to leave."""
    while not leaving.wait(every_seconds):
        with lock:
            if chat.open:
                chat.catch_up()
