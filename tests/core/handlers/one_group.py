"""One invented group in a database of its own, asked through the table of handlers."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime

from bot.message import Message
from bot.wording.speak import excuse, speak
from bot.wording.voice import Voice
from core.errors import UserError
from core.handlers.table import answer
from core.records import models as m
from core.records import people
from core.replies.base import Reply
from core.requests import Request
from core.scene import Scene
from tests.databases import new_database


class OneGroup:
    """A group called Bench with one coordinator; `at`, an aware instant, may be moved."""

    def __init__(self, at: datetime, *, language: str = "en", fahrenheit: bool = False) -> None:
        self.database = new_database()
        self.at = at
        self.language = language
        self.fahrenheit = fahrenheit
        with self.database.transaction() as session:
            group = people.found_group(session, "Bench", self.at)
            person = people.person_of(
                session, "test", "ana", name="Ana", username=None, now=self.at
            )
            member = people.join(session, group.id, person, "Ana", self.at, coordinator=True)
            chat = people.chat_of(session, "test", "bench", private=False)
            chat.group_id = group.id
            self.ids = (group.id, member.id, person.id, chat.id)

    @property
    def scene(self) -> Scene:
        group, member, person, chat = self.ids
        return Scene(
            now=self.at,
            group_id=group,
            member_id=member,
            person_id=person,
            chat_id=chat,
            private=False,
            coordinator=True,
        )

    @property
    def voice(self) -> Voice:
        return Voice(
            today=self.scene.today,
            language=self.language,
            fahrenheit=self.fahrenheit,
            inches=self.fahrenheit,
        )

    @contextmanager
    def group(self) -> Iterator[m.Group]:
        """The group's row, to look at or to change."""
        with self.database.transaction() as session:
            yield session.get_one(m.Group, self.ids[0])

    def ask(self, request: Request) -> Reply:
        """Return the reply; the mistakes a person can mend are raised."""
        with self.database.transaction() as session:
            return answer(request, self.scene, session)

    def hear(self, request: Request) -> Message:
        """Return the reply in words, or the mistake in words."""
        try:
            return speak(self.ask(request), self.voice)
        except UserError as error:
            return excuse(error, self.voice)
