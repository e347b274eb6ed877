"""The line under a photo is said like any other line."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

from telegram import Bot, Update

from bot.incoming import Event
from bot.telegram.translate import translate


def test_a_caption_is_read_like_text() -> None:
    bot = cast(Bot, SimpleNamespace(id=7, username="traywarden", defaults=None))
    person = {"id": 5, "is_bot": False, "first_name": "Ana"}
    raw: dict[str, Any] = {
        "update_id": 1,
        "message": {
            "message_id": 3, "date": 1_800_000_000, "from": person,
            "chat": {"id": 5, "type": "private", "first_name": "Ana"},
            "photo": [{"file_id": "p", "file_unique_id": "p", "width": 9, "height": 9}],
            "caption": "14 up in T2",
        },
    }  # fmt: skip
    update = Update.de_json(raw, None)
    assert update is not None
    (arrival,) = translate(update, bot)
    assert (arrival.incoming.event, arrival.incoming.text) == (Event.TEXT, "14 up in T2")
