"""An edited message is asked about, never run again; what has no words gets one line."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from core.records import models as m
from tests.server.chats import Chat, Message
from tests.server.people import User
from tests.server.transcript import Entry
from tests.telegram.conftest import BOT, Bench

pytestmark = pytest.mark.usefixtures("both_engines")

VOICE = {"voice": {"file_id": "v", "file_unique_id": "v", "duration": 3}}
STICKER = {
    "sticker": {
        "file_id": "s", "file_unique_id": "s", "type": "regular", "width": 9, "height": 9,
        "is_animated": False, "is_video": False,
    }
}  # fmt: skip


class Talk:
    """Ana, her group, and what the bot said there: each of her messages awaits its answer."""

    def __init__(self, bench: Bench, ana: User, group: Chat) -> None:
        self.bench, self.ana, self.group = bench, ana, group

    async def answer(self, do: Callable[[], Any], chat: Chat | None = None) -> Entry:
        """Do something and return the next message of the bot in a chat."""
        where = chat or self.group
        before = len(self.bench.server.by_bot(where))
        do()
        await self.bench.until(lambda: len(self.bench.server.by_bot(where)) > before)
        return self.bench.server.by_bot(where)[-1]

    async def say(self, text: str) -> Message:
        """Say a command in the group; return the message once it is answered."""
        said: list[Message] = []
        await self.answer(lambda: said.append(self.ana.say(self.group, text)))
        return said[0]


async def counted(bench: Bench) -> tuple[Talk, Message]:
    """Return the talk, and Ana's message by which two of twelve tomatoes were counted."""
    await bench.start()
    talk = Talk(bench, *await bench.founded())
    await talk.say(f"/tray{BOT} T1 72")
    await talk.say(f"/sow{BOT} tomato T1 A1-B6 8 days ago")
    return talk, await talk.say(f"/up{BOT} 2 tomato")


async def test_an_edit_is_asked_about_and_changed_by_one_press(bench: Bench) -> None:
    talk, said = await counted(bench)
    asked = await talk.answer(lambda: talk.ana.edit(said, f"/up{BOT} 12 tomato"))
    assert "12 up" in asked.text
    assert "Nothing is changed yet" in asked.text
    assert counts(bench) == [2]
    changed = await talk.answer(lambda: talk.ana.press(asked, "Change it"))
    assert "12 of 12 up" in changed.text
    assert counts(bench) == [12]


def counts(bench: Bench) -> list[int]:
    """Return the counts that stand."""
    acts = bench.rows(m.Act, m.Act.kind == "up", m.Act.undone_at.is_(None))
    return [act.summary["total"] for act in acts]


async def test_an_edit_to_no_report_offers_to_take_it_back(bench: Bench) -> None:
    talk, said = await counted(bench)
    asked = await talk.answer(lambda: talk.ana.edit(said, f"/due{BOT}"))
    assert asked.text.startswith("You changed your message. Recorded is still:")
    await talk.answer(lambda: talk.ana.press(asked, "Undo R2"))
    assert counts(bench) == []


async def test_an_edit_of_what_was_not_recorded_is_read_back(bench: Bench) -> None:
    talk, _ = await counted(bench)
    lost = await talk.say(f"/up{BOT} basil 6")
    asked = await talk.answer(lambda: talk.ana.edit(lost, f"/up{BOT} 6 tomato"))
    assert asked.text.startswith("I read: 6 up")
    assert "Nothing is recorded yet" in asked.text
    assert counts(bench) == [2]


async def test_talk_between_members_may_be_edited_in_peace(bench: Bench) -> None:
    talk, _ = await counted(bench)
    chat = talk.ana.say(talk.group, "lovely tomatoes, 6 up I think")
    talk.ana.edit(chat, "lovely tomatoes, 7 up I think")
    before = len(bench.server.by_bot(talk.group))
    await talk.say(f"/due{BOT}")
    assert len(bench.server.by_bot(talk.group)) == before + 1


async def test_what_has_no_words_gets_one_line_in_private_and_none_among_members(
    bench: Bench,
) -> None:
    talk, _ = await counted(bench)
    before = len(bench.server.by_bot(talk.group))
    talk.ana.send_without_words(talk.group, VOICE)
    talk.ana.send_without_words(talk.group, STICKER)
    own = talk.ana.private
    heard = await talk.answer(lambda: talk.ana.send_without_words(own, VOICE), own)
    assert "cannot listen to voice notes" in heard.text
    heard = await talk.answer(lambda: talk.ana.send_without_words(own, STICKER), own)
    assert heard.text == "I read words only. What can be said: /help"
    await talk.say(f"/due{BOT}")
    assert len(bench.server.by_bot(talk.group)) == before + 1


async def test_a_location_sets_the_place_once_it_is_confirmed(bench: Bench) -> None:
    talk, _ = await counted(bench)
    said = bench.server.by_bot(talk.group)[-1]

    def here(latitude: float, longitude: float) -> None:
        where = {"location": {"latitude": latitude, "longitude": longitude}}
        talk.ana.send_without_words(talk.group, where, reply_to=said)

    near = await talk.answer(lambda: here(46.79, -92.11))
    assert near.text == "That is near Duluth, Minnesota, US. Is the garden there?"
    await talk.answer(lambda: talk.ana.press(near, "Yes, it is there"))
    (row,) = bench.rows(m.Group)
    assert (row.place, row.zone) == ("Duluth, Minnesota, US", "America/Chicago")
    assert "no town near" in (await talk.answer(lambda: here(0.0, -30.0))).text
