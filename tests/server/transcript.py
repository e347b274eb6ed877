"""What was said: every message delivered to any chat, in order, and every call made."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from tests.server.chats import Message
    from tests.server.files import StoredFile


class Button(NamedTuple):
    """One inline button; `data` is its callback data, `url` its link, one of them None."""

    text: str
    data: str | None = None
    url: str | None = None


@dataclass(slots=True, kw_only=True)
class Entry:
    """One thing that appeared in, changed in or vanished from a chat.

    Attributes:
        seq: position in the transcript, from 0.
        at: server time; Unix seconds.
        method: the bot's method name (`sendMessage`, `editMessageText`, `deleteMessage`, ...)
            or, for people, `say`, `edit`, `press`, `service`.
        sender: `bot`, or the id of the user as text.
        text: text or caption as shown, markup parsed; for `press` the button's label.
        reply_lost: the message was recorded but its answer was cut off by a fault.
        message: the message itself; edits of it share it, so read `text` here, not there.
    """

    seq: int
    at: float
    method: str
    sender: str
    chat_id: int
    message_id: int
    text: str
    message: Message
    thread_id: int | None = None
    reply_to: int | None = None
    entities: list[dict[str, Any]] = field(default_factory=list)
    markup: dict[str, Any] | None = None
    file: StoredFile | None = None
    reply_lost: bool = False

    @property
    def by_bot(self) -> bool:
        """True for what the bot under test said."""
        return self.sender == "bot"

    @property
    def rows(self) -> list[list[Button]]:
        """Rows of inline buttons, empty if none."""
        return buttons_of(self.markup)

    @property
    def buttons(self) -> list[Button]:
        """All inline buttons in reading order."""
        return [button for row in self.rows for button in row]

    def as_json(self) -> dict[str, Any]:
        """Return plain values for the control endpoint; file bytes are left out."""
        return {
            "seq": self.seq,
            "at": self.at,
            "method": self.method,
            "sender": self.sender,
            "chat_id": self.chat_id,
            "message_id": self.message_id,
            "thread_id": self.thread_id,
            "reply_to": self.reply_to,
            "text": self.text,
            "entities": self.entities,
            "buttons": [[button._asdict() for button in row] for row in self.rows],
            "file": self.file.as_json() if self.file else None,
            "reply_lost": self.reply_lost,
        }


class Call(NamedTuple):
    """One request to the bot API: what was asked, what was answered.

    `status` is the HTTP status sent, or 0 if the connection was cut; `fault` names the fault
    injected, if any; `at` is the server's monotonic time in seconds.
    """

    at: float
    method: str
    chat_id: Any
    status: int
    description: str
    fault: str | None


def buttons_of(markup: dict[str, Any] | None) -> list[list[Button]]:
    """Return the rows of an inline keyboard, empty for none or for another keyboard."""
    if not markup:
        return []
    return [
        [Button(b["text"], b.get("callback_data"), b.get("url")) for b in row]
        for row in markup.get("inline_keyboard", [])
    ]
