"""The server over HTTP, under /control/, for tests that run it as a process of its own.

Every endpoint takes a JSON object by POST (an empty body counts as {}) and answers a JSON
object; a mistake answers 400 with {"error": ...}.  The list is in the package docstring.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from aiohttp import web

from tests.server.faults import KINDS

if TYPE_CHECKING:
    from tests.server.server import BotApiServer

Json = dict[str, Any]


async def answer(server: BotApiServer, request: web.BaseRequest, name: str) -> web.Response:
    """Answer one control request."""
    act = _ACTIONS.get(name)
    if act is None:
        return _json({"error": f"no control endpoint {name!r}: {sorted(_ACTIONS)}"}, 404)
    body = await request.content.read()
    try:
        return _json(act(server, json.loads(body) if body else {}))
    except (KeyError, ValueError, TypeError) as error:
        return _json({"error": f"{type(error).__name__}: {error}"}, 400)


def _json(value: Json, status: int = 200) -> web.Response:
    return web.Response(
        status=status, body=json.dumps(value).encode(), content_type="application/json"
    )


def _users(server: BotApiServer, given: Json) -> Json:
    return {"ids": [server.add_user(**user).id for user in given["users"]]}


def _groups(server: BotApiServer, given: Json) -> Json:
    ids = []
    for group in given["groups"]:
        people = {
            "creator": server.users[group["creator"]],
            "members": [server.users[i] for i in group.get("members", ())],
            "admins": [server.users[i] for i in group.get("admins", ())],
        }
        ids.append(server.add_group(**(group | people)).id)
    return {"ids": ids}


def _say(server: BotApiServer, given: Json) -> Json:
    ids = []
    for one in given["messages"]:
        user = server.users[one["user"]]
        chat = server.chats[one.get("chat") or user.id]
        reply = chat.messages[one["reply_to"]] if "reply_to" in one else None
        rest = {k: one[k] for k in ("topic", "anonymous") if k in one}
        ids.append(user.say(chat, one["text"], reply_to=reply, **rest).id)
    return {"message_ids": ids}


def _loop(server: BotApiServer, given: Json) -> Json:
    """Say each lane's texts one after the other, the next once the bot has answered in its chat."""
    lanes = {one["chat"]: (server.users[one["user"]], [*one["texts"]]) for one in given["lanes"]}
    heard = len(server.transcript)

    def say(chat: int) -> None:
        user, left = lanes[chat]
        if left:
            user.say(server.chats[chat], left.pop(0))
        else:
            del lanes[chat]

    def news() -> bool:
        return len(server.transcript) > heard

    async def run() -> None:
        nonlocal heard
        for chat in [*lanes]:
            say(chat)
        while lanes:
            await server.until(news, timeout=90)
            fresh, heard = server.transcript[heard:], len(server.transcript)
            for entry in fresh:
                if entry.sender == "bot" and entry.chat_id in lanes:
                    say(entry.chat_id)

    task = asyncio.get_running_loop().create_task(run())
    _LOOPS.add(task)
    task.add_done_callback(_LOOPS.discard)
    return {}


def _press(server: BotApiServer, given: Json) -> Json:
    message = server.chats[given["chat"]].messages[given["message"]]
    press = server.users[given["user"]].press(message, given["button"])
    return {"id": press.id, "update_id": press.update_id}


def _transcript(server: BotApiServer, given: Json) -> Json:
    since, limit = given.get("since", 0), given.get("limit", 10_000)
    part = server.transcript[since : since + limit]
    chosen = [e for e in part if given.get("sender") in (None, e.sender)]
    return {"entries": [e.as_json() for e in chosen], "next": since + len(part)}


def _stats(server: BotApiServer, given: Json) -> Json:
    return {
        "calls": [[method, status, n] for (method, status), n in sorted(server.counts.items())],
        "said": len(server.transcript),
        "by_bot": server.said_by_bot,
        "pending": len(server.updates.pending),
        "confirmed": server.updates.confirmed,
        "polling": server.updates.polling,
        "polls": server.updates.polls,
        "given_up": server.updates.given_up,
        "faults": server.faults.injected,
        "refused": server.pace.refused,
        "early": server.pace.early,
        "unanswered": [q for q, press in server.world.queries.items() if not press.answered],
    }


def _faults(server: BotApiServer, given: Json) -> Json:
    if given.pop("clear", False):
        server.faults.clear()
    for one in given.pop("script", ()):
        server.faults.next(**one)
    if given:
        server.faults.fraction(**given)
    return {"kinds": list(KINDS)}


def _pace(server: BotApiServer, given: Json) -> Json:
    for name, value in given.items():
        if name not in _PACE:
            raise ValueError(f"{name} is none of {_PACE}")
        setattr(server.pace, name, value)
    return {name: getattr(server.pace, name) for name in _PACE}


def _block(server: BotApiServer, given: Json) -> Json:
    user = server.users[given["user"]]
    user.unblock() if given.get("undo") else user.block()
    return {}


def _migrate(server: BotApiServer, given: Json) -> Json:
    group = server.chats[given["chat"]]
    return {"id": server.migrate(group, announce=given.get("announce", True)).id}


def _inject(server: BotApiServer, given: Json) -> Json:
    ids = [server.updates.inject(**one) for one in given["updates"]]
    return {"update_ids": ids}


def _replay(server: BotApiServer, given: Json) -> Json:
    for update_id in given["update_ids"]:
        server.updates.replay(update_id)
    return {}


def _balance(server: BotApiServer, given: Json) -> Json:
    server.updates.balance[given["url"]] = list(given["backends"])
    return {}


_LOOPS: set[asyncio.Task[None]] = set()
_PACE = ("enabled", "overall_per_s", "group_per_min", "chat_per_s", "burst", "tolerance_s")
_ACTIONS: dict[str, Callable[[BotApiServer, Json], Json]] = {
    "users": _users,
    "groups": _groups,
    "say": _say,
    "loop": _loop,
    "press": _press,
    "transcript": _transcript,
    "stats": _stats,
    "faults": _faults,
    "pace": _pace,
    "block": _block,
    "migrate": _migrate,
    "inject": _inject,
    "replay": _replay,
    "balance": _balance,
}
