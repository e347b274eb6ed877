"""The bounds of an update: what a client controls is checked and cut here, and nowhere else.

A messenger's server keeps to its own limits; what a client of one's own sends may not.
"""

from __future__ import annotations

import unicodedata
from dataclasses import replace

from bot.incoming import Incoming

MOST_TEXT = 4096  # of a message; a caption and a button carry less
MOST_TITLE = 255
MOST_NAME = 64
MOST_WORD = 64  # ids of presses, messages and topics; usernames
MOST_FILE_REF = 400
MOST_FILE_NAME = 120
MOST_BYTES = 2**40
MOST_ID = 2**63  # what a database holds
MOST_MARKS = 4  # accents on one letter
MOST_MEMBERS = 100  # who came into a chat at once


class OutOfBounds(ValueError):
    """An update without which there is nothing to do: its chat or account is none."""


def within(incoming: Incoming) -> Incoming:
    """Return an update within the bounds; raise OutOfBounds, TypeError for what is no text."""
    return replace(
        incoming,
        key=_id_like(incoming.key, 80),
        chat=_number(incoming.chat) if incoming.chat else "",
        user=None if incoming.user is None else _number(incoming.user),
        text=cut(incoming.text, MOST_TEXT),
        title=_cut(incoming.title, MOST_TITLE),
        name=cut(incoming.name, MOST_NAME),
        username=_cut(incoming.username, MOST_WORD),
        language=_language(incoming.language),
        press=_cut(incoming.press, MOST_WORD),
        message=_cut(incoming.message, MOST_WORD),
        thread=_cut(incoming.thread, MOST_WORD),
        file_ref=_cut(incoming.file_ref, MOST_FILE_REF),
        file_name=_cut(incoming.file_name, MOST_FILE_NAME),
        file_size=_size(incoming.file_size),
        addressed=bool(incoming.addressed),
    )


def _cut(text: str | None, most: int) -> str | None:
    return None if text is None else cut(text, most)


def cut(text: str, most: int) -> str:
    """Return a text of at most `most` letters that any database can hold.

    Half signs and NUL go, and so do accents beyond the fourth on one letter.
    """
    if not isinstance(text, str):
        raise TypeError(type(text).__name__)
    text = text[: 8 * most]
    if not text.isascii():
        text = _few_marks(text.encode("utf-8", "ignore").decode())
    return text.replace("\x00", "")[:most]


def _few_marks(text: str) -> str:
    kept: list[str] = []
    marks = 0
    for sign in text:
        marks = marks + 1 if unicodedata.combining(sign) else 0
        if marks <= MOST_MARKS:
            kept.append(sign)
    return "".join(kept)


def _number(text: str) -> str:
    digits = text.removeprefix("-")
    if not (digits.isascii() and digits.isdigit()) or len(digits) > 19 or int(digits) >= MOST_ID:
        raise OutOfBounds("an id")
    return text


def _id_like(text: str, most: int) -> str:
    if not isinstance(text, str) or not text.isascii() or not 0 < len(text) <= most:
        raise OutOfBounds("a key")
    return text


def _language(code: str | None) -> str | None:
    return code if isinstance(code, str) and code.isascii() and code.isalpha() else None


def _size(size: int | None) -> int | None:
    if size is None or isinstance(size, bool) or not isinstance(size, int):
        return None
    return min(max(size, 0), MOST_BYTES)
