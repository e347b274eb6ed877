"""A message as the platform takes it: texts, captions and files within its limits.

Lengths and offsets are in UTF-16 units. Published limits: 4096 for a text, 1024 for a caption,
64 bytes for what a button carries. Source: Bot API reference, sendMessage, sendPhoto,
InlineKeyboardButton.

A person is alerted by a mention that carries the account (`text_mention`), whether or not they
have a username: the words stay those of the message.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from telegram import (
    ForceReply,
    InlineKeyboardButton,
    InlineKeyboardMarkup,
    MessageEntity,
    User,
)

from bot.delivery.job import BESIDE, Json, Part
from bot.message import KEPT_MARK

Markup = ForceReply | InlineKeyboardMarkup

TEXT_MOST = 4096
CAPTION_MOST = 1024
PAYLOAD_BYTES = 64
FOLDED = -1  # in the place of a person: these words are folded away


def units(text: str) -> int:
    """Return the length in UTF-16 units."""
    return len(text) + sum(ord(c) > 0xFFFF for c in text)


def parts_of(body: Json) -> list[Part]:
    """Return a message's parts in the order in which they go out; at least one."""
    text = str(body.get("text", "")).rstrip()
    beside = {key: body[key] for key in BESIDE if key in body}
    if beside:
        return [Part(text=text, buttons=True, beside=beside)]
    mentions = tuple(
        (units(text[:start]), units(text[start : start + length]), person)
        for start, length, person in body.get("mentions", ())
        if start + length <= len(text)
    ) + tuple(
        (units(text[:start]), units(text[start : start + length]), FOLDED)
        for start, length in body.get("folded", ())
        if start + length <= len(text)
    )
    files = list(body.get("attachments", ()))
    if files and units(text) <= CAPTION_MOST:
        first = Part(text=text, mentions=mentions, attachment=files[0], buttons=True)
        return [first, *(Part(attachment=file) for file in files[1:])]
    texts = split(text, mentions)
    if texts:
        texts[-1] = replace(texts[-1], buttons=True, hint=str(body.get("hint", "")))
    return [*texts, *(Part(attachment=file) for file in files)]


def split(
    text: str, mentions: tuple[tuple[int, int, int], ...] = (), most: int = TEXT_MOST
) -> list[Part]:
    """Cut a text at line ends, at blanks where a line alone is too long, else anywhere."""
    found: list[Part] = []
    begin, offset = 0, 0
    while begin < len(text):
        end = _end(text, begin, most)
        piece = text[begin:end].rstrip()
        lead = len(piece) - len(piece.lstrip())
        shown = piece[lead:]
        if shown:
            first = offset + lead
            length = units(shown)
            inside = tuple(
                (start - first, size, person)
                for start, size, person in mentions
                if first <= start and start + size <= first + length
            )
            found.append(Part(text=shown, mentions=inside))
        offset += units(text[begin:end])
        begin = end
    return found


def _end(text: str, begin: int, most: int) -> int:
    """Return where the piece that begins at `begin` ends."""
    room = most
    at = begin
    while at < len(text) and room >= (cost := 1 + (ord(text[at]) > 0xFFFF)):
        room -= cost
        at += 1
    if at == len(text):
        return at
    for mark in ("\n", " "):
        cut = text.rfind(mark, begin + 1, at + 1)
        if cut > begin:
            return cut
    return at


def entities(part: Part, people: Mapping[int, tuple[str, str]]) -> list[MessageEntity]:
    """Return the mentions of a part, and what of it is folded away.

    `people` is person id → (platform id, name).
    """
    folded = [
        MessageEntity(MessageEntity.EXPANDABLE_BLOCKQUOTE, offset=start, length=length)
        for start, length, who in part.mentions
        if who == FOLDED and length > 0
    ]
    return folded + [
        MessageEntity(
            MessageEntity.TEXT_MENTION,
            offset=start,
            length=length,
            user=User(int(people[person][0]), people[person][1] or "-", is_bot=False),
        )
        for start, length, person in part.mentions
        if person in people and length > 0
    ]


def keyboard(rows: list[list[list[str]]] | None) -> InlineKeyboardMarkup | None:
    """Return the buttons of rows of (label, payload)."""
    if not rows:
        return None
    return InlineKeyboardMarkup(
        [[InlineKeyboardButton(label, callback_data=payload) for label, payload in r] for r in rows]
    )


def markup(part: Part, rows: list[list[list[str]]] | None) -> Markup | None:
    """Return what goes below a part: its buttons, or a field for the words that are asked for.

    The field opens for whoever is answered alone (`selective`).
    """
    if part.hint and not rows:
        return ForceReply(selective=True, input_field_placeholder=part.hint)
    return keyboard(rows) if part.buttons else None


def too_long(command: str) -> bool:
    """Whether a command does not fit into a button, and is kept under a number."""
    return len(command.encode()) > PAYLOAD_BYTES or command.startswith(KEPT_MARK)
