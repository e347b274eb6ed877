"""The shape of reply markup.

Source: Bot API reference, InlineKeyboardMarkup, InlineKeyboardButton (exactly one of the optional
action fields, callback data of 1-64 bytes), ReplyKeyboardMarkup.  The cap of 100 inline buttons
is from memory, not from the reference.
"""

from __future__ import annotations

import re

from tests.server.chats import Json
from tests.server.contract import ApiError

CALLBACK_MAX_BYTES = 64
BUTTONS_MAX = 100
PLACEHOLDER_MAX = 64  # published of ForceReply
_DECORATION = {"text", "style", "icon_custom_emoji_id"}


def check_markup(markup: Json, chat_type: str, *, inline_only: bool = False) -> None:
    """Raise ApiError if the keyboard is not one the platform takes in this kind of chat."""
    if "inline_keyboard" not in markup:
        if inline_only:
            raise ApiError(400, "Bad Request: inline keyboard expected")
        if chat_type == "channel":
            raise ApiError(400, "Bad Request: inline keyboard expected in channels")
        if "keyboard" in markup and not all(markup["keyboard"]):
            raise ApiError(400, "Bad Request: keyboard row is empty")
        if len(markup.get("input_field_placeholder", "")) > PLACEHOLDER_MAX:
            raise ApiError(400, "Bad Request: input field placeholder is too long")
        return
    rows = markup["inline_keyboard"]
    if sum(map(len, rows)) > BUTTONS_MAX:
        raise ApiError(400, "Bad Request: reply markup is too long")
    for row in rows:
        if not row:
            raise ApiError(400, "Bad Request: inline keyboard row is empty")
        for button in row:
            _check_button(button)


def _check_button(button: Json) -> None:
    if not button["text"].strip():
        raise ApiError(400, "Bad Request: can't parse inline keyboard button: text is empty")
    actions = set(button) - _DECORATION
    if not actions:
        raise ApiError(
            400,
            "Bad Request: can't parse inline keyboard button: "
            "text buttons are unallowed in the inline keyboard",
        )
    if len(actions) > 1:
        raise ApiError(
            400,
            "Bad Request: can't parse inline keyboard button: exactly one of the optional "
            f"fields must be used, not {sorted(actions)}",
        )
    if "callback_data" in actions:
        if not 1 <= len(button["callback_data"].encode()) <= CALLBACK_MAX_BYTES:
            raise ApiError(400, "Bad Request: BUTTON_DATA_INVALID")
    elif "url" in actions:
        if not re.match(r"(https?|tg)://\S+$", button["url"]):
            raise ApiError(
                400,
                f"Bad Request: inline keyboard button URL '{button['url']}' is invalid",
            )
