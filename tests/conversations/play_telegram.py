"""Play a conversation script through the Telegram front end, against the local Bot API server.

The clock is moved as at the terminal: from one thing that falls due to the next. After each step
the bot has handled all it was sent and said all it has to say. What is heard is read from the
server, not from the outbox: the outbox only tells which messages belong together and when they
fell due.
"""

from __future__ import annotations

import asyncio
import os
import re
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import select
from sqlalchemy.orm import aliased

from bot.delivery.pace import Pace
from bot.operate.clock import MovableClock
from bot.talk.heartbeat import next_event_at
from bot.telegram.client import make_client
from bot.telegram.parts import parts_of
from bot.telegram.serve import FrontEnd
from bot.telegram.translate import PLATFORM
from bot.terminal.chat import MOST_EVENTS, _file_named
from bot.terminal.lines import read_colon
from core.records import models as m
from core.records import outbox
from tests.conversations.script import Heard, Step, body_lines
from tests.databases import new_database
from tests.server import BotApiServer
from tests.server.chats import Chat
from tests.server.people import User
from tests.server.transcript import Entry

_SET = re.compile(r"(\d{4}-\d\d-\d\d \d\d:\d\d)(?: ([\w/+-]+))?")
BOT_NAME = "traywarden"
FIRST_SPEAKER = "Robin"
WAIT_S = 300.0  # then something hangs, however busy the machine is


class TelegramPlayer:
    """Says each step to a bot that polls a local server; `forum`: in a topic of a forum group."""

    def __init__(self, *, forum: bool = False) -> None:
        self.forum = forum
        os.environ.setdefault("PTB_TIMEDELTA", "1")
        self.database = new_database()
        self.clock = MovableClock()
        self._loop = asyncio.new_event_loop()
        self._loop.run_until_complete(self._begin())

    async def _begin(self) -> None:
        self.server = BotApiServer(
            username=BOT_NAME,
            privacy_mentions=True,
            clock=lambda: self.clock.now().timestamp(),
        )
        await self.server.start()
        client = make_client(self.server.token, self.server.url)
        self._front_end = FrontEnd(
            self.database,
            client,
            self.clock,
            pace=Pace(unlimited=True),
            ticking_on=False,
            menus=False,
        )
        self._front_end.receiver.remembers = False  # time leaps here, polls or not
        await self._front_end.start()
        owner = self.server.add_user("Owner")
        self._group = self.server.add_group(
            "the group", creator=owner, supergroup=self.forum, forum=self.forum
        )
        self.topic = self.server.add_topic(self._group, "Seedlings").id if self.forum else None
        self._people: dict[str, User] = {}
        self._speaker = self._person(FIRST_SPEAKER)
        self._private = False
        self._seen: set[str] = set()  # keys of the messages heard
        self._read: dict[int, int] = {}  # chat → how many of the bot's lines are read
        self._screen: list[Entry] = []  # newest last

    def _person(self, name: str) -> User:
        key = name.casefold()
        if key not in self._people:
            user = self.server.add_user(name, username=key.replace(" ", "_"))
            self._group.members[user.id] = "member"
            self._people[key] = user
        return self._people[key]

    @property
    def _chat(self) -> Chat:
        return self._speaker.private if self._private else self._group

    def play(self, step: Step) -> list[Heard]:
        return self._loop.run_until_complete(self._play(step))

    def close(self) -> None:
        async def end() -> None:
            await self._front_end.stop()
            await self.server.stop()

        self._loop.run_until_complete(end())
        self._loop.close()
        self.database.close()

    # --- steps ---

    async def _play(self, step: Step) -> list[Heard]:
        heard: list[Heard] = []
        match step.what:
            case "@":
                await self._time(step.text, heard)
            case ":":
                self._colon(step.text)
            case ">":
                await self._catch_up(heard)
                self._say(step.text)
                await self._drained()
                await self._hear(heard, self._chat)
            case "*":
                entry, label = self._button(step.text)
                await self._catch_up(heard)
                self._speaker.press(entry, label)
                await self._drained()
                await self._hear(heard, self.server.chats[entry.chat_id])
        return heard

    def _colon(self, text: str) -> None:
        colon = read_colon(f":{text}")
        match colon.word:
            case "as":
                self._speaker = self._person(colon.name)
            case "private":
                self._private = True
            case "group":
                self._private = False
            case _:
                raise ValueError(f": {text} is no step of a script")

    def _say(self, text: str) -> None:
        path = _file_named(text)
        if path is not None:
            caption = text.removesuffix(str(path)).strip()
            self._send_file(path, caption)
        elif self._private or text.startswith("/"):
            self._speaker.say(self._chat, text, topic=None if self._private else self.topic)
        else:  # in a group the bot hears what is said to it
            self._speaker.say(self._chat, f"@{BOT_NAME} {text}", topic=self.topic)

    def _send_file(self, path: Path, caption: str) -> None:
        if not self._private and not caption.startswith("/"):
            caption = f"@{BOT_NAME} {caption}".strip()
        self._speaker.send_document(self._chat, path.read_bytes(), path.name, caption=caption)

    def _button(self, label: str) -> tuple[Entry, str]:
        for entry in reversed(self._screen):
            if any(button.text == label for button in entry.buttons):
                return entry, label
        shown = [button.text for entry in self._screen for button in entry.buttons]
        raise AssertionError(f"no button {label!r} on the screen: {shown}")

    # --- time ---

    async def _time(self, text: str, heard: list[Heard]) -> None:
        at = _SET.fullmatch(text)
        if at is None:
            wait = read_colon(f":wait {text.lstrip('+')}").wait
            if wait is None:
                raise ValueError(f"@ {text} is no time")
            now = self.clock.now()
            if wait.seconds or wait.microseconds:
                until = now + wait
            else:
                zone = ZoneInfo(await self._zone())
                until = (now.astimezone(zone).replace(tzinfo=None) + wait).replace(tzinfo=zone)
            await self._pass_time(until, heard)
            return
        zone = ZoneInfo(at[2] or await self._zone())
        self.clock.set(datetime.strptime(at[1], "%Y-%m-%d %H:%M").replace(tzinfo=zone))
        await self._catch_up(heard)

    async def _pass_time(self, until: datetime, heard: list[Heard]) -> None:
        for _ in range(MOST_EVENTS):
            at = await self._front_end.db.run(next_event_at, self.database)
            if at is None or at > until:
                break
            self.clock.set(max(at, self.clock.now()))
            await self._front_end.ticking.beat()
            await self._drained()
            await self._hear(heard, None)
        self.clock.set(max(until, self.clock.now()))

    async def _catch_up(self, heard: list[Heard]) -> None:
        made = await self._front_end.ticking.beat()
        if made or await self._front_end.db.run(self._due):
            await self._drained()
            await self._hear(heard, None)

    def _due(self) -> bool:
        with self.database.transaction() as session:
            at = outbox.next_due_at(session)
        return at is not None and at <= self.clock.now()

    async def _drained(self) -> None:
        """Wait until everything sent is handled and everything due is said."""
        self._front_end.courier.wake()
        async with asyncio.timeout(WAIT_S):
            while not await self._quiet():
                await asyncio.sleep(0.001)

    async def _quiet(self) -> bool:
        if self.server.updates.pending or not self._front_end.idle:
            return False
        return not await self._front_end.db.run(self._left)

    def _left(self) -> bool:
        with self.database.transaction() as session:
            waiting = session.scalar(select(m.Inbox.id).where(m.Inbox.state == "new").limit(1))
            unsent = session.scalar(
                select(m.Outbox.id)
                .where(m.Outbox.state.in_(("due", "sending")), m.Outbox.due_at <= self.clock.now())
                .limit(1)
            )
        return waiting is not None or unsent is not None

    # --- hearing ---

    async def _hear(self, heard: list[Heard], asked_in: Chat | None) -> None:
        rows = await self._front_end.db.run(self._new_rows)
        zone = ZoneInfo(await self._zone())
        fresh: list[Entry] = []
        for row, chat_id, first in rows:
            chat = self.server.chats[int(chat_id)]
            if "alone" in row.body:
                heard.append(self._shown_alone(row.body))
                continue
            entries = self._lines_of(chat, len(parts_of(row.body)))
            if "spent" in row.body:
                self._spent(entries)
                continue
            if row.edit_of is not None:
                self._changed(entries)
            unasked = row.notice_id is not None or chat is not asked_in
            name = "group" if chat is self._group else chat.title
            stamp = (first or row).due_at.astimezone(zone).strftime("%a %Y-%m-%d %H:%M")
            fresh += entries
            heard.append(
                Heard(
                    unasked=unasked,
                    place=name if unasked else "",
                    at=stamp if unasked else "",
                    lines=body_lines(
                        "\n".join(entry.text for entry in entries if entry.text),
                        [[b.text for b in r] for entry in entries for r in entry.rows],
                        [_file(entry) for entry in entries if entry.file is not None],
                    ),
                    changed=first is not None,
                )
            )
        self._screen += fresh

    def _changed(self, entries: list[Entry]) -> None:
        """The buttons of a message that was changed are those it has now."""
        assert [entry.method for entry in entries] == ["editMessageText"]
        gone = {(entry.chat_id, entry.message_id) for entry in entries}
        self._screen = [e for e in self._screen if (e.chat_id, e.message_id) not in gone]

    def _shown_alone(self, body: dict[str, Any]) -> Heard:
        """What the presser was shown, as the server has it."""
        _, press, name = body["alone"]
        asked = self.server.world.queries[press]
        assert asked.answered
        return Heard(
            unasked=False,
            place="",
            at="",
            lines=body_lines(asked.text, (), [f"(shown to {name} alone)"]),
        )

    def _spent(self, entries: list[Entry]) -> None:
        """A message lost its buttons: none of them is on the screen any more."""
        assert [entry.method for entry in entries] == ["editMessageReplyMarkup"]
        assert not entries[0].buttons
        gone = {(entry.chat_id, entry.message_id) for entry in entries}
        self._screen = [e for e in self._screen if (e.chat_id, e.message_id) not in gone]

    def _lines_of(self, chat: Chat, count: int) -> list[Entry]:
        read = self._read.get(chat.id, 0)
        said = self.server.by_bot(chat)[read : read + count]
        if len(said) < count:
            raise AssertionError(f"{count} messages in the outbox, {len(said)} said")
        self._read[chat.id] = read + count
        return said

    def _new_rows(self) -> list[tuple[m.Outbox, str, m.Outbox | None]]:
        """Return what was sent since, its chat, and of a change the message it changes."""
        first = aliased(m.Outbox)
        with self.database.transaction() as session:
            found = session.execute(
                select(m.Outbox, m.Chat.platform_chat, first)
                .join(m.Chat, m.Chat.id == m.Outbox.chat_id)
                .outerjoin(first, first.key == m.Outbox.edit_of)
                .where(m.Outbox.state == "sent", m.Outbox.key.not_in(self._seen))
                .order_by(m.Outbox.due_at, m.Outbox.rank, m.Outbox.id)
            )
            rows = [(row, chat, was) for row, chat, was in found]
        self._seen.update(row.key for row, _, _ in rows)
        return rows

    async def _zone(self) -> str:
        return await self._front_end.db.run(self._group_zone)

    def _group_zone(self) -> str:
        with self.database.transaction() as session:
            found = session.scalars(
                select(m.Group.zone)
                .join(m.Chat, m.Chat.group_id == m.Group.id)
                .where(m.Chat.platform == PLATFORM, ~m.Chat.private)
            ).first()
        return found or "UTC"


def _file(entry: Entry) -> str:
    assert entry.file is not None
    kind = "picture" if entry.file.kind == "photo" else "file"
    return f"({kind} {entry.file.name})"
