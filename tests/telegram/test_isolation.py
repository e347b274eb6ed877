"""No command and no button shows or changes a group's records to one who does not belong to it.

The matrix is generated from the command table: every example, typed and as a button, by somebody
of another group, a stranger, one who was put out, and an ordinary member for coordinators' work.
"""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from sqlalchemy import select

from bot.grammar import GrammarContext, parse
from bot.grammar.commands import COMMANDS
from core import requests as r
from core.handlers.table import SET_UP, changes
from core.records import models as m
from tests.server.chats import Chat
from tests.server.people import User
from tests.telegram.conftest import BOT, Bench
from tests.telegram.test_rights import member, say

EXAMPLES = [example for command in COMMANDS for example in command.examples]
WITH_IDS = ["/done 1", "/answer 1 yes", "/swap take 1", "/plan accept 1", "/plan drop 1",
            "/undo R1", "/undo", "/start tray-T77", "/tray T77", "/trays", "/export", "/member",
            "/report", "/wish", "/share", "/shelf Q", "/lot", "/duty", "/calendar"]  # fmt: skip
SECRETS = ("Quillstar", "Xavier", "zebrafinch")


def records(bench: Bench) -> dict[str, list[Any]]:
    """Return all rows of the first group, by table."""
    found: dict[str, list[Any]] = {}
    with bench.database.transaction() as session:
        for table in m.Base.metadata.sorted_tables:
            if table.name in ("inbox", "outbox", "chats", "dialogues", "presses"):
                continue
            column = table.c.get("group_id") if table.name != "groups" else table.c["id"]
            if column is not None:
                rows = session.execute(select(table).where(column == 1).order_by(table.c["id"]))
                found[table.name] = [tuple(row) for row in rows]
    return found


async def a_group_with_secrets(bench: Bench) -> tuple[User, Chat]:
    """Return Ana and her group, in which much is said."""
    ana, group = await bench.founded()
    xavier = member(bench, group, "Xavier")
    for user, line in (
        (ana, "/shelf Q 8 places"), (ana, "/tray T77 72 shelf Q"), (ana, "/frost 28 april"),
        (ana, "/lot tomato Quillstar 2026"), (xavier, "/sow L1 T77 A1-B6"),
        (xavier, "/note T77: the zebrafinch sat on it"), (xavier, "/wish 4 tomato"),
        (ana, "/duty Xavier mon"), (xavier, "/ask tomatoes are tall and floppy"),
    ):  # fmt: skip
        await say(bench, user, group, line)
    return ana, group


async def settle(bench: Bench) -> None:
    """Wait until all that was sent has been handled."""
    await bench.until(
        lambda: (
            not bench.server.updates.pending
            and not bench.rows(m.Inbox, m.Inbox.state == "new")
            and not bench.rows(m.Outbox, m.Outbox.state.in_(("due", "sending")))
        ),
    )


async def test_somebody_of_another_group_sees_and_changes_nothing(bench: Bench) -> None:
    await bench.start()
    _ana, _group = await a_group_with_secrets(bench)
    eve = bench.server.add_user("Eve", started=True)
    hers = bench.server.add_group("Hers", creator=eve)
    eve.say(hers, f"/start{BOT}")
    await bench.until(lambda: bench.server.by_bot(hers))
    eve.say(eve.private, "/start")
    await bench.until(lambda: bench.server.by_bot(eve.private))
    before = records(bench)
    here, alone = bench.server.by_bot(hers)[0], bench.server.by_bot(eve.private)[0]
    for line in sorted((*EXAMPLES, *WITH_IDS), key=lambda one: one.startswith("/endgroup")):
        if line.startswith("/forgetme"):
            continue
        typed = line.replace(" ", f"{BOT} ", 1) if " " in line else line + BOT
        eve.say(hers, typed)
        for entry, payload in (
            (here, line), (here, f"~1 {line}"), (alone, f"~1 {line}"), (alone, f"~01 {line}"),
        ):  # fmt: skip
            eve.press(entry, 0 if entry.buttons else "x", forged=payload)
    await settle(bench)
    heard = [entry.text for chat in (hers, eve.private) for entry in bench.server.by_bot(chat)]
    assert len(heard) > 50
    assert [(secret, text) for text in heard for secret in SECRETS if secret in text] == []
    assert records(bench) == before


@pytest.mark.parametrize("who", ["stranger", "put out", "left"])
async def test_one_who_does_not_belong_sees_and_changes_nothing(bench: Bench, who: str) -> None:
    await bench.start()
    ana, group = await a_group_with_secrets(bench)
    entry = bench.server.by_bot(group)[0]
    dan = bench.server.add_user("Dan", started=True)
    if who != "stranger":
        dan.join(group)
        await say(bench, dan, group, "/due")
        if who == "left":
            dan.leave(group)
        else:
            await say(bench, ana, group, "/member Dan remove")
        await bench.until(lambda: bench.rows(m.Member, m.Member.name == "Dan")[0].left_at)
    dan.say(dan.private, "/start")
    await bench.until(lambda: bench.server.by_bot(dan.private))
    before, said = records(bench), len(bench.server.by_bot(group))
    for line in (*EXAMPLES, *WITH_IDS):
        if line.startswith(("/forgetme", "/help", "/crop", "/me")):
            continue
        dan.press(entry, 0, forged=line)
        dan.say(dan.private, line)
    await settle(bench)
    heard = {entry.text for entry in bench.server.by_bot(dan.private)}
    heard |= {entry.text for entry in bench.server.by_bot(group)[said:]}
    secrets = [(secret, text) for text in heard for secret in SECRETS if secret in text]
    assert secrets == []
    assert records(bench) == before


async def test_an_ordinary_member_changes_nothing_of_the_set_up(bench: Bench) -> None:
    await bench.start()
    _ana, group = await a_group_with_secrets(bench)
    dan = member(bench, group, "Dan")
    await say(bench, dan, group, "/due")
    await say(bench, dan, dan.private, "/start")
    context = GrammarContext(today=date(2027, 3, 1), private=True, trays=("T77",), shelves=("Q",))
    tried = 0
    entry, before = bench.server.by_bot(group)[0], records(bench)
    for line in EXAMPLES:
        for read in parse(line, context):
            request = read.request
            setting_up = isinstance(request, SET_UP) and changes(request)
            if setting_up or (isinstance(request, r.MakePlan) and request.accept is not None):
                tried += 1
                dan.press(entry, 0, forged=line)
                dan.say(dan.private, line)
                dan.say(group, line.replace(" ", f"{BOT} ", 1))
    await settle(bench)
    assert tried >= 15
    assert records(bench) == before
