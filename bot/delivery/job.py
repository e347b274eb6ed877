"""What a courier hands to a messenger, and what it hears back.

sent       delivered
refused    permanently: parked with the reason
gone       the chat cannot be reached: marked dead, its messages parked
moved      the group has a new id
no_thread  the topic is gone
bad_file   the platform's name of a file sent before is no longer good
bad_photo  it cannot be shown as a picture, but may go as a file
wait       not delivered; the chat may be tried again after `wait_s`
away       not delivered, and nothing can be at present (no connection, token refused)
unknown    nobody knows: the connection broke or time ran out after the request was written
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Protocol

from sqlalchemy.orm import Session

from core.records.delivery import Sending

Json = dict[str, Any]

DRAWN = 4.0  # texts that a picture or file counts for


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One call: a text, or a file (`attachment`) with `text` as its caption.

    Attributes:
        mentions: (start, length, person id) in the messenger's own units of `text`.
        buttons: the message's keyboard goes with this part.
        hint: what an empty field shows, where words are asked for.
        beside: what is done in place of saying it, of the body's `BESIDE`; `text` is said where
            that cannot be done.
    """

    text: str = ""
    mentions: tuple[tuple[int, int, int], ...] = ()
    attachment: Json | None = None
    buttons: bool = False
    hint: str = ""
    beside: Json | None = None


BESIDE = ("alone", "spent", "mark")
"""Keys of a body that is no message: words for the presser alone (`[how, press, name]`), buttons
taken off a message (its id), a mark on the message that is answered (an emoji)."""
UNCOUNTED = ("alone", "mark")


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A message in hand with what its next part needs.

    `people` is person id → (platform id, name); `buttons` are rows of (label, payload).
    """

    sending: Sending
    parts: tuple[Part, ...]
    people: Mapping[int, tuple[str, str]] = field(default_factory=dict)
    buttons: list[list[list[str]]] | None = None

    @property
    def cost(self) -> float:
        """How much of its chat's share it takes: a text is one."""
        return 1.0 if self._part.attachment is None else DRAWN

    @property
    def counted(self) -> bool:
        """Whether the platform counts it among the messages of its chat."""
        return not any(key in (self._part.beside or ()) for key in UNCOUNTED)

    @property
    def _part(self) -> Part:
        return self.parts[self.sending.part] if self.sending.part < len(self.parts) else Part()


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """See the module; `to` is the new id of a chat that moved."""

    kind: str
    reason: str = ""
    wait_s: float = 0.0
    to: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What became of a job. `file` is (digest, the platform's name) of a file just sent."""

    job: Job
    outcome: Outcome
    message: str | None = None
    file: tuple[str, str] | None = None
    lost_file: str | None = None

    @property
    def whole(self) -> bool:
        """Whether nothing of the message is left to send."""
        return self.job.sending.part + 1 >= len(self.job.parts)


class Carrier(Protocol):
    """What a messenger offers to the courier.

    Attributes:
        platform: its name in the records.
        call_limit_s: the longest one call may take, seconds.
    """

    platform: str
    call_limit_s: float

    def parts(self, body: Json) -> tuple[Part, ...]:
        """Return a message's parts in the order in which they go out; at least one."""

    def payload(self, session: Session, command: str, chat_id: int) -> str:
        """Return what a button of a chat carries for a command."""

    async def send(self, job: Job) -> Result:
        """Send the next part of a message; every failure is a result, too."""
