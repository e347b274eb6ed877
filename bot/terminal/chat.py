"""A conversation in lines: what is typed goes in, what the bot says comes out.

The same intake, inbox, outbox and heartbeat as any messenger, with a clock that can be moved.
Lines that begin with `:` are for the terminal itself.
"""

from __future__ import annotations

import itertools
import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from sqlalchemy import select

from bot.incoming import Event, Incoming
from bot.operate.clock import MovableClock
from bot.talk import worker
from bot.talk.document import File
from bot.talk.heartbeat import beat, next_event_at
from bot.terminal.beside import beside_lines, shown_rows, shown_text
from bot.terminal.lines import Colon, read_colon
from bot.wording.pieces.ticked import MARK
from core.records import models as m
from core.records import outbox
from core.records.database import Database

PLATFORM = "terminal"
GROUP_CHAT = "group"
MOST_BUTTONS = 99  # two digits: a longer number is something to say
MOST_EVENTS = 20_000  # a `:wait` of years ends
FILE_ENDINGS = (".csv", ".txt", ".ics", ".tsv", ".zip")

HELP = """\
  type as you would in the chat, for instance: /help
  a number        press that button
  :as NAME        speak as somebody else
  :private        talk to the bot alone      :group   back to the group
  :at 2027-03-01 07:30   set the clock       :wait 3d  let time pass (d, h, m, w)
  :quit           leave"""


@dataclass(frozen=True, slots=True)
class Shown:
    """A button on the screen; `of` = key of the message it belongs to."""

    label: str
    command: str
    chat: str
    of: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A message as it came to the screen.

    Attributes:
        place: `group`, or the name of whose private chat.
        at: when it fell due, for a message that answers nothing typed; else None.
        changed: no new message, but one said before that says this now.
    """

    place: str
    at: str | None
    text: str
    attachments: tuple[str, ...]
    buttons: tuple[tuple[str, ...], ...]
    changed: bool = False


class TerminalChat:
    """One sitting at the prompt.

    Args:
        say: called with each line of output.
        save: called with (file name, content) for each picture or file; returns what to show.
        hear: called with each message as a whole, beside its lines.
    """

    def __init__(
        self,
        database: Database,
        clock: MovableClock,
        say: Callable[[str], None],
        *,
        save: Callable[[str, bytes], str] | None = None,
        hear: Callable[[Said], None] | None = None,
        speaker: str = "Robin",
        bot_name: str = "traywarden",
    ) -> None:
        self.database = database
        self.clock = clock
        self.speaker = speaker
        self.private = False
        self.open = True
        self._say = say
        self._save = save
        self._hear = hear
        self._bot_name = bot_name
        self.buttons: dict[int, Shown] = {}  # by the number on the screen, newest last
        self._names: dict[str, str] = {}  # private chat → name as typed
        self._numbered = 0
        self._texts: dict[str, str] = {}  # key of a message → what it says
        sitting = uuid.uuid4().hex[:12]  # two terminals on one database never share a key
        self._keys = (f"t{sitting}-{number}" for number in itertools.count(1))

    # --- typing ---

    def feed(self, line: str) -> None:
        """Take one typed line, whatever it holds."""
        line = line.strip("\r\n")
        text = line.strip()
        if not text:
            return
        if text.startswith(":"):
            self._colon(read_colon(text))
            return
        if text.isascii() and text.isdigit() and len(text) <= 2:
            self._press(int(text))
            return
        self.catch_up()
        event, file_name, data = Event.TEXT, None, None
        path = _file_named(text)
        if path is not None:
            event, file_name = Event.FILE, path.name
            try:
                data = path.read_bytes()
            except OSError as error:
                self._say(f"{path} cannot be read: {error.strerror}")
                return
            text = text[: len(text) - len(str(path))].strip() if text.endswith(str(path)) else text
        self._send(
            Incoming(
                platform=PLATFORM,
                key=next(self._keys),
                chat=self._chat,
                private=self.private,
                event=event,
                text=text,
                title=None if self.private else "the group",
                user=self.speaker.casefold(),
                name=self.speaker,
                username=self.speaker.casefold().replace(" ", "_"),
                addressed=not text.startswith("/"),
                file_name=file_name,
                file_ref=file_name,
            ),
            data,
        )

    @property
    def _chat(self) -> str:
        own = f"private:{self.speaker.casefold()}"
        self._names[own] = self.speaker
        return own if self.private else GROUP_CHAT

    def _press(self, number: int) -> None:
        if number not in self.buttons:
            self._say(f"There is no button {number} on the screen.")
            return
        button = self.buttons[number]
        private = button.chat != GROUP_CHAT
        if private and button.chat != f"private:{self.speaker.casefold()}":
            owner = button.chat.partition(":")[2]
            self._say(f"That button is in {owner}'s private chat. Type  :as {owner}  first.")
            return
        self.catch_up()
        key = next(self._keys)
        self._send(
            Incoming(
                platform=PLATFORM,
                key=key,
                chat=button.chat,
                private=private,
                event=Event.PRESS,
                text=button.command,
                press=key,
                message=self._message_of(button.of),
                user=self.speaker.casefold(),
                name=self.speaker,
                username=self.speaker.casefold().replace(" ", "_"),
            ),
            None,
        )

    def _send(self, incoming: Incoming, data: bytes | None) -> None:
        now = self.clock.now()
        worker.store(self.database, [incoming], now)
        for row_id, _ in worker.waiting(self.database):
            task = worker.Task(row_id=row_id, file=File(data))
            worker.work(self.database, task, now, bot_name=self._bot_name)
        self._deliver(asked_in=incoming.chat)

    # --- time ---

    def catch_up(self) -> None:
        """Say what has fallen due since the last line."""
        now = self.clock.now()
        made = beat(self.database, now, bot_name=self._bot_name)
        with self.database.transaction() as session:
            next_at = outbox.next_due_at(session)
        if made or (next_at is not None and next_at <= now):
            self._deliver(asked_in=None)

    def pass_time(self, until: datetime) -> None:
        """Move the clock to an instant, saying on the way what falls due, each at its time."""
        for _ in range(MOST_EVENTS):
            at = next_event_at(self.database)
            if at is None or at > until:
                break
            self.clock.set(max(at, self.clock.now()))
            beat(self.database, self.clock.now(), bot_name=self._bot_name)
            self._deliver(asked_in=None)
        self.clock.set(max(until, self.clock.now()))

    def _colon(self, colon: Colon) -> None:
        if colon.problem:
            self._say(colon.problem)
            return
        match colon.word:
            case "quit":
                self.open = False
            case "as":
                self.speaker = colon.name
                where = "in private" if self.private else "in the group"
                self._say(f"You are {self.speaker}, {where}.")
            case "private":
                self.private = True
                self._say(f"You are {self.speaker}, in private with the bot.")
            case "group":
                self.private = False
                self._say(f"You are {self.speaker}, in the group.")
            case "at" if colon.at is not None:
                self.clock.set(colon.at.replace(tzinfo=ZoneInfo(self.zone)))
                self._say(f"It is {self.stamp(self.clock.now())}.")
                self.catch_up()
            case "wait" if colon.wait is not None:
                self.pass_time(self._later(colon.wait))
                self._say(f"It is {self.stamp(self.clock.now())}.")
            case _:
                self._say(HELP)

    def _later(self, wait: timedelta) -> datetime:
        """Days are days of the wall clock; hours and minutes are hours and minutes."""
        now = self.clock.now()
        if wait % timedelta(days=1):
            return now + wait
        zone = ZoneInfo(self.zone)
        return (now.astimezone(zone).replace(tzinfo=None) + wait).replace(tzinfo=zone)

    @property
    def zone(self) -> str:
        """The zone of the group at this terminal."""
        with self.database.transaction() as session:
            found = session.scalars(
                select(m.Group.zone)
                .join(m.Chat, m.Chat.group_id == m.Group.id)
                .where(m.Chat.platform == PLATFORM, m.Chat.platform_chat == GROUP_CHAT)
            ).first()
        return found or "UTC"

    def stamp(self, instant: datetime) -> str:
        """Return an instant in the site's wall time."""
        return instant.astimezone(ZoneInfo(self.zone)).strftime("%a %Y-%m-%d %H:%M")

    # --- showing ---

    def _deliver(self, asked_in: str | None) -> None:
        now = self.clock.now()
        with self.database.transaction() as session:
            chats = {
                chat.id: chat.platform_chat
                for chat in session.scalars(select(m.Chat).where(m.Chat.platform == PLATFORM))
            }
            rows = [row for row in outbox.due(session, now) if row.chat_id in chats]
        for row in rows:
            chat = chats[row.chat_id]
            unasked = row.notice_id is not None or chat != asked_in
            if row.edit_of is not None:
                self._change(row, row.edit_of, chat)
            elif "spent" in row.body:
                self._take_buttons(row.body["spent"])
            else:
                self._show(row.body, chat, row.due_at if unasked else None, row.key)
            with self.database.transaction() as session:
                outbox.settle(session.get_one(m.Outbox, row.id), now, str(row.id))

    def _message_of(self, key: str) -> str | None:
        """Return what a message is called by this front end, by its key in the outbox."""
        with self.database.transaction() as session:
            return session.scalars(
                select(m.Outbox.platform_message).where(m.Outbox.key == key)
            ).first()

    def _take_buttons(self, message: str) -> None:
        with self.database.transaction() as session:
            of = session.get_one(m.Outbox, int(message)).key
        for number in [n for n, button in self.buttons.items() if button.of == of]:
            del self.buttons[number]

    def _place(self, chat: str) -> str:
        if chat == GROUP_CHAT:
            return "group"
        return self._names.get(chat, chat.partition(":")[2].title())

    def _change(self, row: m.Outbox, of: str, chat: str) -> None:
        """Say in one line what a message says now that it did not say before."""
        with self.database.transaction() as session:
            first = session.scalars(select(m.Outbox).where(m.Outbox.key == of)).one()
        before = self._texts.get(of, str(first.body.get("text", ""))).split("\n")
        text = str(row.body["text"])
        for number in [n for n, button in self.buttons.items() if button.of == of]:
            del self.buttons[number]
        new = [line for line in text.split("\n") if line not in before]
        new = [line for line in new if line.startswith(MARK)] or new
        words = [
            f"[{self._number(Shown(label, command, chat, of))}] {label}"
            for buttons in row.body.get("buttons", ())
            for label, command in buttons
        ]
        where = self._place(chat)
        self._say(
            f"-- {'the group' if where == 'group' else where}, changed from "
            f"{self.stamp(first.due_at)}: " + "   ".join([" ".join(new) or "as before", *words])
        )
        self._texts[of] = text
        self._tell(row.body, where, self.stamp(first.due_at), changed=True)

    def _show(self, body: m.Json, chat: str, at: datetime | None, key: str) -> None:
        self._texts[key] = str(body["text"])
        place = self._place(chat)
        if at is not None:
            self._say(f"-- {self.stamp(at)} to {'the group' if place == 'group' else place}")
        for text_line in shown_text(body).split("\n"):
            self._say(text_line)
        for attachment in body.get("attachments", ()):
            self._say(self._attached(attachment))
        for line in beside_lines(body):
            self._say(f"  {line}")
        for row in shown_rows(body):
            words = []
            for label, command in row:
                words.append(f"[{self._number(Shown(label, command, chat, key))}] {label}")
            self._say("  " + "   ".join(words))
        self._tell(body, place, self.stamp(at) if at is not None else None)

    def _tell(self, body: m.Json, place: str, at: str | None, *, changed: bool = False) -> None:
        if self._hear is None:
            return
        self._hear(
            Said(
                place=place,
                at=at,
                text=shown_text(body),
                attachments=(
                    *(
                        f"({'picture' if a['picture'] else 'file'} {a['name']})"
                        for a in body.get("attachments", ())
                    ),
                    *beside_lines(body),
                ),
                buttons=tuple(tuple(label for label, _ in row) for row in shown_rows(body)),
                changed=changed,
            )
        )

    def _number(self, button: Shown) -> int:
        """Number a button; the last ninety-nine on the screen can be pressed."""
        number = self._numbered % MOST_BUTTONS + 1  # never that of a button that just went
        self._numbered = number
        self.buttons.pop(number, None)
        self.buttons[number] = button
        return number

    def _attached(self, attachment: m.Json) -> str:
        kind = "picture" if attachment["picture"] else "file"
        if self._save is None:
            return f"  ({kind} {attachment['name']})"
        from bot.papers.attachments import content

        data = content(self.database, attachment, self.clock.now())
        return f"  ({kind} {self._save(attachment['name'], data)})"


def _file_named(text: str) -> Path | None:
    """Return the file that a line ends with, where there is one of a kind the bot reads."""
    for candidate in (text, text.partition(" ")[2].strip(), text.rpartition(" ")[2]):
        if candidate.lower().endswith(FILE_ENDINGS):
            path = Path(candidate)
            try:
                if path.is_file():
                    return path
            except (OSError, ValueError):
                continue
    return None
