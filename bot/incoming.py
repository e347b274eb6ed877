"""One update of any messenger in the project's own terms; plain JSON, kept in the inbox."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Any


class Event(StrEnum):
    """What happened."""

    TEXT = "text"
    PRESS = "press"  # a button; `text` holds its command
    FILE = "file"  # a document; `text` holds its caption
    ADDED = "added"  # the bot came into the chat
    REMOVED = "removed"  # the bot was put out or blocked
    JOINED = "joined"  # a person came into the chat
    LEFT = "left"  # a person left the chat
    RIGHTS = "rights"  # a person runs the chat (`text` is ADMIN), or does so no more
    MOVED = "moved"  # the chat has a new id; `text` holds it
    EDITED = "edited"  # `text` and `message` are those of a message said before
    UNHEARD = "unheard"  # what has no words: `text` is `voice`, `picture` or `sticker`
    PLACE = "place"  # a location; `text` holds latitude and longitude, degrees
    OTHER = "other"  # nothing to do with us; stored and settled


ADMIN = "admin"
VOICE, PICTURE, STICKER = "voice", "picture", "sticker"  # kinds of Event.UNHEARD


@dataclass(frozen=True, slots=True, kw_only=True)
class Incoming:
    """One update.

    Attributes:
        key: unique a platform; a repeated key is the same update.
        chat: the platform's id of the chat.
        private: a private chat.
        user: the platform's id of the sender; None = anonymous admin, channel or none.
        name, username, language: as the messenger gives them.
        addressed: meant for the bot: a reply to it, or a mention.
        press: the platform's id of a button press, to be acknowledged.
        file_ref, file_name, file_size: a document; bytes are fetched when handled.
        message: the platform's id of what was said, for an answer to hang on.
        thread: forum topic.
    """

    platform: str
    key: str
    chat: str
    private: bool
    event: Event
    text: str = ""
    title: str | None = None
    user: str | None = None
    name: str = ""
    username: str | None = None
    language: str | None = None
    addressed: bool = False
    press: str | None = None
    message: str | None = None
    thread: str | None = None
    file_ref: str | None = None
    file_name: str | None = None
    file_size: int | None = None

    def body(self) -> dict[str, Any]:
        """Return it as JSON values, empty parts left out."""
        values = {name: getattr(self, name) for name in self.__slots__}
        return {name: value for name, value in values.items() if value not in (None, "", False)}

    @classmethod
    def of(cls, body: dict[str, Any]) -> Incoming:
        """Return what `body` wrote; raise TypeError or KeyError for anything else."""
        return cls(**{"private": False, **body, "event": Event(body["event"])})
