"""Check a request against the published parameters before any method sees it.

The published server ignores what it does not know; this one refuses it, because a misspelt
parameter is a fault in the caller.  Plain values may arrive as form text or as JSON; anything
structured as JSON text or, in a JSON body, as it is.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from tests.server import tables

Convert = Callable[[Any], Any]


class ApiError(Exception):
    """A refusal in the platform's own form.

    Attributes:
        code: HTTP status and `error_code`.
        description: the text clients see.
        parameters: `retry_after` (s) or `migrate_to_chat_id`, if any.
    """

    def __init__(self, code: int, description: str, **parameters: int) -> None:
        super().__init__(description)
        self.code = code
        self.description = description
        self.parameters = parameters


@dataclass(frozen=True, slots=True)
class Upload:
    """One file part of a multipart request; `size` in bytes is len(data)."""

    name: str
    mime: str
    data: bytes


class Wrong(Exception):
    """A value is not of the published type; the message says what was expected."""


def read_table(text: str) -> dict[str, dict[str, tuple[bool, tuple[str, ...]]]]:
    """Return name -> field -> (required, types) from a table text in tables.py."""
    table: dict[str, dict[str, tuple[bool, tuple[str, ...]]]] = {}
    for row in re.sub(r"\n +", " ", text.strip()).split("\n"):
        name, *fields = row.split()
        table[name] = {
            field.removesuffix("?"): (not field.endswith("?"), tuple(types.split("|")))
            for field, types in (part.split(":") for part in fields)
        }
    return table


METHODS = read_table(tables.METHODS_TEXT)
OBJECTS = read_table(tables.OBJECTS_TEXT)

_SCOPES = {
    re.sub(r"(?<!^)([A-Z])", r"_\1", name.removeprefix("BotCommandScope")).lower(): name
    for name in OBJECTS
    if name.startswith("BotCommandScope")
}
_MEDIA = {"photo": "InputMediaPhoto", "document": "InputMediaDocument"}
_MARKUP_KEYS = {
    "inline_keyboard": "InlineKeyboardMarkup",
    "keyboard": "ReplyKeyboardMarkup",
    "remove_keyboard": "ReplyKeyboardRemove",
    "force_reply": "ForceReply",
}


def _integer(value: Any) -> int:
    if type(value) is int:
        return value
    if type(value) is str and re.fullmatch(r"[+-]?\d{1,19}", value):
        return int(value)
    raise Wrong("an integer")


def _string(value: Any) -> str:
    if type(value) is not str:
        raise Wrong("a string")
    return value


def _chat(value: Any) -> int | str:
    try:
        return _integer(value)
    except Wrong:
        if type(value) is str and re.fullmatch(r"@[A-Za-z]\w{2,31}", value):
            return value
        raise Wrong("an integer or @username") from None


def _boolean(value: Any) -> bool:
    if type(value) is bool:
        return value
    if type(value) is str and value.lower() in ("true", "false"):
        return value.lower() == "true"
    raise Wrong("true or false")


def _file(value: Any) -> Upload:
    if not isinstance(value, Upload):
        raise Wrong("an uploaded file")
    return value


def _file_or_text(value: Any) -> Upload | str:
    if isinstance(value, Upload):
        return value
    return _string(value)


def _literal(value: Any) -> str:
    return _string(value)


def _structure(types: tuple[str, ...]) -> Convert:
    def convert(value: Any) -> Any:
        if isinstance(value, str):
            try:
                value = json.loads(value)
            except ValueError:
                raise Wrong("JSON") from None
        return _checked(value, types)

    return convert


def _checked(value: Any, types: tuple[str, ...]) -> Any:
    """Check a decoded JSON value against types such as `MessageEntity[]`."""
    if types[0].endswith("[]"):
        if not isinstance(value, list):
            raise Wrong("a JSON array")
        inner = tuple(name.removesuffix("[]") for name in types)
        return [_checked(item, inner) for item in value]
    plain = _PLAIN.get(types)
    if plain is not None:
        if isinstance(value, str) and types in (("number",), ("boolean",)):
            raise Wrong(f"a JSON {types[0]}")
        return plain(value)
    if types[0].endswith(("Type", "Style", "Action", "Emoji")) and types != ("ReactionType",):
        return _literal(value)
    if not isinstance(value, dict):
        raise Wrong("a JSON object")
    name = _which(value, types)
    fields = OBJECTS.get(name)
    if fields is None:
        return value
    for key, item in value.items():
        if key not in fields:
            raise Wrong(f'{name} without the unknown field "{key}"')
        try:
            value[key] = _checked(item, fields[key][1])
        except Wrong as wrong:
            raise Wrong(f'{name} whose "{key}" is {wrong}') from None
    for key, (required, _) in fields.items():
        if required and key not in value:
            raise Wrong(f'{name} with the field "{key}"')
    return value


def _which(value: dict[str, Any], types: tuple[str, ...]) -> str:
    if types == ("BotCommandScope",):
        name = _SCOPES.get(str(value.get("type")))
        if name is None:
            raise Wrong("a scope of a known type")
        return name
    if types == ("ReactionType",):
        if value.get("type") != "emoji":
            raise Wrong("a reaction of type emoji (others are not served here)")
        return "ReactionTypeEmoji"
    if types[0].startswith("InputMedia"):
        name = _MEDIA.get(str(value.get("type")))
        if name is None:
            raise Wrong("media of type photo or document (others are not served here)")
        return name
    if len(types) == 1:
        return types[0]
    for key, name in _MARKUP_KEYS.items():
        if key in value and name in types:
            return name
    raise Wrong("one of " + ", ".join(types))


_PLAIN: dict[tuple[str, ...], Convert] = {
    ("number",): _integer,
    ("string",): _string,
    ("number", "string"): _chat,
    ("boolean",): _boolean,
    ("InputFile",): _file,
    ("InputFile", "string"): _file_or_text,
    ("SendChatActionAction",): _literal,
}
_CONVERT: dict[str, dict[str, Convert]] = {
    method: {name: _PLAIN.get(types) or _structure(types) for name, (_, types) in fields.items()}
    for method, fields in METHODS.items()
}
_REQUIRED = {
    method: tuple(name for name, (required, _) in fields.items() if required)
    for method, fields in METHODS.items()
}


def check(method: str, given: Mapping[str, Any]) -> dict[str, Any]:
    """Return the converted parameters of one call.

    File parts that a parameter names as `attach://part` are passed through under their part
    name.  Raises ApiError: 404 for a method not in the table, 400 for an unknown, missing or
    mistyped parameter.
    """
    converters = _CONVERT.get(method)
    if converters is None:
        raise ApiError(404, "Not Found: method not found")
    params: dict[str, Any] = {}
    for name, value in given.items():
        convert = converters.get(name)
        if convert is None:
            if isinstance(value, Upload) and _attached(given, name):
                params[name] = value
                continue
            raise ApiError(400, f'Bad Request: unknown parameter "{name}" for {method}')
        try:
            params[name] = convert(value)
        except Wrong as wrong:
            raise ApiError(400, f'Bad Request: parameter "{name}" must be {wrong}') from None
    for name in _REQUIRED[method]:
        if name not in params:
            raise ApiError(400, f'Bad Request: parameter "{name}" is required')
    return params


def _attached(given: Mapping[str, Any], name: str) -> bool:
    return any(isinstance(v, str) and f"attach://{name}" in v for v in given.values())
