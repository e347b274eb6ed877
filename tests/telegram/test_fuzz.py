"""Updates as no server sends them: wrong types, gaps, huge, deep and odd values, all at once.

Whole updates of every kind are taken and single values in them exchanged. Each is stored or set
aside, the intake goes on, and another chat is answered afterwards. `--bench` tries many more.
"""

from __future__ import annotations

import copy
import random
from typing import Any

import pytest

from core.records import models as m
from tests.telegram.conftest import BOT, Bench
from tests.telegram.test_hostile import PIXEL

ODD: tuple[Any, ...] = (
    None, True, 0, -1, 2**31, 2**63 - 1, 2**63, 10**30, -(2**63), 1.5, float("1e308"), "", " ",
    "x" * 100_000, "\x00", "\ud800", "\u202e/site\u202c", "\u200b" * 500, "e" + "\u0301" * 5000,
    "ſıteİ", "/sıte", "#" + "9" * 40, "~99999999999999999999 /trays",
    "~1 /trays", "/done " + "9" * 60,
    "-9" * 30, [], {}, [[[[[[[]]]]]]], {"a": {"b": {"c": [1, {"d": None}]}}}, ["x"] * 2000,
    "١٢٣", "\U0001f331" * 3000, "𝒮𝒾𝓉ℯ", "/note " + "\n/up 1 S1" * 400,
)  # fmt: skip


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Return the paths to all values inside of one."""
    found = [path] if path else []
    inside = (
        value.items() if isinstance(value, dict)
        else enumerate(value) if isinstance(value, list) else ()
    )  # fmt: skip
    for key, one in inside:
        found += places(one, (*path, key))
    return found


def mutated(update: dict[str, Any], dice: random.Random, number: int) -> dict[str, Any]:
    """Return an update in which one to three values are exchanged or gone."""
    made = copy.deepcopy(update)
    for _ in range(dice.choice((1, 1, 1, 2, 3))):
        known = [path for path in places(made) if path != ("update_id",)]
        if not known:
            break
        path = dice.choice(known)
        at = made
        for key in path[:-1]:
            at = at[key]
        if dice.random() < 0.15 and isinstance(at, dict):
            del at[path[-1]]
        else:
            at[path[-1]] = copy.deepcopy(dice.choice(ODD))
    made["update_id"] = number
    return made


async def seeds(bench: Bench) -> list[dict[str, Any]]:
    """Return one whole update of every kind."""
    import json

    ana, group = await bench.founded()
    bo = bench.server.add_user("Bo", username="bo_t", started=True)
    ana.promote_bot(group)
    bo.join(group)
    ana.say(group, f"/tray{BOT} T1 72", reply_to=bench.server.by_bot(group)[0])
    ana.say(ana.private, "sow tomato T1 A1-A6")
    ana.send_document(group, b"a,b\n", "plan.csv", caption=f"/plan{BOT}")
    ana.send_photo(ana.private, PIXEL, caption="/watered T1")
    ana.press(bench.server.by_bot(group)[0], 0)
    bo._member(group, "administrator")
    bo.leave(group)
    channel = {"id": -100777, "type": "channel", "title": "N"}
    post = {"message_id": 1, "date": 1, "text": "hello", "chat": channel}
    bench.server.updates.inject({"channel_post": post})
    await bench.until(lambda: not bench.server.updates.pending)
    return [json.loads(update.body) for update in bench.server.updates.history.values()]


async def tried(bench: Bench, count: int) -> None:
    """Feed that many mutated updates to a front end, and find it alive."""
    front_end = await bench.start()
    whole = await seeds(bench)
    assert {kind for update in whole for kind in update} >= {
        "message", "callback_query", "my_chat_member", "chat_member", "channel_post"
    }  # fmt: skip
    dice = random.Random(20270301)
    base = 5_000_000
    for first in range(0, count, 50):
        batch = [
            mutated(dice.choice(whole), dice, base + n)
            for n in range(first, min(first + 50, count))
        ]
        await front_end.receiver.take(batch)
    await bench.until(
        lambda: front_end.workers.idle and not bench.rows(m.Inbox, m.Inbox.state == "new"),
    )
    assert not front_end.failed.is_set()
    keys = {row.update_key.partition(":")[0] for row in bench.rows(m.Inbox)}
    assert {str(base + n) for n in range(count)} <= keys
    crashed = [
        row.error
        for row in bench.rows(m.Inbox, m.Inbox.state == "parked")
        if row.chat  # those that cannot be read have none
    ]
    assert crashed == []
    cy = bench.server.add_user("Cy", started=True)
    cy.say(cy.private, "/help")
    await bench.until(lambda: bench.server.by_bot(cy.private))


@pytest.mark.usefixtures("both_engines")
async def test_no_update_stops_the_service(bench: Bench) -> None:
    await tried(bench, 400)


@pytest.mark.bench
async def test_no_update_of_very_many_stops_the_service(bench: Bench) -> None:
    await tried(bench, 20_000)
