"""The command menus are those of the command table."""

from __future__ import annotations

import pytest

from bot.grammar.commands import COMMANDS, COORDINATORS
from bot.telegram import serve
from bot.telegram.menu import set_menus
from tests.telegram.conftest import BOT, Bench

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


async def test_the_profile_says_what_the_bot_is_in_each_language(bench: Bench) -> None:
    await bench.start(menus=True)
    profile = bench.server.methods.profile
    await bench.until(lambda: len(profile) == 4, timeout=20)
    assert set(profile) == {
        (field, language)
        for field in ("description", "short_description")
        for language in ("", "es")
    }
    assert "seedling" in profile["description", ""]
    assert "plántulas" in profile["description", "es"]
    assert len(set(profile.values())) == 4


async def test_a_coordinator_who_runs_no_chat_has_the_coordinators_menu(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(serve, "MENUS_EVERY_S", 0.05)
    await bench.start(menus=True)
    ana, group = await bench.founded()
    ben = bench.server.add_user("Ben")
    group.members[ben.id] = "member"
    ben.say(group, f"/due{BOT}")
    await bench.until(lambda: len(bench.server.by_bot(group)) == 2, timeout=20)
    ana.say(group, f"/member{BOT} Ben coordinator")
    menus, key = bench.server.methods.commands, ("chat_member", group.id, ben.id)
    await bench.until(lambda: (key, "es") in menus, timeout=20)
    words = {line["command"] for line in menus[key, ""]}
    assert words == {line["command"] for line in menus[ADMINS, ""]}
    ana.say(group, f"/member{BOT} Ben no coordinator")
    await bench.until(lambda: not any(scope == key for scope, _ in menus), timeout=20)


async def test_a_menu_that_is_refused_stops_nothing(bench: Bench) -> None:
    bench.server.faults.next("500", "setMyCommands", times=6)
    front_end = await bench.start()
    assert await set_menus(front_end.client, front_end.clock) == 0
    assert await set_menus(front_end.client, front_end.clock) == 6
