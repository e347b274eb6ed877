"""Commands with accents: the platform marks none of them, or cuts the mark at the accent."""

from __future__ import annotations

import unicodedata
from functools import partial

import pytest

from tests.server.chats import Chat
from tests.server.people import User
from tests.telegram.conftest import BOT, Bench

CUT = [{"type": "bot_command", "offset": 0, "length": 3}]  # of `/qué`, as a client may send it
NO_FROST = "última helada"


def last_has(bench: Bench, chat: Chat, words: str) -> bool:
    """Whether the bot's last message in a chat has some words."""
    said = bench.server.by_bot(chat)
    return bool(said) and words in said[-1].text


async def spanish(bench: Bench, **options: str) -> tuple[User, Chat]:
    ana, group = await bench.founded(**options)
    ana.say(group, f"/site{BOT} idioma español")
    ana.say(group, f"/tray{BOT} T1 72")
    await bench.until(lambda: "72 celdas" in bench.server.by_bot(group)[-1].text)
    return ana, group


@pytest.mark.parametrize("form", ["NFC", "NFD"])
async def test_they_are_heard_in_private(bench: Bench, form: str) -> None:
    await bench.start()
    ana, _ = await spanish(bench)
    for text, told in (
        ("/cuándo tomate", NO_FROST),
        ("/qué toca hoy", "Hoy"),
        ("/sembré tomate T1 A1-B6", "S1: tomate"),
        ("/regué T1", "Riego: T1"),
    ):
        ana.say(ana.private, unicodedata.normalize(form, text))
        await bench.until(partial(last_has, bench, ana.private, told), timeout=10)


async def test_a_mark_cut_at_the_accent_changes_nothing(bench: Bench) -> None:
    await bench.start()
    ana, group = await spanish(bench)
    ana.say(group, "/qué toca hoy", entities=CUT)
    await bench.until(lambda: "Hoy" in bench.server.by_bot(group)[-1].text)


@pytest.mark.parametrize("text", ["/cuándo tomate", f"/cuándo{BOT} tomate"])
async def test_they_are_heard_in_a_group_whose_admin_the_bot_is(bench: Bench, text: str) -> None:
    await bench.start()
    ana, group = await spanish(bench, bot="administrator")
    ana.say(group, text)
    await bench.until(lambda: NO_FROST in bench.server.by_bot(group)[-1].text)


async def test_one_for_another_bot_is_left_to_it(bench: Bench) -> None:
    await bench.start()
    ana, group = await spanish(bench, bot="administrator")
    before = len(bench.server.by_bot(group))
    ana.say(group, "/cuándo@another_bot tomate")
    ana.say(group, f"/note{BOT} después")
    await bench.until(lambda: "después" in bench.server.by_bot(group)[-1].text)
    assert len(bench.server.by_bot(group)) == before + 1
