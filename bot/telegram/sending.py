"""Send one part of a message: a text, a picture or a file."""

from __future__ import annotations

import hashlib
import logging
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from telegram import InputFile, Message
from telegram.error import TelegramError

from bot.delivery.threads import Threads
from bot.operate.clock import Clock
from bot.telegram.client import Client
from bot.telegram.outcomes import Outcome, outcome_of
from bot.telegram.parts import Json, Part, entities, keyboard
from bot.telegram.translate import PLATFORM
from core.records import payloads
from core.records.database import Database
from core.records.delivery import Sending

log = logging.getLogger(__name__)

PHOTO_BYTES = 10_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A message in hand with what its next part needs.

    `people` is person id → (platform id, name); `buttons` are rows of (label, payload).
    """

    sending: Sending
    parts: tuple[Part, ...]
    people: Mapping[int, tuple[str, str]] = field(default_factory=dict)
    buttons: list[list[list[str]]] | None = None


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


class Sender:
    """Makes the calls. Files are drawn in a thread, and sent by name when sent before."""

    def __init__(
        self, database: Database, client: Client, clock: Clock, db: Threads, drawing: Threads
    ) -> None:
        self._database, self._client, self._clock = database, client, clock
        self._db, self._drawing = db, drawing
        self._as_file: set[int] = set()  # messages whose picture goes as a file

    async def send(self, job: Job) -> Result:
        """Send the next part of a message; every failure is a result, too."""
        sending = job.sending
        if sending.part >= len(job.parts):
            return Result(job=job, outcome=Outcome(kind="sent"))
        part = job.parts[sending.part]
        common: dict[str, Any] = {
            "chat_id": int(sending.chat),
            "message_thread_id": sending.thread,
            "reply_markup": keyboard(job.buttons) if part.buttons else None,
        }
        marks = entities(part, job.people) or None
        digest: str | None = None
        try:
            if part.attachment is not None:
                data = await self._drawn(part.attachment)
                if data is not None:
                    photo = bool(part.attachment["picture"]) and sending.id not in self._as_file
                    photo = photo and len(data) <= PHOTO_BYTES
                    digest = hashlib.sha256(data).hexdigest()[:60] + ("p" if photo else "d")
                    return await self._file(job, part, data, digest, photo, common, marks)
                if not part.text:
                    return Result(job=job, outcome=Outcome(kind="sent"))
                part = replace(part, attachment=None)
            said = await self._client.say(part.text, entities=marks, **common)
        except TelegramError as error:
            outcome = outcome_of(error, sending.tries)
            if outcome.kind == "bad_photo":
                self._as_file.add(sending.id)
            return Result(job=job, outcome=outcome, lost_file=digest)
        return Result(job=job, outcome=Outcome(kind="sent"), message=said)

    async def _file(
        self,
        job: Job,
        part: Part,
        data: bytes,
        digest: str,
        photo: bool,
        common: dict[str, Any],
        marks: Any,
    ) -> Result:
        assert part.attachment is not None
        known = await self._db.first(self._known, digest)
        what: Any = known or InputFile(data, filename=str(part.attachment["name"]))
        caption = {"caption": part.text or None, "caption_entities": marks}
        said: Message
        if photo:
            said = await self._client.send_photo(photo=what, **caption, **common)
            ref = said.photo[-1].file_id if said.photo else None
        else:
            said = await self._client.send_document(
                document=what, disable_content_type_detection=True, **caption, **common
            )
            ref = said.document.file_id if said.document else None
        self._as_file.discard(job.sending.id)
        return Result(
            job=job,
            outcome=Outcome(kind="sent"),
            message=str(said.message_id),
            file=(digest, ref) if ref and not known else None,
        )

    def _known(self, digest: str) -> str | None:
        with self._database.transaction() as session:
            return payloads.file_ref(session, PLATFORM, digest)

    async def _drawn(self, attachment: Json) -> bytes | None:
        """Return a file's bytes, or None when it cannot be drawn: the words go without it."""
        try:
            from bot.papers.attachments import content

            return await self._drawing.run(content, self._database, attachment, self._clock.now())
        except Exception:
            log.exception("%s could not be drawn", attachment.get("what"))
            return None
