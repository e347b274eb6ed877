"""Rights follow the messenger; buttons belong to a chat and a group, and are no way in."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from bot.operate.clock import MovableClock
from core.records import models as m
from tests.server.chats import Chat
from tests.server.people import User
from tests.telegram.conftest import BOT, Bench
from tests.telegram.test_serve import MORNING

pytestmark = pytest.mark.usefixtures("both_engines")

ONLY = "Only coordinators"
STRANGE = "Only members of this group"


async def say(bench: Bench, user: User, chat: Chat, line: str) -> str:
    """Say a line and return the first words that come back."""
    before = len(bench.server.by_bot(chat))
    word, _, rest = line.partition(" ")
    user.say(chat, f"{word}{'' if chat.type == 'private' else BOT} {rest}".strip())
    said = await bench.until(lambda: bench.server.by_bot(chat)[before:])
    return str(said[0].text)


async def press(bench: Bench, user: User, entry: Any, which: str | int, **how: Any) -> str:
    """Press a button and return the first words that come back where it stands, or are shown
    to the presser alone."""
    chat = bench.server.chats[entry.chat_id]
    before = len(bench.server.by_bot(chat))
    pressed = user.press(entry, which, **how)
    await bench.until(lambda: bench.server.by_bot(chat)[before:] or pressed.text)
    said = bench.server.by_bot(chat)[before:]
    return str(said[0].text) if said else pressed.text


def newest(bench: Bench, chat: Chat) -> Any:
    """Return the newest message of the bot in a chat."""
    return bench.server.by_bot(chat)[-1]


def member(bench: Bench, group: Chat, name: str, status: str = "member") -> User:
    """Return somebody in a group."""
    user = bench.server.add_user(name, started=True)
    group.members[user.id] = status
    return user


async def test_an_admin_may_set_up_as_long_as_the_messenger_says_so(bench: Bench) -> None:
    first = await bench.start()
    _ana, group = await bench.founded()
    bo, cy = member(bench, group, "Bo", "administrator"), member(bench, group, "Cy")
    assert (await say(bench, bo, group, "/due")) != ""
    assert (await say(bench, bo, group, "/tray T1 72")).startswith("T1 added")
    assert (await say(bench, cy, group, "/tray T2 72")).startswith(ONLY)
    group.members[bo.id] = "member"  # demoted, without a word to the bot
    assert (await say(bench, bo, group, "/site round 9:00")).startswith(ONLY)
    await first.stop()
    await bench.start()
    assert (await say(bench, bo, group, "/tray T3 72")).startswith(ONLY)
    group.members[cy.id] = "administrator"
    assert (await say(bench, cy, group, "/tray T2 72")).startswith("T2 added")
    assert [row.code for row in bench.rows(m.Tray)] == ["T1", "T2"]


async def test_the_admin_who_founded_it_keeps_no_right_of_that(bench: Bench) -> None:
    await bench.start()
    ana, group = await bench.founded()
    assert (await say(bench, ana, group, "/tray T1 72")).startswith("T1 added")
    group.members[ana.id] = "member"
    assert (await say(bench, ana, group, "/tray T2 72")).startswith(ONLY)
    assert (await say(bench, ana, ana.private, "/tray T2 72")).startswith(ONLY)


async def test_who_is_made_coordinator_by_the_group_is_asked_of_nobody(bench: Bench) -> None:
    await bench.start()
    ana, group = await bench.founded()
    cy = member(bench, group, "Cy")
    await say(bench, cy, group, "/due")
    await say(bench, ana, group, "/member Cy coordinator")
    bench.server.faults.next("500", "getChatMember", times=9)
    assert (await say(bench, cy, group, "/tray T1 72")).startswith("T1 added")
    bench.server.faults.clear()


async def test_changes_the_messenger_tells_count_at_once(bench: Bench) -> None:
    await bench.start()
    ana, group = await bench.founded()
    ana.promote_bot(group)
    bo = member(bench, group, "Bo")
    await say(bench, bo, group, "/due")
    bo._member(group, "administrator")
    await bench.until(lambda: bench.rows(m.Member, m.Member.name == "Bo")[0].runs_chat)
    bo._member(group, "member")
    await bench.until(lambda: not bench.rows(m.Member, m.Member.name == "Bo")[0].runs_chat)
    bo._member(group, "kicked")
    await bench.until(lambda: bench.rows(m.Member, m.Member.name == "Bo")[0].left_at)
    assert "Ana" not in await say(bench, bo, bo.private, "/due")


async def test_a_wait_that_the_messenger_asks_for_makes_an_admin_no_less(bench: Bench) -> None:
    await bench.start()
    _ana, group = await bench.founded()
    bo = member(bench, group, "Bo", "administrator")
    bench.server.faults.next("429", "getChatMember", retry_after_s=1)
    assert (await say(bench, bo, group, "/tray T1 72")).startswith("T1 added")
    bench.server.faults.next("500", "getChatMember", times=9)
    assert "Try again in a minute" in await say(bench, bo, group, "/tray T2 72")
    assert [row.code for row in bench.rows(m.Tray)] == ["T1"]


async def test_a_press_is_no_way_into_a_group(bench: Bench) -> None:
    await bench.start()
    ana, group = await bench.founded()
    await say(bench, ana, group, "/tray T1 72")
    await say(bench, ana, group, "/watered T1")
    entry = newest(bench, group)
    dan = bench.server.add_user("Dan", started=True)
    assert (await press(bench, dan, entry, 0)).startswith(STRANGE)
    bo = member(bench, group, "Bo")
    assert (await press(bench, bo, entry, 0)).startswith(STRANGE)  # has said nothing yet
    await say(bench, bo, group, "/due")
    bo.leave(group)
    await bench.until(lambda: bench.rows(m.Member, m.Member.name == "Bo")[0].left_at)
    assert (await press(bench, bo, entry, 0)).startswith(STRANGE)
    assert (await press(bench, bo, entry, 0, forged="/trays")).startswith(STRANGE)
    assert "T1" not in await say(bench, bo, bo.private, "/trays")
    assert {row.name for row in bench.rows(m.Person)} == {"Ana", "Bo"}
    assert not [row for row in bench.rows(m.Act) if row.undone_at]


async def test_a_kept_button_is_of_one_chat_and_of_eight_days(bench: Bench) -> None:
    clock = MovableClock(MORNING)
    front_end = await bench.start(clock=clock)
    ana, group = await bench.founded()
    eve = bench.server.add_user("Eve", started=True)
    hers = bench.server.add_group("Hers", creator=eve)
    eve.say(hers, f"/start{BOT}")
    await bench.until(lambda: bench.server.by_bot(hers))
    secret = "/note Xavier Longname of class 4b knocked the tray over once more today"
    bench.put(group, {"text": "Note?", "buttons": [[["Note it", secret]]]})
    front_end.courier.wake()
    entry = (await bench.until(lambda: bench.server.by_bot(group)[1:]))[0]
    data = entry.buttons[0].data
    theirs = bench.server.by_bot(hers)[0]
    for forged in (data, "#1", "#" + "A" * 22, f"~1 {data}", "~1 /trays"):
        text = await press(bench, eve, theirs, 0, forged=forged)
        assert "Xavier" not in text
        assert "had its time" in text
    clock.set(MORNING + timedelta(days=9))
    await front_end.holding.renew()
    assert "had its time" in await press(bench, ana, entry, 0)
    front_end.ticking.due_to_tidy()
    await front_end.ticking.tick()
    assert secret not in {row.command for row in bench.rows(m.Press)}


async def test_a_private_button_acts_on_the_group_it_was_said_of(bench: Bench) -> None:
    await bench.start()
    ana, red = await bench.founded()
    blue = bench.server.add_group("Blue", creator=ana)
    ana.say(blue, f"/start{BOT}")
    await bench.until(lambda: bench.server.by_bot(blue))
    for group in (red, blue):
        assert (await say(bench, ana, group, "/tray T1 72")).startswith("T1 added")
    await say(bench, ana, ana.private, "/me group 1")
    await say(bench, ana, ana.private, "/sow tomato T1 2 cells")
    undo = newest(bench, ana.private)
    await say(bench, ana, ana.private, "/tray T1")
    watered = newest(bench, ana.private)
    await say(bench, ana, ana.private, "/me group 2")
    await say(bench, ana, ana.private, "/sow tomato T1 2 cells")
    await press(bench, ana, watered, "Watered")
    await press(bench, ana, undo, "Undo")
    by_group = {
        group: [act.undone_at is not None for act in bench.rows(m.Act, m.Act.group_id == group)]
        for group in (1, 2)
    }
    assert by_group == {1: [True, False], 2: [False]}
    ana.leave(red)
    await bench.until(lambda: bench.rows(m.Member, m.Member.group_id == 1)[0].left_at)
    assert (await press(bench, ana, watered, "Watered")).startswith(STRANGE)
    forged = await press(bench, ana, watered, 0, forged="~1 /trays")
    assert forged.startswith(STRANGE)
