"""Codes that open the chat with the bot where a paper points to."""

from __future__ import annotations

import functools
from urllib.parse import quote

import segno

from bot.pictures.model import Code

LEAST_MM = 12.0
"""Least side of a code that a phone reads, its quiet zone with it; from memory."""


def link(tray: str, bot_name: str) -> str:
    """Return the address that opens a chat with the bot at a tray."""
    return f"https://t.me/{quote(bot_name)}?start=tray-{quote(tray)}"


def chat(bot_name: str) -> str:
    """Return the address that opens a chat with the bot."""
    return f"https://t.me/{quote(bot_name)}"


def code(text: str, x: float, y: float, side: float, what: str = "code") -> Code:
    """Return a code within a square, its white edge with it; points."""
    return Code(x=x, y=y, side=side, text=text, rows=_modules(text), what=what)


@functools.lru_cache(maxsize=600)
def _modules(text: str) -> tuple[bytes, ...]:
    made = segno.make(text, error="m", micro=False)
    return tuple(bytes(row) for row in made.matrix)
