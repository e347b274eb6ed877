"""The command menus are those of the command table."""

from __future__ import annotations

from bot.grammar.commands import COMMANDS, COORDINATORS
from bot.telegram.menu import set_menus
from tests.telegram.conftest import Bench

GROUP = ("all_group_chats", None, None)
ADMINS = ("all_chat_administrators", None, None)
PRIVATE = ("all_private_chats", None, None)


async def test_each_place_and_language_has_its_menu(bench: Bench) -> None:
    await bench.start(menus=True)
    await bench.until(lambda: len(bench.server.methods.commands) == 6)
    menus = {
        key: {line["command"]: line["description"] for line in lines}
        for key, lines in bench.server.methods.commands.items()
    }
    assert set(menus) == {
        (scope, language) for scope in (GROUP, ADMINS, PRIVATE) for language in ("", "es")
    }
    for_coordinators = {c.word for c in COMMANDS if c.who == COORDINATORS and c.where != "private"}
    group, admins, private = (menus[scope, ""] for scope in (GROUP, ADMINS, PRIVATE))
    assert for_coordinators == set(admins) - set(group)
    assert {"sow", "due", "help"} <= set(group) & set(admins) & set(private)
    assert {"me", "export", "forgetme"} <= set(private) - set(admins)
    assert not {"done", "answer"} & (set(admins) | set(private))
    assert all(text and text != word for word, text in admins.items())


async def test_a_menu_that_is_refused_stops_nothing(bench: Bench) -> None:
    bench.server.faults.next("500", "setMyCommands", times=6)
    front_end = await bench.start()
    assert await set_menus(front_end.client, front_end.clock) == 0
    assert await set_menus(front_end.client, front_end.clock) == 6
