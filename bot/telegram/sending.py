"""Send one part of a message: a text, a picture or a file."""

from __future__ import annotations

import hashlib
import logging
from dataclasses import replace
from typing import Any

from sqlalchemy.orm import Session
from telegram import InputFile, Message, ReplyParameters
from telegram.error import TelegramError

from bot.delivery.job import Job, Json, Outcome, Part, Result
from bot.delivery.threads import Threads
from bot.message import KEPT_MARK
from bot.operate.clock import Clock
from bot.operate.fault import place
from bot.telegram.beside import beside
from bot.telegram.client import CALL_LIMIT_S, Client
from bot.telegram.edits import change
from bot.telegram.outcomes import outcome_of
from bot.telegram.parts import entities, markup, parts_of, too_long
from bot.telegram.translate import PLATFORM
from core.records import payloads
from core.records.database import Database

log = logging.getLogger(__name__)

PHOTO_BYTES = 10_000_000


class Sender:
    """Makes the calls. Files are drawn in a thread, and sent by name when sent before."""

    platform = PLATFORM
    call_limit_s = CALL_LIMIT_S

    def __init__(
        self, database: Database, client: Client, clock: Clock, db: Threads, drawing: Threads
    ) -> None:
        self._database, self._client, self._clock = database, client, clock
        self._db, self._drawing = db, drawing
        self._as_file: set[int] = set()  # messages whose picture goes as a file

    def parts(self, body: Json) -> tuple[Part, ...]:
        """Return a message's parts in the order in which they go out; at least one."""
        return tuple(parts_of(body))

    def payload(self, session: Session, command: str, chat_id: int) -> str:
        """Return what a button carries: the command, or where it is kept when it is too long."""
        if not too_long(command):
            return command
        key = payloads.press_key(session, chat_id, command, self._clock.now())
        return f"{KEPT_MARK}{key}"

    async def send(self, job: Job) -> Result:
        """Send the next part of a message; every failure is a result, too."""
        sending = job.sending
        if sending.changes is not None:
            return await change(self._client, job)
        if sending.part >= len(job.parts):
            return Result(job=job, outcome=Outcome(kind="sent"))
        part = job.parts[sending.part]
        if part.beside is not None:
            settled = await beside(self._client, job, part.beside)
            if settled is not None:
                return settled
        common: dict[str, Any] = {
            "chat_id": int(sending.chat),
            "message_thread_id": int(sending.thread) if sending.thread else None,
            "reply_parameters": _hangs_on(sending.reply_to) if sending.part == 0 else None,
            "disable_notification": sending.silent or None,
            "reply_markup": markup(part, job.buttons),
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
        except Exception as error:  # noqa: BLE001 - the message or group is passed over
            log.error("%s could not be drawn: %s", attachment.get("what"), place(error))
            return None


def _hangs_on(message: str | None) -> ReplyParameters | None:
    """Return the message that an answer hangs on; it goes without where that is gone."""
    if message is None or not message.isdecimal():
        return None
    return ReplyParameters(int(message), allow_sending_without_reply=True)
